package draw

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"git.sr.ht/~sbinet/gg"
)

// maxPixels bounds the memory that a picture may take (4 bytes each).
const maxPixels = 100e6

// PNG writes the scene as a picture of scale pixels for each unit. Themes without ground give a transparent picture.
func (s *Scene) PNG(w io.Writer, scale float64) error {
	wide, high := math.Round(s.W*scale), math.Round(s.H*scale)
	if !finite(scale) || scale <= 0 || wide < 1 || high < 1 {
		return fmt.Errorf("a picture needs at least one pixel each way: %g × %g at scale %g", s.W, s.H, scale)
	}
	if wide*high > maxPixels {
		return fmt.Errorf("a picture of %.0f × %.0f pixels is too large: at most 100 million pixels; use a smaller scale", wide, high)
	}
	c := &pngCanvas{dc: gg.NewContext(int(wide), int(high)), theme: s.Theme, k: scale}
	s.paint(c)
	enc := png.Encoder{CompressionLevel: png.BestCompression}
	return enc.Encode(w, c.dc.Image())
}

type pngCanvas struct {
	dc    *gg.Context
	theme Theme
	k     float64
	masks []*image.Alpha // clips that are open, each already cut by those around it
}

func (c *pngCanvas) paint(r Role, opacity float64) color.NRGBA {
	v := c.theme.Colour(r)
	v.A = uint8(math.Round(float64(v.A) * opacity))
	return v
}

// trace hands the path over as straight lines. A closed line is led on over its first stretch again, so that the
// rasteriser, which ends every line with a cap, joins its last corner like the others.
func (c *pngCanvas) trace(p *Path, outline bool) {
	for _, s := range p.flatten(0.1 / c.k) {
		for i, q := range s.pts {
			if i == 0 {
				c.dc.MoveTo(q.X*c.k, q.Y*c.k)
			} else {
				c.dc.LineTo(q.X*c.k, q.Y*c.k)
			}
		}
		switch {
		case s.closed && outline && len(s.pts) > 1:
			for _, q := range s.pts[:2] {
				c.dc.LineTo(q.X*c.k, q.Y*c.k)
			}
		case s.closed:
			c.dc.ClosePath()
		}
	}
}

func (c *pngCanvas) fill(p *Path, r Role, opacity float64) {
	c.dc.SetFillRuleEvenOdd()
	c.fillWith(p, r, opacity)
}

func (c *pngCanvas) fillWith(p *Path, r Role, opacity float64) {
	c.dc.SetFillStyle(gg.NewSolidPattern(c.paint(r, opacity)))
	c.trace(p, false)
	c.dc.Fill()
}

func (c *pngCanvas) stroke(p *Path, st Style) {
	c.dc.SetStrokeStyle(gg.NewSolidPattern(c.paint(st.Stroke, st.opacity())))
	c.dc.SetLineWidth(st.Width * c.k)
	c.dc.SetLineJoinRound()
	c.dc.SetLineCapButt()
	if st.Round {
		c.dc.SetLineCapRound()
	}
	d := make([]float64, len(st.Dash))
	for i, v := range st.Dash {
		d[i] = v * c.k
	}
	c.dc.SetDash(d...)
	c.trace(p, len(d) == 0)
	c.dc.Stroke()
	c.dc.SetDash()
}

func (c *pngCanvas) text(o *op) {
	c.dc.SetFillRuleWinding() // contours of a letter may overlap
	c.fillWith(o.outline(), o.ts.Role, 1)
}

func (c *pngCanvas) edgeText(o *op) {
	c.stroke(o.outline(), Style{Stroke: Paper, Width: c.theme.haloWidth(o.ts.Size)})
}

func (c *pngCanvas) clip(p *Path) {
	c.masks = append(c.masks, c.mask(p))
	c.useMask()
}

// mask is the inside of a path, cut by the clip that is open.
func (c *pngCanvas) mask(p *Path) *image.Alpha {
	side := gg.NewContext(c.dc.Width(), c.dc.Height())
	m := &pngCanvas{dc: side, theme: c.theme, k: c.k}
	m.fill(p, Ink, 1)
	out := side.AsMask()
	if len(c.masks) > 0 {
		for i, a := range c.masks[len(c.masks)-1].Pix {
			out.Pix[i] = uint8(int(out.Pix[i]) * int(a) / 255)
		}
	}
	return out
}

func (c *pngCanvas) unclip() {
	c.masks = c.masks[:len(c.masks)-1]
	c.useMask()
}

func (c *pngCanvas) useMask() {
	c.dc.ResetClip()
	if n := len(c.masks); n > 0 {
		if err := c.dc.SetMask(c.masks[n-1]); err != nil {
			panic("draw: " + err.Error()) // both have the size of the picture
		}
	}
}
