package export

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"basswright/internal/duct"
	"basswright/internal/network"
)

// ladder is a duct as a circuit of inductances and capacitances in sections, driven by
// a volume velocity of 1 at its start and loaded at its end by a mass beside a
// resistance: what a general simulator can know of it.
func ladder(s duct.Shape, g duct.Gas, sections int, load network.ParallelRL) string {
	var b strings.Builder
	fmt.Fprintf(&b, "* a duct in %d sections\ni1 0 n0 dc 0 ac 1\n", sections)
	dx := s.Length() / float64(sections)
	k := g.Rho * g.C * g.C
	for i := range sections {
		area := s.Area((float64(i) + 0.5) * dx)
		fmt.Fprintf(&b, "ca%d n%d 0 %.12g\nl%d n%d n%d %.12g\ncb%d n%d 0 %.12g\n", i, i, area*dx/(2*k), i, i, i+1, g.Rho*dx/area, i, i+1, area*dx/(2*k))
	}
	fmt.Fprintf(&b, "vm n%d m dc 0\nlm m 0 %.12g\nrm m 0 %.12g\nrleak n0 0 1e15\n", sections, load.L, load.R)
	b.WriteString(".control\nset nobreak\nset nopage\nset width=240\nset numdgt=10\nac dec 60 10 1000\nlet level_db = db(v(n0))\nlet mouth_db = db(i(vm))\nprint level_db\nprint mouth_db\nquit\n.endc\n.end\n")
	return b.String()
}

// Ducts of several shapes against ngspice on a ladder of 400 sections, within 0.1 dB up
// to the ladder’s own limit. That follows from its sections, of length dx: waves in it
// are slower by (k·dx)²/24, so that its answer at f is that at f·(1 + (k·dx)²/24). Where
// such a shift, with as much again for the steps of the area, changes the answer by more
// than 0.1 dB, the ladder says nothing; each shape must be held up to 300 Hz at least.
func TestDuctsAgainstLaddersInNgspice(t *testing.T) {
	g := duct.Gas{Rho: 1.2041, C: 343.2}
	const sections = 400
	shape := func(s duct.Shape, err error) duct.Shape {
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for name, s := range map[string]duct.Shape{
		"cone":        shape(duct.Cone(1.8, 0.012, 0.04)),
		"narrowing":   shape(duct.Cone(2.4, 0.05, 0.015)),
		"exponential": shape(duct.Exponential(1.2, 0.008, 0.12)),
		"parabolic":   shape(duct.Parabolic(1.5, 0.01, 0.06)),
		"jumps":       shape(duct.Points([]duct.Point{{X: 0, Area: 0.01}, {X: 0.6, Area: 0.02}, {X: 0.6, Area: 0.04}, {X: 1.2, Area: 0.04}})),
	} {
		length := s.Length()
		mouth := s.Area(length)
		// The load of a round mouth: its mass and, at high frequencies, ρc.
		load := network.ParallelRL{L: 8 * g.Rho / (3 * math.Pi * math.Sqrt(math.Pi*mouth)), R: g.Rho * g.C / mouth}
		d, err := duct.New(s, duct.Making{Gas: g})
		if err != nil {
			t.Fatal(err)
		}
		answer := func(f float64) [2]float64 {
			w := 2 * math.Pi * f
			m, z := d.Chain(w), load.At(w)
			end := 1 / (m.C*z + m.D)
			return [2]float64{20 * math.Log10(cmplx.Abs((m.A*z+m.B)*end)), 20 * math.Log10(cmplx.Abs(end))}
		}
		f, v := printed(t, ladder(s, g, sections, load))
		limit, worst := math.Inf(1), 0.0
		for i, hz := range f {
			kdx := 2 * math.Pi * hz / g.C * length / sections
			shift := 2*kdx*kdx/24 + 1e-5
			here, below, above := answer(hz), answer(hz*(1-shift)), answer(hz*(1+shift))
			for j, theirs := range []float64{v["level_db"][i], v["mouth_db"][i]} {
				if max(math.Abs(above[j]-here[j]), math.Abs(below[j]-here[j])) > 0.1 {
					limit = min(limit, hz)
				}
				if hz < limit {
					worst = max(worst, math.Abs(theirs-here[j]))
				}
			}
		}
		t.Logf("%s: within %.4f dB up to %.0f Hz", name, worst, min(limit, f[len(f)-1]))
		if worst > 0.1 || limit < 300 {
			t.Errorf("%s: %.3f dB off below the ladder’s limit of %.0f Hz", name, worst, limit)
		}
	}
}
