package airflow

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/phys"
)

func rows(t *testing.T, file string) map[string]check.Row {
	t.Helper()
	out := map[string]check.Row{}
	for _, r := range check.Rows(t, "testdata/"+file) {
		out[r.ID] = r
	}
	return out
}

// port is a port that can be made.
func port(t testing.TB, s Section, inner, outer End) Port {
	t.Helper()
	p, err := New(s, inner, outer, phys.StandardAir())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// after is the number behind a mark in a text.
func after(t *testing.T, text, mark string) float64 {
	t.Helper()
	_, rest, ok := strings.Cut(text, mark)
	rest, _, _ = strings.Cut(strings.TrimSpace(rest), " ")
	v, err := check.Floats(rest, ";")
	if !ok || err != nil {
		t.Fatalf("no number after %q in %q", mark, text)
	}
	return v[0]
}

func TestPublishedPorts(t *testing.T) {
	table := rows(t, "ports.csv")
	tested := 0
	for _, r := range table {
		if !strings.HasPrefix(r.Quantity, "peak particle displacement") {
			continue
		}
		tested++
		d, f := after(t, r.Conditions, "d="), after(t, r.Conditions, "f=")
		const speed = 17
		want := r.Values(t) // displacement, û·d/ν, St
		p := port(t, Section{Diameter: d}, End{}, End{})
		check.Near(t, r.ID, p.Strouhal(f, speed), want[2], 0.5e-7, "printed to 7 decimals")
		check.Near(t, r.ID, d/2/p.Strouhal(f, speed), want[0], 0.5e-7, "printed to 7 or 8 decimals")
		// (û·δ/ν)² = 2û²/(νω) = (û·d/ν)/St; the row’s ν is 1.51e-5 m²/s.
		p.viscosity = 1.51e-5
		re := p.Regime(f, speed).Reynolds
		check.Near(t, r.ID, re*re*want[2]/want[1], 1, 1e-6, "printed to 7 digits")
	}
	if tested != 3 {
		t.Errorf("%d rows", tested)
	}
	check.Near(t, "core speed", CoreSpeed, after(t, table["ports-008"].Value, "about"), 0, "the collection’s figure")
	check.Near(t, "Small’s guide", 100*GuideMach, after(t, table["ports-010"].Value, "about"), 0, "the collection’s figure")
	check.Near(t, "separation", Separation, after(t, table["ports-011"].Value, "~"), 0, "the collection’s figure")
	least, _, _ := strings.Cut(table["ports-005"].Value, "-")
	check.Near(t, "gain of the best flare", 20*math.Log10(MostGain), after(t, "="+least, "="), 1e-12, "the lower end of the range; rounding")
	if slope := after(t, table["ports-002"].Value, "about"); slope*math.Pi/180 > MaxSlope {
		t.Errorf("the published port with %g° is refused", slope)
	}
}

func TestSmallArea(t *testing.T) {
	tested := 0
	for _, r := range rows(t, "vented-box.csv") {
		if r.Unit != "m2;m" {
			continue
		}
		tested++
		fb, vd := after(t, r.Conditions, "fb="), after(t, r.Conditions, "Vd=")
		want := r.Values(t)
		area := SmallArea(fb, vd)
		check.Near(t, r.ID, area, want[0], 1e-15, "rounding")
		// The rule’s other form, √(fb·Vd), is a circle of 0.785·fb·Vd.
		check.Near(t, r.ID, 2*math.Sqrt(area/math.Pi)/want[1], 1, 0.01, "0.8 for π/4")
		// A vent that displaces twice what the driver can, as near the tuning at
		// full excursion, has 4 to 5 % of the speed of sound.
		mach := 2 * math.Pi * fb * 2 * vd / area / phys.StandardAir().C
		check.Near(t, r.ID+", Mach number", mach, 0.045, 0.005, "the rule’s own 4 to 5 %")
	}
	if tested != 3 {
		t.Errorf("%d rows", tested)
	}
	for _, bad := range [][2]float64{{0, 1}, {1, 0}, {-1, 1}, {math.NaN(), 1}, {math.MaxFloat64, 10}} {
		check.Panics(t, "above zero", func() { SmallArea(bad[0], bad[1]) })
	}
}

func TestViscosity(t *testing.T) {
	for id, state := range map[string][3]float64{"air-007": {23, 0.5, 101325}, "air-008": {20, 0.65, 80000}} {
		air, err := phys.NewAir(state[0], state[1], state[2])
		if err != nil {
			t.Fatal(err)
		}
		want := rows(t, "air.csv")[id].Values(t)[0]
		check.Near(t, id, viscosity(air)*air.Rho/want, 1, 3e-3, "Sutherland’s law of dry air, as the doc comment states")
	}
	stated, err := phys.AirOf(343.2, 1.2041)
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "air of no known state", viscosity(stated)/viscosity(phys.StandardAir()), 1, 1e-4, "the density is rounded")
}

