// Package check holds what the tests of several packages share: files of
// expected text, tables of published values, and comparison within a tolerance
// that says its reason. No code of the product may import it.
package check

import (
	"math"
	"strings"
	"testing"
)

// Near fails unless got lies within the tolerance of want; a value that is not a
// number never does. why says where the tolerance comes from.
func Near(t testing.TB, what string, got, want, tolerance float64, why string) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.15g, want %.15g ± %.3g (%s)", what, got, want, tolerance, why)
	}
}

// Panics fails unless f panics with a text that holds some words: that is how a
// caller's mistake ends.
func Panics(t testing.TB, words string, f func()) {
	t.Helper()
	defer func() {
		t.Helper()
		switch v := recover().(type) {
		case nil:
			t.Errorf("no panic; want one with %q", words)
		case string:
			if !strings.Contains(v, words) {
				t.Errorf("panic %q, want one with %q", v, words)
			}
		default:
			panic(v) // not ours: a fault of the runtime
		}
	}()
	f()
}
