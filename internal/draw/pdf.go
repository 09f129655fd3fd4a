package draw

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// PDFOptions say how to write a PDF. The zero value makes one unit of the scene one point.
type PDFOptions struct {
	WidthMM float64 // printed width in mm; 0 makes one unit 1/72 inch
}

// PDF writes the scene as one page of its own size, all vectors, with the fonts it needs inside.
func (s *Scene) PDF(w io.Writer, o PDFOptions) error {
	k := 1.0
	if o.WidthMM > 0 {
		k = o.WidthMM / 25.4 * 72 / s.W
	}
	if wide := max(s.W, s.H) * k; wide > 14400 {
		return fmt.Errorf("a page of %.0f points is too large: PDF pages end at 14400 points (5.08 m)", wide)
	}
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: s.W * k, Ht: s.H * k}})
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.SetCatalogSort(true)
	// The date is not known here, and the same scene must give the same bytes.
	f.SetCreationDate(time.Unix(0, 0).UTC())
	f.SetModificationDate(time.Unix(0, 0).UTC())
	f.SetProducer("basswright", true)
	f.SetTitle(clean(s.Title), true)
	f.SetSubject(clean(s.Desc), true)
	f.SetLang("en-GB")
	f.AddPage()
	c := &pdfCanvas{f: f, theme: s.Theme, k: k, high: s.H * k, have: map[Weight]bool{}}
	s.paint(c)
	if err := f.Error(); err != nil {
		return fmt.Errorf("pdf: %w", err)
	}
	return f.Output(w)
}

type pdfCanvas struct {
	f     *fpdf.Fpdf
	theme Theme
	k     float64 // points for each unit
	high  float64 // of the page, in points
	have  map[Weight]bool
}

// operators write page content directly: the library keeps no state that we rely on, and q … Q frames each piece.
func (c *pdfCanvas) raw(parts ...string) { c.f.RawWriteStr(strings.Join(parts, " ")) }

func pt(v float64) string {
	r := math.Round(v*1000) / 1000
	if r == 0 {
		return "0"
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

func (c *pdfCanvas) colour(r Role, operator string) string {
	v := c.theme.Colour(r)
	return fmt.Sprintf("%.4f %.4f %.4f %s", float64(v.R)/255, float64(v.G)/255, float64(v.B)/255, operator)
}

func (c *pdfCanvas) trace(p *Path) string {
	var b strings.Builder
	var pen, start Point
	for _, s := range p.seg {
		pts := s.points()
		if s.verb == quadTo { // PDF knows only cubics
			a, q := pts[0], pts[1]
			pts = []Point{{pen.X + (a.X-pen.X)*2/3, pen.Y + (a.Y-pen.Y)*2/3}, {q.X + (a.X-q.X)*2/3, q.Y + (a.Y-q.Y)*2/3}, q}
		}
		for _, q := range pts {
			b.WriteString(pt(q.X*c.k) + " " + pt(c.high-q.Y*c.k) + " ")
		}
		b.WriteString([...]string{moveTo: "m ", lineTo: "l ", quadTo: "c ", cubicTo: "c ", closePath: "h "}[s.verb])
		switch s.verb {
		case closePath:
			pen = start
		case moveTo:
			pen, start = pts[0], pts[0]
		default:
			pen = pts[len(pts)-1]
		}
	}
	return b.String()
}

// framed writes content with an opacity of its own.
func (c *pdfCanvas) framed(opacity float64, parts ...string) {
	c.raw("q")
	if opacity < 1 {
		c.f.SetAlpha(opacity, "Normal")
	}
	c.raw(parts...)
	c.raw("Q")
}

func (c *pdfCanvas) fill(p *Path, r Role, opacity float64) {
	c.framed(opacity, c.colour(r, "rg"), c.trace(p), "f*")
}

func (c *pdfCanvas) stroke(p *Path, st Style) {
	lineCap := "0 J"
	if st.Round {
		lineCap = "1 J"
	}
	d := make([]string, len(st.Dash))
	for i, v := range st.Dash {
		d[i] = pt(v * c.k)
	}
	c.framed(st.opacity(), c.colour(st.Stroke, "RG"), pt(st.Width*c.k)+" w", lineCap, "1 j",
		"["+strings.Join(d, " ")+"] 0 d", c.trace(p), "S")
}

// text sets real text, so that it can be searched and copied. Runs between spaces that the font lacks are set apart.
func (c *pdfCanvas) text(o *op) {
	size := o.ts.Size * c.k
	rad := o.ts.Rotation * math.Pi / 180
	sin, cos := math.Sincos(-rad) // PDF turns the other way: y points up
	x := -o.ts.Anchor.offset(MeasureText(o.text, size, o.ts.Weight))
	c.raw("q", c.colour(o.ts.Role, "rg"),
		pt6(cos), pt6(sin), pt6(-sin), pt6(cos), pt(o.at.X*c.k), pt(c.high-o.at.Y*c.k), "cm")
	c.setFont(o.ts.Weight, size)
	run := ""
	from := x
	flush := func() {
		if run != "" {
			c.f.Text(from, c.high, run) // the origin, as the library counts y from the top
			run = ""
		}
	}
	for _, g := range shape(o.text, o.ts.Weight) {
		switch {
		case g.blank && g.r != ' ':
			flush()
		case g.squeeze > 0: // text must stay searchable: the letter itself, made narrower
			flush()
			c.raw(pt(100*g.squeeze), "Tz")
			c.f.Text(x, c.high, string(g.r))
			c.raw("100 Tz")
		default:
			if run == "" {
				from = x
			}
			run += string(g.r)
		}
		x += g.advance * size
	}
	flush()
	c.raw("Q")
}

func pt6(v float64) string { return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64) }

// setFont chooses the font inside the frame that is open. The library leaves out a choice that it believes to be in
// force, but the last Q has undone it: another size in between makes it write.
func (c *pdfCanvas) setFont(w Weight, size float64) {
	family := [...]string{"regular", "medium", "strong"}[w]
	if !c.have[w] {
		c.f.AddUTF8FontFromBytes(family, "", bytes.Clone(fontFile(w)))
		c.have[w] = true
	}
	c.f.SetFont(family, "", size+1)
	c.f.SetFont(family, "", size)
}

// edgeText is drawn, not set: text that is there twice would be found twice.
func (c *pdfCanvas) edgeText(o *op) {
	c.stroke(o.outline(), Style{Stroke: Paper, Width: c.theme.haloWidth(o.ts.Size)})
}

func (c *pdfCanvas) clip(p *Path) { c.raw("q", c.trace(p), "W n") }

func (c *pdfCanvas) unclip() { c.raw("Q") }
