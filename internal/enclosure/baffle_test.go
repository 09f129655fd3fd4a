package enclosure

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/driver"
	"basswright/internal/network"
	"basswright/internal/phys"
	"basswright/internal/radiation"
)

// The way from a place on the baffle to the listener is that of the plane’s geometry, and
// its difference from the listening distance loses no digits far away.
func TestWaysToTheListener(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		s := Setting{Distance: math.Exp(r(math.Log(0.5), math.Log(1000), "ln distance")), Toward: Toward{r(-80, 80, "aside"), r(-80, 80, "above")}}
		at := Spot{r(-3, 3, "x"), r(-3, 3, "y")}
		a, u := s.Toward.Aside*math.Pi/180, s.Toward.Above*math.Pi/180
		x, y, z := s.Distance*math.Sin(a)*math.Cos(u), s.Distance*math.Sin(u), s.Distance*math.Cos(a)*math.Cos(u)
		way := math.Sqrt((x-at.X)*(x-at.X) + (y-at.Y)*(y-at.Y) + z*z)
		p := s.pathOf(at)
		if math.Abs(p.longer-(way-s.Distance)) > 1e-12*s.Distance+1e-13 || math.Abs(p.weight-s.Distance/way) > 1e-12 { // what cancels here
			rt.Fatalf("%+v, by the geometry %g m and %g", p, way-s.Distance, s.Distance/way)
		}
	})
}

// Two cones a way apart, and a mouth away from its cone, give what their flows sum to at
// the listener, each with its flight and its distance: p = jωρ/Ω·ΣU·e^(−jk(r − d))/r.
func TestFarFieldOfABaffle(t *testing.T) {
	set := lineSetting(t)
	set.Distance, set.Toward = 2.5, Toward{Aside: 25, Above: -10}
	d := of(t, 30, 0.4, 80, 5)
	g := groupOf(t, driver.GroupSpec{Driver: d, SideBySide: 2, Stack: 1})
	line := Spec{Kind: TransmissionLine, Baffle: &Baffle{Cones: []Spot{{-0.3, 0.1}, {0.3, 0.1}}, At: map[string]Spot{"mouth": {0.1, -0.9}}}}
	line.Line.Run = Run{Length: 2, Area: 0.05}
	for _, full := range []bool{false, true} {
		set.FullRadiation = full
		sys, sol := built(t, g, line, set)
		if !sys.Spread() {
			t.Fatal("it does not know that it is spread")
		}
		for f := 15.0; f < 500; f *= 1.21 {
			w := 2 * math.Pi * f
			if err := sol.Solve(w); err != nil {
				t.Fatal(err)
			}
			var want complex128
			add := func(at Spot, u complex128) {
				p := set.pathOf(at)
				r := set.Distance / p.weight
				want += complex(0, w*set.Air.Rho/set.Space/r) * u * cmplx.Exp(complex(0, -w/set.Air.C*(r-set.Distance)))
			}
			for i, c := range sys.Cones {
				add(line.Baffle.Cones[i], complex(c.Sd*c.Ratio, 0)*sol.Potential(c.Node))
			}
			add(line.Baffle.At["mouth"], sol.Flow(sys.Openings[0].Element))
			if got := sys.Pressure(sol); cmplx.Abs(got-want) > 1e-9*cmplx.Abs(want)+1e-12 { // rounding
				t.Fatalf("full %v at %g Hz: %v, by hand %v", full, f, got, want)
			}
		}
	}
}

