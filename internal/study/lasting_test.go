package study_test

import (
	"testing"

	"basswright/internal/study"
)

// What lasts is never told as nothing, and what does not last is.
func TestLasting(t *testing.T) {
	for s, want := range map[float64]string{
		0: "0\u2009s", 2e-5: "0.020\u2009ms", 0.003: "3.0\u2009ms", 0.0099: "9.9\u2009ms", 0.01: "0.01\u2009s", 0.42: "0.42\u2009s",
		20: "20\u2009s", 300: "5.0\u2009min", 5400: "1.5\u2009h",
	} {
		if got := study.Lasting(s); got != want {
			t.Errorf("%g s: %s, want %s", s, got, want)
		}
	}
}
