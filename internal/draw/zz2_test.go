package draw

import "math"

func nan() float64 { return math.NaN() }
