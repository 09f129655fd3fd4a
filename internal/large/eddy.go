package large

import "basswright/internal/enclosure"

// The coil model lr2 has an inductance L2 beside a resistance R2, in which eddy
// currents run. Where L2 changes with displacement, with i the current in the coil
// and i₂ that in L2,
//
//	dΦ₂/dt = R2·(i − i₂),  Φ₂ = L2(x)·i₂,  F₂ = ½·i₂²·dL2/dx         (4)
//
// What the port sees is the flux as a current, w = Φ₂/L2₀, so that i₂ and all that
// follows is a function of x and w alone. With the remainder φ = (L2(x) − L2₀)·i₂
// and h the answer of i₂ to i in the network at rest,
//
//	w = h·(i + φ/L2₀),   the coils get   e = d/dt (h·φ),   h = 1/(1 + s·τ),  τ = L2₀/R2
//
// which is (4) with its linear part taken off. So the port reads the coil's own
// linkage and gives it a flux, both behind h, and sees its own gift directly.

// eddyPort is what a port of that kind needs, in the network's scale.
type eddyPort struct {
	tau float64 // s
	l   float64 // H, L2 at rest
	of  int     // the coil's port
}

// quotient is the power that stands for the laws of i₂, which divide by L2(x).
const quotient = 10

func newEddyPort(m *enclosure.Motor, coil int) eddyPort {
	c := m.Driver.Coil
	return eddyPort{tau: c.L2 / c.R2, l: m.Voltage * m.Current * c.L2, of: coil}
}

// filter is h at s.
func (p eddyPort) filter(s complex128) complex128 { return 1 / (1 + s*complex(p.tau, 0)) }

// leastL2 is the share of its value at rest below which L2 is taken as a constant:
// no coil's falls so low, and the search for a steady state may pass through there.
const leastL2 = 0.02

// eddyAt is the remainder of L2 at displacement x, m towards the driver's front,
// and w, A; fluxI and forceI are by w.
func (l *motorLaw) eddyAt(x, w float64) (r remainder) {
	v, d, dd := l.l2.At(x)
	v, d, dd = l.perL2*v, l.perL2*d, l.perL2*dd
	if least := leastL2 * l.l20; v < least {
		v, d, dd = least, 0, 0
	}
	q := l.l20 / v
	i2 := q * w
	return remainder{
		flux: (l.l20 - l.l20*q) * w, fluxI: l.l20 - l.l20*q, fluxX: i2 * q * d,
		force: i2 * i2 * d / 2, forceI: i2 * q * d, forceX: i2 * i2 * (dd/2 - d*d/v),
	}
}

// eddyAt is that of a motor in the network's directions and scale.
func (m *motorPart) eddyAt(x, w float64) remainder {
	f := float64(m.Facing)
	g := f * m.Ratio
	return m.scaled(m.law.eddyAt(g*x, f*m.Current*w))
}

// eddies brings ports of that kind into a course: h by the trapezoidal rule, as
// everything in the network is.
type eddies struct {
	list []eddyState
	gain []float64 // of the network's own ports
	out  []float64 // what the network is given
}

type eddyState struct {
	port, of int
	l        float64
	a, b     float64 // y ← a·y + b·(u before + u now)
	w, flux  float64 // h·(i + φ/L2₀), h·φ
	u, given float64 // i + φ/L2₀, φ
	known    float64 // of h·φ at the end of the step, before what is given then
}

// newEddies turns the network's gains into those of the ports; nil where there is
// nothing to turn.
func (m *Model) newEddies(h float64, gain []float64) *eddies {
	p := len(m.ports)
	e := &eddies{gain: append([]float64(nil), gain...), out: make([]float64, p)}
	for k, q := range m.ports {
		if q.kind == eddy {
			e.list = append(e.list, eddyState{port: k, of: q.of, l: q.l, a: (2*q.tau - h) / (2*q.tau + h), b: h / (2*q.tau + h)})
		}
	}
	if e.list == nil {
		return nil
	}
	for i := range e.list { // behind h on the way in and out
		s := &e.list[i]
		for k := range p {
			gain[k*p+s.port] *= s.b
		}
		for k := range p {
			gain[s.port*p+k] *= s.b
		}
		gain[s.port*p+s.port] += s.b / s.l
	}
	return e
}

// predict makes of what the network would show what the ports would see.
func (e *eddies) predict(free []float64) {
	if e == nil {
		return
	}
	p := len(free)
	for i := range e.list {
		s := &e.list[i]
		s.known = s.a*s.flux + s.b*s.given
		for r := range p {
			free[r] += e.gain[r*p+s.port] * s.known
		}
	}
	for i := range e.list { // every linkage has its share of every known flux by now
		s := &e.list[i]
		free[s.port] = s.a*s.w + s.b*(s.u+free[s.port])
	}
}

// commit ends a step with what the ports give and saw, and says what the network
// is given.
func (e *eddies) commit(given, seen []float64) []float64 {
	if e == nil {
		return given
	}
	copy(e.out, given)
	for i := range e.list {
		s := &e.list[i]
		s.flux = s.known + s.b*given[s.port]
		s.w, s.u, s.given = seen[s.port], seen[s.of]+given[s.port]/s.l, given[s.port]
		e.out[s.port] = s.flux
	}
	return e.out
}

// adopt takes over another's state.
func (e *eddies) adopt(from *eddies) {
	if e == nil || from == nil {
		return
	}
	for i := range e.list {
		s, f := &e.list[i], &from.list[i]
		s.w, s.flux, s.u, s.given = f.w, f.flux, f.u, f.given
	}
}
