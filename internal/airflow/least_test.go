package airflow

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/phys"
)

// usual is a need that a port fits.
func usual() Need {
	return Need{
		Flow: 0.08, Frequency: 30, Count: 1, Outer: End{Flanged: true}, Air: phys.StandardAir(),
		Volume: 0.08, Tuning: 30, Depth: 0.6, Room: 0.02,
	}
}

// By hand: a round, sharp port whose stroke decides, Û = ωa·πa²; its length is
// that of Helmholtz’s resonator, S·c²/(ω²V), without the two ends.
func TestLeastByHand(t *testing.T) {
	n := usual()
	w := 2 * math.Pi * 30
	a := math.Cbrt(n.Flow / (math.Pi * w))
	f, err := Least(n)
	if err != nil {
		t.Fatal(err)
	}
	c := phys.StandardAir().C
	length := math.Pi*a*a*c*c/(w*w*n.Volume) - (0.8217+0.6133)*a
	check.Near(t, "diameter", f.Section.Diameter, 2*a, 1e-11, "of the bisection")
	check.Near(t, "length", f.Length, length, 1e-10, "of the bisection")
	check.Near(t, "speed", f.Speed, w*a, 1e-9, "of the bisection")
	check.Near(t, "pipe mode", f.PipeMode, c/2/(length+1.435*a), 1e-8, "of the bisection")
	check.Near(t, "volume", f.Taken, math.Pi*a*a*length, 1e-11, "of the bisection")
	if f.Basis != Stroke || len(f.Troubles)+len(f.Remedies) != 0 {
		t.Errorf("%+v", f)
	}
}

// A second way to what a flare holds: the air between the bore and the mouth by
// adaptive sums over the way along it, not over the angle.
func TestFlareByIntegration(t *testing.T) {
	for _, c := range []struct {
		s Section
		e End
	}{
		{Section{Diameter: 0.1}, End{Edge: 0.04, Flanged: true}},
		{Section{Diameter: 0.05}, End{Edge: 0.5}},
		{Section{Width: 0.3, Height: 0.04}, End{Edge: 0.03, Flanged: true}},
		{Section{Diameter: 0.1}, End{Mouth: 1.5, Slope: 0.1, Flanged: true}},
		{Section{Width: 0.3, Height: 0.04}, End{Mouth: 2, Slope: 0.08, Edge: 0.01}},
	} {
		h := max(c.s.Diameter, c.s.Height)
		area := func(wide float64) float64 {
			if c.s.Diameter > 0 {
				return math.Pi / 4 * wide * wide
			}
			return c.s.Width * wide
		}
		cone := 0.0
		wideEnd := h
		if c.e.Mouth > 1 {
			wideEnd = c.e.Mouth * h
			cone = (wideEnd - h) / 2 / math.Tan(c.e.Slope)
		}
		wide := func(x float64) float64 {
			if x < cone {
				return h + 2*x*math.Tan(c.e.Slope)
			}
			return wideEnd + 2*(c.e.Edge-math.Sqrt(max(0, c.e.Edge*c.e.Edge-(x-cone)*(x-cone))))
		}
		mass, volume := 0.0, 0.0
		for _, part := range [][2]float64{{0, cone}, {cone, cone + c.e.Edge}} {
			const pieces = 4000 // the rounding is steep at its end: small pieces
			for i := range pieces {
				x := func(i int) float64 { return part[0] + (part[1]-part[0])*float64(i)/pieces }
				if part[1] > part[0] {
					mass += quad.Fixed(func(x float64) float64 { return area(h) / area(wide(x)) }, x(i), x(i+1), 4, quad.Legendre{}, 0)
					volume += quad.Fixed(func(x float64) float64 { return area(wide(x)) }, x(i), x(i+1), 4, quad.Legendre{}, 0)
				}
			}
		}
		mouth := Section{Diameter: wideEnd + 2*c.e.Edge}
		end := phys.EndFree * mouth.Diameter / 2
		if c.e.Flanged {
			end = phys.EndFlanged * mouth.Diameter / 2
		}
		if c.s.Diameter == 0 {
			mouth = Section{Width: c.s.Width, Height: wideEnd + 2*c.e.Edge}
			end = phys.RectangularEndFree(mouth.Width, mouth.Height)
			if c.e.Flanged {
				end = phys.RectangularEndFlanged(mouth.Width, mouth.Height)
			}
		}
		mass += end * area(h) / area(wideEnd+2*c.e.Edge)
		got := c.e.stream(c.s)
		check.Near(t, "mass as a length", got.mass/mass, 1, 1e-5, "of the sum near the rounding’s end")
		check.Near(t, "volume", got.room/volume, 1, 1e-5, "as above")
		check.Near(t, "axial", got.axial, cone+c.e.Edge, 1e-15, "rounding")
	}
}

func TestLeastProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, inner, outer := drawn(t, true)
		n := usual()
		n.Inner, n.Outer = inner, outer
		n.Slot, n.Width = s.Diameter == 0, s.Width
		n.Count = rapid.IntRange(1, 4).Draw(t, "count")
		n.Flow = math.Pow(10, rapid.Float64Range(-3, 0).Draw(t, "log flow"))
		n.Frequency = rapid.Float64Range(15, 80).Draw(t, "f")
		n.Tuning, n.Volume = n.Frequency, rapid.Float64Range(0.01, 0.4).Draw(t, "volume")
		n.Depth, n.Room = rapid.Float64Range(0.1, 1).Draw(t, "depth"), rapid.Float64Range(0.001, 0.1).Draw(t, "room")
		f, err := Least(n)
		if err != nil {
			if !strings.Contains(err.Error(), "short enough") && !strings.Contains(err.Error(), "wide enough") {
				t.Fatal(err)
			}
			return
		}
		holds(t, n, f)
		for _, r := range f.Remedies {
			remedyHolds(t, n, f, r)
		}
		if last := f.Remedies; len(f.Troubles) > 0 && last[len(last)-1].Kind != Radiator {
			t.Fatalf("no radiator in %+v", last)
		}
		// More air, from the same speed limit, never wants less area.
		n.Flow *= 1.2
		if more, err := Least(n); err == nil && more.Area < f.Area*(1-1e-9) {
			t.Fatalf("%g m² for %g m³/s, %g m² for 1.2 times that", f.Area, n.Flow/1.2, more.Area)
		}
	})
}

// holds says whether the ports have the speed, and tune the box as asked: the
// mass from the port’s parts, and the frequency from that.
func holds(t *rapid.T, n Need, f Fit) {
	p, err := New(f.Section, n.Inner, n.Outer, n.Air)
	if err != nil {
		t.Fatal(err)
	}
	if f.Speed > f.Limit*(1+1e-9) || math.Abs(f.Speed*p.Area()*float64(n.Count)/n.Flow-1) > 1e-12 {
		t.Fatalf("speed %g, limit %g", f.Speed, f.Limit)
	}
	bore := f.Length - p.inner.axial - p.outer.axial
	mass := n.Air.Rho * (bore + p.inner.mass + p.outer.mass) / (p.Area() * float64(n.Count))
	tuning := math.Sqrt(n.Air.Rho*n.Air.C*n.Air.C/(mass*n.Volume)) / (2 * math.Pi)
	if bore < -1e-9 || math.Abs(tuning/n.Tuning-1) > 1e-9 {
		t.Fatalf("bore %g m, tuned to %g Hz, not to %g Hz", bore, tuning, n.Tuning)
	}
	slim := f.Section.Diameter <= smallest || n.Slot && f.Section.Height <= smallestSide
	if f.Basis != ShortPort && !slim && f.Speed < f.Limit*(1-1e-9) {
		t.Fatalf("a smaller port would do: %+v", f)
	}
	if f.Basis == ShortPort && bore > 1e-6 {
		t.Fatalf("a shorter port would do: %+v", f)
	}
	for _, c := range []struct {
		trouble Trouble
		is      bool
	}{{TooLong, f.Length > n.Depth}, {TooBig, f.Taken > n.Room}, {PipeModeNear, f.PipeMode < 2*n.Tuning}} {
		if slices.Contains(f.Troubles, c.trouble) != c.is {
			t.Fatalf("%+v of %+v", f, n)
		}
	}
}

