package driver

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/note"
)

func TestFacingAndPolarity(t *testing.T) {
	d := merlin(t)
	for _, c := range []struct {
		name        string
		stack       int
		arrangement Arrangement
		facing      []Facing
		want        []Facing // from the listener inward
		is          Arrangement
	}{
		{"one driver", 1, Single, nil, []Facing{Front}, Single},
		{"one driver turned round", 1, Single, []Facing{Rear}, []Facing{Rear}, Single},
		{"tandem", 2, Tandem, nil, []Facing{Front, Front}, Tandem},
		{"nothing said", 2, Single, nil, []Facing{Front, Front}, Tandem},
		// Cone to cone: the outer driver has its magnet outside.
		{"clamshell", 2, Clamshell, nil, []Facing{Rear, Front}, Clamshell},
		{"magnet to magnet", 2, BackToBack, nil, []Facing{Front, Rear}, BackToBack},
		{"deep tandem", 4, Tandem, nil, []Facing{Front, Front, Front, Front}, Tandem},
		{"listed", 3, Single, []Facing{Front, Rear, Front}, []Facing{Front, Rear, Front}, MixedFacing},
		{"a clamshell, listed", 2, Single, []Facing{Rear, Front}, []Facing{Rear, Front}, Clamshell},
		{"a tandem, listed", 2, Single, []Facing{Rear, Rear}, []Facing{Rear, Rear}, Tandem},
	} {
		g, findings, err := NewGroup(GroupSpec{Driver: d, SideBySide: 2, Stack: c.stack, Arrangement: c.arrangement, Facing: c.facing})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if g.Arrangement != c.is || !g.MovesTogether() {
			t.Errorf("%s is %s, moves together: %v", c.name, g.Arrangement, g.MovesTogether())
		}
		var polarity []int
		for _, stack := range g.Positions {
			for k, m := range stack {
				// A driver with its rear to the listener takes reversed leads,
				// and every cone moves out for a positive voltage.
				if m.Facing != c.want[k] || m.Polarity != int(c.want[k]) || m.Direction() != 1 {
					t.Errorf("%s: driver %d is %+v", c.name, k, m)
				}
				polarity = append(polarity, m.Polarity)
			}
		}
		if !slices.Equal(polarity, g.NeededPolarity()) {
			t.Errorf("%s: needed %v, has %v", c.name, g.NeededPolarity(), polarity)
		}
		for _, f := range findings {
			if f.Severity != note.Default {
				t.Errorf("%s: %s", c.name, f.Text)
			}
		}
	}
}

func TestWrongPolarityIsLoudButBuilds(t *testing.T) {
	d := merlin(t)
	for _, c := range []struct {
		name       string
		sideBySide int
		polarity   []int
		id         string
		text, mend string
	}{
		{"a stack that fights", 1, []int{1, 1}, "polarity-fights", "2 pushes out while 1 pulls in", "polarity: [reversed, normal]"},
		{"the second of two", 2, []int{-1, 1, 1, 1}, "polarity-fights", "the stack at position 2 fight", "polarity: [reversed, normal, reversed, normal]"},
		{"positions that oppose", 2, []int{-1, 1, 1, -1}, "positions-oppose", "opposite ways", "polarity: [reversed, normal, reversed, normal]"},
		{"all reversed", 1, []int{1, -1}, "", "", ""},
	} {
		g, findings, err := NewGroup(GroupSpec{
			Driver: d, SideBySide: c.sideBySide, Stack: 2, Arrangement: Clamshell, Polarity: c.polarity,
			Coupling: []Coupling{{Volume: 2.1e-3}}, Wiring: Wiring{Way: WiringParallel}, Where: "candidates.compound.group",
		})
		if err != nil {
			t.Fatal(c.name, err)
		}
		if c.id == "" {
			if len(findings) != 0 || !g.MovesTogether() {
				t.Errorf("%s: %v", c.name, findings)
			}
			continue
		}
		if len(findings) != 1 || g.MovesTogether() {
			t.Errorf("%s: %v", c.name, findings)
			continue
		}
		f := findings[0]
		if f.ID != c.id || f.Severity != note.Warning || f.Where != "candidates.compound.group.polarity" ||
			!strings.Contains(f.Text, c.text) || !strings.Contains(f.Mend, c.mend) {
			t.Errorf("%s: %+v", c.name, f)
		}
		var e *CompositeError
		if _, err := g.Composite(); !errors.As(err, &e) {
			t.Errorf("%s has a composite", c.name)
		}
	}
}

