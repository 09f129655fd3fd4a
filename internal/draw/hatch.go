package draw

import (
	"math"
	"slices"
)

// hatchLines are the hatch lines inside a path (even-odd), as lines of their own. Drawn lines rather than a fill
// pattern of the file format: they look the same in every viewer, have no seams, and stay sharp in print.
func hatchLines(p *Path, h Hatch) *Path {
	subs := p.flatten(0.05)
	step := h.Pitch * math.Sqrt2 // along x or y from line to line
	sign := 1.0                  // rising on the page: x + y is constant
	if h.Falling {
		sign = -1
	}
	key := func(q Point) float64 { return q.X + sign*q.Y }
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range subs {
		for _, q := range s.pts {
			lo, hi = min(lo, key(q)), max(hi, key(q))
		}
	}
	out := new(Path)
	if !finite(lo) || (hi-lo)/step > maxHatchLines {
		return out
	}
	out.seg = make([]segment, 0, 2*(1+int((hi-lo)/step)))
	var xs []float64
	for n := math.Ceil(lo / step); n*step <= hi; n++ {
		xs = crossings(xs[:0], subs, key, n*step)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] < 0.01 {
				continue
			}
			y := func(x float64) float64 { return (n*step - x) * sign }
			out.M(xs[i], y(xs[i])).L(xs[i+1], y(xs[i+1]))
		}
	}
	return out
}

// maxHatchLines keeps a pitch far below what can be seen from costing memory without end; nothing is hatched then.
const maxHatchLines = 20000

// crossings are the x of the places where the line key = k crosses the outline, sorted, in
// the room of xs.
func crossings(xs []float64, subs []subpath, key func(Point) float64, k float64) []float64 {
	for _, s := range subs {
		for i, a := range s.pts {
			b := s.pts[(i+1)%len(s.pts)] // a fill closes open figures
			ka, kb := key(a), key(b)
			if (ka <= k) == (kb <= k) { // half open: a corner counts once
				continue
			}
			t := (k - ka) / (kb - ka)
			xs = append(xs, a.X+t*(b.X-a.X))
		}
	}
	slices.Sort(xs)
	return xs
}
