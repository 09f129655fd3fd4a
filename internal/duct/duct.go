package duct

import (
	"math"
	"math/cmplx"
	"slices"

	"basswright/internal/phys"
)

// Section is the form of the cross-section, which the loss at the walls depends
// on: round, of one width all along, or a rectangle that keeps its form. A duct
// that is not round has the loss of a round one with its hydraulic radius, twice
// the area over the circumference: right where the walls’ layers are thin.
type Section struct {
	Width  float64 // m, the same all along; 0: not so
	Aspect float64 // the wider side over the narrower, the same all along; 0: not so
}

// hydraulic is the radius, m, for an area.
func (s Section) hydraulic(area float64) float64 {
	switch {
	case s.Width > 0:
		return area / (s.Width + area/s.Width)
	case s.Aspect > 0:
		h := math.Sqrt(area / s.Aspect)
		return area / (h + h*s.Aspect)
	}
	return math.Sqrt(area / math.Pi)
}

// Filling is fill from one place to another, m from the start.
type Filling struct {
	From, To float64
	Fill     Fill
}

// Making is what a duct is made of besides its shape.
type Making struct {
	Gas     Gas
	Walls   bool // with the loss at the walls
	Section Section
	Fills   []Filling // where there is fill, that of the walls does not count
	// Steps gives each jump of the area, between round ducts, the mass of the air
	// that flows together there: see StepEnd.
	Steps bool
	// Top is the highest frequency, Hz, up to which the number of segments is
	// judged; 0: 1 kHz.
	Top float64
}

// Duct is a two-port that is ready to be asked at one frequency after another. It
// does not change and may be shared.
type Duct struct {
	gas      Gas
	modulus  float64
	airs     []air
	segments []segment
	yield    float64 // C/(ρ0·c) of both ends: what B is large or small against
	estimate float64
}

// air is one of the kinds of air in a duct.
type air struct {
	wall wall
	fill *Fill // nil: none
	free bool  // air without any loss
}

func (d *Duct) at(a *air, w, rootW float64) (rho, k complex128) {
	switch {
	case a.free:
		return complex(d.gas.Rho, 0), complex(d.modulus, 0)
	case a.fill != nil:
		return a.fill.At(d.gas, w)
	}
	return a.wall.at(&d.gas, d.modulus, rootW)
}

// Segments is how many the duct was cut into.
func (d *Duct) Segments() int { return len(d.segments) }

// Estimate is the sum of the estimated errors of its segments, relative to its
// two-port; 0 where the model is exact.
func (d *Duct) Estimate() float64 { return d.estimate }

// Chain is the duct’s two-port at w > 0, in rad/s.
func (d *Duct) Chain(w float64) Chain {
	m := Chain{A: 1, D: 1}
	var t Chain
	rootW := math.Sqrt(w)
	last := int32(-1)
	var rho, k complex128
	for i := range d.segments {
		g := &d.segments[i]
		if g.air != last {
			last = g.air
			rho, k = d.at(&d.airs[last], w, rootW)
		}
		g.chain(w, rho, k, &d.gas, &t)
		if i == 0 {
			m = t
		} else {
			m.times(&t)
		}
		if large(m.A) || large(m.C) || large(m.B) || large(m.D) {
			m.rescale()
		}
	}
	return m
}

// large tells that a product of chains nears the end of what a number holds.
func large(z complex128) bool { return math.Abs(real(z)) > 1e100 || math.Abs(imag(z)) > 1e100 }

func (m *Chain) rescale() {
	by := 1 / max(cmplx.Abs(m.A), cmplx.Abs(m.B), cmplx.Abs(m.C), cmplx.Abs(m.D))
	m.A, m.B, m.C, m.D = scale(m.A, by), scale(m.B, by), scale(m.C, by), scale(m.D, by)
	m.Log -= math.Log(by)
}

// Where a duct without loss is half a wave long, no admittance describes it. As
// near as blind to that, relative to what it is elsewhere, At answers for a
// frequency that is higher by nudge: a shift that nothing can show, and near enough
// to lose no more than half of the digits.
const (
	blind = 1e-7
	nudge = 3e-7
)

