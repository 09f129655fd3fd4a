package enclosure

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/duct"
	"basswright/internal/network"
)

// freeLimit is the load of a free pipe’s mouth at the lowest frequencies, as the
// worked examples write it: jωρ·0.6133a/S + ρc·(ka)²/(4S).
type freeLimit struct{ area, c, rho float64 }

func (l freeLimit) At(w float64) complex128 {
	a := math.Sqrt(l.area / math.Pi)
	ka := w / l.c * a
	return complex(l.rho*l.c*ka*ka/4, w*l.rho*0.6133*a) / complex(l.area, 0)
}

// checkLineRow holds a line of the worked examples, with Miki’s fill or none: the flow
// out of the mouth over that into the closed end, the level of cone and mouth, and the
// impedance.
func checkLineRow(t *testing.T, r publishedRow) {
	t.Helper()
	c := r.condition()
	d := &driver.Driver{Name: "published", Re: 6, Bl: 10, Mms: 0.06, Cms: 0.4e-3, Rms: 1.5, Sd: 0.033, Coils: driver.Coils{Count: 1}}
	set := Setting{Air: airOf(t, 345, 1.18), Space: 2 * math.Pi, Distance: 1, RigidWalls: true}
	spec := Spec{Kind: TransmissionLine, Line: Line{Run: Run{Length: c["L"], Area: c["S"]}}}
	if c["sigma"] > 0 {
		spec.Line.Fills = []duct.Filling{{Fill: duct.Fill{Resistivity: c["sigma"], Model: duct.Miki}}}
	}
	b := &builder{System: &System{Net: network.New(), Setting: set, Group: oneOf(t, d), Spec: spec}}
	b.rigid = b.Group.RigidSum()
	if err := b.size(); err != nil {
		t.Fatal(err)
	}
	b.line.load = freeLimit{c["S"], 345, 1.18}
	b.recipe()
	if err := b.group(); err != nil {
		t.Fatal(err)
	}
	p, err := b.Net.Compile()
	if err != nil {
		t.Fatal(err)
	}
	s := p.NewSolver()
	if err := s.Solve(2 * math.Pi * c["f"]); err != nil {
		t.Fatal(err)
	}
	ratio := s.Flow(by(t, b.System, "mouth")) / (complex(-d.Sd, 0) * s.Potential(b.Cones[0].Node))
	r.agrees(t, 0, cmplx.Abs(ratio), cmplx.Phase(ratio)*180/math.Pi, 20*math.Log10(cmplx.Abs(b.Pressure(s))*2.83/20e-6), cmplx.Abs(b.Impedance(s)))
	if !strings.Contains(r.conditions, "mouth load") {
		t.Errorf("%s is of another mouth", r.id)
	}
}

// The quarter wave that is told for an empty pipe with a free mouth is the textbook’s,
// c/4(L + 0.613a), for a radius of 80 mm and c = 345 m/s. The end correction at these
// frequencies, ka = 0.04 to 0.08, is less than its static value by up to 0.2 %, and
// the mouth’s resistance does not move it: 1e-4 of the frequency.
func TestQuarterWaveByTheTextbook(t *testing.T) {
	set := Setting{Air: airOf(t, 345, 1.18), Space: 2 * math.Pi, Distance: 1, RigidWalls: true}
	for length, want := range map[float64]float64{1.5: 55.679647, 2: 42.092883, 2.5: 33.836268, 3: 28.287592} {
		sys, _ := built(t, oneOf(t, of(t, 30, 0.4, 80, 5)), Spec{Kind: TransmissionLine, Line: Line{Run: Run{Length: length, Area: math.Pi * 0.08 * 0.08}, Mouth: Mouth{End: EndFree}}}, set)
		if got := sys.Facts.Line.Quarter; math.Abs(got/want-1) > 1e-4 {
			t.Errorf("a pipe of %g m is a quarter wave at %.4f Hz, by the textbook at %.4f Hz", length, got, want)
		}
	}
}
