package place

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// Walls are one to three rigid walls at right angles to each other near a small
// box: a floor, an edge, a corner. NewWalls makes them.
type Walls struct {
	paths [8]float64 // distance of every image from the source over c, s; the source itself is the first
	count int
}

// mostWalls is how many walls can be at right angles to each other.
const mostWalls = 3

// NewWalls are walls at the given distances, m (0 to 100), from the middle of
// what radiates. Walls that the space of the study already counts (the baffle
// of a half space) are not given again. The error is an *Error for no wall, for
// more than three and for a distance out of its range.
func NewWalls(air phys.Air, distances ...float64) (*Walls, error) {
	if !(air.C > 0) {
		panic("place: the air has no speed of sound")
	}
	if n := len(distances); n < 1 || n > mostWalls {
		return nil, &Error{
			About:  "walls",
			Reason: fmt.Sprintf("there are %d, and one to three can stand at right angles to each other", n),
			Mend:   "give the distances of the nearest one to three",
		}
	}
	w := &Walls{count: 1 << len(distances)}
	for i, d := range distances {
		if err := inRange("walls", "a distance", d, 0, 100, "m"); err != nil {
			return nil, err
		}
		for k := range 1 << i { // each image so far has another behind this wall
			w.paths[1<<i+k] = math.Hypot(w.paths[k], 2*d/air.C)
		}
	}
	return w, nil
}

// Gain is the rms sound pressure with the walls over that without them, at f in
// Hz, averaged in power over all directions that the walls leave open, far from
// box and walls:
//
//	√(N·Σ sin(kd_i)/(kd_i))
//
// over the N = 2, 4 or 8 sources of equal flow that the box and its images are, d_i
// the distance of the i-th from the box (0 for itself). The sum is the power that
// the box gives off, over that in the open (Waterhouse 1958, J. Acoust. Soc. Am.
// 30, 4); the N counts that the power goes into an Nth of the directions.
// Low frequencies: 6.02 dB for each wall. High ones: 3.01 dB.
//
// It is the average and not the sum at one spot: a study knows how far the listener
// sits and not where, and the notches of one spot move with every step, so that they
// would decide a comparison by chance. It has no phase. Walls that face each
// other are not in it, nor what a wall close to the listener adds.
func (w *Walls) Gain(f float64) float64 {
	omega := 2 * math.Pi * within(f)
	sum := 0.0
	for _, t := range w.paths[:w.count] {
		sum += sinc(omega * t)
	}
	return math.Sqrt(float64(w.count) * sum)
}

// sinc is sin(x)/x.
func sinc(x float64) float64 {
	if x < 1e-4 { // the next term, x⁴/120, is below the last digit
		return 1 - x*x/6
	}
	return math.Sin(x) / x
}
