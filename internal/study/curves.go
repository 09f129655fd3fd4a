package study

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"

	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// reference is the pressure of 0 dB, Pa.
const referencePressure = 20e-6

// delayStep is the relative step of ω over which the phase is differentiated:
// the truncation is of its square, the rounding of its inverse.
const delayStep = 1e-4

// Frequencies is the grid of a curve: points spaced evenly on a log scale.
func Frequencies(from, to float64, points int) []float64 {
	f := make([]float64, points)
	for k := range f {
		switch {
		case k == 0:
			f[k] = from
		case k == points-1:
			f[k] = to
		default:
			f[k] = from * math.Pow(to/from, float64(k)/float64(points-1))
		}
	}
	return f
}

// curves computes all curves of a candidate at the given frequencies, Hz, and the greatest
// output along them, nil where no bound is known.
func (m *meter) curves(ctx context.Context, along []float64) (*Curves, *Greatest, error) {
	c := newCurves(m.sys, along, m.st.InPlace())
	most := m.envelope(c.Frequency, false)
	for k, f := range c.Frequency {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if !m.around(f) {
			return nil, nil, m.err
		}
		most.read(k)
		m.feed.point(c, m.sys, k, m.trio)
	}
	return c, most.greatest(), nil
}

// CurvesAt computes all curves at the given frequencies, which must be positive.
func (st *Study) CurvesAt(ctx context.Context, sys *enclosure.System, f []float64, workers int) (*Curves, error) {
	for _, v := range f {
		if !(v >= LowestFrequency && v <= HighestFrequency) {
			return nil, fmt.Errorf("%g\u2009Hz lies outside the range that can be computed, %g\u2009Hz to %g\u2009Hz", v, LowestFrequency, HighestFrequency)
		}
	}
	c := newCurves(sys, f, st.InPlace())
	drive := st.feed(sys)
	err := sys.Program.Share(ctx, len(f), workers, func(k int, s *network.Solver) error {
		trio := s.Trio()
		if err := trio.Solve(aside(2 * math.Pi * f[k])); err != nil {
			return err
		}
		drive.point(c, sys, k, trio)
		return nil
	})
	return c, err
}

func newCurves(sys *enclosure.System, f []float64, inPlace bool) *Curves {
	n := len(f)
	// one block of memory for all curves
	count := 9 + len(sys.Cones) + len(sys.Radiators) + 2*len(sys.Openings) + len(sys.Chambers) + len(sys.Coils)
	pool := make([]float64, n*count)
	next := func() []float64 {
		v := pool[:n:n]
		pool = pool[n:]
		return v
	}
	c := &Curves{
		Frequency: f, Voltage: next(), SPL: next(), Phase: next(), GroupDelay: next(),
		Impedance: next(), ImpedancePhase: next(), ExcursionMax: next(), SpeedMax: next(),
	}
	if inPlace {
		c.Plain = next()
	}
	for _, p := range sys.Cones {
		c.Excursion = append(c.Excursion, Trace{p.Name, next()})
	}
	for _, p := range sys.Radiators {
		c.Excursion = append(c.Excursion, Trace{p.Name, next()})
	}
	for _, p := range sys.Openings {
		c.Speed = append(c.Speed, Trace{p.Name, next()})
		c.VolumeVelocity = append(c.VolumeVelocity, Trace{p.Name, next()})
	}
	for _, p := range sys.Chambers {
		c.Pressure = append(c.Pressure, Trace{p.Name, next()})
	}
	for _, p := range sys.Coils {
		c.Power = append(c.Power, Trace{p.Name, next()})
	}
	return c
}

// point fills in point k of every curve, where the first of a trio stands and the others
// aside of it.
func (f feed) point(c *Curves, sys *enclosure.System, k int, trio network.Trio) {
	s := trio[0]
	w := s.Omega()
	z := sys.Impedance(s)
	e := f.voltage(sys, s)
	p := sys.Pressure(s)
	c.Voltage[k] = e
	h := f.place.Transfer(c.Frequency[k])
	c.SPL[k] = level(phys.Abs(p*h) * e)
	if c.Plain != nil {
		c.Plain[k] = level(phys.Abs(p) * e)
	}
	c.Phase[k] = degrees(cmplx.Phase(p*h*f.gain(w)) - w*sys.Flight())
	c.Impedance[k], c.ImpedancePhase[k] = phys.Abs(z), degrees(cmplx.Phase(z))
	most := 0.0
	for i := range sys.Cones {
		x := sys.Excursion(s, &sys.Cones[i]) * e
		c.Excursion[i].Y[k] = x
		most = max(most, x)
	}
	c.ExcursionMax[k] = most
	for i := range sys.Radiators {
		c.Excursion[len(sys.Cones)+i].Y[k] = sys.Excursion(s, &sys.Radiators[i]) * e
	}
	c.SpeedMax[k] = math.NaN()
	for i := range sys.Openings {
		o := &sys.Openings[i]
		u := sys.OpeningFlow(s, o) * e
		c.VolumeVelocity[i].Y[k] = u
		speed := math.NaN()
		if o.Area > 0 {
			speed = u / o.Area
			if !(c.SpeedMax[k] > speed) {
				c.SpeedMax[k] = speed
			}
		}
		c.Speed[i].Y[k] = speed
	}
	for i := range sys.Chambers {
		c.Pressure[i].Y[k] = sys.ChamberPressure(s, &sys.Chambers[i]) * e
	}
	for i := range sys.Coils {
		c.Power[i].Y[k] = sys.CoilPower(s, &sys.Coils[i]) * e * e
	}
	c.GroupDelay[k] = groupDelay(sys, trio) + f.late(w)
}

// aside are a frequency and the two beside it that a delay is read from, rad/s.
func aside(w float64) [3]float64 { return [3]float64{w, w + w*delayStep, w - w*delayStep} }

// groupDelay is −dφ/dω of the pressure without the flight: −Im(p'/p) with a central
// difference, so that no phase has to be unwrapped. The three stand aside of each other.
func groupDelay(sys *enclosure.System, trio network.Trio) float64 {
	p := sys.Pressure(trio[0])
	if p == 0 {
		return math.NaN()
	}
	h := trio[0].Omega() * delayStep
	return -imag((sys.Pressure(trio[1])-sys.Pressure(trio[2]))/p) / (2 * h)
}

func level(pressure float64) float64 { return 20 * math.Log10(pressure/referencePressure) }

// degrees brings an angle in rad to (−180, 180].
func degrees(rad float64) float64 {
	d := math.Mod(rad*180/math.Pi, 360)
	switch {
	case d > 180:
		d -= 360
	case d <= -180:
		d += 360
	}
	return d
}
