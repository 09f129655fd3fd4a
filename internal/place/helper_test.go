package place

import (
	"errors"
	"math"
	"strings"
	"testing"

	"basswright/internal/note"
	"basswright/internal/phys"

	"pgregory.net/rapid"
)

// Why comparisons are as tight as they are.
const (
	arithmetic = "rounding of a few operations"
	lastDigit  = "half a unit of the last printed digit"
)

// tableAir is the air of the table of cabins: it says c; ρ is in its rows of
// levels alone, and is 1.18 there (Small's air) by their values.
func tableAir(t testing.TB) phys.Air {
	t.Helper()
	return airOf(t, 345, 1.18)
}

func airOf(t testing.TB, c, rho float64) phys.Air {
	t.Helper()
	a, err := phys.AirOf(c, rho)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func newZone(t testing.TB, c Cabin, air phys.Air) *Zone {
	t.Helper()
	z, err := NewZone(c, air)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

// dB is a ratio of pressures in dB.
func dB(h complex128) float64 { return 20 * math.Log10(math.Hypot(real(h), imag(h))) }

func isFinite(v ...float64) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// refuses demands an *Error about something, whose text holds some words.
func refuses(t testing.TB, err error, about, words string) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) {
		t.Errorf("%v is no *Error; want one about %s", err, about)
		return
	}
	if e.About != about || !strings.Contains(e.Reason, words) || e.Mend == "" || strings.Contains(e.Error(), "NaN") || strings.Contains(e.Error(), "Inf") {
		t.Errorf("%q, want one about %s with %q and a mend", e, about, words)
	}
}

// told is a finding as it is printed.
func told(findings []note.Finding) string {
	var b strings.Builder
	for _, f := range findings {
		b.WriteString(f.ID + " (" + f.Severity.String() + ") " + f.Where + ": " + f.Text + "; " + f.Mend + "\n")
	}
	return b.String()
}

// drawFrequency draws from frequencies within and beyond the bounds of the package.
func drawFrequency(t *rapid.T) float64 {
	return math.Pow(10, rapid.Float64Range(-6, 9).Draw(t, "log f"))
}
