package studyfile

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"basswright/internal/study"
)

// What the greatest level is told for, in each of its wordings: the spectrum is
// told by the share of its power below a frequency, which for pink noise is a
// matter of octaves and for the filtered one has half of what an octave at its end
// would have; only rounding is between.
func TestSignal(t *testing.T) {
	for _, c := range []struct {
		words, name  string
		crest        float64
		below, share float64 // Hz
	}{
		{"noise", "programme", 2, 100, math.NaN()},
		{"{spectrum: programme, crest: 4}", "programme", 4, 100, math.NaN()},
		{"{spectrum: pink, from: 25 Hz, to: 400 Hz}", "pink", 2, 100, 0.5},
		{"{spectrum: pink, from: 25 Hz, to: 400 Hz, crest: 3}", "pink", 3, 50, 0.25},
		{"{spectrum: pink_filtered, from: 20 Hz, to: 200 Hz}", "pink_filtered", 2, math.Sqrt(20 * 200), 0.5},
	} {
		st := signalled(t, c.words)
		if st == nil || st.Name != c.name || st.Crest != c.crest {
			t.Fatalf("%s: %+v", c.words, st)
		}
		spectrum, err := st.Spectrum()
		if err != nil {
			t.Fatal(err)
		}
		if got := spectrum.Below(c.below); !math.IsNaN(c.share) && math.Abs(got-c.share) > 1e-12 {
			t.Errorf("%s: %g of the power below %g Hz, want %g", c.words, got, c.below, c.share)
		}
	}
	for _, words := range []string{"sine", ""} {
		if n := signalled(t, words); n != nil {
			t.Errorf("signal: %s makes %+v", words, n)
		}
	}
}

func signalled(t *testing.T, words string) *study.Noise {
	t.Helper()
	text, err := os.ReadFile("testdata/good/smallest.yaml")
	if err != nil {
		t.Fatal(err)
	}
	drive := "drive: {power: 1 W}"
	if words != "" {
		drive = fmt.Sprintf("drive: {power: 1 W, signal: %s}", words)
	}
	st, err := Parse([]byte(strings.Replace(string(text), "drive: {power: 1 W}", drive, 1)), "s.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return st.Noise
}