// A port as sketched by rapid.
func drawn(t *rapid.T, flares bool) (Section, End, End) {
	end := func(name string) End {
		e := End{Flanged: rapid.Bool().Draw(t, name+" flanged")}
		if flares && rapid.Bool().Draw(t, name+" rounded") {
			e.Edge = rapid.Float64Range(0, 0.1).Draw(t, name+" edge")
		}
		if flares && rapid.Bool().Draw(t, name+" cone") {
			e.Mouth = rapid.Float64Range(1, 3).Draw(t, name+" mouth")
			e.Slope = rapid.Float64Range(0.01, MaxSlope).Draw(t, name+" slope")
		}
		return e
	}
	s := Section{Diameter: rapid.Float64Range(0.02, 0.4).Draw(t, "diameter")}
	if rapid.Bool().Draw(t, "slot") {
		s = Section{Width: rapid.Float64Range(0.02, 0.8).Draw(t, "width"), Height: rapid.Float64Range(0.01, 0.4).Draw(t, "height")}
	}
	return s, end("inner"), end("outer")
}

func TestPortProperties(t *testing.T) {
	air := phys.StandardAir()
	rapid.Check(t, func(t *rapid.T) {
		s, inner, outer := drawn(t, true)
		p, err := New(s, inner, outer, air)
		if err != nil {
			t.Fatal(err)
		}
		f := math.Pow(10, rapid.Float64Range(0, 3).Draw(t, "log f"))
		flow := p.Area() * math.Pow(10, rapid.Float64Range(-6, 2).Draw(t, "log speed"))
		r := p.Resistance(f, flow)
		if !(r >= 0) || r > 8/(3*math.Pi)*p.Quadratic()*flow*(1+1e-12) {
			t.Fatalf("resistance %g, quadratic factor %g, flow %g", r, p.Quadratic(), flow)
		}
		if more := p.Resistance(f, 1.1*flow); more*1.1 < r {
			t.Fatalf("the pressure falls as the flow rises: %g·%g, %g·%g", r, flow, more, 1.1*flow)
		}
		if quicker := p.Resistance(2*f, flow); quicker > r*(1+1e-12) {
			t.Fatalf("%g at %g Hz, %g an octave higher", r, f, quicker)
		}
		limit, by := p.Limit(f)
		if !(limit > 0) || limit > 0.05*air.C || by.Source() == "" || by == ShortPort {
			t.Fatalf("limit %g by %d", limit, by)
		}
		if higher, _ := p.Limit(2 * f); higher < limit {
			t.Fatalf("limit %g at %g Hz, %g an octave higher", limit, f, higher)
		}
		rounder := outer
		rounder.Edge += 0.01
		if q, err := New(s, inner, rounder, air); err != nil {
			t.Fatal(err)
		} else if l, _ := q.Limit(f); l < limit || q.Resistance(f, flow) > r*(1+1e-12) {
			t.Fatalf("a rounder edge makes it worse: limit %g to %g, resistance %g to %g", limit, l, r, q.Resistance(f, flow))
		}
		onset := p.Onset(f)
		for _, speed := range []float64{0, 0.99 * onset, 1.01 * onset, flow / p.Area()} {
			g := p.Regime(f, speed)
			attached := g.Inner == Attached && g.Outer == Attached
			if speed > 1e-6 && attached != (p.EdgeStrouhal(f, speed) >= Separation) {
				t.Fatalf("%g m/s, onset %g: %+v", speed, onset, g)
			}
			for _, x := range []float64{g.Strouhal, g.Reynolds, g.Mach} {
				if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
					t.Fatalf("%g m/s: %+v", speed, g)
				}
			}
			if g.Trusted != (speed <= 0.3*air.C) {
				t.Fatalf("%g m/s: %+v", speed, g)
			}
		}
	})
}

