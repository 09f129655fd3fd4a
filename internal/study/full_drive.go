package study

import (
	"math"
	"math/cmplx"
	"slices"
)

// What filters keep from a box at full power is told against what they leave of the
// band that it is used in, and not against what they are fed with: who has a filter
// that takes away there everywhere turns the level up until the amplifier gives all
// that it can where the filter takes away least. So a gain, a shelf or any other way
// of writing one protects nothing, and a high-pass protects by what it takes away
// below the band's loudest place. This is the one rule for all that is said of full
// power.

// bassTo is where bass ends, Hz: above, the loudspeaker that takes over decides, and
// not the bass (common practice).
const bassTo = 120.0

// usedBand is what filters leave of the band that a box is used in, at rising
// frequencies: only where they leave more than at any above, because a high-pass
// behind them, which lets through the more the higher, is loudest at one of these.
type usedBand struct{ hz, gain []float64 }

// used is the band from the limits' lower edge up to where bass ends, an octave at
// the least.
func (st *Study) used() usedBand {
	var all, out usedBand
	grid(st.LimitsFrom(), max(bassTo, 2*st.LimitsFrom()), func(f float64) {
		all.hz, all.gain = append(all.hz, f), append(all.gain, cmplx.Abs(st.Chain.At(2*math.Pi*f)))
	})
	top := 0.0
	for k := len(all.hz) - 1; k >= 0; k-- {
		if all.gain[k] > top {
			top = all.gain[k]
			out.hz, out.gain = append(out.hz, all.hz[k]), append(out.gain, top)
		}
	}
	slices.Reverse(out.hz)
	slices.Reverse(out.gain)
	return out
}

// lift is by how much the level is turned up behind the filters and a high-pass of
// gain h, and where in the band they are loudest then; from and to are between which
// of its places that is known to be. What filters lift is not turned down: it is
// played until the amplifier cuts it off.
func (b usedBand) lift(h func(hz float64) float64, from, to int) (by float64, at int) {
	most := 0.0
	for k := from; k <= to && k < len(b.hz); k++ {
		if g := b.gain[k] * h(b.hz[k]); g > most {
			most, at = g, k
		}
	}
	if !(most > 0) {
		return 1, from // nothing comes through, however loud
	}
	return max(1, 1/most), at
}

// makeUp is by how much the level is turned up behind the study's filters.
func (st *Study) makeUp() float64 {
	if len(st.Chain.Sections) == 0 { // alike at every frequency
		return max(1, 1/cmplx.Abs(st.Chain.At(0)))
	}
	b := st.used()
	by, _ := b.lift(func(float64) float64 { return 1 }, 0, len(b.hz))
	return by
}

// full is the share of all that the amplifier gives that comes through the filters
// at ω.
func (f feed) full(w float64) float64 { return min(1, cmplx.Abs(f.gain(w))*f.lift) }