// remedyHolds does as a remedy says, and looks.
func remedyHolds(t *rapid.T, n Need, f Fit, r Remedy) {
	with := n
	switch r.Kind {
	case Flare:
		with.Inner.Edge, with.Outer.Edge = max(r.Edge, n.Inner.Edge), max(r.Edge, n.Outer.Edge)
	case ToSlot:
		with.Slot = true
	case LessPower:
		if !(r.Power > 0 && r.Power < 1) {
			t.Fatalf("%+v", r)
		}
		with.Flow *= math.Sqrt(r.Power)
	case Fold:
		if r.Length != f.Length || len(f.Troubles) != 1 {
			t.Fatalf("%+v of %+v", r, f)
		}
		return
	case Radiator:
		if math.Abs(r.Displacement*2*math.Pi*n.Frequency/n.Flow-1) > 1e-12 {
			t.Fatalf("%+v", r)
		}
		return
	}
	with.Depth, with.Room = n.Depth*(1+1e-6), n.Room*(1+1e-6) // the remedy fits just so
	g, err := Least(with)
	if err != nil || math.Abs(g.Section.area()/r.Section.area()-1) > 1e-6 || math.Abs(g.Length-r.Length) > 1e-6 {
		t.Fatalf("%+v: %+v, %v", r, g, err)
	}
	left := slices.DeleteFunc(g.Troubles, func(x Trouble) bool {
		return r.Kind == ToSlot && x == TooLong || x == PipeModeNear && g.PipeMode > 2*n.Tuning*(1-1e-6)
	})
	if len(left) > 0 {
		t.Fatalf("%+v leaves %v", r, left)
	}
}

// A port that is far too long has all the remedies; each says what it is for.
func TestRemediesOfALongPort(t *testing.T) {
	n := usual()
	n.Flow, n.Volume, n.Room, n.Depth, n.Width = 0.12, 0.06, 0.04, 0.45, 0.35
	f, err := Least(n)
	if err != nil {
		t.Fatal(err)
	}
	var kinds []Kind
	for _, r := range f.Remedies {
		kinds = append(kinds, r.Kind)
	}
	if !slices.Equal(f.Troubles, []Trouble{TooLong}) || !slices.Equal(kinds, []Kind{Flare, Fold, ToSlot, LessPower, Radiator}) {
		t.Errorf("%+v", f)
	}
}

func TestShortPortsAreMadeWider(t *testing.T) {
	n := usual()
	n.Flow, n.Tuning, n.Volume = 0.002, 90, 0.1
	f, err := Least(n)
	if err != nil {
		t.Fatal(err)
	}
	// A hole: 2a·c²·π/(1.435·4π²f²·V)… its diameter from ω²V·1.435a = πa²c².
	w := 2 * math.Pi * 90
	a := w * w * 0.1 * 1.435 / (math.Pi * math.Pow(n.Air.C, 2))
	check.Near(t, "diameter of a hole", f.Section.Diameter, 2*a, 1e-10, "of the bisection")
	check.Near(t, "its length", f.Length, 0, 1e-9, "of the bisection")
	if f.Basis != ShortPort || f.Speed >= f.Limit || !strings.Contains(f.Basis.Source(), "tuning") {
		t.Errorf("%+v", f)
	}
}

func TestNeedFaults(t *testing.T) {
	for _, c := range []struct {
		change func(*Need)
		words  string
	}{
		{func(n *Need) { n.Flow = 0 }, "above zero"},
		{func(n *Need) { n.Frequency = math.NaN() }, "above zero"},
		{func(n *Need) { n.Flow = math.Inf(1) }, "above zero"},
		{func(n *Need) { n.Count = 0 }, "between 1 and 100"},
		{func(n *Need) { n.Slot = true }, "has to have a width"},
		{func(n *Need) { n.Width = 9 }, "2 mm and 5 m"},
		{func(n *Need) { n.Mass = -1 }, "below zero"},
		{func(n *Need) { n.Volume = math.NaN() }, "below zero"},
		{func(n *Need) { n.Tuning = 0 }, "nothing tells the mass"},
		{func(n *Need) { n.Depth = -1 }, "depth"},
		{func(n *Need) { n.Room = math.Inf(1) }, "room"},
		{func(n *Need) { n.Outer.Edge = -1 }, "outer"},
		{func(n *Need) { n.Air = phys.Air{} }, "air"},
		{func(n *Need) { n.Volume = 1e-12 }, "mass of the air"},
		{func(n *Need) { n.Flow = 1e4 }, "wide enough"},
		{func(n *Need) { n.Tuning, n.Volume = 3000, 0.3 }, "short enough"},
	} {
		n := usual()
		c.change(&n)
		_, err := Least(n)
		if e, ok := err.(*PortError); !ok || e.Mend == "" || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%q: %v", c.words, err)
		}
	}
	// A mass outright is the same as the volume and the tuning that make it.
	n := usual()
	a, err := Least(n)
	if err != nil {
		t.Fatal(err)
	}
	w := 2 * math.Pi * n.Tuning
	n.Mass, n.Volume, n.Tuning = n.Air.Rho*n.Air.C*n.Air.C/(w*w*n.Volume), 0, 0
	b, err := Least(n)
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "length by the mass", b.Length, a.Length, 1e-12, "rounding")
}
