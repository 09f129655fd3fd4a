package study

import (
	"iter"
	"math"

	"basswright/internal/phys"
)

// gridPlaces are the frequencies from lo to hi, stepsPerOct an octave: how many steps, and
// each of them, beyond the last the last.
func gridPlaces(lo, hi float64) (steps int, hz func(k int) float64) {
	steps = int(math.Ceil(math.Log2(hi/lo) * stepsPerOct))
	return steps, func(k int) float64 { return min(hi, lo*octaves(k*meanSteps/stepsPerOct)) }
}

// grid calls at for each of them.
func grid(lo, hi float64, at func(f float64)) {
	n, hz := gridPlaces(lo, hi)
	for k := range n + 1 {
		at(hz(k))
	}
}

// grid is that for what is read from the meter, three solutions at once.
func (m *meter) grid(lo, hi float64, at func(f float64)) {
	n, hz := gridPlaces(lo, hi)
	for k := range n + 1 {
		if k%3 == 0 {
			m.ready([3]float64{hz(k), hz(k + 1), hz(k + 2)})
		}
		at(hz(k))
	}
}

// gridwise is for a search of what is read from the meter.
func (m *meter) gridwise() places { return places{m.grid, gridwise.narrow} }

// largest is that of what is read from the meter.
func (m *meter) largest(lo, hi float64, f func(float64) float64) Peak {
	return largestOn(m.gridwise(), lo, hi, f)
}

// largest finds the largest value of f over the range: on the grid, then by
// parabolas around it.
func largest(lo, hi float64, f func(float64) float64) Peak { return largestOn(gridwise, lo, hi, f) }

// places are where it is looked first, no further apart than the grid's.
type places struct {
	along func(lo, hi float64, at func(f float64))
	// narrow is the share of the best value by which one that is looked at closer, as it may be
	// a narrow one, lies below it at most.
	narrow float64
}

var gridwise = places{grid, 0.5}

// largestOn is largest on other places.
func largestOn(on places, lo, hi float64, f func(float64) float64) (p Peak) {
	largestEach(on, lo, hi, []reading{{of: f, to: &p}})
	return p
}

// A reading is a figure's largest value that is looked for.
type reading struct {
	of func(f float64) float64
	to *Peak
	// roughly tells it as well as the places need it, where that is faster; nil: of does
	roughly func(f float64) float64
}

// largestEach is largest for several figures. They are read together on the grid,
// so that one solution of the network serves them all.
func largestEach(on places, lo, hi float64, list []reading) {
	for _, r := range list {
		*r.to = Peak{phys.Maybe(math.Inf(-1)), phys.None()}
	}
	tops := make([][]Peak, len(list)) // where the grid turns down
	last := make([]Peak, len(list))
	rises := make([]bool, len(list))
	looks := make([]func(float64) float64, len(list))
	for i, r := range list {
		if looks[i] = r.roughly; r.roughly == nil {
			looks[i] = r.of
		}
	}
	on.along(lo, hi, func(x float64) {
		for i, r := range list {
			v := looks[i](x)
			if v > float64(r.to.Value) {
				*r.to = Peak{phys.Maybe(v), phys.Maybe(x)}
			}
			if rises[i] && v < float64(last[i].Value) {
				tops[i] = append(tops[i], last[i])
			}
			rises[i] = v > float64(last[i].Value)
			last[i] = Peak{phys.Maybe(v), phys.Maybe(x)}
		}
	})
	for i, r := range list {
		best := *r.to
		*r.to = r.refined(lo, hi, best)
		for _, top := range tops[i] { // a narrow one may be higher than the grid has seen
			if top.At != best.At && top.Value > best.Value-phys.Maybe(on.narrow*math.Abs(float64(best.Value))) {
				if p := r.refined(lo, hi, top); p.Value > r.to.Value {
					*r.to = p
				}
			}
		}
	}
}

// refined is the largest value around one that its places have found.
func (r *reading) refined(lo, hi float64, top Peak) Peak {
	if r.roughly != nil && top.At.OK() {
		top.Value = phys.Maybe(r.of(float64(top.At)))
	}
	return refined(lo, hi, float64(top.Value), float64(top.At), r.of)
}

// refined is the largest value of f around the best that the grid has found.
func refined(lo, hi, best, at float64, f func(float64) float64) Peak {
	if math.IsNaN(at) {
		return Peak{phys.None(), phys.None()}
	}
	a, b := math.Log(max(lo, at*math.Exp2(-1.0/stepsPerOct))), math.Log(min(hi, at*math.Exp2(1.0/stepsPerOct)))
	x, fx := summit(a, b, math.Log(at), best, func(x float64) float64 { return f(math.Exp(x)) })
	if fx > best {
		best, at = fx, math.Exp(x)
	}
	return Peak{phys.Maybe(best), phys.Maybe(at)}
}

