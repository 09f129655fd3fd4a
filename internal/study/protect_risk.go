package study

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"basswright/internal/filter"
	"basswright/internal/phys"
)

// risk is what moves at one frequency when the amplifier gives all that it can.
type risk struct {
	hz    float64
	share float64 // of a limit, the largest, at the amplifier's most
	by    BoundID // whose limit
	gain  float64 // of the study's filters, which stand before it
}

// behind is the share where h comes of another filter and the level behind both: what
// all together lift beyond the amplifier's limits is cut off.
func (r risk) behind(h float64) float64 { return r.share * min(1, r.gain*h) }

// risks are those of a range, rising, so near each other that no peak is between.
type risks struct {
	m        *meter
	moving   []bound
	from, to float64 // Hz
	list     []risk
	used     usedBand
	lift     float64 // of the level behind the study's filters alone
}

const (
	riskBend  = 0.01 // of ln(share): how far the middle of two may lie off the line between them
	riskDepth = 8    // halvings of a step of the grid: Q up to 10⁴
)

// risks reads what moves from a frequency up; nil where no limit of movement is
// known.
func (m *meter) risks(from float64) *risks {
	r := &risks{m: m, from: from, to: m.st.limitsTo(), used: m.st.used(), lift: m.feed.lift}
	for _, b := range m.bounds() {
		switch b.id {
		case BoundExcursion, BoundStop, BoundRadiator, BoundPortAir, BoundPressure:
			r.moving = append(r.moving, b)
		}
	}
	if len(r.moving) == 0 {
		return nil
	}
	grid(r.from, r.to, func(hz float64) {
		next := r.at(hz)
		if n := len(r.list); n > 0 {
			r.between(r.list[n-1], next, riskDepth)
		}
		r.list = append(r.list, next)
	})
	return r
}

// at is the risk at one frequency; none where the network cannot be solved, which
// the meter tells.
func (r *risks) at(hz float64) risk {
	out := risk{hz: hz}
	if _, ok := r.m.solve(hz); !ok {
		return out
	}
	volts := r.m.st.Amplifier.most(r.m.sys, r.m.sol)
	out.gain = cmplx.Abs(r.m.feed.gain(2 * math.Pi * hz))
	for _, b := range r.moving {
		if s := b.share() * volts; s > out.share {
			out.share, out.by = s, b.id
		}
	}
	return out
}

// between appends what lies between two neighbours, as long as it is not on a
// line with them: a narrow resonance shows by its flanks.
func (r *risks) between(a, b risk, depth int) {
	mid := r.at(math.Sqrt(a.hz * b.hz))
	straight := func(of func(x risk) float64) bool {
		ln := func(x risk) float64 { return math.Log(max(of(x), 1e-9)) } // of what does not move at all, nothing
		return math.Abs(ln(mid)-(ln(a)+ln(b))/2) <= riskBend
	}
	if depth == 0 || straight(func(x risk) float64 { return x.share }) && straight(func(x risk) float64 { return x.behind(r.lift) }) {
		r.list = append(r.list, mid)
		return
	}
	r.between(a, mid, depth-1)
	r.list = append(r.list, mid)
	r.between(mid, b, depth-1)
}

// worst is the largest share of a limit behind a filter; nil: none. Each peak of
// the list that is near the highest is climbed.
func (r *risks) worst(c *filter.Chain) (Peak, BoundID) {
	h := func(hz float64) float64 { return 1 }
	lift := r.lift
	if c != nil {
		h = func(hz float64) float64 { return cmplx.Abs(c.At(2 * math.Pi * hz)) }
		lift, _ = r.used.lift(h, 0, len(r.used.hz))
	}
	behind := func(x risk) float64 { return x.behind(h(x.hz) * lift) }
	share := make([]float64, len(r.list))
	top := 0.0
	for i, x := range r.list {
		share[i] = behind(x)
		top = max(top, share[i])
	}
	best := Peak{phys.Maybe(math.Inf(-1)), phys.None()}
	for i, s := range share {
		left, right := max(i-1, 0), min(i+1, len(share)-1)
		if s < top*(1-2*riskBend) || s < share[left] || s < share[right] {
			continue
		}
		p := refined(r.list[left].hz, r.list[right].hz, s, r.list[i].hz, func(hz float64) float64 { return behind(r.at(hz)) })
		if p.Value > best.Value {
			best = p
		}
	}
	return best, r.at(float64(best.At)).by
}

// corner is the lowest corner of a high-pass, to the tenth of a hertz, behind
// which every share is 1 or less; 0 where there is none up to highestCut.
func (r *risks) corner(family filter.Family, order int) float64 {
	one, err := filter.HighPass(family, order, 1) // they are alike but for where they stand
	if err != nil {
		return 0
	}
	gain := func(corner, hz float64) float64 { return cmplx.Abs(one.At(2 * math.Pi * hz / corner)) }
	low, top := protectFrom/4, len(r.used.hz)-1
	c, err := filter.HighPass(family, order, low)
	if err != nil {
		return 0
	}
	// loudest is where in the band the filters are loudest with a corner, and by how
	// much the level is turned up then. The higher the corner, the higher that place.
	loudest := func(corner float64, from, to int) (lift float64, at int) {
		return r.used.lift(func(hz float64) float64 { return gain(corner, hz) }, from, to)
	}
	most, last := loudest(highestCut, 0, top)
	lift, first := loudest(low, 0, last)
	// A higher corner lets less through at every frequency below that place: each that
	// is too much raises it, the upper ones, where that takes the most, first.
	raise := func(x risk) bool {
		if x.share <= 1 || x.behind(lift*cmplx.Abs(c.At(2*math.Pi*x.hz))) <= 1 {
			return true
		}
		if x.behind(most*gain(highestCut, x.hz)) > 1 {
			return false
		}
		lo, hi := math.Log(low), math.Log(highestCut)
		from, to := first, last
		for range 40 {
			mid := (lo + hi) / 2
			by, at := loudest(math.Exp(mid), from, to)
			if x.behind(by*gain(math.Exp(mid), x.hz)) <= 1 {
				hi, to = mid, at
			} else {
				lo, from = mid, at
			}
		}
		low = math.Ceil(math.Exp(hi)*10) / 10
		lift, first = loudest(low, first, last)
		c, err = filter.HighPass(family, order, low)
		return err == nil
	}
	for i := len(r.list) - 1; i >= 0; i-- {
		if !raise(r.list[i]) {
			return 0
		}
	}
	// Between the frequencies of the list a peak may be higher by what its bend
	// allows: it is added to them, until none passes.
	for range 20 {
		p, _ := r.worst(&c)
		if !(p.Value > 1+1e-10) { // rounding
			return low
		}
		x := r.at(float64(p.At))
		if !raise(x) {
			return 0
		}
		i, _ := slices.BinarySearchFunc(r.list, x.hz, func(a risk, hz float64) int { return cmp.Compare(a.hz, hz) })
		r.list = slices.Insert(r.list, i, x)
	}
	return 0 // never seen: each pass raises the corner by a tenth or more
}
