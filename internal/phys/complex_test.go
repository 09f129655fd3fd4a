package phys

import (
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

// A size is that which takes care, over all that it is told to hold for.
func TestAbs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-150, 1e150), rapid.Float64Range(-1e6, -1e-12))
		z := complex(part.Draw(t, "re"), part.Draw(t, "im"))
		if got, want := Abs(z), cmplx.Abs(z); got < want*(1-4e-16) || got > want*(1+4e-16) { // two roundings
			t.Errorf("|%v| is %v, want %v", z, got, want)
		}
	})
}