func TestDefaultsAreTold(t *testing.T) {
	air := []Coupling{{Volume: 2e-3}}
	for _, c := range []struct {
		spec GroupSpec
		want string
	}{
		{GroupSpec{SideBySide: 1, Stack: 1}, ""},
		{GroupSpec{SideBySide: 2, Stack: 1}, "default-wiring"},
		{GroupSpec{SideBySide: 1, Stack: 2}, "default-arrangement default-coupling default-wiring"},
		{GroupSpec{SideBySide: 1, Stack: 2, Facing: []Facing{Front, Rear}, Coupling: air, Wiring: Wiring{Way: WiringSeries}}, "default-polarity"},
		{GroupSpec{SideBySide: 1, Stack: 2, Arrangement: Clamshell, Coupling: air, Polarity: []int{-1, 1}}, "default-wiring"},
		{GroupSpec{SideBySide: 1, Stack: 2, Arrangement: Tandem, Coupling: air, Wiring: Wiring{Way: WiringParallel}}, ""},
	} {
		c.spec.Driver = merlin(t)
		_, findings, err := NewGroup(c.spec)
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, f := range findings {
			ids = append(ids, f.ID)
		}
		if got := strings.Join(ids, " "); got != c.want {
			t.Errorf("%+v: told %q, want %q", c.spec, got, c.want)
		}
	}
}

