package place

import (
	"fmt"
	"strings"
	"testing"

	"basswright/internal/phys"
)

var (
	sinkComplex complex128
	sinkFloat   float64
)

// perFrequency are the functions that a sweep calls at every frequency.
func perFrequency(t testing.TB) map[string]func(f float64) {
	t.Helper()
	air := phys.StandardAir()
	z := newZone(t, Cabin{Volume: 3, Length: 2.5, Leak: Leak{Area: 5e-3, Q: 5}, Q: 10}, air)
	w := newWalls(t, air, 0.5, 1.3, 0.2)
	var table strings.Builder
	for i := range 1000 {
		fmt.Fprintf(&table, "%d;%d;%d\n", i+1, i%30, i%180)
	}
	m := read(t, table.String())
	return map[string]func(f float64){
		"ZoneTransfer":     func(f float64) { sinkComplex = z.Transfer(f) },
		"WallsGain":        func(f float64) { sinkFloat = w.Gain(f) },
		"MeasuredTransfer": func(f float64) { sinkComplex, _ = m.Transfer(f) },
		"AWeight":          func(f float64) { sinkFloat = AWeight(f) },
		"DailyTime":        func(f float64) { sinkFloat = DailyTime(f) },
	}
}

func TestPerFrequencyAllocatesNothing(t *testing.T) {
	for name, f := range perFrequency(t) {
		at := 20.0
		if n := testing.AllocsPerRun(200, func() { at++; f(at) }); n != 0 {
			t.Errorf("%s allocates %g times", name, n)
		}
	}
}

func BenchmarkPerFrequency(b *testing.B) {
	for name, f := range perFrequency(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			k := 0
			for b.Loop() {
				k++
				f(20 + float64(k%200))
			}
		})
	}
}
