package large

import (
	"math"
	"math/cmplx"
	"testing"
)

// The course in time of each reference case, once it has settled, has the lines
// that the harmonic balance finds.
func TestCourseSettlesToTheSteadyState(t *testing.T) {
	for _, id := range referenceIDs {
		t.Run(id, func(t *testing.T) {
			c, rows := readCase(t, id)
			m := New(c.system(t), Options{Adiabatic: true, LinearAir: true})
			for _, row := range rows[:5] {
				compareWithCourse(t, m, row["frequency_hz"], row["drive_v_rms"])
			}
		})
	}
}

// fataler is what tests and properties share.
type fataler interface {
	Helper()
	Errorf(string, ...any)
	Fatal(...any)
}

// compareWithCourse holds the cone's first lines in both methods against each
// other. The trapezoidal rule's error goes with the square of the step, so that
// of two courses with 600 and 1200 steps a period leaves an error of the fourth
// order once it is taken off: (5·2π/600)⁴/720 = 1e-8 at the fifth line, times
// what resonances make of it. The courses are followed until a period changes no
// line by more than 1e-8 of the fundamental; a slow decay hides 100 times that.
func compareWithCourse(t fataler, m *Model, f, v float64) {
	t.Helper()
	s, err := m.Steady(f, v)
	if err != nil {
		t.Fatal(err)
	}
	coarse, fine := settled(t, m, f, v, 600), settled(t, m, f, v, 1200)
	x := s.Cone(0)
	first := cmplx.Abs(x.Of[0])
	for n := range fine {
		got := (4*fine[n] - coarse[n]) / 3
		want := complex(x.Mean, 0)
		if n > 0 {
			want = x.Of[n-1]
		}
		if d := cmplx.Abs(got - want); d > 2e-6*first {
			t.Errorf("%g Hz, %g V: line %d is %.6g in time and %.6g balanced, off by %.2e of the fundamental", f, v, n, got, want, d/first)
		}
	}
}

// settled is the mean and the first five lines of cone 0 over a period once
// they no longer change.
func settled(t fataler, m *Model, f, v float64, steps int) (lines [6]complex128) {
	co, err := m.NewCourse(1 / f / float64(steps))
	if err != nil {
		t.Fatal(err)
	}
	for period := range 5000 {
		before := lines
		lines = [6]complex128{}
		for k := 1; k <= steps; k++ {
			at := 2 * math.Pi * float64(k) / float64(steps)
			ramp := math.Min(1, (float64(period)+float64(k)/float64(steps))/10) // so that it settles where the sine alone does
			if err := co.Step(ramp * math.Sqrt2 * v * math.Sin(at)); err != nil {
				t.Fatal(err)
			}
			for n := range lines {
				part := 2.0
				if n == 0 {
					part = 1
				}
				lines[n] += complex(part*co.Cone(0)/float64(steps), 0) * cmplx.Exp(complex(0, -float64(n)*at))
			}
		}
		var change float64
		for n := range lines {
			change = math.Max(change, cmplx.Abs(lines[n]-before[n]))
		}
		if period > 20 && change < 1e-8*cmplx.Abs(lines[1]) {
			return lines
		}
	}
	t.Fatal("the course does not settle")
	return lines
}

// A course that adopts another's state halfway goes on as that one would; with
// coils of another resistance it goes to that one's steady state.
func TestAdopt(t *testing.T) {
	c, _ := readCase(t, "C_vented_single")
	m := New(c.system(t), Options{})
	start := func() *Course {
		co, err := m.NewCourse(1e-4)
		if err != nil {
			t.Fatal(err)
		}
		return co
	}
	step := func(co *Course, k int) {
		if err := co.Step(15 * math.Sin(2*math.Pi*40*1e-4*float64(k))); err != nil {
			t.Fatal(err)
		}
	}
	whole, half := start(), start()
	for k := range 1000 {
		step(whole, k)
		step(half, k)
	}
	rest := start()
	rest.Adopt(half)
	c.Driver.Re *= 1.3
	warm, err := New(c.system(t), Options{}).NewCourse(1e-4)
	if err != nil {
		t.Fatal(err)
	}
	warm.Adopt(half)
	cold := half.Cone(0)
	if warm.Cone(0) != cold {
		t.Errorf("the cone jumps from %g to %g", cold, warm.Cone(0))
	}
	alone, err := New(c.system(t), Options{}).NewCourse(1e-4)
	if err != nil {
		t.Fatal(err)
	}
	for k := range 1000 { // the same voltage from the start, in a model that was always warm
		step(alone, k)
	}
	for k := 1000; k < 21000; k++ {
		step(whole, k)
		step(rest, k)
		step(warm, k)
		step(alone, k)
	}
	if d := math.Abs(whole.Cone(0) - rest.Cone(0)); d > 1e-12 {
		t.Errorf("after it was adopted the course is off by %g m", d)
	}
	if d := math.Abs(warm.Cone(0) - alone.Cone(0)); d > 1e-8 { // what is left of the start after two seconds
		t.Errorf("a warm course is off by %g m from one that was always warm", d)
	}
	if d := math.Abs(whole.Cone(0) - warm.Cone(0)); d < 1e-5 {
		t.Errorf("the warmer coil changes nothing: %g m", d)
	}
}
