package section

import (
	"math"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// Remark is a line below the drawing: what it cannot show.
type Remark struct {
	Text string
	Role draw.Role // draw.Soft, draw.Heed or draw.Stop
}

func (c *drawing) say(text string, role draw.Role) {
	for _, r := range c.remark {
		if r.Text == text {
			return
		}
	}
	c.remark = append(c.remark, Remark{text, role})
}

// polarity says that it is wrong, if it is.
func (c *drawing) polarity(o *study.Outcome) {
	if o.WrongPolarity() {
		c.say("WRONG POLARITY: the cones work against each other", draw.Stop)
	}
}

// remarks writes the remarks under the drawing, broken at its width, and
// returns the height of it all. A scene too narrow for words has none.
func (c *drawing) remarks(y float64) float64 {
	size := c.o.Size
	room := (max(c.s.W, c.o.Room) - 2*margin) / loose
	if c.o.Mute || size <= 0 || room < 5*size {
		return y
	}
	for _, r := range c.remark {
		for _, line := range broken(r.Text, room, size) {
			y += 1.3 * size
			c.s.Text(margin, y-0.4*size, line, draw.TextStyle{Role: r.Role, Size: size})
		}
	}
	return y
}

// broken breaks a text into lines of a width; a longer word has one to itself.
func broken(text string, room, size float64) []string {
	var out []string
	line := ""
	for _, word := range strings.Split(text, " ") { // not at the thin space before a unit
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && draw.MeasureText(longer, size, draw.Regular) > room {
			out = append(out, line)
			longer = word
		}
		line = longer
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// length is a length in mm as it is told.
func (c *drawing) length(mm float64) string { return phys.Show(mm/1e3, phys.Length, c.o.Units) }

// dimension is the outside width above the box.
func (c *drawing) dimension() {
	b := c.box
	y := c.y(b.back) - 8
	if c.body.Spec.Kind == enclosure.BandpassParallel { // the axis of the port in the back stands out
		y -= axisOut * c.k
	}
	c.across(c.x(b.left), c.x(b.right), y, c.y(b.back), c.figure(b.right-b.left))
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
