package report

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/study"
)

// The dash patterns of the candidates' lines in dots of the small plot and as
// samples of text, in the order of [draw.Pattern].
var (
	dots = [draw.Patterns][]bool{
		dashes(1), dashes(6, 2), dashes(4, 2, 1, 2), dashes(2, 1), dashes(1, 2),
		dashes(6, 2, 1, 2, 1, 2), dashes(2, 1, 6, 1), dashes(2, 4), dashes(6, 1, 2, 1, 2, 1), dashes(1, 2, 1, 5),
	}
	sample = [draw.Patterns]string{"━━━━━━", "━━ ━━ ", "━ ╸━ ╸", "╸╸╸╸╸╸", "· · · ", "━━ ╸╸ ", "━╸━━╸━", "━  ━  ", "━━╸╸━━", "·· ·· "}
)

// dashes is a pattern of lengths of stroke and gap in turn, dot by dot.
func dashes(lengths ...int) []bool {
	var out []bool
	for i, n := range lengths {
		out = append(out, slices.Repeat([]bool{i%2 == 0}, n)...)
	}
	return out
}

const (
	plotRows = 12
	plotSpan = 40.0 // dB over the height: what is below is out of sight
)

// braillePlot draws the levels of the candidates with dots of a 2 × 4 raster.
func braillePlot(r *study.Result, cols int, paint func(i int, s string) string) []string {
	w, h := cols*2, plotRows*4
	top := math.Ceil((highestLevel(r)+2)/5) * 5
	grid := make([][]rune, plotRows)
	owner := make([][]int, plotRows)
	for y := range grid {
		grid[y], owner[y] = make([]rune, cols), make([]int, cols)
	}
	for i, o := range r.Candidates {
		f := o.Curves.Frequency
		last := math.MinInt
		for x := range w {
			hz := f[0] * math.Pow(f[len(f)-1]/f[0], float64(x)/float64(w-1))
			row := math.Round((top - interpolate(f, o.Curves.SPL, hz)) / plotSpan * float64(h-1))
			y := h // out of sight, as where there is no level at all
			if row < float64(h) {
				y = max(int(row), -1)
			}
			from, here := y, y
			if last != math.MinInt && y < last-1 {
				from, y = y, last-1
			} else if last != math.MinInt && y > last+1 {
				from = last + 1
			}
			last = here
			p := dots[draw.Pattern(i)]
			if !p[x%len(p)] {
				continue
			}
			for q := from; q <= y; q++ {
				if q >= 0 && q < h {
					grid[q/4][x/2] |= [4][2]rune{{1, 8}, {2, 16}, {4, 32}, {64, 128}}[q%4][x%2]
					owner[q/4][x/2] = i
				}
			}
		}
	}
	return frame(r, grid, owner, top, cols, paint)
}

// frame puts axes, numbers and the names at the line ends around the dots.
func frame(r *study.Result, grid [][]rune, owner [][]int, top float64, cols int, paint func(i int, s string) string) []string {
	names := lineEnds(r, top)
	var out []string
	for y, line := range grid {
		label := "   "
		for v := math.Floor(top/10) * 10; v > top-plotSpan; v -= 10 {
			if int(math.Round((top-v)/plotSpan*float64(plotRows*4-1)))/4 == y {
				label = fmt.Sprintf("%3.0f", v)
			}
		}
		var b strings.Builder
		for x, c := range line {
			if c == 0 {
				b.WriteByte(' ')
			} else {
				b.WriteString(paint(owner[y][x], string(0x2800+c)))
			}
		}
		end := ""
		switch i, ok := names[y]; {
		case ok && i == unnamed:
			end = fmt.Sprintf("  … and %d more", len(r.Candidates)-plotRows+1)
		case ok:
			end = "  " + paint(i, lineName(r.Candidates[i]))
		}
		out = append(out, strings.TrimRight("  "+label+" │"+b.String()+end, " "))
	}
	out = append(out, "      └"+strings.Repeat("─", cols))
	return append(out, "       "+axis(r, cols))
}

// lineName is a candidate's name at its line's end, or in place of a line.
func lineName(o *study.Outcome) string {
	if _, _, ok := draw.Bounds(o.Curves.SPL); !ok {
		return o.Candidate.Name + ": no sound"
	}
	return o.Candidate.Name
}

// unnamed stands for the candidates for whose names there are no rows.
const unnamed = -1

// lineEnds gives each candidate's name the row of its line's end, or the next
// free one. Of more candidates than there are rows the first are named, and the
// last row is left to say how many others there are.
func lineEnds(r *study.Result, top float64) map[int]int {
	order := make([]int, len(r.Candidates))
	for i := range order {
		order[i] = i
	}
	end := func(i int) float64 {
		s := r.Candidates[i].Curves.SPL
		if v := s[len(s)-1]; !math.IsNaN(v) {
			return v
		}
		return math.Inf(-1)
	}
	rows := map[int]int{}
	free := plotRows
	if len(order) > plotRows {
		free--
		order = order[:free]
		rows[free] = unnamed
	}
	sort.SliceStable(order, func(a, b int) bool { return end(order[a]) > end(order[b]) })
	next := 0
	for k, i := range order {
		y := plotRows // a line that ends below, as one without a level, is named at the foot
		if below := top - end(i); below < plotSpan {
			y = int(math.Round(below/plotSpan*float64(plotRows*4-1))) / 4
		}
		y = min(max(y, next), free-(len(order)-k))
		rows[y] = i
		next = y + 1
	}
	return rows
}

// axis is the line of preferred frequencies (ISO 266, octaves).
func axis(r *study.Result, cols int) string {
	f := r.Candidates[0].Curves.Frequency
	from, to := f[0], f[len(f)-1]
	line := []rune(strings.Repeat(" ", cols+6))
	free := 0
	put := func(hz float64) {
		if hz < from*0.999 || hz > to*1.001 {
			return
		}
		s := []rune(fmt.Sprintf("%.4g", hz))
		c := max(0, int(math.Round(math.Log(hz/from)/math.Log(to/from)*float64(cols-1)))-len(s)/2)
		if c < free || c+len(s) > len(line) {
			return
		}
		copy(line[c:], s)
		free = c + len(s) + 1
	}
	for _, hz := range []float64{10, 16, 31.5, 63, 125, 250, 400, 500, 1000, 2000, 4000} {
		put(hz)
	}
	return strings.TrimRight(string(line), " ") + " Hz"
}

// highestLevel is that of all curves; 0 dB where no candidate gives a level.
func highestLevel(r *study.Result) float64 {
	most := math.Inf(-1)
	for _, o := range r.Candidates {
		for _, v := range o.Curves.SPL {
			if v > most { // never by a point without a level
				most = v
			}
		}
	}
	if math.IsInf(most, -1) {
		return 0
	}
	return most
}

// interpolate reads a curve between its points, evenly over the log of frequency.
func interpolate(f, y []float64, hz float64) float64 {
	k := sort.SearchFloat64s(f, hz)
	if k == 0 {
		return y[0]
	}
	if k >= len(f) {
		return y[len(y)-1]
	}
	t := math.Log(hz/f[k-1]) / math.Log(f[k]/f[k-1])
	return y[k-1] + t*(y[k]-y[k-1])
}
