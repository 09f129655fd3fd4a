package enclosure

import (
	"math"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/duct"
)

// The systems whose solving times docs/performance.md reports.

func benchSystem(b *testing.B, kind string) *System {
	b.Helper()
	d := &driver.Driver{Name: "merlin-10", Re: 3.3, Bl: 11.6, Mms: 0.1045, Cms: 2.61e-4, Rms: 4.1, Sd: 0.0345, Coil: driver.VoiceCoil{Le: 1.1e-3}, Coils: driver.Coils{Count: 1}}
	set := Setting{Space: 2 * math.Pi, Distance: 1}
	set.Air.C, set.Air.Rho = 343.2, 1.2041
	g := mount(b, d, 1, 1, 1)
	spec := Spec{Kind: Vented, Rear: Chamber{Volume: 0.04, Tuning: 30}}
	if kind == "2x2" {
		g = mount(b, d, 2, 2, 2)
		g.Coupling = []driver.Coupling{{Volume: 2e-3}}
		spec = Spec{Kind: Bandpass, Rear: Chamber{Volume: 0.03}, Front: Chamber{Volume: 0.02, Tuning: 60}}
	}
	switch kind {
	case "line": // offset, half filled
		spec = Spec{Kind: TransmissionLine, Line: Line{Run: Run{Length: 2.2, Area: 0.025}, Driver: 0.7, Fills: []duct.Filling{{To: 1, Fill: duct.Fill{Resistivity: 800}}}}}
	case "tapped": // through twenty points
		spec = Spec{Kind: TappedWaveguide, Line: Line{Front: 0.2, Rear: 2.3}}
		for i := range 20 {
			x := float64(i) / 19
			spec.Line.Run.Points = append(spec.Line.Run.Points, duct.Point{X: 2.6 * x, Area: 0.02 + 0.05*x*x})
		}
	}
	sys, _, err := Build(g, spec, set)
	if err != nil {
		b.Fatal(err)
	}
	return sys
}

func benchmarkSolve(b *testing.B, kind string) {
	sys := benchSystem(b, kind)
	s := sys.Program.NewSolver()
	b.ReportAllocs()
	b.ReportMetric(float64(sys.Program.Unknowns()), "unknowns")
	k := 0
	for b.Loop() {
		k++
		if err := s.Solve(2 * math.Pi * (20 + float64(k%400))); err != nil {
			b.Fatal(err)
		}
	}
	if s.Pivoted > 0 {
		b.Fatalf("the pivoted solve took over %d times", s.Pivoted)
	}
}

// All unknowns of a vented box at one frequency.
func BenchmarkSolveVented(b *testing.B) { benchmarkSolve(b, "vented") }

// All unknowns of two stacks of two with coupling air in a bandpass box.
func BenchmarkSolve2x2Bandpass(b *testing.B) { benchmarkSolve(b, "2x2") }

// All unknowns of a half-filled line with its driver in the wall, and of a tapped
// waveguide of twenty points.
func BenchmarkSolveLine(b *testing.B)   { benchmarkSolve(b, "line") }
func BenchmarkSolveTapped(b *testing.B) { benchmarkSolve(b, "tapped") }

// Building them, with the ledger’s resonances.
func BenchmarkBuildLine(b *testing.B)   { benchmarkBuild(b, "line") }
func BenchmarkBuildTapped(b *testing.B) { benchmarkBuild(b, "tapped") }

func benchmarkBuild(b *testing.B, kind string) {
	sys := benchSystem(b, kind)
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Build(sys.Group, sys.Spec, sys.Setting); err != nil {
			b.Fatal(err)
		}
	}
}

var sinkFloat float64

// A complete point: the solve and two more beside it for the group delay, three at once, and
// level, phase, impedance, excursions and port flow read from it.
func benchmarkPoint(b *testing.B, kind string) {
	sys := benchSystem(b, kind)
	trio := sys.Program.NewSolver().Trio()
	s := trio[0]
	b.ReportAllocs()
	k := 0
	for b.Loop() {
		k++
		w := 2 * math.Pi * (20 + float64(k%400))
		if err := trio.Solve([3]float64{w, w * 1.0001, w * 0.9999}); err != nil {
			b.Fatal(err)
		}
		sinkFloat += real(sys.Pressure(trio[1]) - sys.Pressure(trio[2]))
		p, z := sys.Pressure(s), sys.Impedance(s)
		sinkFloat += 20*math.Log10(math.Hypot(real(p), imag(p))) + math.Atan2(imag(p), real(p)) + math.Hypot(real(z), imag(z))
		for i := range sys.Cones {
			sinkFloat += sys.Excursion(s, &sys.Cones[i])
		}
		for i := range sys.Openings {
			sinkFloat += sys.OpeningFlow(s, &sys.Openings[i])
		}
	}
}

func BenchmarkPointVented(b *testing.B)      { benchmarkPoint(b, "vented") }
func BenchmarkPoint2x2Bandpass(b *testing.B) { benchmarkPoint(b, "2x2") }

// Building the network of a vented box: what a change of one number costs.
func BenchmarkBuildVented(b *testing.B) {
	sys := benchSystem(b, "vented")
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Build(sys.Group, Spec{Kind: Vented, Rear: Chamber{Volume: 0.04, Tuning: 30}}, sys.Setting); err != nil {
			b.Fatal(err)
		}
	}
}
