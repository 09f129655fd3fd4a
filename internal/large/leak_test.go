package large

import (
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// A course comes to the steady state of a chamber whose static pressure leaks away,
// which lies far from that of one that keeps it. What the leak takes of the spring is
// (0.4/f)² in the sound, which resonance and curves may make ten times as much of.
func TestCourseLeaks(t *testing.T) {
	c, _ := readCase(t, "C_sealed_single")
	m := New(c.system(t), Options{})
	for _, at := range [][2]float64{{40, 10}, {80, 30}} {
		f, volts := at[0], at[1]
		s, err := m.Steady(f, volts)
		if err != nil {
			t.Fatal(err)
		}
		kept, err := m.Tight().Steady(f, volts)
		if err != nil {
			t.Fatal(err)
		}
		coarse, fine := settled(t, m, f, volts, 300), settled(t, m, f, volts, 600)
		x, first := s.Cone(0), cmplx.Abs(s.Cone(0).Of[0])
		near := 10 * (leakAt / f) * (leakAt / f)
		for n := range fine {
			got, want := (4*fine[n]-coarse[n])/3, complex(x.Mean, 0)
			if n > 0 {
				want = x.Of[n-1]
			}
			if d := cmplx.Abs(got - want); d > near*first {
				t.Errorf("%g Hz, %g V: line %d is %.6g in time and %.6g balanced, off by %.2e of the fundamental", f, volts, n, got, want, d/first)
			}
		}
		if d := math.Abs(kept.Cone(0).Mean - x.Mean); d < 20*near*first {
			t.Errorf("%g Hz, %g V: keeping the pressure moves the mean by %.2e of the fundamental alone", f, volts, d/first)
		}
	}
}

// Only what is closed has a leak, and what keeps its pressure has none.
func TestOnlyClosedChambersLeak(t *testing.T) {
	d := &driver.Driver{Name: "anvil", Re: 4, Bl: 10, Mms: 0.04, Cms: 1e-3, Rms: 1, Sd: 0.02, Coils: driver.Coils{Count: 1}}
	none, given := enclosure.Loss{State: enclosure.LossNone}, enclosure.Loss{State: enclosure.LossGiven, Q: 7}
	box := func(kind enclosure.Kind, leak enclosure.Loss) enclosure.Spec {
		return enclosure.Spec{Kind: kind, Rear: enclosure.Chamber{Volume: 0.03, Tuning: 40 * float64(min(1, kind-enclosure.Sealed)), Losses: enclosure.Losses{Leakage: leak}}}
	}
	for name, v := range map[string]struct {
		spec enclosure.Spec
		o    Options
		want int
	}{
		"sealed":        {box(enclosure.Sealed, none), Options{}, 1},
		"keeps it":      {box(enclosure.Sealed, none), Options{Adiabatic: true}, 0},
		"leaky already": {box(enclosure.Sealed, given), Options{}, 0},
		"vented":        {box(enclosure.Vented, none), Options{}, 0},
	} {
		if got := len(New(build(t, single(d), v.spec), v.o).Parts().Leaks); got != v.want {
			t.Errorf("%s: %d leaks, want %d", name, got, v.want)
		}
	}
}

// A leak alone at a node is the circuit that it says: mass, resistance and the
// spring that it empties.
func TestLeakEmptiesASpring(t *testing.T) {
	l := Leak{Compliance: 2e-7, Whole: 5e-7}
	w := 2 * math.Pi * 0.4
	got := l.Through(0.4)
	if d := got.M*l.Compliance*w*w - 1; math.Abs(d) > 1e-12 {
		t.Errorf("the mass resonates elsewhere: %g", d)
	}
	if d := got.R*got.R*l.Whole/(4*got.M) - 1; math.Abs(d) > 1e-12 { // R² = 4M/C
		t.Errorf("the decay is not critical: %g", d)
	}
}
