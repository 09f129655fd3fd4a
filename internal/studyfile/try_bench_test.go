package studyfile

import (
	"fmt"
	"testing"
)

// What a step of a drag asks of this package: a quantity is tried on a file that is kept, and
// the study is made of it, of which all boxes are known.
func BenchmarkTryStudy(b *testing.B) {
	for _, c := range []struct{ path, value string }{
		{"candidates.tuned.enclosure.volume", "%.3f L"}, {"source.resistance", "0.%05.0f ohm"}, {"drivers.merlin-10.xmax", "%.3f mm"},
	} {
		b.Run(c.path, func(b *testing.B) {
			f := Open(readFile(b, "../../examples/camper-bench.yaml"), "bench.yaml")
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				n++
				next, err := f.Try(b.Context(), []Change{{Do: "set", Path: c.path, Value: fmt.Sprintf(c.value, 7+float64(n%20000)/1000)}})
				if err != nil {
					b.Fatal(err)
				}
				next.Make = unboxed
				if _, err := next.Study(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