func TestGroupErrors(t *testing.T) {
	d := merlin(t)
	ok := func(change func(*GroupSpec)) GroupSpec {
		s := GroupSpec{Driver: d, SideBySide: 1, Stack: 2}
		change(&s)
		return s
	}
	for _, c := range []struct {
		key, reason string
		spec        GroupSpec
	}{
		{"driver", "no driver", ok(func(s *GroupSpec) { s.Driver = nil })},
		{"side_by_side", "0 positions", ok(func(s *GroupSpec) { s.SideBySide = 0 })},
		{"stack", "stack of 0", ok(func(s *GroupSpec) { s.Stack = 0 })},
		{"stack", "stack of -1", ok(func(s *GroupSpec) { s.Stack = -1 })},
		{"side_by_side", "100 × 2 drivers are more", ok(func(s *GroupSpec) { s.SideBySide = 100 })},
		{"arrangement", "clamshell is an arrangement of a stack", ok(func(s *GroupSpec) { s.Stack, s.Arrangement = 1, Clamshell })},
		{"arrangement", "does not say how the drivers of a stack of 3 face", ok(func(s *GroupSpec) { s.Stack, s.Arrangement = 3, BackToBack })},
		{"arrangement", "mixed does not say", ok(func(s *GroupSpec) { s.Arrangement = MixedFacing })},
		{"facing", "facing says again", ok(func(s *GroupSpec) { s.Arrangement, s.Facing = Tandem, []Facing{Front, Front} })},
		{"facing", "lists 3 drivers", ok(func(s *GroupSpec) { s.Facing = []Facing{Front, Front, Rear} })},
		{"facing", "neither front nor rear", ok(func(s *GroupSpec) { s.Facing = []Facing{Front, 0} })},
		{"coupling", "only between the drivers of a stack", ok(func(s *GroupSpec) { s.Stack, s.Coupling = 1, []Coupling{{Volume: 2e-3}} })},
		{"coupling", "lists 2 gaps, and a stack of 4 has 3", ok(func(s *GroupSpec) { s.Stack, s.Coupling = 4, []Coupling{{}, {}} })},
		{"coupling", "lists 1 gap, and a stack of 3 has 2", ok(func(s *GroupSpec) { s.Stack, s.Coupling = 3, []Coupling{{}} })},
		{"coupling", "lists 2 gaps, and a stack of 2 has 1", ok(func(s *GroupSpec) { s.Coupling = []Coupling{{}, {}} })},
		{"coupling", "lists 2 gaps, and a stack of 4 has 3", ok(func(s *GroupSpec) { s.Stack, s.Coupling, s.AllGaps = 4, []Coupling{{}, {}}, true })},
		{"coupling", "lists 1 gap, and a stack of 3 has 2", GroupSpec{Members: [][]*Driver{{d, d, d}}, Coupling: []Coupling{{}}}},
		{"coupling", "cannot be between two cones", ok(func(s *GroupSpec) { s.Coupling = []Coupling{{Volume: -1e-3}} })},
		{"coupling", "is a pipe", ok(func(s *GroupSpec) { s.Coupling = []Coupling{{Volume: 0.05, Length: 1.2}} })},
		{"coupling", "is a pipe", ok(func(s *GroupSpec) { s.Coupling = []Coupling{{Volume: 0.05, Length: -0.1}} })},
		{"coupling", "less than a quarter of the cone’s 345 cm²", ok(func(s *GroupSpec) { s.Coupling = []Coupling{{Volume: 1e-3, Length: 0.2}} })},
		{"wiring", "2 driven coils do not divide into strings of 3", ok(func(s *GroupSpec) { s.Wiring = Wiring{WiringStrings, 3} })},
		{"wiring", "0 coils in series", ok(func(s *GroupSpec) { s.Wiring = Wiring{WiringStrings, 0} })},
		{"polarity", "lists 1 driver, and the group has 2", ok(func(s *GroupSpec) { s.Polarity = []int{1} })},
		{"polarity", "driver 2 is neither normal nor reversed", ok(func(s *GroupSpec) { s.Polarity = []int{1, 0} })},
		{"members", "says again", ok(func(s *GroupSpec) { s.Members = [][]*Driver{{d, d}} })},
		{"members", "is empty", GroupSpec{Members: [][]*Driver{}}},
		{"members", "is empty", GroupSpec{Members: [][]*Driver{{}}}},
		{"members", "position 2 has 1 driver and position 1 has 2", GroupSpec{Members: [][]*Driver{{d, d}, {d}}}},
		{"members", "position 1 names no driver", GroupSpec{Members: [][]*Driver{{d, nil}}}},
		{"members", "more than the 64", GroupSpec{Members: slices.Repeat([][]*Driver{{d}}, 65)}},
	} {
		g, _, err := NewGroup(c.spec)
		var e *GroupError
		if g != nil || !errors.As(err, &e) {
			t.Errorf("%s (%s): got %v, %v", c.key, c.reason, g, err)
			continue
		}
		if e.Key != c.key || e.Mend == "" || !strings.Contains(strings.ReplaceAll(e.Reason, "\u2009", " "), c.reason) {
			t.Errorf("%s (%s): %s", c.key, c.reason, e)
		}
	}
}

func TestWiringMend(t *testing.T) {
	_, _, err := NewGroup(GroupSpec{Driver: merlin(t), SideBySide: 2, Stack: 2, Wiring: Wiring{WiringStrings, 3}})
	var e *GroupError
	if !errors.As(err, &e) || e.Mend != "write in_series: 1, 2 or 4" {
		t.Errorf("got %v", err)
	}
}

