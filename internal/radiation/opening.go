package radiation

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// End is what stands around an opening, and how the air in it moves.
type End uint8

// The ends.
const (
	Piston  End = iota // moves as one, in a baffle: a horn’s mouth
	Flanged            // a pipe in an infinite flange
	Free               // a pipe without a flange, in free space
)

// String names the end.
func (e End) String() string { return [...]string{"piston", "flanged pipe", "free pipe"}[e] }

// Opening is where a duct meets the outside: round, or a rectangle.
type Opening struct {
	End           End
	Area          float64 // m², of a round one
	Width, Height float64 // m, of a rectangle
	// Images is 2π over the solid angle that the opening radiates into: the images of
	// a small opening in other walls. 0 counts as 1. It multiplies the resistance.
	Images float64
}

// Load is the acoustic impedance of an opening, Pa·s/m³: a network.Law. It does not
// change and may be shared.
type Load struct {
	end       End
	c         float64
	radius    float64    // m; of a rectangle, that of the circle of its area
	rectangle *Rectangle // nil: round
	resist    float64    // ρc/S·Images
	react     float64    // ρc/S times what the load’s form adds
}

// Error is an opening that no load is known for.
type Error struct{ Reason, Mend string }

// Error puts both into one line.
func (e *Error) Error() string { return e.Reason + "; " + e.Mend }

// New prepares the load of an opening in air of a speed of sound c and density rho.
//
// A rectangle in a baffle is exact as a piston; as a flanged pipe its reactance is
// less by 0.8217 over 8/(3π), the share of round ones. No published load of a
// rectangular pipe without a flange was at hand: it is that of the round one of its
// area, with the reactance in the proportion of the two end corrections of package
// phys.
func New(o Opening, c, rho float64) (*Load, error) {
	rectangular := o.Width != 0 || o.Height != 0
	area := o.Area
	if rectangular {
		area = o.Width * o.Height
	}
	switch {
	case !(area >= 1e-8 && area <= 1e4) || rectangular && !(o.Width > 0 && o.Height > 0):
		return nil, &Error{fmt.Sprintf("an opening with an area of %s m²", phys.Digits(area, 3)), "give one from 0.01 mm² to 10 000 m²"}
	case rectangular && max(o.Width/o.Height, o.Height/o.Width) > 1000:
		return nil, &Error{"an opening more than a thousand times as wide as high", "make it less of a crack"}
	case !(o.Images >= 0 && o.Images <= 64):
		return nil, &Error{"an opening into no space", "let it radiate into an eighth of the space or more"}
	}
	l := &Load{end: o.End, c: c, radius: math.Sqrt(area / math.Pi)}
	l.react = rho * c / area
	l.resist = l.react
	if o.Images > 0 {
		l.resist *= o.Images
	}
	if !rectangular {
		return l, nil
	}
	switch o.End {
	case Free:
		l.react *= phys.RectangularEndFree(o.Width, o.Height) / (phys.EndFree * l.radius)
	case Flanged:
		l.react *= phys.EndFlanged * 3 * math.Pi / 8
		fallthrough
	default:
		l.rectangle = NewRectangle(o.Width, o.Height)
	}
	return l, nil
}

// Most is the frequency, Hz, up to which the load was made; 0: there is no end to it.
func (l *Load) Most() float64 {
	var ka float64
	switch l.end {
	case Flanged:
		ka = flangedMost
	case Free:
		ka = freeEnd
	}
	return ka * l.c / (2 * math.Pi * l.radius)
}

// At is the load at w, in rad/s.
func (l *Load) At(w float64) complex128 {
	k := w / l.c
	var z complex128
	switch {
	case l.rectangle != nil:
		z = l.rectangle.Load(k)
	case l.end == Flanged:
		z = FlangedPipe(k * l.radius)
	case l.end == Free:
		z = FreePipe(k * l.radius)
	default:
		z = phys.PistonLoad(k * l.radius)
	}
	return complex(l.resist*real(z), l.react*imag(z))
}

// flangedMost is the ka up to which the fit of FlangedPipe was made.
const flangedMost = 3.0

// Radius of the opening, m; of a rectangle, that of the circle of its area.
func (l *Load) Radius() float64 { return l.radius }

// Pair is two openings that hear each other, as a network.TwoPortLaw between the two
// places behind them: the inverse of their impedances.
type Pair struct {
	One, Two *Load
	Between  *Mutual
}

// At is the admittance of both at w, in rad/s.
func (p *Pair) At(w float64) (y11, y12, y22 complex128) {
	a, b, m := p.One.At(w), p.Two.At(w), p.Between.At(w)
	d := 1 / (a*b - m*m)
	return b * d, -m * d, a * d
}