// With the exact loads cones and mouth hear each other: the pressure before each is its
// own load’s and the others’ mutual ones, solved by hand for two cones of unlike size in
// a wall.
func TestConesHearEachOther(t *testing.T) {
	set := lineSetting(t)
	set.FullRadiation = true
	one, two := of(t, 30, 0.4, 80, 5), of(t, 45, 0.5, 25, 6)
	two.Sd, two.Name = 0.012, "small"
	g := groupOf(t, driver.GroupSpec{Members: [][]*driver.Driver{{one}, {two}}})
	spec := Spec{Kind: InfiniteBaffle, Baffle: &Baffle{Cones: []Spot{{0, 0}, {0.32, 0}}}}
	sys, sol := built(t, g, spec, set)
	mutual := radiation.NewMutual(math.Sqrt(one.Sd/math.Pi), math.Sqrt(two.Sd/math.Pi), 0.32, set.Air.C, set.Air.Rho)
	for f := 20.0; f < 1000; f *= 1.17 {
		w := 2 * math.Pi * f
		jw := complex(0, w)
		if err := sol.Solve(w); err != nil {
			t.Fatal(err)
		}
		own := func(d *driver.Driver) complex128 { // mechanical, with the load of both faces
			a := math.Sqrt(d.Sd / math.Pi)
			face := complex(set.Air.Rho*set.Air.C*d.Sd, 0) * phys.PistonLoad(w*a/set.Air.C)
			mass := d.Mms - 2*set.Air.Rho*a*a*a*4/3
			coil := complex(d.Re, 0) + jw*complex(d.Coil.Le, 0)
			return complex(d.Rms, 0) + jw*complex(mass, 0) + 1/(jw*complex(d.Cms, 0)) + 2*face + complex(d.Bl*d.Bl, 0)/coil
		}
		push := func(d *driver.Driver) complex128 {
			return complex(d.Bl, 0) / (complex(d.Re, 0) + jw*complex(d.Coil.Le, 0))
		}
		a, b, m := own(one), own(two), 2*mutual.At(w)*complex(one.Sd*two.Sd, 0) // before the wall and behind it
		v1 := (push(one)*b - push(two)*m) / (a*b - m*m)
		v2 := (push(two)*a - push(one)*m) / (a*b - m*m)
		for i, want := range []complex128{v1, v2} {
			if got := sol.Potential(sys.Cones[i].Node); cmplx.Abs(got/want-1) > 1e-9 { // rounding
				t.Fatalf("cone %d at %g Hz: %v, by hand %v", i+1, f, got, want)
			}
		}
	}
}

// Low down two cones side by side in one wall have twice the resistance each: the sound
// of both is four times that of one for the same flow of each (Rayleigh; Wolff & Malter
// 1929), and this is what a distance that grows takes away again.
func TestTwoSmallConesDoubleTheirLoad(t *testing.T) {
	set := lineSetting(t)
	const a = 0.1
	air := set.Air
	own := network.PistonLoad{Radius: a, C: air.C, Rho: air.Rho, By: 1, Images: 1}
	w := 0.02 * air.C / a
	for _, c := range []struct{ d, share float64 }{{2 * a, 1}, {math.Pi * air.C / w, 0}} { // half a wave apart: sin π = 0
		m := heard{radiation.NewMutual(a, a, c.d, air.C, air.Rho), 1}.At(w)
		check.Near(t, "mutual resistance over the own one", real(m)/real(own.At(w)), c.share, 3e-4, "(kd)²/6 of the sine over its angle")
	}
}

// No set of flows through what stands on a baffle gives energy, whatever kinds of
// openings they are, and however near: the resistances of all against all have no
// negative power.
func TestBafflesAreNoSource(t *testing.T) {
	set := lineSetting(t)
	air := set.Air
	rapid.Check(t, func(rt *rapid.T) {
		r := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		a, b := r(0.02, 0.3, "a"), r(0.02, 0.3, "b")
		d := (a + b) * r(1, 5, "apart")
		w := 2 * math.Pi * math.Exp(r(math.Log(5), math.Log(2000), "ln f"))
		end := rapid.SampledFrom([]radiation.End{radiation.Piston, radiation.Flanged}).Draw(rt, "mouth")
		if end == radiation.Flanged && w*b/air.C > 1.5 {
			return // beyond, a pipe’s mouth is no piston to its neighbours
		}
		mouth, err := radiation.New(radiation.Opening{End: end, Area: math.Pi * b * b}, air.C, air.Rho)
		if err != nil {
			rt.Fatal(err)
		}
		cone := network.PistonLoad{Radius: a, C: air.C, Rho: air.Rho, By: 1, Images: 1}
		ra, rb, rm := real(cone.At(w)), real(mouth.At(w)), real(heard{radiation.NewMutual(a, b, d, air.C, air.Rho), 1}.At(w))
		if rm*rm > ra*rb*(1+1e-9) {
			rt.Fatalf("a mutual resistance of %g against %g and %g gives energy", rm, ra, rb)
		}
	})
}

