package report

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/phys"
)

// unitWord is a unit as it stands in running words, where "in" alone would be
// read as the preposition.
func unitWord(k phys.Kind, u phys.System) string {
	if name := k.Unit(u).Name; name != "in" {
		return name
	}
	return "inches"
}

// AskedExtension and AskedLevel word a goal at its flag, alike in figures and on
// the page.
func AskedExtension(name string, at float64, u phys.System) string {
	return "asked: " + name + " " + phys.Brief(at, phys.Frequency, u)
}

// AskedLevel is told with the frequency that it is asked at.
func AskedLevel(level, at float64, u phys.System) string {
	return "asked: " + phys.Brief(level, phys.Level, u) + " at " + phys.Brief(at, phys.Frequency, u)
}

// A time response is drawn until it has come to rest, that is, stays within this
// share of its peak, but no longer than shownTime, ms, and no shorter than least:
// of an axis that goes on for long after that, a twentieth would hold everything.
const (
	atRest    = 0.02
	shownTime = 100.0
	least     = 5.0
)

// shownFor is how much of the time responses a figure shows: the next of 5, 10,
// 20, 50 and 100 ms.
func shownFor(series []draw.Series) float64 {
	last := 0.0
	for _, s := range series {
		peak := 0.0
		for _, v := range s.Y {
			peak = math.Max(peak, math.Abs(v))
		}
		for k := len(s.Y) - 1; k >= 0; k-- {
			if math.Abs(s.Y[k]) > atRest*peak {
				last = math.Max(last, s.X[k])
				break
			}
		}
	}
	for _, t := range []float64{least, 10, 20, 50} {
		if last <= t {
			return t
		}
	}
	return shownTime
}
