package place

import (
	"fmt"
	"math"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// A Cone is what its sag depends on. A stack, a group, sags as its single driver
// does: its mass and its stiffness grow alike.
type Cone struct {
	Mms  float64 // kg, with the air load of both faces
	Cms  float64 // m/N
	Sd   float64 // m²
	Xmax float64 // m, one-way
}

// Sag is how far a cone hangs out of its gap's middle when its axis is upright.
type Sag struct {
	Weight   float64 // N, of what moves, without the air that moves with it
	Distance float64 // m
	Share    float64 // of xmax
	cone     Cone
}

// standardGravity is in m/s² (third CGPM, 1901).
const standardGravity = 9.80665

// MostSag is the share of xmax from which a sag is worth telling. It is common
// practice, no source: a shift of a twentieth takes as much off one side of the
// excursion.
const MostSag = 0.05

// NewSag is the sag of a cone that faces up or down, in air:
//
//	x = (Mms − (8/3)ρa³)·g·Cms
//
// The air load of both faces of a piston of radius a, (8/3)ρa³, is inside Mms
// and weighs nothing (its own air bears it). The Cms of a datasheet is that of
// its resonance: a suspension that creeps lets the cone down further in days and
// years, so that this is the least. The error is an *Error for a value that is
// not above 0 or is beyond any loudspeaker’s, and for a mass that is less than its air load.
func NewSag(cone Cone, air phys.Air) (Sag, error) {
	if !(air.Rho > 0) {
		panic("place: the air has no density")
	}
	for _, r := range []struct {
		about, what string
		v, low      float64
		high        float64
		unit        string
	}{
		{"mms", "a moving mass", cone.Mms, 1e-6, 100, "kg"},
		{"cms", "a compliance", cone.Cms, 1e-7, 1, "m/N"},
		{"sd", "an area", cone.Sd, 1e-6, 10, "m²"},
		{"xmax", "an excursion", cone.Xmax, 1e-6, 1, "m"},
	} {
		if err := inRange(r.about, r.what, r.v, r.low, r.high, r.unit); err != nil {
			return Sag{}, err
		}
	}
	a := math.Sqrt(cone.Sd / math.Pi)
	load := 8.0 / 3 * air.Rho * a * a * a
	if load >= cone.Mms {
		return Sag{}, &Error{
			About: "mms",
			Reason: fmt.Sprintf("the air load of a cone of %s alone is %s, and the moving mass is %s",
				phys.Show(cone.Sd, phys.Area, phys.Metric), phys.Show(load, phys.Mass, phys.Metric), phys.Show(cone.Mms, phys.Mass, phys.Metric)),
			Mend: "check mms and sd",
		}
	}
	s := Sag{Weight: (cone.Mms - load) * standardGravity, cone: cone}
	s.Distance = s.Weight * cone.Cms
	s.Share = s.Distance / cone.Xmax
	return s, nil
}

// Findings warns of a sag of more than 5 % of xmax.
func (s Sag) Findings(where string) []note.Finding {
	if !(s.Share > MostSag) {
		return nil
	}
	return []note.Finding{{
		ID: "cone-sags", Severity: note.Warning, Where: where,
		Text: fmt.Sprintf("facing up or down, the cone sags %s by its own weight, %s of its xmax of %s, and more as the suspension ages",
			phys.Show(s.Distance, phys.Length, phys.Metric), phys.Show(s.Share, phys.Ratio, phys.Metric), phys.Show(s.cone.Xmax, phys.Length, phys.Metric)),
		Mend: fmt.Sprintf("let the driver face sideways; a suspension of %s or less would stay within 5\u2009%%",
			phys.Show(threeDigitsDown(s.cone.Cms*MostSag/s.Share), phys.Compliance, phys.Metric)),
	}}
}

// threeDigitsDown cuts a positive number behind its third digit, so that what is
// shown of a limit still keeps it.
func threeDigitsDown(v float64) float64 {
	digit := math.Pow(10, math.Floor(math.Log10(v))-2)
	return math.Floor(v/digit) * digit
}