func TestCouplingOfDeepStacks(t *testing.T) {
	one := Coupling{Volume: 2e-3, Length: 0.05}
	g, _, err := NewGroup(GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 3, Coupling: []Coupling{one}, AllGaps: true})
	if err != nil || !slices.Equal(g.Coupling, []Coupling{one, one}) {
		t.Errorf("one for all: %v %v", g, err)
	}
	two := []Coupling{{Volume: 1e-3}, {Volume: 3e-3}}
	g, _, err = NewGroup(GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 3, Coupling: two})
	if err != nil || !slices.Equal(g.Coupling, two) {
		t.Errorf("one each: %v %v", g, err)
	}
}

func TestStringsFollowTheOrder(t *testing.T) {
	d := merlin(t)
	d.Coils = Coils{Count: 3, Driven: 2}
	g, _, err := NewGroup(GroupSpec{Driver: d, SideBySide: 2, Stack: 2, Wiring: Wiring{WiringStrings, 4}})
	if err != nil {
		t.Fatal(err)
	}
	want := [][]CoilAt{
		{{0, 0, 0}, {0, 0, 1}, {0, 1, 0}, {0, 1, 1}},
		{{1, 0, 0}, {1, 0, 1}, {1, 1, 0}, {1, 1, 1}},
	}
	if got := g.Strings(); !reflect.DeepEqual(got, want) {
		t.Errorf("got %v", got)
	}
	if got, want := g.Re(), 2*d.Re; !near(got, want, 1e-12) {
		t.Errorf("Re %g, want %g", got, want)
	}
}

func TestReOfUnlikeMembers(t *testing.T) {
	a, b := *merlin(t), *merlin(t)
	a.Re, b.Re = 3, 6
	g, _, err := NewGroup(GroupSpec{Members: [][]*Driver{{&a, &b}}})
	if err != nil {
		t.Fatal(err)
	}
	if !g.Unlike || g.Alike() || !near(g.Re(), 2, 1e-12) {
		t.Errorf("unlike %v, alike %v, Re %g", g.Unlike, g.Alike(), g.Re())
	}
	var e *CompositeError
	if _, err := g.Composite(); !errors.As(err, &e) || !strings.Contains(e.Reason, "differ") {
		t.Errorf("composite of unlike members: %v", err)
	}
	steps := g.Ledger(air(t, 343.2, 1.2041))
	want := map[string][2]float64{"Coils": {3, 2}, "Cone area": {a.Sd, a.Sd}, "Rated power": {350, 700}, "Volume displacement": {a.Sd * a.Data.Xmax, a.Sd * a.Data.Xmax}}
	for _, s := range steps {
		if v, ok := want[s.Name]; ok {
			if !near(float64(s.Single), v[0], 1e-12) || !near(float64(s.Value), v[1], 1e-12) {
				t.Errorf("%s is %g against %g, want %v", s.Name, float64(s.Value), float64(s.Single), v)
			}
			delete(want, s.Name)
		}
	}
	if last := steps[len(steps)-1]; len(want) > 0 || !strings.Contains(last.Why, "differ") || last.Value.OK() {
		t.Errorf("no step for %v; at last %+v", want, last)
	}
}

