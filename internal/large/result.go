package large

import (
	"math"
	"math/cmplx"
)

// Lines is a quantity's steady state: its mean, and the phasor of each harmonic
// from the first, peak, with the time factor exp(jnωt) for a drive √2·V·sin(ωt).
type Lines struct {
	Mean float64
	Of   []complex128
}

// Extremes are the largest and the smallest value over a period.
func (l Lines) Extremes() (most, least float64) {
	points := 8*len(l.Of) + 2
	step := 2 * math.Pi / float64(points)
	round, wave := make([][2]float64, points), make([]float64, points)
	for k := range round {
		round[k][0], round[k][1] = math.Sincos(float64(k) * step)
	}
	for k := range wave {
		wave[k] = l.Mean
		for n, y := range l.Of {
			at := &round[(n+1)*k%points]
			wave[k] += real(y)*at[1] - imag(y)*at[0]
		}
	}
	top, bottom := 0, 0
	for k, v := range wave {
		if v > wave[top] {
			top = k
		}
		if v < wave[bottom] {
			bottom = k
		}
	}
	return l.extreme(float64(top)*step, step), l.extreme(float64(bottom)*step, step)
}

// extreme is the value at the turning point near an angle, within a step.
func (l Lines) extreme(near, step float64) float64 {
	at := near
	for range 6 { // Newton's method on the slope, which is smooth over a step
		_, d, dd := l.at(at)
		if dd == 0 {
			break
		}
		at = near + max(-step, min(step, at-d/dd-near))
	}
	v, _, _ := l.at(at)
	return v
}

// at is the value at an angle of the fundamental, and its derivatives by the
// angle.
func (l Lines) at(angle float64) (v, d, dd float64) {
	v = l.Mean
	for n, y := range l.Of {
		k := float64(n + 1)
		sin, cos := math.Sincos(k * angle)
		re, im := real(y)*cos-imag(y)*sin, real(y)*sin+imag(y)*cos
		v += re
		d -= k * im
		dd -= k * k * re
	}
	return v, d, dd
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

// PressurePerVolt is what small signals promise of the fundamental: its peak at
// the listening distance for 1 V rms, Pa.
func (t *Tone) PressurePerVolt() float64 {
	ports := len(t.m.ports)
	u := t.net.out[1][ports] * phasor(1)
	return cmplx.Abs(u) * t.m.Sys.Setting.PressurePerFlow(2*math.Pi*t.f)
}
