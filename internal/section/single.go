package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/study"
)

// Driver draws one driver in section, its front down the page: what its sheet
// does not say follows from its cone, and is then drawn thin. With dimensions,
// its flange and its depth.
func Driver(d *driver.Driver, opt Options) *draw.Scene {
	if opt.Size <= 0 {
		opt.Size = defaultSize
	}
	f := study.FrameOf(d)
	m := sizeOf(f)
	c := newDrawing(opt)
	bowl := 0.2 * m.edge // the surround stands out by less than that
	left, top := margin, margin
	right := margin
	if opt.Dims {
		top += 2 * opt.Size
		right += 2.2 * opt.Size
	}
	c.x0, c.y0 = left, top
	w, deep := m.frame, m.depth+math.Max(m.flange, bowl)
	c.s = draw.NewScene(left+w*c.k+right, top+deep*c.k+margin, opt.Theme)
	c.s.Title = d.Name + " in section"
	c.s.Desc = c.sized(f)
	c.driver(gaze{c, m.frame / 2, m.depth, 0, 1, 0, 0}, m)
	wide, long := c.measured(m.frame, d.Data.Flange), c.measured(m.depth, d.Data.MountingDepth)
	if opt.Dims && c.legible(wide, w*c.k) {
		c.across(c.x(0), c.x(w), top-8, c.y(m.depth), wide)
	}
	if opt.Dims && c.legible(long, m.depth*c.k) {
		c.along(c.y(0), c.y(m.depth), c.x(w)+1.6*opt.Size, c.x(w/2+m.magnet), c.x(w), long)
	}
	return c.s
}

// measured is a driver's measure at a dimension; what the sheet does not give is
// told as about.
func (c *drawing) measured(mm, given float64) string {
	if given == 0 {
		return "about " + c.figure(mm)
	}
	return c.figure(mm)
}

// sized tells a driver's measures and which of them are guessed.
func (c *drawing) sized(f study.Frame) string {
	s := "Flange " + c.length(1e3*f.Flange) + ", cutout " + c.length(1e3*f.Cutout) + ", depth " + c.length(1e3*f.Depth)
	if f.Guessed {
		s += "; what the sheet does not say follows from the cone"
	}
	return s + "."
}

// defaultScale is that of a driver at the head of its column.
const defaultScale = 0.44

// newDrawing is an empty drawing at a scale, with lines as wide as all sections have.
func newDrawing(opt Options) *drawing {
	if !(opt.Scale > 0) {
		opt.Scale = defaultScale
	}
	return &drawing{k: opt.Scale, o: opt, thick: math.Max(1, 1.15+(opt.Scale-0.32)*1.4), thin: 0.7}
}
