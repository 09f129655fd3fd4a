package section

import (
	"math"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// remark is a line below the drawing: what it cannot show.
type remark struct {
	text string
	role draw.Role
}

func (c *drawing) say(text string, role draw.Role) {
	for _, r := range c.remark {
		if r.text == text {
			return
		}
	}
	c.remark = append(c.remark, remark{text, role})
}

// remarks writes the remarks under the drawing, broken at its width, and
// returns the height of it all. A scene too narrow for words has none.
func (c *drawing) remarks(y float64) float64 {
	size := c.o.Size
	room := 0.84 * (max(c.s.W, c.o.Room) - 2*margin) // a page may set it in a wider type than it is measured in
	if c.o.Mute || size <= 0 || room < 5*size {
		return y
	}
	for _, r := range c.remark {
		line := ""
		put := func() {
			y += 1.3 * size
			c.s.Text(margin, y-0.4*size, line, draw.TextStyle{Role: r.role, Size: size})
		}
		for _, word := range strings.Split(r.text, " ") { // never at the thin space before a unit
			longer := strings.TrimSpace(line + " " + word)
			if line != "" && draw.MeasureText(longer, size, draw.Regular) > room {
				put()
				longer = word
			}
			line = longer
		}
		put()
	}
	return y
}

// length is a length in mm as it is told.
func (c *drawing) length(mm float64) string { return phys.Show(mm/1e3, phys.Length, c.o.Units) }

// dimension is the outside width above the box (ISO 129: thin, slender
// arrows, the number over the line).
func (c *drawing) dimension() {
	b := c.box
	u := phys.Length.Unit(c.o.Units)
	text := strings.TrimSuffix(phys.Digits(u.Of((b.right-b.left)/1e3), 3), ".0")
	top := c.y(b.back)
	y := top - 8
	if c.body.Spec.Kind == enclosure.BandpassParallel { // the axis of the port in the back stands out
		y -= axisOut * c.k
	}
	st := draw.Style{Stroke: draw.Soft, Width: c.thin}
	c.s.Line(c.x(b.left), y, c.x(b.right), y, st)
	for _, e := range []struct{ x, into float64 }{{c.x(b.left), 7}, {c.x(b.right), -7}} {
		c.s.Line(e.x, top-2, e.x, y-4, st)
		c.s.Path(new(draw.Path).M(e.x, y).L(e.x+e.into, y-2).L(e.x+e.into, y+2).Z(), draw.Style{Fill: draw.Soft})
	}
	c.s.Text((c.x(b.left)+c.x(b.right))/2, y-4, text, draw.TextStyle{Role: draw.Soft, Size: c.o.Size, Anchor: draw.Middle, Halo: true})
}

// unfit marks what of a box lies outside its space, and says by how much it
// is too large: too high a box shows its outline.
func (c *drawing) unfit(across, deep float64) {
	c.say(c.body.Why, draw.Stop)
	b := c.box
	st := draw.Style{Hatch: draw.Hatch{Role: draw.Stop, Falling: true, Pitch: math.Max(3, 9*c.k) / 2, Width: 1.2 * c.thin}, Stroke: draw.Stop, Width: c.thick}
	marked := false
	if sp := c.o.Space; sp != nil {
		left, right, back := (across-1e3*sp.Width)/2, (across+1e3*sp.Width)/2, deep-1e3*sp.Depth
		for _, r := range [][4]float64{{b.left, b.back, left, b.front}, {right, b.back, b.right, b.front}, {math.Max(b.left, left), b.back, math.Min(b.right, right), back}} {
			if r[2]-r[0] > 0.5 && r[3]-r[1] > 0.5 {
				c.s.Rect(c.x(r[0]), c.y(r[1]), (r[2]-r[0])*c.k, (r[3]-r[1])*c.k, st)
				marked = true
			}
		}
	}
	if !marked {
		c.s.Rect(c.x(b.left), c.y(b.back), (b.right-b.left)*c.k, (b.front-b.back)*c.k, draw.Style{Stroke: draw.Stop, Width: 2 * c.thick})
	}
}
