package draw

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The fonts are parsed when first needed: a program that draws nothing pays nothing.
var fonts = [...]func() *sfnt.Font{
	Regular: sync.OnceValue(func() *sfnt.Font { return mustParse(goregular.TTF) }),
	Medium:  sync.OnceValue(func() *sfnt.Font { return mustParse(gomedium.TTF) }),
	Strong:  sync.OnceValue(func() *sfnt.Font { return mustParse(gobold.TTF) }),
}

func mustParse(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("draw: the built-in font is damaged: " + err.Error())
	}
	return f
}

// fontFile is the TrueType file of a weight.
func fontFile(w Weight) []byte {
	switch w {
	case Medium:
		return gomedium.TTF
	case Strong:
		return gobold.TTF
	}
	return goregular.TTF
}

func (w Weight) font() *sfnt.Font {
	if int(w) >= len(fonts) {
		w = Regular
	}
	return fonts[w]()
}

// thinSpaces are spaces that the built-in fonts lack, with their widths in ems (Unicode 17, General Punctuation).
func thinSpaces(r rune) (em float64, ok bool) {
	switch r {
	case '\u2009', '\u202F', '\u2006': // thin, narrow no-break, six per em
		return 1. / 6, true
	case '\u200A': // hair
		return 1. / 10, true
	case '\u2002', '\u2007': // en, figure
		return 1. / 2, true
	case '\u2003':
		return 1, true
	}
	return 0, false
}

// glyph is one letter to set: its number in the font and its advance in ems.
type glyph struct {
	r       rune
	index   sfnt.GlyphIndex
	advance float64
	blank   bool    // nothing to draw, only room
	squeeze float64 // how much narrower than the letter r it is; 0 is not
}

// shape turns text into glyphs. Letters that the font lacks become a question mark rather than an empty box.
func shape(text string, w Weight) []glyph {
	f := w.font()
	var buf sfnt.Buffer
	em := fixed.I(int(f.UnitsPerEm()))
	out := make([]glyph, 0, len(text))
	for _, r := range clean(text) {
		if r == '\u00A0' {
			r = ' '
		}
		if a, ok := thinSpaces(r); ok {
			out = append(out, glyph{r: r, advance: a, blank: true})
			continue
		}
		gi, err := f.GlyphIndex(&buf, r)
		if err != nil || gi == 0 {
			r = '?'
			gi, _ = f.GlyphIndex(&buf, r)
		}
		adv, err := f.GlyphAdvance(&buf, gi, em, font.HintingNone)
		if err != nil {
			adv = 0
		}
		g := glyph{r: r, index: gi, advance: float64(adv) / float64(em), blank: r == ' '}
		if r == '-' {
			g.hyphen(f, &buf, em)
		}
		out = append(out, g)
	}
	return out
}

// hyphen takes the short stroke of the soft hyphen: the Go fonts draw "-" as wide as a minus, for programs, which in
// "heron-8" looks like a dash.
func (g *glyph) hyphen(f *sfnt.Font, buf *sfnt.Buffer, em fixed.Int26_6) {
	gi, err := f.GlyphIndex(buf, '\u00AD')
	if err != nil || gi == 0 {
		return
	}
	if adv, err := f.GlyphAdvance(buf, gi, em, font.HintingNone); err == nil && adv > 0 {
		short := float64(adv) / float64(em)
		g.index, g.squeeze, g.advance = gi, short/g.advance, short
	}
}

// MeasureText is the width of a text in the unit of size. It holds for PNG and PDF; SVG is set in the reader's own
// face, which is rarely wider.
func MeasureText(s string, size float64, weight Weight) float64 {
	sum := 0.0
	for _, g := range shape(s, weight) {
		sum += g.advance
	}
	return sum * size
}

// clean drops what no file format can carry in a line of text: control characters and broken UTF-8. Line breaks and
// tabs become spaces.
func clean(s string) string {
	if plain(s) {
		return s
	}
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return ' '
		case unicode.IsControl(r) || r == 0xFFFE || r == 0xFFFF:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}

// plain says that a text is of the printed signs of ASCII alone, as most are.
func plain(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// offset is how far left of its place a text of width w begins.
func (a Anchor) offset(w float64) float64 {
	switch a {
	case Middle:
		return w / 2
	case End:
		return w
	}
	return 0
}

// outline is a text as a path, at its place and turned.
func (o *op) outline() *Path {
	f := o.ts.Weight.font()
	var buf sfnt.Buffer
	em := fixed.I(int(f.UnitsPerEm()))
	turn := rotation(o.ts.Rotation)
	x := -o.ts.Anchor.offset(MeasureText(o.text, o.ts.Size, o.ts.Weight))
	out := new(Path)
	for _, g := range shape(o.text, o.ts.Weight) {
		if !g.blank {
			place := func(q fixed.Point26_6) Point {
				k := o.ts.Size / float64(em)
				d := turn(Point{x + float64(q.X)*k, float64(q.Y) * k})
				return Point{o.at.X + d.X, o.at.Y + d.Y}
			}
			if segs, err := f.LoadGlyph(&buf, g.index, em, nil); err == nil {
				out.glyph(segs, place)
			}
		}
		x += g.advance * o.ts.Size
	}
	return out
}

// glyph adds the outline of a letter; every contour of a font is closed.
func (p *Path) glyph(segs sfnt.Segments, place func(fixed.Point26_6) Point) {
	open := false
	for _, s := range segs {
		a, b, c := place(s.Args[0]), place(s.Args[1]), place(s.Args[2])
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if open {
				p.Z()
			}
			p.M(a.X, a.Y)
			open = true
		case sfnt.SegmentOpLineTo:
			p.L(a.X, a.Y)
		case sfnt.SegmentOpQuadTo:
			p.Q(a.X, a.Y, b.X, b.Y)
		case sfnt.SegmentOpCubeTo:
			p.C(a.X, a.Y, b.X, b.Y, c.X, c.Y)
		}
	}
	if open {
		p.Z()
	}
}