// At is the duct as a network.TwoPortLaw: the flows into it are y11·p1 + y12·p2 at
// its start and y12·p1 + y22·p2 at its end.
func (d *Duct) At(w float64) (y11, y12, y22 complex128) {
	m := d.Chain(w)
	if size(m.B)*d.yield < blind*(size(m.A)+size(m.D)) {
		m = d.Chain(w * (1 + nudge))
	}
	y := over(1, m.B)
	y12 = -y
	if m.Log != 0 {
		y12 = scale(y12, math.Exp(-m.Log))
	}
	return m.D * y, y12, m.A * y
}

func size(z complex128) float64 { return math.Abs(real(z)) + math.Abs(imag(z)) }

// New makes a duct of a shape.
func New(s Shape, m Making) (*Duct, error) {
	if len(s.stretches) == 0 {
		return nil, fault("length", "give the duct a length", "a duct without length")
	}
	if !(m.Section.Width >= 0 && m.Section.Aspect >= 0) {
		return nil, fault("section", "give a width or an aspect above 0, or neither for a round duct", "a cross-section without width")
	}
	fills, err := m.fillings(s.Length())
	if err != nil {
		return nil, err
	}
	top := m.Top
	if top == 0 {
		top = 1000
	}
	c := cutter{making: m, total: s.Length(), top: 2 * math.Pi * top}
	c.duct = &Duct{gas: m.Gas, modulus: m.Gas.modulus()}
	for i, f := range fills {
		if i == 0 && f.From > 0 {
			c.part(s.Between(0, f.From), nil)
		}
		c.part(s.Between(f.From, f.To), &f.Fill)
		next := c.total
		if i+1 < len(fills) {
			next = fills[i+1].From
		}
		if next > f.To {
			c.part(s.Between(f.To, next), nil)
		}
	}
	if len(fills) == 0 {
		c.part(s, nil)
	}
	c.duct.yield = math.Sqrt(s.Area(0)*s.Area(c.total)) / (m.Gas.Rho * m.Gas.C)
	return c.duct, nil
}

// fillings puts the fills in order and checks them. A To of 0 is the duct’s end.
func (m Making) fillings(length float64) ([]Filling, error) {
	fills := slices.Clone(m.Fills)
	slices.SortStableFunc(fills, func(a, b Filling) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	for i := range fills {
		f := &fills[i]
		if f.To > 0 && f.To < f.From { // whatever the duct’s length, which may be looked for with it
			return nil, fault("fill", "let it end behind where it begins", "fill from %s m to %s m runs backwards", phys.Digits(f.From, 3), phys.Digits(f.To, 3))
		}
		if f.To == 0 {
			f.To = length
		}
		// An end that is meant to be the duct’s own may be off by a rounding.
		if f.To > length && f.To < length*(1+1e-9) {
			f.To = length
		}
		switch {
		case !(f.From >= 0 && f.To <= length && f.To-f.From >= 1e-9*length):
			return nil, fault("fill", "fill a part of the duct, from 0 to its length", "fill from %s m to %s m in a duct of %s m", phys.Digits(f.From, 3), phys.Digits(f.To, 3), phys.Digits(length, 3))
		case i > 0 && f.From < fills[i-1].To:
			return nil, fault("fill", "let one fill begin where another ends", "two fills at %s m", phys.Digits(f.From, 3))
		case !(f.Fill.Resistivity >= LeastResistivity && f.Fill.Resistivity <= MostResistivity):
			return nil, fault("resistivity", "give a resistivity from 1 Pa·s/m² to 1 000 000 Pa·s/m²", "fill of %s Pa·s/m²", phys.Digits(f.Fill.Resistivity, 3))
		case !(f.Fill.Density >= 0 && f.Fill.Density <= 1000):
			return nil, fault("fill", "give a packing density up to 1000 kg/m³", "fill of %s kg/m³", phys.Digits(f.Fill.Density, 3))
		}
	}
	return fills, nil
}
