package enclosure

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/duct"
	"basswright/internal/network"
	"basswright/internal/radiation"
)

func lineSetting(t *testing.T) Setting {
	t.Helper()
	return Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1}
}

func built(t testing.TB, g *driver.Group, s Spec, set Setting) (*System, *network.Solver) {
	t.Helper()
	sys, _, err := Build(g, s, set)
	if err != nil {
		t.Fatal(err)
	}
	return sys, sys.Program.NewSolver()
}

// by is an element of a system by its name.
func by(t testing.TB, sys *System, name string) network.ElementID {
	t.Helper()
	for i, e := range sys.Net.Elements() {
		if e.Name == name {
			return network.ElementID(i)
		}
	}
	t.Fatalf("no part is called %q", name)
	return -1
}

// hand is a network put together by hand for one driver, with its cone and its mouth.
type hand struct {
	net         *network.Network
	cone        network.Node
	front, rear network.Node
	mouth, coil network.ElementID
}

func (h *hand) node(name string) network.Node { return h.net.AddNode(network.Acoustic, name) }

func (h *hand) driver(d *driver.Driver) {
	n := h.net
	h.cone = n.AddNode(network.Mechanical, "cone")
	n.AddAdmittance("moving parts", h.cone, network.Frame, network.Triple{G: d.Rms, C: d.Mms, L: 1 / d.Cms}, nil)
	m := n.AddMotor(network.MotorData{Name: "motor", Mech: h.cone, Bl: d.Bl, Value: network.Triple{C: d.Coil.Le}})
	h.coil = n.AddString("coil", n.AddSource("source"), network.Earth, network.Triple{G: d.Re}, network.Turn{Motor: m, N: 1})
	n.AddPiston("face", h.cone, d.Sd, h.front, h.rear)
}

// Every kind is the network that anyone would put together by hand from ducts,
// chambers and a mouth: cone, current and mouth agree to rounding.
func TestDistributedKindsAreTheirParts(t *testing.T) {
	set := lineSetting(t)
	air := set.Air
	rapid.Check(t, func(rt *rapid.T) {
		r := func(lo, hi float64, what string) float64 { return rapid.Float64Range(lo, hi).Draw(rt, what) }
		d := randomDriver(rt, "woofer")
		d.Coil = driver.VoiceCoil{Le: 1e-3}
		d.Creep = driver.Creep{}
		set := set
		set.RigidWalls = rapid.Bool().Draw(rt, "rigid walls")
		length, start, end := r(0.4, 4, "length"), r(0.004, 0.05, "start"), r(0.004, 0.2, "end")
		shape, err := duct.Exponential(length, start, end)
		if err != nil {
			rt.Fatal(err)
		}
		making := duct.Making{Gas: duct.GasOf(air), Walls: !set.RigidWalls}
		spec := Spec{Kind: rapid.SampledFrom([]Kind{TransmissionLine, TappedWaveguide, FrontLoadedHorn, BackLoadedHorn}).Draw(rt, "kind")}
		spec.Line.Run = Run{Length: length, Start: start, End: end, Flare: FlareExponential}
		if rapid.Bool().Draw(rt, "filled") {
			spec.Line.Fills = []duct.Filling{{From: 0.1 * length, To: 0.6 * length, Fill: duct.Fill{Resistivity: r(100, 20000, "resistivity")}}}
			making.Fills = spec.Line.Fills
		}
		spec.Line.Mouth = rapid.SampledFrom([]Mouth{{EndFlanged, LoadPipe}, {EndFlanged, LoadPiston}, {EndFree, LoadPipe}}).Draw(rt, "mouth")
		h := &hand{net: network.New(), front: network.Outside, rear: network.Outside}
		first, second := r(0.05, 0.4, "first")*length, r(0.5, 0.95, "second")*length
		places := []network.Node{h.node("start")}
		var at []float64
		switch spec.Kind {
		case TransmissionLine:
			spec.Line.Driver = first
			at = []float64{first}
			places = append(places, h.node("cone’s place"))
			h.rear = places[1]
		case TappedWaveguide:
			spec.Line.Front, spec.Line.Rear = first, second
			at = []float64{first, second}
			places = append(places, h.node("front tap"), h.node("rear tap"))
			h.front, h.rear = places[1], places[2]
		case FrontLoadedHorn:
			spec.Rear.Volume, spec.Line.Throat.Volume = r(0.002, 0.1, "rear"), r(1e-4, 0.01, "throat")
			h.front, h.rear = places[0], h.node("rear chamber")
			h.net.AddAdmittance("rear air", h.rear, network.Outside, network.Triple{C: spec.Rear.Volume / (air.Rho * air.C * air.C)}, nil)
			h.net.AddAdmittance("throat air", h.front, network.Outside, network.Triple{C: spec.Line.Throat.Volume / (air.Rho * air.C * air.C)}, nil)
		case BackLoadedHorn:
			h.rear = places[0]
		}
		parts, err := duct.NewParts(shape, making, at)
		if err != nil {
			rt.Fatal(err)
		}
		places = append(places, h.node("inside the mouth"))
		for i, p := range parts {
			h.net.AddTwoPort([]string{"one", "two", "three"}[i], places[i], places[i+1], p)
		}
		load, err := radiation.New(radiation.Opening{End: map[Mouth]radiation.End{{EndFlanged, LoadPipe}: radiation.Flanged, {EndFlanged, LoadPiston}: radiation.Piston, {EndFree, LoadPipe}: radiation.Free}[spec.Line.Mouth], Area: shape.Area(length)}, air.C, air.Rho)
		if err != nil {
			rt.Fatal(err)
		}
		h.mouth = h.net.AddImpedance("load", places[len(places)-1], network.Outside, network.Triple{}, load)
		h.driver(d)
		p, err := h.net.Compile()
		if err != nil {
			rt.Fatal(err)
		}
		ours, sol := built(t, oneOf(t, d), spec, set)
		theirs := p.NewSolver()
		w := 2 * math.Pi * math.Exp(r(math.Log(5), math.Log(500), "ln f"))
		if err := sol.Solve(w); err != nil {
			rt.Fatal(err)
		}
		if err := theirs.Solve(w); err != nil {
			rt.Fatal(err)
		}
		// Two networks with the same numbers in another order: only rounding is left, as
		// much of it as the equations of a resonance make of 1e-16.
		const within = 1e-12
		for what, v := range map[string][2]complex128{
			"cone":    {sol.Potential(ours.Cones[0].Node), theirs.Potential(h.cone)},
			"mouth":   {sol.Flow(by(t, ours, "mouth")), theirs.Flow(h.mouth)},
			"current": {ours.Current(sol), theirs.Flow(h.coil)},
		} {
			if cmplx.Abs(v[0]-v[1]) > within*cmplx.Abs(v[1]) {
				rt.Errorf("%s: %v, by hand %v: off by %.2g", what, v[0], v[1], cmplx.Abs(v[0]-v[1])/cmplx.Abs(v[1]))
			}
		}
	})
}

