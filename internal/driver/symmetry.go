package driver

import (
	"math"

	"basswright/internal/curve"
)

// Asymmetry is by how much a parameter of a driver differs between in and out.
type Asymmetry struct {
	Name  string  // "stiffness"
	Share float64 // |c(x) − c(−x)| over the mean of both, the most of it
	At    float64 // m, x there
}

// asymmetrySteps is how many displacements are looked at on the way out: a curve
// that a sheet prints has far fewer bends.
const asymmetrySteps = 200

// Asymmetry is that of the parameter that differs most between in and out within a
// displacement, m, and how far its curves tell of both sides, m: no further is
// looked. A driver without curves is symmetrical.
func (d *Driver) Asymmetry(upTo float64) (most Asymmetry, known float64) {
	c := d.Curves
	if c == nil || !(upTo > 0) {
		return Asymmetry{}, upTo
	}
	known = upTo
	list := []struct {
		name string
		of   *curve.Curve
	}{{"force factor", c.Bl}, {"stiffness", c.Kms}, {"inductance", c.Le}, {"inductance of the eddy currents", c.L2}}
	for _, p := range list {
		if p.of != nil {
			known = p.of.Reach(known)
		}
	}
	for _, p := range list {
		if p.of == nil {
			continue
		}
		for k := 1; k <= asymmetrySteps; k++ {
			x := known * float64(k) / asymmetrySteps
			out, _, _ := p.of.At(x)
			in, _, _ := p.of.At(-x)
			if s := math.Abs(out-in) / ((math.Abs(out) + math.Abs(in)) / 2); s > most.Share {
				most = Asymmetry{p.name, s, x}
			}
		}
	}
	return most, known
}