// What goes into a line on a baffle stays in its parts or is radiated: nothing is given
// by cones and mouth that hear each other.
func TestBaffledLinesArePassive(t *testing.T) {
	set := lineSetting(t)
	set.FullRadiation = true
	rapid.Check(t, func(rt *rapid.T) {
		d := randomDriver(rt, "woofer")
		if d.Mms < 3*set.Air.Rho*math.Pow(d.Sd/math.Pi, 1.5) {
			return // lighter than its air
		}
		g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: rapid.IntRange(1, 3).Draw(rt, "side by side"), Stack: 1})
		if err != nil {
			rt.Fatal(err)
		}
		spec := Spec{Kind: rapid.SampledFrom([]Kind{TransmissionLine, BackLoadedHorn}).Draw(rt, "kind"), Baffle: &Baffle{}}
		spec.Line.Run = Run{Length: rapid.Float64Range(0.5, 3).Draw(rt, "length"), Area: rapid.Float64Range(0.01, 0.1).Draw(rt, "area")}
		a := math.Sqrt(d.Sd / math.Pi)
		for p := range g.SideBySide() {
			spec.Baffle.Cones = append(spec.Baffle.Cones, Spot{X: float64(p) * a * rapid.Float64Range(2, 6).Draw(rt, "apart")})
		}
		for p := 1; p < len(spec.Baffle.Cones); p++ { // one behind the other
			spec.Baffle.Cones[p].X = spec.Baffle.Cones[p-1].X + math.Max(2*a, spec.Baffle.Cones[p].X-spec.Baffle.Cones[p-1].X)
		}
		spec.Baffle.At = map[string]Spot{"mouth": {Y: -(a + math.Sqrt(spec.Line.Run.Area/math.Pi)) * rapid.Float64Range(1, 4).Draw(rt, "mouth apart")}}
		sys, _, err := Build(g, spec, set)
		if err != nil {
			rt.Fatal(err)
		}
		sol := sys.Program.NewSolver()
		for f := 12.0; f < 400; f *= 1.4 {
			if err := sol.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
			heat := 0.0
			for i := range sys.Coils {
				heat += sys.CoilPower(sol, &sys.Coils[i])
			}
			if in := sys.Drawn(sol); in < heat*(1-1e-9) {
				rt.Fatalf("at %g Hz it draws %g W and its coils turn %g W into heat", f, in, heat)
			}
		}
	})
}

// Places that cannot be are refused.
func TestBaffleFaults(t *testing.T) {
	set := lineSetting(t)
	d := of(t, 30, 0.4, 80, 5)
	for name, c := range map[string]struct {
		beside int
		spec   Spec
		key    string
	}{
		"too few cones":            {2, Spec{Kind: Sealed, Rear: Chamber{Volume: 0.03}, Baffle: &Baffle{Cones: []Spot{{}}}}, "baffle.cones"},
		"no places for two":        {2, Spec{Kind: Sealed, Rear: Chamber{Volume: 0.03}, Baffle: &Baffle{}}, "baffle"},
		"cones over each other":    {2, Spec{Kind: Sealed, Rear: Chamber{Volume: 0.03}, Baffle: &Baffle{Cones: []Spot{{}, {X: 0.05}}}}, "baffle.cones"},
		"a mouth over the cone":    {1, Spec{Kind: TransmissionLine, Line: Line{Run: Run{Length: 1, Area: 0.02}}, Baffle: &Baffle{At: map[string]Spot{"mouth": {X: 0.1}}}}, "baffle"},
		"a port inside the cone":   {1, Spec{Kind: Vented, Rear: Chamber{Volume: 0.03, Tuning: 30, Port: Port{Shape: Round, Diameter: 0.08}}, Baffle: &Baffle{At: map[string]Spot{"port": {X: 0.01}}}}, "baffle"},
		"a radiator on the woofer": {1, Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: 0.03, Tuning: 25}, Radiator: Radiator{Sd: 0.05, Mms: 0.05, Cms: 1e-3, Rms: 1}, Baffle: &Baffle{At: map[string]Spot{"radiator": {X: 0.01}}}}, "baffle"},
	} {
		_, _, err := Build(groupOf(t, driver.GroupSpec{Driver: d, SideBySide: c.beside, Stack: 1}), c.spec, set)
		var e *Error
		if !errors.As(err, &e) || e.Key != c.key || e.Reason == "" || e.Mend == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}