func TestLimitsOfFrequency(t *testing.T) {
	p := port(t, Section{Diameter: 0.1}, End{Edge: 0.02}, End{Flanged: true, Edge: 0.02})
	const flow = 0.05
	slow := p.Resistance(1e-9, flow)
	check.Near(t, "f → 0", slow/(8/(3*math.Pi)*p.Quadratic()*flow), 1, 1e-9, "steady flow")
	if r := p.Resistance(1e5, flow); r != 0 {
		t.Errorf("f → ∞: %g", r)
	}
	if l, by := p.Limit(1e-9); !(l > 0) || by != Stroke {
		t.Errorf("f → 0: limit %g by %d", l, by)
	}
	if l, by := p.Limit(1e6); math.Abs(l-14) > 1e-12 || by != Core {
		t.Errorf("f → ∞: limit %g by %d", l, by)
	}
	wide := port(t, Section{Diameter: 0.1}, End{Edge: 0.05}, End{Flanged: true, Edge: 0.05})
	if l, by := wide.Limit(1e6); l != 0.05*phys.StandardAir().C || by != Guide {
		t.Errorf("f → ∞, a wide flare: limit %g by %d", l, by)
	}
	if l, by := wide.Limit(18); math.Abs(l/(4*math.Pi*18*0.05)-1) > 1e-12 || by != Stroke {
		t.Errorf("at 18 Hz, a wide flare: limit %g by %d", l, by)
	}
	big := port(t, Section{Diameter: 0.5}, End{Edge: 0.25}, End{Flanged: true, Edge: 0.25})
	if l, by := big.Limit(15); math.Abs(l/(550*math.Sqrt(big.viscosity*math.Pi*15))-1) > 1e-12 || by != Boundary {
		t.Errorf("at 15 Hz, a large port: limit %g by %d", l, by)
	}
	// The worse end decides, by the edge over the mouth and the cone’s widening.
	for _, c := range []struct {
		e    End
		gain float64
	}{{End{}, 1}, {End{Edge: 0.02}, 1.4}, {End{Edge: 0.02, Mouth: 1.2, Slope: 0.1}, (1 + 0.02/0.06) * 1.44}, {End{Edge: 0.5}, math.Sqrt(10)}} {
		best := End{Edge: 1}
		for _, p := range []Port{port(t, Section{Diameter: 0.1}, c.e, best), port(t, Section{Diameter: 0.1}, best, c.e)} {
			l, by := p.Limit(5)
			if check.Near(t, "gain", l/(2*math.Pi*5*0.05), c.gain, 1e-14, "rounding"); by != Stroke {
				t.Errorf("%+v: by %d", c.e, by)
			}
		}
	}
	// Rounding that goes to nothing is a sharp edge.
	sharp, nearly := port(t, Section{Diameter: 0.1}, End{}, End{}), port(t, Section{Diameter: 0.1}, End{Edge: 1e-9}, End{Edge: 1e-9})
	check.Near(t, "resistance", nearly.Resistance(30, flow)/sharp.Resistance(30, flow), 1, 1e-6, "an edge of 1 nm")
	a, _ := sharp.Limit(30)
	b, _ := nearly.Limit(30)
	check.Near(t, "limit", b/a, 1, 1e-6, "an edge of 1 nm")
}

