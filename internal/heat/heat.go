// Package heat is the heat of a voice coil: the coil gives its heat to the magnet
// and its iron, and they to the air around.
//
// The coil's node takes the power; its rise T and the magnet's M above the air
// around follow
//
//	Ctv·dT/dt = P − (T − M)/Rtv
//	Ctm·dM/dt = (T − M)/Rtv − M/Rtm
//
// the chain of two resistances and two capacities of Button 1992 (J. Audio Eng.
// Soc. 40, 32-41). What a cone's motion adds to the cooling is not in it.
package heat

import (
	"fmt"
	"math"
)

// Circuit is the chain: K/W and J/K.
type Circuit struct {
	Rtv, Ctv float64 // coil to magnet, coil
	Rtm, Ctm float64 // magnet to the air around, magnet
}

// What a thermal resistance and a heat capacity may be, K/W and J/K: anything
// from a pea to a boiler. Within them the two rates of a Circuit keep their digits.
const (
	MinResistance, MaxResistance = 1e-3, 100.0
	MinCapacity, MaxCapacity     = 1e-2, 1e6
)

// New is a circuit of values within those bounds.
func New(rtv, ctv, rtm, ctm float64) (Circuit, error) {
	for _, r := range []float64{rtv, rtm} {
		if !(r >= MinResistance && r <= MaxResistance) {
			return Circuit{}, fmt.Errorf("a thermal resistance of %g K/W is not between %g and %g K/W", r, MinResistance, MaxResistance)
		}
	}
	for _, c := range []float64{ctv, ctm} {
		if !(c >= MinCapacity && c <= MaxCapacity) {
			return Circuit{}, fmt.Errorf("a heat capacity of %g J/K is not between %g and %g J/K", c, MinCapacity, MaxCapacity)
		}
	}
	return Circuit{rtv, ctv, rtm, ctm}, nil
}

// The circuit that stands for a coil of which nothing is known but what it is
// rated for (from memory): ratings go by the resistance at rest, and at the
// permitted rise of 180 K a copper coil has 1 + 0.00393·180 = 1.7 times that, so
// that the same volts heat it with 1/1.7 of the rated power, here rounded down to a
// half; two thirds of the rise are between coil and magnet. A coil of 50 mm takes 20 s, its magnet half
// an hour, in proportion to the diameter.
const (
	PermittedRise = 180.0 // K
	becomesHeat   = 0.5
	coilShare     = 2.0 / 3
	usualCoil     = 0.050 // m
	coilTime      = 20.0  // s
	magnetTime    = 1800.0
)

// Default is the circuit of a coil that is rated for a power, W, and has a
// diameter, m; 0 stands for a diameter of 50 mm. The error says which of them, or
// what follows from them, cannot be.
func Default(rated, diameter float64) (Circuit, error) {
	if !(rated > 0) {
		return Circuit{}, fmt.Errorf("without a rated power nothing is known of a coil’s heat")
	}
	if !(diameter >= 0) {
		return Circuit{}, fmt.Errorf("a coil of a diameter of %g m cannot be", diameter)
	}
	if diameter == 0 {
		diameter = usualCoil
	}
	all := PermittedRise / (becomesHeat * rated)
	scale := diameter / usualCoil
	rtv, rtm := all*coilShare, all*(1-coilShare)
	return New(rtv, coilTime*scale/rtv, rtm, magnetTime*scale/rtm)
}

// rates are the two decay rates, 1/s, the faster first, and how much of the coil's
// and the magnet's share decays with each.
func (c Circuit) rates() (fast, slow float64) {
	a := 1/(c.Rtv*c.Ctv) + 1/(c.Rtv*c.Ctm) + 1/(c.Rtm*c.Ctm)
	b := 1 / (c.Rtv * c.Ctv * c.Rtm * c.Ctm)
	root := math.Sqrt(math.Max(0, a*a/4-b))
	fast = a/2 + root
	return fast, b / fast // the product of both is b: no difference of near numbers
}

// State is the rise of coil and magnet above the air around, K.
type State struct{ Coil, Magnet float64 }

// Steady is where a constant power, W, leads.
func (c Circuit) Steady(p float64) State { return State{p * (c.Rtv + c.Rtm), p * c.Rtm} }

// After is the state after t seconds of constant power, W: exact for any t.
func (c Circuit) After(s State, p, t float64) State {
	end := c.Steady(p)
	x, y := s.Coil-end.Coil, s.Magnet-end.Magnet // decays to nothing
	fast, slow := c.rates()
	ef, es := math.Exp(-fast*t), math.Exp(-slow*t)
	// exp(−A t) = es·I + (ef − es)/(fast − slow)·(A − slow·I), A = −d/dt
	k := (ef - es) / (fast - slow)
	a11, a12 := 1/(c.Rtv*c.Ctv), -1/(c.Rtv*c.Ctv)
	a21, a22 := -1/(c.Rtv*c.Ctm), 1/(c.Rtv*c.Ctm)+1/(c.Rtm*c.Ctm)
	return State{
		end.Coil + es*x + k*((a11-slow)*x+a12*y),
		end.Magnet + es*y + k*(a21*x+(a22-slow)*y),
	}
}

// Stored is the heat in coil and magnet, J.
func (c Circuit) Stored(s State) float64 { return c.Ctv*s.Coil + c.Ctm*s.Magnet }
