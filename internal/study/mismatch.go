package study

import (
	"fmt"
	"math"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/phys"
)

// Mismatch is what two samples of one driver differ by where a mirrored stack is
// told with unlike ones: the inner against the outer.
type Mismatch struct {
	Bl     float64 // by how much its force factor is less, as a share
	Kms    float64 // by how much its suspension is stiffer, as a share
	Offset float64 // m, by which its coil rests further towards its own front
}

// UsualMismatch is what is taken where a study does not say (common practice, no
// source).
func UsualMismatch() Mismatch { return Mismatch{Bl: 0.05, Kms: 0.10} }

// mismatch is the study's, or the usual one.
func (st *Study) mismatch() Mismatch {
	if m := st.Model.Mismatch; m != nil {
		return *m
	}
	return UsualMismatch()
}

// Words say what the samples differ by: "the inner driver’s force factor 5 % less,
// its suspension 10 % stiffer".
func (m Mismatch) Words(u phys.System) string {
	var out []string
	add := func(v float64, what, more, less string, k phys.Kind) {
		switch {
		case v > 0:
			out = append(out, what+" "+phys.Brief(v, k, u)+" "+more)
		case v < 0:
			out = append(out, what+" "+phys.Brief(-v, k, u)+" "+less)
		}
	}
	add(m.Bl, "force factor", "less", "more", phys.Ratio)
	add(m.Kms, "suspension", "stiffer", "softer", phys.Ratio)
	add(m.Offset, "coil at rest", "further to its front", "further to its rear", phys.Length)
	if len(out) == 0 {
		return "no difference"
	}
	for i := range out {
		if i > 0 {
			out[i] = "its " + out[i]
		}
	}
	return "the inner driver’s " + list(out, "and")
}

// twin is a driver that differs so from d. A coil that rests elsewhere runs through
// the same curves of its motor from another place, and has at rest what they are
// there; the suspension does not know of it.
func (m Mismatch) twin(d *driver.Driver) (*driver.Driver, error) {
	twin := *d
	twin.Bl *= 1 - m.Bl
	twin.Cms /= 1 + m.Kms
	if m.Offset == 0 || d.Curves == nil {
		return &twin, nil
	}
	curves := *d.Curves
	var bad error
	shift := func(c **curve.Curve, name string, rest *float64) {
		if *c == nil {
			return
		}
		was, _, _ := (*c).At(0)
		now, _, _ := (*c).At(m.Offset)
		if !(now > 0) {
			bad = fmt.Errorf("model.mismatch.offset of %s takes the coil of %s to where its curve of %s is no longer above zero; write less",
				phys.Brief(math.Abs(m.Offset), phys.Length, phys.Metric), d.Name, name)
			return
		}
		*rest *= now / was
		*c = (*c).Shifted(m.Offset)
	}
	shift(&curves.Bl, "bl", &twin.Bl)
	shift(&curves.Le, "le", &twin.Coil.Le)
	shift(&curves.L2, "l2", &twin.Coil.L2)
	twin.Curves = &curves
	return &twin, bad
}

// unlike is the group with every second driver of a stack off by the mismatch.
func (m Mismatch) unlike(g *driver.Group) (*driver.Group, error) {
	out := *g
	out.Unlike = true
	out.Positions = make([][]driver.Member, len(g.Positions))
	twin, err := m.twin(g.Positions[0][0].Driver)
	if err != nil {
		return nil, err
	}
	for p, stack := range g.Positions {
		for k, mem := range stack {
			if k%2 == 1 {
				mem.Driver = twin
			}
			out.Positions[p] = append(out.Positions[p], mem)
		}
	}
	return &out, nil
}
