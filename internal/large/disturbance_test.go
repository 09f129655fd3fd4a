package large

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// What the matrices of a disturbance do, a course without a source does that is given
// the same, step by step: also where coupled cones, a port and eddy currents remember.
// Between them are some thousand roundings of numbers that cancel in part.
func TestDisturbanceIsTheCourse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eddyDriver(t)
		g := single(d)
		if rapid.Bool().Draw(t, "stack") {
			g.Stack, g.Arrangement, g.Coupling, g.AllGaps = 2, driver.Clamshell, []driver.Coupling{{Volume: 1.5e-3}}, true
		}
		e := sealed(drawVolume(t, d))
		if rapid.Bool().Draw(t, "vented") {
			e.Kind, e.Rear.Tuning = enclosure.Vented, rapid.Float64Range(22, 45).Draw(t, "tuning")
		}
		m := New(build(t, g, e), Options{Adiabatic: rapid.Bool().Draw(t, "adiabatic")})
		const steps = 60
		h := 1 / rapid.Float64Range(20, 90).Draw(t, "f") / steps
		own, err := m.NewCourse(h)
		if err != nil {
			t.Fatal(err)
		}
		read, err := m.NewCourse(h)
		if err != nil {
			t.Fatal(err)
		}
		l := read.disturbance()
		n, p := l.states, l.ports
		z, next, given, seen := make([]float64, n), make([]float64, n), make([]float64, p), make([]float64, p)
		most := make([]float64, p)
		for k := range 2 * steps {
			for q := range given { // about what would move each port by one
				given[q] = math.Sin(float64(3*k+5*q)) / math.Max(math.Abs(l.d[q*p+q]), 1e-12)
			}
			own.s.Predict(0, own.free)
			own.eddies.predict(own.free)
			for r := range p {
				own.seen[r] = own.free[r]
				for q := range p {
					own.seen[r] += own.gain[r*p+q] * given[q]
				}
			}
			own.s.Commit(own.eddies.commit(given, own.seen))

			times(seen, l.c, z)
			times(next, l.a, z)
			for r := range n {
				next[r] += rowTimes(l.b[r*p:(r+1)*p], given)
			}
			for r := range p {
				seen[r] += rowTimes(l.d[r*p:(r+1)*p], given)
				most[r] = math.Max(most[r], math.Abs(own.seen[r]))
				if math.Abs(seen[r]-own.seen[r]) > 1e-10*most[r] {
					t.Fatalf("step %d, port %d: %g by the matrices, %g by the course", k, r, seen[r], own.seen[r])
				}
			}
			z, next = next, z
		}
	})
}

func rowTimes(row, x []float64) float64 {
	sum := 0.0
	for k, v := range row {
		sum += v * x[k]
	}
	return sum
}
