package study

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// bodyOf builds a group of merlins in a box and lays it out.
func bodyOf(t testing.TB, space *Space, gs driver.GroupSpec, spec enclosure.Spec) (Body, *enclosure.System) {
	t.Helper()
	if gs.Driver == nil {
		gs.Driver = merlin(t)
	}
	g, _, err := driver.NewGroup(gs)
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := enclosure.Build(g, spec, camper(t).Setting())
	if err != nil {
		t.Fatal(err)
	}
	return layBody(space, sys, phys.Metric), sys
}

// What a box holds is what stands in it: net air, bodies, ports, coupling air
// inside, and what is spare. The inside is the outside less the boards.
func TestBoxHoldsWhatStandsInIt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		net := rapid.Float64Range(0.008, 0.12).Draw(rt, "net volume")
		stack := rapid.IntRange(1, 3).Draw(rt, "stack")
		abreast := rapid.IntRange(1, 3).Draw(rt, "side by side")
		gs := driver.GroupSpec{SideBySide: abreast, Stack: stack}
		if stack > 1 {
			gs.Arrangement = driver.Tandem
			gs.Coupling, gs.AllGaps = []driver.Coupling{{Volume: 8e-3}}, true
		}
		spec := enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: net, Tuning: 29, Port: enclosure.Port{Shape: enclosure.Round, Diameter: 0.06}}}
		var space *Space
		if rapid.Bool().Draw(rt, "space") {
			space = &Space{Width: 0.7, Height: 0.28, Depth: 0.33, Panel: 0.015}
		}
		b, sys := bodyOf(t, space, gs, spec)
		inside := (b.Width - 2*b.Panel) * (b.Height - 2*b.Panel) * (b.Depth - 2*b.Panel)
		one, _ := driver.BodyVolume(sys.Group.Positions[0][0].Driver)
		want := net + sys.Facts.Ports[0].Volume + float64(abreast*stack)*one + sys.Facts.CouplingVolume + b.Boards + b.Spare
		if math.Abs(inside-want) > 1e-9 || b.Spare < -1e-12 {
			rt.Fatalf("the box holds %.9g m³, what stands in it takes %.9g m³, spare %.3g", inside, want, b.Spare)
		}
		f := FrameOf(sys.Group.Positions[0][0].Driver)
		if b.Width < float64(abreast)*f.Flange || b.Height < f.Flange || b.Depth-b.Panel < float64(stack)*f.Depth {
			rt.Fatalf("%v does not hold %d drivers of %v by %d", b, abreast, f, stack)
		}
		if space != nil && b.Fits != (b.Width < space.Width+0.5e-3 && b.Depth+b.InFront < space.Depth+0.5e-3 && b.Height < space.Height+0.5e-3) {
			rt.Fatalf("fits is %v for %v", b.Fits, b)
		}
	})
}

// The camper bench: the box takes the space's height and depth, as wide as the
// volume needs: (28 L + body)/(244 mm · 294 mm) + 2 · 18 mm.
func TestBoxInTheCamper(t *testing.T) {
	space := camper(t).Space
	one := driver.GroupSpec{SideBySide: 1, Stack: 1}
	b, _ := bodyOf(t, space, one, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.028}})
	body, estimated := driver.BodyVolume(merlin(t))
	want := (0.028+body)/(0.244*0.294) + 0.036
	if !estimated || math.Abs(b.Width-want) > 1e-9 || math.Abs(b.Height-0.28) > 1e-12 || math.Abs(b.Depth-0.33) > 1e-12 || !b.Fits {
		t.Errorf("%+v, want a width of %.4f m", b, want)
	}
	// a clamshell's outer driver stands in front, so the box is that less deep
	clam := driver.GroupSpec{SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell, Coupling: []driver.Coupling{{Volume: 2e-3}}}
	b, _ = bodyOf(t, space, clam, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.016}})
	if math.Abs(b.InFront-(0.132+7e-3+driver.LeastRing)) > 1e-12 || math.Abs(b.Depth+b.InFront-0.33) > 1e-9 {
		t.Errorf("box %.3f m deep and %.3f m in front of it, together the space's 0.33 m", b.Depth, b.InFront)
	}
	// too much is told by how much
	b, _ = bodyOf(t, space, one, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.08}})
	if b.Fits || !strings.HasSuffix(b.Why, "mm too wide") {
		t.Errorf("80 L fit into the bench: %q", b.Why)
	}
	deep := driver.GroupSpec{SideBySide: 1, Stack: 3, Arrangement: driver.Tandem}
	b, _ = bodyOf(t, space, deep, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.01}})
	if b.Fits || !strings.Contains(b.Why, "too deep") {
		t.Errorf("a stack of three fits 330 mm: %q", b.Why)
	}
	b, _ = bodyOf(t, nil, one, enclosure.Spec{Kind: enclosure.InfiniteBaffle})
	if b.Known {
		t.Error("an infinite baffle has a box")
	}
}

// Published: an outer box of 0.4 m each way with walls of 18 mm MDF has
// 0.015771456 m³ of boards and weighs 11.986307 kg (geometry and Hopkins,
// "Sound Insulation" 2007, table A2: 760 kg/m³), to the printed digits.
func TestBoardMass(t *testing.T) {
	for _, c := range []struct {
		w, h, d, t float64
		material   string
		kg         float64
	}{
		{0.4, 0.4, 0.4, 0.018, "MDF", 11.986307},
		{0.6, 0.4, 0.35, 0.018, "mdf", 14.848163},
		{0.5, 0.35, 0.3, 0.025, "MDF, black", 14.25},
	} {
		kg, known := boardMass(Body{Width: c.w, Height: c.h, Depth: c.d, Panel: c.t}, c.material)
		if !known || math.Abs(kg-c.kg) > 1e-6 {
			t.Errorf("%v weighs %.7f kg, want %.6f kg", c, kg, c.kg)
		}
	}
	if _, known := boardMass(Body{}, "marble"); known {
		t.Error("marble has a density")
	}
}
