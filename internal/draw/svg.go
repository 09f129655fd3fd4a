package draw

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// SVGOptions say what kind of SVG to write. The zero value is a file of its own, sized in px.
type SVGOptions struct {
	WidthMM float64 // printed width in mm; 0 gives the scene's own units as px
	Inline  bool    // a fragment to stand in an HTML page: takes the page's font, and its width unless WidthMM says
	Prefix  string  // begins every id; give each inline drawing of one page its own
	Class   string  // class attribute of the svg element
}

// svgFonts asks for the reader's own system face first.
const svgFonts = `system-ui, -apple-system, 'Segoe UI', 'Adwaita Sans', Roboto, 'Noto Sans', sans-serif`

// SVG writes the scene as SVG 1.1 with one property of SVG 2 (paint-order, only inline).
func (s *Scene) SVG(w io.Writer, o SVGOptions) error {
	c := &svgCanvas{scene: s, prefix: idPrefix(o.Prefix), inline: o.Inline}
	c.b.Grow(usualBytes * (len(s.ops) + 4))
	c.head(o)
	s.paint(c)
	c.b.WriteString("</svg>\n")
	_, err := w.Write(c.b.Bytes())
	return err
}

// idPrefix keeps letters, digits, - and _, and begins with a letter.
func idPrefix(p string) string {
	p = strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return -1
	}, p)
	if p == "" || !(p[0] >= 'a' && p[0] <= 'z' || p[0] >= 'A' && p[0] <= 'Z') {
		p = "d" + p
	}
	return p + "-"
}

// usualBytes is what most operations take as text.
const usualBytes = 160

type svgCanvas struct {
	b      bytes.Buffer
	scene  *Scene
	prefix string
	inline bool
	clips  int
}

func (c *svgCanvas) head(o SVGOptions) {
	s := c.scene
	c.b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg"`)
	if o.Class != "" {
		c.attr("class", o.Class)
	}
	switch {
	case o.WidthMM > 0:
		fmt.Fprintf(&c.b, ` width="%smm" height="%smm"`, num(o.WidthMM), num(o.WidthMM*s.H/s.W))
	case !o.Inline:
		fmt.Fprintf(&c.b, ` width="%s" height="%s"`, num(s.W), num(s.H))
	}
	fmt.Fprintf(&c.b, ` viewBox="0 0 %s %s"`, num(s.W), num(s.H))
	if !o.Inline {
		c.attr("font-family", svgFonts)
	}
	title, desc := clean(s.Title), clean(s.Desc)
	if title == "" {
		c.b.WriteString(` aria-hidden="true">` + "\n") // nothing to say: decoration
		return
	}
	ids := c.prefix + "title"
	if desc != "" {
		ids += " " + c.prefix + "desc"
	}
	c.attr("role", "img")
	c.attr("aria-labelledby", ids)
	fmt.Fprintf(&c.b, ">\n<title id=\"%stitle\">%s</title>\n", c.prefix, escape(title))
	if desc != "" {
		fmt.Fprintf(&c.b, "<desc id=\"%sdesc\">%s</desc>\n", c.prefix, escape(desc))
	}
}

func (c *svgCanvas) attr(name, value string) {
	c.begin(name)
	c.b.WriteString(escape(clean(value)))
	c.b.WriteByte('"')
}

func (c *svgCanvas) begin(name string) {
	c.b.WriteByte(' ')
	c.b.WriteString(name)
	c.b.WriteString(`="`)
}

func (c *svgCanvas) number(name string, v float64) {
	c.begin(name)
	c.num(v)
	c.b.WriteByte('"')
}

func (c *svgCanvas) num(v float64) { c.b.Write(appendNum(c.b.AvailableBuffer(), v)) }

func (c *svgCanvas) path(p *Path) {
	c.b.WriteString("<path")
	c.begin("d")
	c.pathData(p)
	c.b.WriteByte('"')
}

func (c *svgCanvas) opacity(v float64) {
	if v < 1 {
		c.number("opacity", v)
	}
}

func (c *svgCanvas) fill(p *Path, r Role, opacity float64) {
	c.path(p)
	c.attr("fill", c.scene.Theme.CSS(r))
	if p.runs() > 1 {
		c.attr("fill-rule", "evenodd")
	}
	c.opacity(opacity)
	c.b.WriteString("/>\n")
}