// A fact of the trade: a stack of n wired in parallel, in a line of 1/n of the
// section, moves as one of its drivers does in the whole section at the same voltage,
// and sounds alike. It holds for a line without loss and with a mouth whose load is n
// times as large, as an opening of the same form but 1/n of the area would have if it
// were as small against the wave.
func TestStackInAFractionOfTheLine(t *testing.T) {
	set := lineSetting(t)
	set.RigidWalls = true
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(2, 4).Draw(rt, "stack")
		d := randomDriver(rt, "woofer")
		area, length := rapid.Float64Range(0.01, 0.1).Draw(rt, "area"), rapid.Float64Range(0.5, 4).Draw(rt, "length")
		at := rapid.SampledFrom([]float64{0, length / 3}).Draw(rt, "at")
		lineOf := func(area float64) Spec {
			return Spec{Kind: TransmissionLine, Line: Line{Run: Run{Length: length, Start: area, End: area / 2}, Driver: at}}
		}
		one, sol1 := built(t, oneOf(t, d), lineOf(area), set)
		load := one.Net.Element(by(t, one, "mouth")).Law

		b := &builder{System: &System{Net: network.New(), Setting: set, Group: mount(t, d, 1, n, 1), Spec: lineOf(area / float64(n))}}
		b.rigid = b.Group.RigidSum()
		if err := b.size(); err != nil {
			rt.Fatal(err)
		}
		b.line.load = network.Scaled{Law: load, By: float64(n)}
		b.recipe()
		if err := b.group(); err != nil {
			rt.Fatal(err)
		}
		p, err := b.Net.Compile()
		if err != nil {
			rt.Fatal(err)
		}
		sol2 := p.NewSolver()
		f := math.Exp(rapid.Float64Range(math.Log(8), math.Log(400)).Draw(rt, "ln f"))
		for _, s := range []*network.Solver{sol1, sol2} {
			if err := s.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
		}
		const within = 1e-9 // rounding, near a resonance without loss
		for what, v := range map[string][2]complex128{
			"cone":    {sol2.Potential(b.Cones[0].Node), sol1.Potential(one.Cones[0].Node)},
			"sound":   {b.VolumeVelocity(sol2), one.VolumeVelocity(sol1)},
			"current": {b.Current(sol2) / complex(float64(n), 0), one.Current(sol1)},
		} {
			if cmplx.Abs(v[0]-v[1]) > within*cmplx.Abs(v[1]) {
				rt.Errorf("%s of a stack of %d: %v, of one %v", what, n, v[0], v[1])
			}
		}
	})
}

