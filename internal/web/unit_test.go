package web

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

// What a field holds in SI, over the unit of its row, is what the row shows: so
// the page can show, drag and type one number where another unit is written.
func TestFieldsCanBeToldInTheUnitOfTheirRow(t *testing.T) {
	for written, want := range map[string]string{"28 L": "28.0", "0.5 ft3": "14.2", "16000 cm3": "16.0"} {
		s := open(t)
		s.view()
		put(t, s.dir, "bench.yaml", strings.Replace(s.disk("bench.yaml"), "volume: 28 L", "volume: "+written, 1))
		v := s.view()
		if v.Result == nil {
			t.Fatalf("%s: %v", written, v.Faults)
		}
		found := false
		for k, r := range v.Result.Heads {
			for _, candidate := range v.Result.Candidates {
				c := candidate.Cells[k]
				if c.Path != volume {
					continue
				}
				for _, f := range v.Fields {
					if f.Path != volume {
						continue
					}
					found = true
					if f.SI == nil || r.Per <= 0 {
						t.Fatalf("%s: SI %v, unit %q of %g", written, f.SI, r.Unit, r.Per)
					}
					shown, err := strconv.ParseFloat(c.Text, 64)
					if err != nil || c.Text != want {
						t.Errorf("%s is shown as %q, want %s", written, c.Text, want)
					}
					// three digits are shown: half a unit of the last is at most 5e-3 of the value
					if got := *f.SI / r.Per; math.Abs(got-shown) > 5e-3*shown || fmt.Sprintf("%.1f", got) != want {
						t.Errorf("%s is %g %s by its field and %s in its row", written, got, r.Unit, c.Text)
					}
				}
			}
		}
		if !found {
			t.Errorf("%s: no row is set by %s", written, volume)
		}
	}
}