func (c *svgCanvas) stroke(p *Path, st Style) {
	c.path(p)
	c.attr("fill", "none")
	c.attr("stroke", c.scene.Theme.CSS(st.Stroke))
	c.number("stroke-width", st.Width)
	c.attr("stroke-linejoin", "round")
	if st.Round {
		c.attr("stroke-linecap", "round")
	}
	if len(st.Dash) > 0 {
		d := make([]string, len(st.Dash))
		for i, v := range st.Dash {
			d[i] = num(v)
		}
		c.attr("stroke-dasharray", strings.Join(d, " "))
	}
	c.opacity(st.opacity())
	c.b.WriteString("/>\n")
}

// text writes a text; inline, where every reader is a browser, its edging is the same element.
func (c *svgCanvas) text(o *op) {
	edged := o.ts.Halo && c.inline
	c.beginText(o)
	c.attr("fill", c.scene.Theme.CSS(o.ts.Role))
	if edged {
		c.edgeAttrs(o)
		c.attr("paint-order", "stroke")
	}
	c.endText(o)
}

// edgeText writes the edging as an element below the text, since viewers of files may not know paint-order.
func (c *svgCanvas) edgeText(o *op) {
	if c.inline && !c.scene.Theme.Halo {
		return
	}
	c.beginText(o)
	c.attr("fill", "none")
	c.edgeAttrs(o)
	c.attr("aria-hidden", "true")
	c.endText(o)
}

func (c *svgCanvas) edgeAttrs(o *op) {
	c.attr("stroke", c.scene.Theme.CSS(Paper))
	c.number("stroke-width", c.scene.Theme.haloWidth(o.ts.Size))
	c.attr("stroke-linejoin", "round")
}

func (c *svgCanvas) beginText(o *op) {
	c.b.WriteString("<text")
	if o.ts.Rotation != 0 {
		c.attr("transform", fmt.Sprintf("translate(%s %s) rotate(%s)", num(o.at.X), num(o.at.Y), num(o.ts.Rotation)))
	} else {
		c.number("x", o.at.X)
		c.number("y", o.at.Y)
	}
	switch o.ts.Anchor {
	case Middle:
		c.attr("text-anchor", "middle")
	case End:
		c.attr("text-anchor", "end")
	}
	c.number("font-size", o.ts.Size)
	if o.ts.Over > 0 && c.inline {
		c.number("data-over", o.ts.Over)
	}
	switch o.ts.Weight {
	case Medium:
		c.attr("font-weight", "500")
	case Strong:
		c.attr("font-weight", "600")
	}
}

func (c *svgCanvas) endText(o *op) {
	c.b.WriteString(">" + escape(o.text) + "</text>\n")
}

func (c *svgCanvas) clip(p *Path) {
	c.clips++
	id := c.prefix + "clip" + strconv.Itoa(c.clips)
	fmt.Fprintf(&c.b, "<clipPath id=\"%s\">", id)
	c.path(p)
	fmt.Fprintf(&c.b, "/></clipPath>\n<g clip-path=\"url(#%s)\">\n", id)
}

func (c *svgCanvas) unclip() { c.b.WriteString("</g>\n") }

// pathData is the d attribute: absolute, rounded to a hundredth.
func (c *svgCanvas) pathData(p *Path) {
	for _, s := range p.seg {
		c.b.WriteByte("MLQCZ"[s.verb])
		for i, q := range s.points() {
			if i > 0 {
				c.b.WriteByte(' ')
			}
			c.num(q.X)
			c.b.WriteByte(' ')
			c.num(q.Y)
		}
	}
}

// num is appendNum as a text.
func num(v float64) string { return string(appendNum(nil, v)) }

// appendNum writes a number rounded to a hundredth, in the fewest characters and never as "-0".
func appendNum(b []byte, v float64) []byte {
	r := math.Round(v * 100)
	if !(math.Abs(r) < 1e15) { // where fewer digits than those of the hundredths may tell it from its neighbours
		return strconv.AppendFloat(b, r/100, 'f', -1, 64)
	}
	n := int64(r)
	if n < 0 {
		b, n = append(b, '-'), -n
	}
	b = strconv.AppendInt(b, n/100, 10)
	switch n %= 100; {
	case n == 0:
		return b
	case n%10 == 0:
		return append(b, '.', byte('0'+n/10))
	}
	return append(b, '.', byte('0'+n/10), byte('0'+n%10))
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

func escape(s string) string { return escaper.Replace(s) }
