package section

import (
	"strings"

	"basswright/internal/draw"
	"basswright/internal/phys"
)

// arrow of a dimension: length and half width, scene units.
const (
	headLong = 7.0
	headWide = 2.0
)

// figure is a length, mm, as it stands at a dimension: in mm the number alone,
// as in any drawing; in other units with it.
func (c *drawing) figure(mm float64) string {
	u := phys.Length.Unit(c.o.Units)
	text := phys.Digits(u.Of(mm/1e3), 3)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	if c.o.Units != phys.Metric {
		text += "\u2009" + u.Name
	}
	return text
}

// across draws a dimension at y between two x, with lines that lead there from
// y0 (ISO 129: thin, slender arrows, the number over the line).
func (c *drawing) across(x1, x2, y, y0 float64, text string) {
	st := draw.Style{Stroke: draw.Soft, Width: c.thin}
	c.s.Line(x1, y, x2, y, st)
	into := headInto(x2 - x1)
	for _, e := range []struct{ x, into float64 }{{x1, into}, {x2, -into}} {
		c.leader(e.x, y0, e.x, y, st)
		c.s.Path(new(draw.Path).M(e.x, y).L(e.x+e.into, y-headWide).L(e.x+e.into, y+headWide).Z(), draw.Style{Fill: draw.Soft})
	}
	c.s.Text((x1+x2)/2, y-4, text, draw.TextStyle{Role: draw.Soft, Size: c.o.Size, Anchor: draw.Middle, Halo: true, Over: x2 - x1})
}

// along draws a dimension at x between two y, with lines that lead there from
// x01 and x02; it reads upwards, from the right.
func (c *drawing) along(y1, y2, x, x01, x02 float64, text string) {
	st := draw.Style{Stroke: draw.Soft, Width: c.thin}
	c.s.Line(x, y1, x, y2, st)
	into := headInto(y2 - y1)
	for _, e := range []struct{ y, x0, into float64 }{{y1, x01, into}, {y2, x02, -into}} {
		c.leader(e.x0, e.y, x, e.y, st)
		c.s.Path(new(draw.Path).M(x, e.y).L(x-headWide, e.y+e.into).L(x+headWide, e.y+e.into).Z(), draw.Style{Fill: draw.Soft})
	}
	c.s.Text(x-4, (y1+y2)/2, text, draw.TextStyle{Role: draw.Soft, Size: c.o.Size, Anchor: draw.Middle, Rotation: -90, Halo: true, Over: y2 - y1})
}

// legible reports whether a number finds its place over a dimension of a length:
// where several stand close, one that does not is left to the description.
func (c *drawing) legible(text string, long float64) bool {
	return long >= loose*draw.MeasureText(text, c.o.Size, draw.Regular)
}

// headInto is the length of the arrows in a room.
func headInto(room float64) float64 { return min(headLong, room/2.5) }

// leader leads from a body to a dimension: it begins beside the body and ends
// beyond the dimension. One that leads nowhere is left out.
func (c *drawing) leader(x0, y0, x, y float64, st draw.Style) {
	const off, over = 2.0, 4.0
	switch {
	case x0 == x && y0 > y:
		c.s.Line(x, y0-off, x, y-over, st)
	case x0 == x && y0 < y:
		c.s.Line(x, y0+off, x, y+over, st)
	case y0 == y && x0 > x:
		c.s.Line(x0-off, y, x-over, y, st)
	case y0 == y && x0 < x:
		c.s.Line(x0+off, y, x+over, y, st)
	}
}
