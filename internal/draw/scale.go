package draw

import (
	"math"
	"strconv"
)

// NiceTicks are multiples of 1, 2 or 5 times a power of ten inside [lo, hi]: the finest such row of at most most.
func NiceTicks(lo, hi float64, most int) []float64 {
	if !finite(lo) || !finite(hi) || lo > hi || most < 1 {
		return nil
	}
	if lo == hi {
		return []float64{lo}
	}
	step := niceStep((hi - lo) / float64(most))
	for {
		first, last := math.Ceil(lo/step-1e-9), math.Floor(hi/step+1e-9)
		if int(last-first)+1 <= most {
			var out []float64
			for n := first; n <= last; n++ {
				out = append(out, tidy(n*step))
			}
			return out
		}
		step = niceStep(step * 1.5)
	}
}

// niceStep is the smallest 1, 2 or 5 times a power of ten that is not below v.
func niceStep(v float64) float64 {
	e := math.Floor(math.Log10(v))
	for _, m := range []float64{1, 2, 5} {
		if s := tidy(m * math.Pow(10, e)); s >= v*(1-1e-9) {
			return s
		}
	}
	return tidy(math.Pow(10, e+1))
}

// tidy takes the dust of binary arithmetic off a decimal number.
func tidy(v float64) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if v == 0 {
		return 0 // not −0
	}
	return v
}

// Bounds are the least and the largest finite value of the curves; ok is false where there is none.
func Bounds(ys ...[]float64) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, y := range ys {
		for _, v := range y {
			if finite(v) {
				lo, hi, ok = min(lo, v), max(hi, v), true
			}
		}
	}
	if !ok {
		return 0, 0, false
	}
	return lo, hi, true
}

// DecibelAxis is an axis of the given span (0 is 50 dB) that begins at a multiple of 5 dB, as low as it can with
// 3 dB left above the highest curve.
func DecibelAxis(name string, span float64, ys ...[]float64) YAxis {
	if !finite(span) || span <= 0 {
		span = 50
	}
	_, top, _ := Bounds(ys...)
	lo := 5 * math.Ceil((top+3-span)/5-1e-9)
	a := YAxis{Lo: lo, Hi: lo + span, Name: name}
	step := 10.0
	switch {
	case span > 130:
		step = 20
	case span < 12:
		step = 2
	case span < 24:
		step = 5
	}
	for n := math.Ceil(a.Lo/step - 1e-9); n*step <= a.Hi+1e-9; n++ {
		a.Ticks = append(a.Ticks, n*step)
	}
	for n := math.Floor(a.Lo / step); n*step < a.Hi; n++ {
		if v := (n + 0.5) * step; v > a.Lo && v < a.Hi {
			a.Fine = append(a.Fine, v)
		}
	}
	return a
}

// farLimit is how many times the highest curve a limit may be to still be shown: a curve flat on the floor says less
// than a limit left out.
const farLimit = 6

// nearLimit is how many decibels above the highest curve a limit may be to still be shown.
const nearLimit = 15

// RiseAxis is an axis from 0 for what counts upwards (excursion, air speed, delay of a well-behaved box). Limits are
// kept in sight, with the curves cut at twice the highest of them; a limit beyond six times the highest value is not.
func RiseAxis(name string, limits []float64, ys ...[]float64) YAxis {
	_, top, ok := Bounds(ys...)
	wall := 0.0
	for _, l := range limits {
		if finite(l) && l > 0 && (l <= farLimit*top || !ok || top <= 0) {
			wall = max(wall, l)
		}
	}
	hi := top * 1.05
	if wall > 0 {
		hi = min(max(hi, 1.3*wall), 2*wall)
	}
	if !(hi > 0) || !finite(hi) {
		hi = 1
	}
	if wall == 0 {
		hi = tidy(math.Ceil(hi/niceStep(hi/6)-1e-9) * niceStep(hi/6))
	}
	return YAxis{Lo: 0, Hi: hi, Ticks: NiceTicks(0, hi, 5), Name: name}
}

// LinearAxis is an axis that holds the curves and the values to include, ending at round numbers.
func LinearAxis(name string, include []float64, ys ...[]float64) YAxis {
	lo, hi, ok := Bounds(append(append([][]float64(nil), ys...), include)...)
	if !ok {
		lo, hi = 0, 1
	}
	if hi-lo <= 1e-9*max(math.Abs(lo), math.Abs(hi)) {
		pad := max(math.Abs(hi)/10, 1e-6)
		lo, hi = lo-pad, hi+pad
	}
	step := niceStep((hi - lo) / 6)
	lo, hi = tidy(math.Floor(lo/step+1e-9)*step), tidy(math.Ceil(hi/step-1e-9)*step)
	return YAxis{Lo: lo, Hi: hi, Ticks: NiceTicks(lo, hi, 6), Name: name}
}

// LogAxis is a logarithmic axis that holds the curves and the values to include, with 1-2-5 ticks and ends. What is
// not above zero is left out of account; at most four decades below the top are shown.
func LogAxis(name string, include []float64, ys ...[]float64) YAxis {
	lo, hi := math.Inf(1), 0.0
	for _, y := range append(append([][]float64(nil), ys...), include) {
		for _, v := range y {
			if finite(v) && v > 0 {
				lo, hi = min(lo, v), max(hi, v)
			}
		}
	}
	if hi == 0 {
		lo, hi = 1, 10
	}
	lo = max(lo, hi/1e4)
	a := YAxis{Log: true, Name: name, Lo: step125(lo, false), Hi: step125(hi, true)}
	if a.Lo >= a.Hi {
		a.Lo, a.Hi = step125(lo*0.75, false), step125(hi*1.5, true)
	}
	wide := a.Hi/a.Lo > 1e3*(1+1e-9) // numbers of 1-2-5 touch in the lowest figures beyond three decades
	for e := math.Floor(math.Log10(a.Lo) + 1e-9); ; e++ {
		for m := 1; m <= 9; m++ {
			v := tidy(float64(m) * math.Pow(10, e))
			switch {
			case v > a.Hi*(1+1e-9):
				return a
			case v < a.Lo*(1-1e-9):
			case m == 1 || !wide && (m == 2 || m == 5):
				a.Ticks = append(a.Ticks, v)
			case !wide || m == 2 || m == 5:
				a.Fine = append(a.Fine, v)
			}
		}
	}
}

// step125 is the nearest 1, 2 or 5 times a power of ten at or above v, or at or below it.
func step125(v float64, up bool) float64 {
	s := niceStep(v)
	if up || s <= v*(1+1e-9) {
		return s
	}
	e := math.Floor(math.Log10(v) + 1e-12)
	best := tidy(math.Pow(10, e))
	for _, m := range []float64{2, 5} {
		if c := tidy(m * math.Pow(10, e)); c <= v*(1+1e-9) {
			best = c
		}
	}
	return best
}
