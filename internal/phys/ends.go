package phys

import "math"

// The end corrections of a long round pipe, in radii.
const (
	EndFlanged = 0.8217 // in an infinite flange (Nomura, Yamamura & Inawashiro 1960)
	EndFree    = 0.6133 // without a flange (Levine & Schwinger 1948, as printed)
)

// RectangularEndFlanged is the end correction, m, of a rectangular opening of
// sides w and h, m, in an infinite flange: the static air mass of a rigid
// rectangular piston (Rayleigh's integral of 1/R over the face; Ingard 1953),
//
//	[w²h·arsinh(h/w) + wh²·arsinh(w/h) + (w³ + h³ − (w² + h²)^1.5)/3] / (π·w·h)
//
// It is an upper bound for a pipe, whose air may move unevenly in its mouth:
// by mode matching, 3.2 % above a square pipe, 3.1 % at 2:1, 2.6 % at 4:1,
// 1.6 % at 16:1 (for a circle 0.8488/0.8217, 3.3 %).
//
// Sides must be positive; an opening without area has no correction.
func RectangularEndFlanged(w, h float64) float64 {
	if !(w > 0 && h > 0) {
		return 0
	}
	d := math.Hypot(w, h)
	i := w*w*h*math.Asinh(h/w) + w*h*h*math.Asinh(w/h) + (w*w*w+h*h*h-d*d*d)/3
	return i / (math.Pi * w * h)
}

// RectangularEndFree is the end correction, m, of a rectangular pipe without a
// flange. No published formula for all aspect ratios was at hand: it is the
// flanged one times that of a round pipe, 0.6133/0.8217.
func RectangularEndFree(w, h float64) float64 {
	return RectangularEndFlanged(w, h) * EndFree / EndFlanged
}
