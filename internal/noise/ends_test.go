package noise

import (
	"math"
	"testing"
)

// Between its ends lies all of a noise’s power, and next to nothing less than
// all: what is left of a filtered one is the millionth that is promised.
func TestEnds(t *testing.T) {
	pink, err := Pink(3, 30)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []Spectrum{pink, Programme()} {
		low, high := s.Ends()
		if s.Below(low*(1+1e-9)) > 1e-8 || s.Below(high*(1-1e-9)) < 1-1e-8 || s.Below(low*1.01) == 0 || s.Below(high/1.01) == 1 {
			t.Errorf("from %g to %g: %g below and %g above", low, high, s.Below(low), 1-s.Below(high))
		}
	}
	for _, band := range [][2]float64{{20, 200}, {0.1, 1e6}, {50, 51}} {
		s, err := PinkFiltered(band[0], band[1])
		if err != nil {
			t.Fatal(err)
		}
		low, high := s.Ends()
		if math.IsNaN(low) || math.IsNaN(high) {
			t.Fatalf("%v: from %g to %g", band, low, high)
		}
		// The next term of the series, −u²/2L², takes less than a tenth that far out.
		for _, left := range []float64{s.Below(low), 1 - s.Below(high)} {
			if left > beyond*(1+1e-6) || left < 0.9*beyond {
				t.Errorf("%v: %g left outside", band, left)
			}
		}
	}
}