// A fact of the trade: a driver at a third of the effective length does not excite the
// three-quarter wave. In a pipe without loss the flow out of the mouth is that from
// the closed end times cos(k·d) (B2 of testdata/reference), so that at the place told
// nothing of it is left; and that place is a third of the length with the end.
func TestOffsetAtAThird(t *testing.T) {
	set := lineSetting(t)
	set.RigidWalls = true
	d := of(t, 30, 0.4, 80, 5)
	pipe := func(at float64) (*System, func(f float64) float64) {
		sys, sol := built(t, oneOf(t, d), Spec{Kind: TransmissionLine, Line: Line{Run: Run{Length: 2, Area: 0.03}, Driver: at}}, set)
		return sys, func(f float64) float64 {
			if err := sol.Solve(2 * math.Pi * f); err != nil {
				t.Fatal(err)
			}
			return cmplx.Abs(sol.Flow(by(t, sys, "mouth")) / (complex(d.Sd, 0) * sol.Potential(sys.Cones[0].Node)))
		}
	}
	end, ratio := pipe(0)
	f := end.Facts.Line
	third := f.Quiet(f.ThreeQuarters)
	end3 := imag(end.Net.Element(by(t, end, "mouth")).Law.At(2*math.Pi*f.ThreeQuarters)) / (2 * math.Pi * f.ThreeQuarters) * f.Mouth / set.Air.Rho
	// The mouth’s reactance is tan of the angle that its end correction stands for:
	// (k·e)²/3 is 1 % here, of an end of 4 % of the length.
	if want := (2 + end3) / 3; math.Abs(third/want-1) > 1e-3 {
		t.Errorf("the offset is %.4f m, a third of the effective length %.4f m", third, want)
	}
	_, apart := pipe(third)
	if at, off := ratio(f.ThreeQuarters), apart(f.ThreeQuarters); at < 10 || off > 1e-3*at {
		t.Errorf("at %.1f Hz the mouth gives %.3g of the cone’s flow from the closed end and %.3g from a third", f.ThreeQuarters, at, off)
	}
	if at, off := ratio(f.Quarter), apart(f.Quarter); math.Abs(off/at-math.Cos(math.Pi/6)) > 0.02 {
		t.Errorf("the quarter wave itself falls to %.3g of %.3g, not by cos 30°", off, at)
	}
	if got := set.Air.C / 4 / (2 + f.EndCorrection); math.Abs(f.Quarter/got-1) > 1e-3 {
		t.Errorf("the quarter wave is at %.3f Hz, c/4(L + end) = %.3f Hz", f.Quarter, got)
	}
}

// What cannot be names its key and its mend.
func TestDistributedFaults(t *testing.T) {
	set, g := lineSetting(t), oneOf(t, of(t, 30, 0.4, 80, 5))
	pipe := Run{Length: 2, Area: 0.03}
	for key, s := range map[string]Spec{
		"duct.length":  {Kind: TransmissionLine, Line: Line{Run: Run{Area: 0.03}}},
		"duct.profile": {Kind: TransmissionLine, Line: Line{Run: Run{Points: []duct.Point{{X: 0, Area: 0.03}, {X: 1, Area: 0.03}, {X: 0.5, Area: 0.03}}}}},
		"duct.flare":   {Kind: BackLoadedHorn, Line: Line{Run: Run{Start: 0.03, End: 0.01, Flare: FlareTractrix}}},
		"driver_at":    {Kind: TransmissionLine, Line: Line{Run: pipe, Driver: 2}},
		"rear_at":      {Kind: TappedWaveguide, Line: Line{Run: pipe, Front: 1, Rear: 1}},
		"front_at":     {Kind: TappedWaveguide, Line: Line{Run: pipe, Front: 2.5, Rear: 1}},
		"mouth.load":   {Kind: TransmissionLine, Line: Line{Run: pipe, Mouth: Mouth{EndFree, LoadPiston}}},
		"fill.to":      {Kind: TransmissionLine, Line: Line{Run: pipe, Fills: []duct.Filling{{From: 1, To: 3, Fill: duct.Fill{Resistivity: 1000}}}}},
		"rear.volume":  {Kind: FrontLoadedHorn, Line: Line{Run: pipe}},
	} {
		_, _, err := Build(g, s, set)
		e, ok := err.(*Error)
		if !ok || e.Key != key || e.Reason == "" || e.Mend == "" {
			t.Errorf("%s: %v", key, err)
		}
	}
}

