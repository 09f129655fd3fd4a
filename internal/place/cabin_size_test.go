package place

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"basswright/internal/phys"
)

// No box of a volume and a longest side has a longer diagonal than its Reach, and
// one comes as near as one likes.
func TestReachHoldsEveryShape(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 4))
	for range 2000 {
		long := 1 + 10*r.Float64()
		wide, high := long*(0.02+0.98*r.Float64()), long*(0.02+0.98*r.Float64())
		c := Cabin{Volume: long * wide * high, Length: long}
		if d := math.Hypot(math.Hypot(long, wide), high); d > c.Reach()*(1+1e-12) {
			t.Fatalf("%g × %g × %g m: a diagonal of %g m, and a reach of %g m", long, wide, high, d, c.Reach())
		}
	}
	if got := (Cabin{Volume: 3 * 3 * 0.5, Length: 3}).Reach(); math.Abs(got-math.Sqrt(9+9+0.25)) > 1e-12 {
		t.Errorf("the reach of 3 m × 3 m × 0.5 m is %g m", got)
	}
}

func TestAPassageIsNoCabin(t *testing.T) {
	for _, c := range []struct {
		volume, length float64
		ok             bool
	}{
		{3, 2.6, true},              // a car
		{12 * 2.4 * 2.3, 12, true},  // a bus
		{20 * 1.5 * 2.2, 20, true},  // a corridor
		{3, slenderLength(3), true}, // just so
		{3, 1.01 * slenderLength(3), false},
		{3, 50, false},
	} {
		_, err := NewZone(Cabin{Volume: c.volume, Length: c.length}, phys.StandardAir())
		var e *Error
		if c.ok != (err == nil) || err != nil && (!errors.As(err, &e) || e.About != "length") {
			t.Errorf("%g m³ over %g m: %v", c.volume, c.length, err)
		}
	}
}