// near is how close a largest value is looked for, in ln f: any closer, and what a smooth
// peak rises by is lost in rounding. At a kink, as where another cone is the worst from
// there on, it is how close golden section comes.
const near = 1e-8

// mostReadings bounds what a summit takes, in which the best so far stands. Golden section
// alone takes some thirty from a step to either side.
const mostReadings = 60

// summit is a largest value of f from a to b, from x, where f is fx: by parabolas through
// the three best points, and by golden section where they do not close in (Brent 1973,
// Algorithms for Minimization without Derivatives, chapter 5). Where f has no value is no
// summit.
func summit(a, b, x, fx float64, f func(float64) float64) (float64, float64) {
	const golden = 0.3819660112501051 // (3 − √5)/2
	w, fw, v, fv := x, fx, x, fx      // the second and the third best
	step, last := 0.0, 0.0
	for range mostReadings {
		mid := (a + b) / 2
		if math.Abs(x-mid) <= 2*near-(b-a)/2 {
			break
		}
		r, q := (x-w)*(fx-fv), (x-v)*(fx-fw)
		p := (x-v)*q - (x-w)*r
		q = 2 * (q - r)
		if q > 0 {
			p = -p
		}
		q = math.Abs(q)
		before := last
		last = step
		if math.Abs(before) > near && math.Abs(p) < math.Abs(q*before/2) && p > q*(a-x) && p < q*(b-x) {
			step = p / q
			if u := x + step; u-a < 2*near || b-u < 2*near {
				step = math.Copysign(near, mid-x)
			}
		} else {
			last = b - x
			if x >= mid {
				last = a - x
			}
			step = golden * last
		}
		u := x + step
		if math.Abs(step) < near {
			u = x + math.Copysign(near, step)
		}
		fu := f(u)
		if math.IsNaN(fu) {
			fu = math.Inf(-1)
		}
		switch {
		case fu >= fx:
			if u < x {
				b = x
			} else {
				a = x
			}
			v, fv, w, fw, x, fx = w, fw, x, fx, u, fu
			continue
		case u < x:
			a = u
		default:
			b = u
		}
		if fu >= fw || w == x {
			v, fv, w, fw = w, fw, u, fu
		} else if fu >= fv || v == x || v == w {
			v, fv = u, fu
		}
	}
	return x, fx
}

func smallest(lo, hi float64, f func(float64) float64) Peak {
	p := largest(lo, hi, func(x float64) float64 { return -f(x) })
	p.Value = -p.Value
	return p
}

// edgeNear is how close a crossing is looked for, in ln f.
const edgeNear = 1e-12

// crossing finds where f falls to the limit on the way from start, by its places and then
// closer on a log scale; NaN where it does not. The limit is above 0.
func crossing(start float64, way iter.Seq[float64], limit float64, f func(float64) float64) phys.Maybe {
	last := start
	for x := range way {
		if f(x) < limit {
			over := func(x float64) float64 { return f(math.Exp(x))/limit - 1 }
			return phys.Maybe(math.Exp(zero(math.Log(last), math.Log(x), over)))
		}
		last = x
	}
	return phys.None()
}

// stepping is the way from one frequency to another by stepsPerOct an octave.
func stepping(from, to float64) iter.Seq[float64] {
	n := int(math.Ceil(math.Abs(math.Log2(to/from)) * stepsPerOct))
	return func(yield func(float64) bool) {
		for k := 1; k <= n && yield(from*math.Pow(to/from, float64(k)/float64(n))); k++ {
		}
	}
}

// zero is where f goes through nothing, which is not below it at a and is at b: by straight
// lines between the two, with half of what an end counts that stays twice (Dowell & Jarratt
// 1971, A modified regula falsi method), and by halves where those do not close in.
func zero(a, b float64, f func(float64) float64) float64 {
	fa, fb := f(a), f(b)
	stays := 0.0 // the end that stayed last, by the sign there
	for n := 0; math.Abs(b-a) > edgeNear; n++ {
		x := (a + b) / 2
		if n < mostReadings {
			far := math.Abs(b - a)
			if part := fa / (fa - fb); !math.IsNaN(part) { // as where an end is infinite
				x = a + math.Copysign(min(max(part*far, edgeNear/2), far-edgeNear/2), b-a) // no nearer to an end than where the other may come to lie
			}
		}
		if fx := f(x); fx < 0 {
			if stays > 0 {
				fa /= 2
			}
			b, fb, stays = x, fx, 1
		} else {
			if stays < 0 {
				fb /= 2
			}
			a, fa, stays = x, fx, -1
		}
	}
	return (a + b) / 2
}
