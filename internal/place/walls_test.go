package place

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/phys"

	"pgregory.net/rapid"
)

func newWalls(t testing.TB, air phys.Air, d ...float64) *Walls {
	t.Helper()
	w, err := NewWalls(air, d...)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// The limits of both rows: pressure at low frequencies, power at low and high ones.
func TestPublishedWalls(t *testing.T) {
	air := tableAir(t)
	found := 0
	for _, r := range check.Rows(t, "testdata/room-cabin.csv") {
		if r.ID != "room-cabin-048" && r.ID != "room-cabin-049" {
			continue
		}
		found++
		list, _, _ := strings.Cut(r.Value, " dB")
		want, err := check.Floats(strings.ReplaceAll(list, "+", ""), "/")
		if err != nil || len(want) != 4 {
			t.Fatalf("%s: %v, %v", r.ID, want, err)
		}
		for n := 1; n <= 3; n++ {
			w := newWalls(t, air, []float64{0.7, 1.1, 0.4}[:n]...)
			low := 20 * math.Log10(w.Gain(0))
			if r.ID == "room-cabin-049" { // the power: Gain² counts that it goes into 1/2ⁿ of the directions
				low -= 10 * math.Log10(float64(w.count))
			}
			check.Near(t, r.ID, low, want[n], 0.005, "two printed decimals")
		}
	}
	if found != 2 {
		t.Errorf("%d rows", found)
	}
	// f → ∞: each image adds its own power, and the walls leave a part of the directions.
	w := newWalls(t, air, 0.7, 1.1, 0.4)
	check.Near(t, "high limit", 20*math.Log10(w.Gain(math.Inf(1))), 30*math.Log10(2), 0.003, "kd of 7300: each of seven images is below 1/7300 of the source")
}

// Images summed at listeners far away in all directions, a sum that knows nothing
// of sinc, average to Gain.
func TestWallsAgainstImages(t *testing.T) {
	air := tableAir(t)
	for _, d := range [][]float64{{0.5}, {0.5, 1.3}, {0.5, 1.3, 0.2}, {0, 0.9}} {
		w := newWalls(t, air, d...)
		for _, f := range []float64{5, 60, 143, 300} {
			k := 2 * math.Pi * f / air.C
			var at [3]float64
			copy(at[:], d)
			// the phases of source and image are ±k·d·n along each axis: the sum is a product of cosines
			const rings, spokes = 400, 400
			sum := 0.0
			for i := range rings {
				z := (float64(i) + 0.5) / rings // equal areas: one octant stands for all
				s := math.Sqrt(1 - z*z)
				for j := range spokes {
					y, x := math.Sincos(math.Pi / 2 * (float64(j) + 0.5) / spokes)
					p := 1.0
					for axis, n := range [3]float64{s * x, s * y, z} {
						if axis < len(d) {
							p *= 2 * math.Cos(k*at[axis]*n)
						}
					}
					sum += p * p
				}
			}
			check.Near(t, "rms over directions", w.Gain(f), math.Sqrt(sum/(rings*spokes)), 1e-4, "midpoints of 400 × 400 directions: (kd/400)²")
		}
	}
}

// One wall by Waterhouse's own formula.
func TestOneWall(t *testing.T) {
	air := tableAir(t)
	w := newWalls(t, air, 0.8)
	for _, f := range []float64{1, 30, 100, 250} {
		x := 2 * 2 * math.Pi * f / air.C * 0.8
		check.Near(t, "power", w.Gain(f)*w.Gain(f)/2, 1+math.Sin(x)/x, 1e-14, arithmetic)
	}
}

func TestWallsProperties(t *testing.T) {
	air := tableAir(t)
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SliceOfN(rapid.Float64Range(0, 100), 1, 3).Draw(t, "distances")
		f := drawFrequency(t)
		w, err := NewWalls(air, d...)
		if err != nil {
			t.Fatal(err)
		}
		g := w.Gain(f)
		n := float64(int(1) << len(d))
		if !(g > 0 && g <= n*(1+1e-15)) { // a mean square of real cosines; all in phase at most
			t.Fatalf("gain %g of %g images", g, n)
		}
		// the order of the walls does not matter
		r := append([]float64(nil), d...)
		r[0], r[len(r)-1] = r[len(r)-1], r[0]
		v, err := NewWalls(air, r...)
		if err != nil {
			t.Fatal(err)
		}
		if off := math.Abs(v.Gain(f)/g - 1); !(off < 1e-4) { // phases of 1e6 turns lose ten digits
			t.Fatalf("reordered: off by %g", off)
		}
		// a wall at the source is the half space: what the others add does not change
		if len(d) < 3 {
			h, err := NewWalls(air, append([]float64{0}, d...)...)
			if err != nil {
				t.Fatal(err)
			}
			if off := math.Abs(h.Gain(f)/(2*g) - 1); !(off < 1e-12) {
				t.Fatalf("over the half space: off by %g", off)
			}
		}
	})
}

func TestWallsRefused(t *testing.T) {
	air := tableAir(t)
	for _, c := range []struct {
		d     []float64
		words string
	}{
		{nil, "there are 0"},
		{[]float64{1, 1, 1, 1}, "there are 4"},
		{[]float64{1, -1}, "lies outside"},
		{[]float64{math.NaN()}, "lies outside"},
		{[]float64{1, 1, math.Inf(1)}, "lies outside"},
	} {
		_, err := NewWalls(air, c.d...)
		refuses(t, err, "walls", c.words)
	}
	check.Panics(t, "speed of sound", func() { _, _ = NewWalls(phys.Air{}, 1) })
	check.Panics(t, "not a number", func() { newWalls(t, air, 1).Gain(math.NaN()) })
}