func TestSymmetry(t *testing.T) {
	two := merlin(t)
	two.Coils = Coils{Count: 2}
	for _, c := range []struct {
		name              string
		sideBySide, stack int
		coils, inSeries   int
		ok                bool
		positions         int
		current           float64
		strings           int // of the representative
	}{
		{"one driver", 1, 1, 1, 1, true, 1, 1, 1},
		{"pair in parallel", 2, 1, 1, 1, true, 1, 2, 1},
		{"pair in series", 2, 1, 1, 2, true, 2, 1, 1},
		{"2 × 2, strings inside the stacks", 2, 2, 1, 2, true, 1, 2, 1},
		{"2 × 2, all in series", 2, 2, 1, 4, true, 2, 1, 1},
		{"four in two strings", 4, 1, 1, 2, true, 2, 2, 1},
		{"three side by side, two coils each, strings of three", 3, 1, 2, 3, false, 0, 0, 0},
		{"two coils each, in parallel", 2, 1, 2, 1, true, 1, 2, 2},
		{"two coils each, in series", 2, 1, 2, 2, true, 1, 2, 1},
		{"stack of three, strings of two", 2, 3, 1, 2, false, 0, 0, 0},
		{"one position whose strings run across its drivers", 1, 3, 2, 3, true, 1, 1, 2},
	} {
		d := merlin(t)
		d.Coils.Count = c.coils
		g, _, err := NewGroup(GroupSpec{Driver: d, SideBySide: c.sideBySide, Stack: c.stack, Wiring: Wiring{WiringStrings, c.inSeries}})
		if err != nil {
			t.Fatal(c.name, err)
		}
		s, ok := g.Symmetry()
		if ok != c.ok || s.PositionsInSeries != c.positions || s.CurrentFactor != c.current || len(s.Strings) != c.strings {
			t.Errorf("%s: %+v, %v", c.name, s, ok)
		}
	}
}

// TestSymmetryIsExact compares the group's resistance with that which the
// representative position stands for: E/q at it, and its current times the
// factor.
func TestSymmetryIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randomGroup(t)
		s, ok := g.Symmetry()
		if !ok {
			return
		}
		siemens := 0.0
		for _, str := range s.Strings {
			r := 0.0
			for _, c := range str {
				r += g.Positions[0][c.Member].Driver.Re
			}
			siemens += 1 / r
		}
		if got := float64(s.PositionsInSeries) / (s.CurrentFactor * siemens); !near(got, g.Re(), 1e-12) {
			t.Fatalf("Re %g by the representative, %g by the group", got, g.Re())
		}
	})
}

func TestSymmetryNeedsLikePositions(t *testing.T) {
	a, b := merlin(t), merlin(t)
	b.Mms *= 1.01
	g, _, err := NewGroup(GroupSpec{Members: [][]*Driver{{a, b}, {b, a}}})
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := g.Symmetry(); ok {
		t.Error("positions with their drivers in another order stand for each other")
	}
	g, _, _ = NewGroup(GroupSpec{Members: [][]*Driver{{a, b}, {a, b}}})
	if _, ok := g.Symmetry(); !ok {
		t.Error("like positions of unlike drivers do not stand for each other")
	}
	g, _, _ = NewGroup(GroupSpec{Driver: a, SideBySide: 2, Stack: 1, Polarity: []int{1, -1}})
	if _, ok := g.Symmetry(); ok {
		t.Error("positions that oppose stand for each other")
	}
}

// randomGroup is a group of like drivers with any wiring that divides.
func randomGroup(t *rapid.T) *Group {
	d := randomDriver(t)
	m := rapid.IntRange(1, 4).Draw(t, "side_by_side")
	k := rapid.IntRange(1, 4).Draw(t, "stack")
	n := m * k * d.Driven()
	var divide []int
	for s := 1; s <= n; s++ {
		if n%s == 0 {
			divide = append(divide, s)
		}
	}
	facing := make([]Facing, k)
	for i := range facing {
		facing[i] = rapid.SampledFrom([]Facing{Front, Rear}).Draw(t, "facing")
	}
	g, _, err := NewGroup(GroupSpec{
		Driver: d, SideBySide: m, Stack: k, Facing: facing,
		Wiring: Wiring{WiringStrings, rapid.SampledFrom(divide).Draw(t, "in_series")},
	})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// No air between the cones is a rigid link, and said so it is no default.
func TestNoAirIsRigid(t *testing.T) {
	g, found, err := NewGroup(GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 2, Coupling: []Coupling{{}}, AllGaps: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(g.Coupling) != 0 {
		t.Errorf("coupling %+v", g.Coupling)
	}
	for _, f := range found {
		if f.ID == "default-coupling" {
			t.Errorf("what was said is told as a default: %+v", f)
		}
	}
}
