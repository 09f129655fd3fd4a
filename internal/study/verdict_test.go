package study

import (
	"strings"
	"testing"
)

// Where two are apart by the same at several frequencies, to rounding, the lowest is told:
// as where a group of twice as many cones is held by their excursion at each.
func TestLoudestIsToldOfTheLowestFrequency(t *testing.T) {
	of := func(apart float64) *Figures {
		f := &Figures{}
		for k, hz := range LevelFrequencies() {
			f.Greatest = append(f.Greatest, GreatestAt{Frequency: hz, Level: 90 + float64(k) + apart})
		}
		return f
	}
	v := verdict{&Study{}, of(6), of(0)}
	for k := range v.a.Greatest {
		v.a.Greatest[k].Level += 1e-14 * float64(k) // the rounding of another way to the same level
	}
	if got := v.loudness(); !strings.Contains(got, "6.0\u2009dB louder at 20\u2009Hz") {
		t.Error(got)
	}
	v.a, v.b = v.b, v.a
	if got := v.loudness(); !strings.Contains(got, "6.0\u2009dB quieter at 20\u2009Hz") {
		t.Error(got)
	}
	v.a.Greatest[2].Level -= 0.3 // which is no rounding
	if got := v.loudness(); !strings.Contains(got, "6.3\u2009dB quieter at 31.5\u2009Hz") {
		t.Error(got)
	}
}