// Energy: what goes into the coils is turned into heat in them and in the suspension,
// or leaves by the mouth, whose load takes |U|²·Re Z. In a duct without loss nothing
// else is left; with walls and fill the duct takes the rest, which is never negative.
func TestDistributedEnergy(t *testing.T) {
	set := lineSetting(t)
	rapid.Check(t, func(rt *rapid.T) {
		set := set
		set.RigidWalls = rapid.Bool().Draw(rt, "rigid walls")
		d := randomDriver(rt, "woofer")
		d.Coil, d.Creep = driver.VoiceCoil{Le: 1e-3}, driver.Creep{}
		spec := Spec{Kind: rapid.SampledFrom([]Kind{TransmissionLine, TappedWaveguide, BackLoadedHorn}).Draw(rt, "kind")}
		spec.Line.Run = Run{Length: rapid.Float64Range(0.5, 3).Draw(rt, "length"), Start: 0.01, End: rapid.Float64Range(0.005, 0.1).Draw(rt, "end"), Flare: FlareParabolic}
		spec.Line.Driver, spec.Line.Front, spec.Line.Rear = 0.2, 0.1, 0.4
		filled := rapid.Bool().Draw(rt, "filled")
		if filled {
			spec.Line.Fills = []duct.Filling{{Fill: duct.Fill{Resistivity: 2000, Density: rapid.SampledFrom([]float64{0, 10}).Draw(rt, "limp")}}}
		}
		sys, sol := built(t, oneOf(t, d), spec, set)
		if err := sol.Solve(2 * math.Pi * math.Exp(rapid.Float64Range(math.Log(5), math.Log(500)).Draw(rt, "ln f"))); err != nil {
			rt.Fatal(err)
		}
		sq := func(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }
		in := sys.Drawn(sol)
		heat := sys.CoilPower(sol, &sys.Coils[0]) + d.Rms*sq(sol.Potential(sys.Cones[0].Node))
		mouth := by(t, sys, "mouth")
		out := sq(sol.Flow(mouth)) * real(sys.Net.Element(mouth).Law.At(sol.Omega()))
		left := (in - heat - out) / in
		switch lossless := set.RigidWalls && !filled; {
		case out < 0 || left < -1e-9:
			rt.Errorf("in %g W, heat %g W, out %g W", in, heat, out)
		case lossless && math.Abs(left) > 1e-9:
			rt.Errorf("a duct without loss takes %g of what goes in", left)
		}
	})
}

// boxOrDuct is a box of any kind, with fill or without, or a duct of any.
func boxOrDuct(t *rapid.T) func(n float64) Spec {
	switch rapid.IntRange(0, 3).Draw(t, "box, filled box or duct") {
	case 0:
		return randomBox(t)
	case 1:
		s := Spec{Kind: rapid.SampledFrom([]Kind{Sealed, Vented}).Draw(t, "filled kind")}
		s.Rear = Chamber{Volume: rapid.Float64Range(0.005, 0.2).Draw(t, "filled volume"), Fill: Stuffing{duct.Fill{Resistivity: rapid.Float64Range(50, 50000).Draw(t, "chamber’s resistivity")}, rapid.Float64Range(0.1, 1).Draw(t, "share")}}
		if s.Kind == Vented {
			s.Rear.Tuning = 30
		}
		return func(float64) Spec { return s }
	}
	r := func(lo, hi float64, what string) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
	s := Spec{Kind: rapid.SampledFrom([]Kind{TransmissionLine, TappedWaveguide, FrontLoadedHorn, BackLoadedHorn}).Draw(t, "duct’s kind")}
	l := &s.Line
	length := r(0.5, 3, "length")
	l.Run = Run{Length: length, Start: r(0.005, 0.05, "start"), End: r(0.06, 0.3, "end"), Flare: rapid.SampledFrom([]Flare{FlareCone, FlareParabolic, FlareExponential, FlareHyperbolic}).Draw(t, "flare"), T: 0.6}
	if rapid.Bool().Draw(t, "jump") {
		l.Run = Run{Points: []duct.Point{{X: 0, Area: 0.02}, {X: 0.6 * length, Area: 0.02}, {X: 0.6 * length, Area: 0.05}, {X: length, Area: 0.05}}}
	}
	l.Driver, l.Front, l.Rear = rapid.SampledFrom([]float64{0, 0.3 * length}).Draw(t, "driver at"), 0.1*length, 0.9*length
	l.Mouth = rapid.SampledFrom([]Mouth{{}, {EndFlanged, LoadPipe}, {EndFree, LoadUnset}}).Draw(t, "mouth")
	s.Rear.Volume, l.Throat.Volume = r(0.005, 0.1, "rear"), rapid.SampledFrom([]float64{0, 0.002}).Draw(t, "throat")
	if rapid.Bool().Draw(t, "filled") {
		l.Fills = []duct.Filling{{From: 0.2 * length, Fill: duct.Fill{Resistivity: r(50, 50000, "resistivity")}}}
	}
	return func(float64) Spec { return s }
}
