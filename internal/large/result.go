package large

import "math"

// Lines is a quantity's steady state: its mean, and the phasor of each harmonic
// from the first, peak, with the time factor exp(jnωt) for a drive √2·V·sin(ωt).
type Lines struct {
	Mean float64
	Of   []complex128
}

// Wave is the course over one period at the given number of points.
func (l Lines) Wave(points int) []float64 {
	g := newGrid(len(l.Of), (points+len(l.Of)-1)/len(l.Of))
	y := make([]float64, len(g.waves))
	y[0] = l.Mean
	for n, v := range l.Of {
		y[2*n+1], y[2*n+2] = real(v), imag(v)
	}
	out := make([]float64, g.n)
	g.inTime(y, out)
	return out
}

// read gives output k of the last steady state.
func (t *Tone) read(k int) Lines {
	ports, w := len(t.m.ports), len(t.grid.waves)
	l := Lines{Of: make([]complex128, t.grid.h)}
	for n := range t.grid.h + 1 {
		row := t.net.out[n][k*(ports+1) : (k+1)*(ports+1)]
		var v complex128
		for q := range ports {
			if n == 0 {
				v += row[q] * complex(t.source[q*w], 0)
				continue
			}
			v += row[q] * complex(t.source[q*w+2*n-1], t.source[q*w+2*n])
		}
		switch n {
		case 0:
			l.Mean = real(v)
			continue
		case 1:
			v += row[ports] * phasor(t.volts)
		}
		l.Of[n-1] = v
	}
	return l
}

// Pressure is the far-field sound pressure at the listening distance, Pa,
// without the flight. It has no mean.
func (t *Tone) Pressure() Lines {
	l := t.read(0)
	l.Mean = 0
	for n := range l.Of {
		w := 2 * math.Pi * t.f * float64(n+1)
		l.Of[n] *= complex(0, t.m.Sys.Setting.PressurePerFlow(w))
	}
	return l
}

// Current is the current into the group, A.
func (t *Tone) Current() Lines { return t.read(1) }

// Cone is the displacement of cone k of the system, m towards the listener; the
// radiators follow the drivers.
func (t *Tone) Cone(k int) Lines { return t.read(2 + k) }

// Opening is the volume velocity through opening k, m³/s.
func (t *Tone) Opening(k int) Lines {
	return t.read(2 + len(t.m.Sys.Cones) + len(t.m.Sys.Radiators) + k)
}

// Chamber is the pressure in chamber k, Pa.
func (t *Tone) Chamber(k int) Lines {
	return t.read(2 + len(t.m.Sys.Cones) + len(t.m.Sys.Radiators) + len(t.m.Sys.Openings) + k)
}

// Coil is the current in coil k, A.
func (t *Tone) Coil(k int) Lines {
	s := t.m.Sys
	return t.read(2 + len(s.Cones) + len(s.Radiators) + len(s.Openings) + len(s.Chambers) + k)
}

// Harmonics is how many harmonics are followed.
func (t *Tone) Harmonics() int { return t.grid.h }
