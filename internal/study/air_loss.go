package study

import (
	"math"
	"math/cmplx"

	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// A port's loss rises with the air's speed in it, so that the resistance that
// stands for it follows from the flow that it leaves. The network is linear but
// for that: what a pressure e in port k changes is the same at every level. It
// is read from the network itself, built once more with a known resistance R in
// that port, where e is −R·u:
//
//	u = u0 + Y·e,  p = p0 + T·e
//
// so that no formula of a box is needed, whatever stands around the ports.

// lossy is the system with a resistance more in one of its ports.
type lossy struct {
	sys  *enclosure.System
	sol  *network.Solver
	more float64 // Pa·s/m³
}

// enough is how closely the flow has to repeat itself, and settling how often it
// may be tried.
const (
	enough   = 1e-9
	settling = 200
)

// losses fills in what their own loss takes from the level: the most of it from
// where limits are held to an octave above each port's tuning.
func (m *meter) losses(out []PortAir) {
	list := m.vents()
	if len(list) > mostVents {
		return
	}
	var with []lossy
	top := 0.0
	for i := range list {
		top = max(top, 2*list[i].facts.Tuning)
		l, err := m.withLoss(&list[i])
		if err != nil || !list[i].known || list[i].facts.Tuning == 0 {
			return // a port for which no loss is known, or that is tuned with no air: none is told
		}
		with = append(with, l)
	}
	for i := range out {
		low, high := m.st.LimitsFrom(), 2*list[i].facts.Tuning
		if high > low {
			out[i].Loss = largest(low, high, func(f float64) float64 { return m.lossAt(f, list, with) })
		}
	}
}

// withLoss builds the system with a port that has a loss of its own: as large as
// its reactance at the tuning.
func (m *meter) withLoss(v *vent) (lossy, error) {
	spec := resolved(m.sys.Spec)
	c := spec.PortChamber(v.facts)
	w := 2 * math.Pi * c.Losses.At * v.facts.Mass // of a Q of 1
	had := 0.0
	if l := c.Losses.Port; l.State == enclosure.LossGiven {
		had = w / l.Q
	}
	more := 2 * math.Pi * v.facts.Tuning * v.facts.Mass
	c.Losses.Port = enclosure.Loss{State: enclosure.LossGiven, Q: w / (had + more)}
	sys, _, err := enclosure.Build(m.sys.Group, spec, m.sys.Setting)
	if err != nil {
		return lossy{}, err
	}
	return lossy{sys, sys.Program.NewSolver(), more}, nil
}

// lossAt is what the loss of all ports takes from the level at f at the most that
// is fed, dB; NaN where it is not found. The voltage is that of ports without it.
func (m *meter) lossAt(f float64, list []vent, with []lossy) float64 {
	volts, ok := m.most(f)
	if !ok {
		return math.NaN()
	}
	n := len(list)
	flow := func(sol *network.Solver, v *vent) complex128 { return sol.Flow(v.opening.Element) * complex(volts, 0) }
	var u0, t, r [mostVents]complex128
	var y [mostVents][mostVents]complex128
	p0 := m.sys.Pressure(m.sol) * complex(volts, 0)
	for i := range list {
		u0[i] = flow(m.sol, &list[i])
	}
	for k := range with {
		if err := with[k].sol.Solve(2 * math.Pi * f); err != nil {
			return math.NaN()
		}
		e := complex(with[k].more, 0) * flow(with[k].sol, &list[k])
		if e == 0 {
			return math.NaN() // no air moves there, as where cones cancel each other: nothing is lost, and nothing to read
		}
		for i := range list {
			y[i][k] = (u0[i] - flow(with[k].sol, &list[i])) / e
		}
		t[k] = (p0 - with[k].sys.Pressure(with[k].sol)*complex(volts, 0)) / e
	}
	u := u0
	for range settling {
		for i := range list {
			if !finite(cmplx.Abs(u[i])) {
				return math.NaN()
			}
			alike := float64(max(list[i].facts.Port.Count, 1)) // side by side: each has its part of the flow
			r[i] = complex(list[i].flow.Resistance(f, math.Sqrt2*cmplx.Abs(u[i])/alike)/alike, 0)
		}
		next := settled(u0, y, r, n)
		far := 0.0
		for i := range list {
			a, b := cmplx.Abs(u[i]), cmplx.Abs(next[i])
			far = max(far, math.Abs(a-b)/max(a, 1e-30))
			next[i] *= complex(math.Sqrt(a/max(b, 1e-30)), 0) // the mean on a log scale: where much is lost, it goes with the inverse
		}
		u = next
		if far < enough {
			p := p0
			for k := range list {
				p -= t[k] * r[k] * u[k]
			}
			return 20 * math.Log10(cmplx.Abs(p0)/cmplx.Abs(p))
		}
	}
	return math.NaN()
}

// mostVents is how many openings of known size a box may have for their losses to be
// told: two of a named kind, and of a network as many as anyone would build.
const mostVents = 6

// settled solves (1 + Y·R)·u = u0.
func settled(u0 [mostVents]complex128, y [mostVents][mostVents]complex128, r [mostVents]complex128, n int) [mostVents]complex128 {
	a, d := 1+y[0][0]*r[0], 1+y[1][1]*r[1]
	if n == 1 {
		return [mostVents]complex128{u0[0] / a}
	}
	if n > 2 {
		return eliminated(u0, y, r, n)
	}
	b, c := y[0][1]*r[1], y[1][0]*r[0]
	det := a*d - b*c
	return [mostVents]complex128{(d*u0[0] - b*u0[1]) / det, (a*u0[1] - c*u0[0]) / det}
}

// eliminated is settled for more than two ports: a passive network with resistances
// more, whose diagonal needs no exchange of rows but for the sake of rounding.
func eliminated(u [mostVents]complex128, y [mostVents][mostVents]complex128, r [mostVents]complex128, n int) [mostVents]complex128 {
	for i := range n {
		for k := range n {
			y[i][k] *= r[k]
		}
		y[i][i]++
	}
	for k := range n {
		most := k
		for i := k + 1; i < n; i++ {
			if cmplx.Abs(y[i][k]) > cmplx.Abs(y[most][k]) {
				most = i
			}
		}
		y[k], y[most], u[k], u[most] = y[most], y[k], u[most], u[k]
		for i := k + 1; i < n; i++ {
			f := y[i][k] / y[k][k]
			for j := k; j < n; j++ {
				y[i][j] -= f * y[k][j]
			}
			u[i] -= f * u[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for j := k + 1; j < n; j++ {
			u[k] -= y[k][j] * u[j]
		}
		u[k] /= y[k][k]
	}
	return u
}

// lossWords tells a port's loss.
func lossWords(a *PortAir, st *Study) string {
	switch {
	case !a.Loss.Value.OK():
		return ""
	case a.Loss.Value < 0.05:
		return "its own loss costs next to nothing"
	}
	s := "its own loss costs up to " + phys.Show(float64(a.Loss.Value), phys.Level, st.Units) + " of the level, at " + phys.Show(float64(a.Loss.At), phys.Frequency, st.Units)
	if !a.Trusted {
		s += " (beyond 0.3 of the speed of sound no loss is known: it is more)"
	}
	return s
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