func TestRegimes(t *testing.T) {
	p := port(t, Section{Diameter: 0.1}, End{}, End{Flanged: true, Edge: 0.02})
	w := 2 * math.Pi * 30
	for _, c := range []struct {
		speed        float64
		inner, outer Stream
		wall         Wall
	}{
		{0, Attached, Attached, Laminar},
		{1, Vortices, Attached, Laminar},
		{w * 0.02 * 1.01, Vortices, Vortices, Laminar},
		{w * 0.05 * 1.01, Jet, Jet, Laminar},
		{15, Jet, Jet, Bursts},
		{25, Jet, Jet, Turbulent},
	} {
		g := p.Regime(30, c.speed)
		if g.Inner != c.inner || g.Outer != c.outer || g.Wall != c.wall {
			t.Errorf("%g m/s: %+v", c.speed, g)
		}
	}
	// Each bound by its own form: 2û/√(νω) = 400, and û·√(2/(νω)) = 550.
	for bound, states := range map[float64][2]Wall{200 * math.Sqrt(p.viscosity*w): {Laminar, Bursts}, 550 * math.Sqrt(p.viscosity*w/2): {Bursts, Turbulent}} {
		if below, above := p.Regime(30, 0.999*bound).Wall, p.Regime(30, 1.001*bound).Wall; below != states[0] || above != states[1] {
			t.Errorf("at %g m/s: %d, %d", bound, below, above)
		}
	}
	if p.Onset(30) != 0 || p.EdgeStrouhal(30, 1) != 0 {
		t.Error("a sharp edge does not shed vortices")
	}
	both := port(t, Section{Diameter: 0.1}, End{Edge: 0.03}, End{Flanged: true, Edge: 0.02})
	check.Near(t, "onset", both.Onset(30), w*0.02, 1e-14, "rounding")
	check.Near(t, "its Strouhal number", both.EdgeStrouhal(30, both.Onset(30)), Separation, 1e-14, "rounding")
}

func TestFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	air := phys.StandardAir()
	d := Section{Diameter: 0.1}
	for _, c := range []struct {
		s            Section
		inner, outer End
		air          phys.Air
		words        string
	}{
		{Section{}, End{}, End{}, air, "section: the port has no size"},
		{Section{Diameter: 0.1, Width: 0.1}, End{}, End{}, air, "not both"},
		{Section{Diameter: 0.001}, End{}, End{}, air, "5 mm and 2 m"},
		{Section{Diameter: nan}, End{}, End{}, air, "5 mm and 2 m"},
		{Section{Width: 0.1}, End{}, End{}, air, "2 mm and 5 m"},
		{Section{Width: 0.1, Height: inf}, End{}, End{}, air, "2 mm and 5 m"},
		{d, End{Edge: -1}, End{}, air, "inner: the radius"},
		{d, End{}, End{Edge: nan}, air, "outer: the radius"},
		{d, End{}, End{Mouth: 0.5, Slope: 0.1}, air, "1 to 5 times"},
		{d, End{}, End{Slope: 0.1}, air, "1 to 5 times"},
		{d, End{}, End{Mouth: 2}, air, "the slope"},
		{d, End{}, End{Mouth: 2, Slope: 0.2}, air, "the slope"},
		{d, End{}, End{Mouth: 2, Slope: nan}, air, "the slope"},
		{d, End{}, End{}, phys.Air{}, "no speed of sound"},
	} {
		_, err := New(c.s, c.inner, c.outer, c.air)
		if e, ok := err.(*PortError); !ok || e.Mend == "" || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	p := port(t, d, End{}, End{})
	for _, bad := range []float64{0, -1, nan, inf} {
		check.Panics(t, "above zero", func() { p.Limit(bad) })
		check.Panics(t, "above zero", func() { p.Resistance(bad, 1) })
	}
	for _, bad := range []float64{-1, nan, inf} {
		check.Panics(t, "volume velocity", func() { p.Resistance(1, bad) })
		check.Panics(t, "speed", func() { p.Regime(1, bad) })
	}
}

func BenchmarkPort(b *testing.B) {
	p := port(b, Section{Diameter: 0.1}, End{Edge: 0.02}, End{Flanged: true, Edge: 0.03})
	b.Run("resistance", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if p.Resistance(30, 0.1) == 0 {
				b.Fatal("no loss")
			}
		}
	})
	b.Run("limit", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if v, _ := p.Limit(30); v == 0 {
				b.Fatal("no limit")
			}
		}
	})
	b.Run("regime", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if p.Regime(30, 5).Mach == 0 {
				b.Fatal("at rest")
			}
		}
	})
}
