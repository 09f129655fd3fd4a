package study

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// What is read along a grid, whose places are solved three at once, is what is read one by
// one, whatever was read between: delays, which move the solvers, and another drive.
func TestReadyChangesNothing(t *testing.T) {
	st := camper(t)
	rapid.Check(t, func(t *rapid.T) {
		sys, _, err := st.Build(rapid.IntRange(0, len(st.Candidates)-1).Draw(t, "candidate"))
		if err != nil {
			t.Fatal(err)
		}
		m, alone := newMeter(st, sys), newMeter(st, sys)
		if rapid.Bool().Draw(t, "remembers") {
			m.trio[0].Remember(mostAnswers)
		}
		lo := rapid.Float64Range(5, 200).Draw(t, "lo")
		hi := lo * rapid.Float64Range(1, 3).Draw(t, "wide")
		far := 0
		m.grid(lo, hi, func(f float64) {
			far++
			switch rapid.IntRange(0, 5).Draw(t, "between") {
			case 0:
				m.delay(f)
			case 1:
				m.roughDelay(f)
			case 2:
				m.square(1.3 * f)
			case 3:
				m.feedVolts(3)
				alone.feedVolts(3)
			}
			for _, r := range []struct {
				name     string
				of       func(m *meter) float64
				rounding float64
			}{
				{"excursion", func(m *meter) float64 { return m.excursion(f, sys.Cones) }, 1e-12},
				{"impedance", func(m *meter) float64 { return m.impedance(f) }, 1e-12},
				{"level", func(m *meter) float64 { return m.level(f) }, 1e-12},
				{"delay", func(m *meter) float64 { return m.delay(f) }, 1e-8}, // a difference over 1e-4 of the frequency
			} {
				if got, want := r.of(m), r.of(alone); !(math.Abs(got-want) <= r.rounding*math.Abs(want)) {
					t.Fatalf("%s at %g Hz is %g, alone %g", r.name, f, got, want)
				}
			}
		})
		if least := math.Log2(hi/lo)*stepsPerOct + 1; float64(far) < least || m.err != nil {
			t.Fatalf("%d places of %g: %v", far, least, m.err)
		}
	})
}

// A delay by a forward difference is the one by a central difference but for what the step
// makes of it, which is enough to tell where it is longest.
func TestRoughDelay(t *testing.T) {
	st := camper(t)
	for i := range st.Candidates {
		sys, _, err := st.Build(i)
		if err != nil {
			t.Fatal(err)
		}
		m := newMeter(st, sys)
		longest := float64(m.longest(0).Value)
		grid(20, 1000, func(f float64) {
			// half the step times dτ/dω·ω, which is τ's own size times Q at the most: 1e-4 × 10
			if rough, exact := m.roughDelay(f), m.delay(f); !(math.Abs(rough-exact) <= 1e-3*longest) {
				t.Errorf("%s at %g Hz: %g s, roughly %g", st.Candidates[i].Name, f, exact, rough)
			}
		})
	}
}
