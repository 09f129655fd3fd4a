package section_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/section"
	"basswright/internal/study"
)

// drawnAll are the groups of the bench of which nothing is folded.
var drawnAll = []string{"one", "two-by-two", "three", "dual", "wrong", "half-wrong", "inwards", "long", "idle", "named"}

// where names a coil as the sketch does.
func where(g *driver.Group, a driver.CoilAt) string {
	var w []string
	if g.SideBySide() > 1 {
		w = append(w, fmt.Sprintf("position %d", a.Position+1))
	}
	if g.Depth() > 1 {
		w = append(w, study.Place(a.Member, g.Depth()))
	}
	if g.Positions[a.Position][a.Member].Driver.Coils.Count > 1 {
		w = append(w, fmt.Sprintf("coil %d", a.Coil+1))
	}
	return strings.Join(w, ", ")
}

// coilsIn are the places of the windings in a sketch at size 12, from their four turns.
func coilsIn(all []shape) (out []draw.Point) {
	for _, s := range all {
		if strings.Count(s.d, "C") == 8 && !strings.HasSuffix(s.d, "Z") {
			out = append(out, draw.Point{X: (s.pts[0].X + s.pts[len(s.pts)-1].X) / 2, Y: s.pts[0].Y})
		}
	}
	return out
}

// Every coil, driven or not, is drawn once under its name and place, with one
// dot at its marked terminal, on the side of + unless it is reversed, and a sign
// for each of its leads if it is driven.
func TestWiringShowsEveryCoil(t *testing.T) {
	for _, name := range drawnAll {
		g := groupOf(t, name)
		text := write(t, section.Wiring(g, screen(0)))
		all, words := shapes(t, text), labels(t, text)
		want := map[string]int{}
		for p, stack := range g.Positions {
			for k, m := range stack {
				for c := range max(m.Driver.Coils.Count, 1) {
					want[where(g, driver.CoilAt{Position: p, Member: k, Coil: c})]++
				}
			}
		}
		windings := coilsIn(all)
		for at, n := range want {
			got := 0
			for _, l := range words {
				if l.text == at {
					got++
				}
			}
			if at != "" && got != n {
				t.Errorf("%s: %q stands %d times, want %d", name, at, got, n)
			}
		}
		total, driven, reversed := 0, len(g.Coils()), 0
		for _, n := range want {
			total += n
		}
		for _, stack := range g.Positions {
			for _, m := range stack {
				if m.Polarity < 0 {
					reversed += max(m.Driver.Coils.Count, 1)
				}
			}
		}
		if len(windings) != total {
			t.Errorf("%s: %d windings, want %d", name, len(windings), total)
		}
		dots, right := 0, 0
		for _, s := range all {
			if len(s.pts) != 13 || s.fill != "VAR(--INK)" {
				continue
			}
			dots++
			for _, w := range windings {
				if x := (s.pts[0].X + s.pts[6].X) / 2; math.Abs(w.Y-s.pts[0].Y) < 0.02 && x > w.X && x < w.X+36 {
					right++
				}
			}
		}
		if dots != total || right != reversed {
			t.Errorf("%s: %d dots, %d of them at the − lead, want %d and %d", name, dots, right, total, reversed)
		}
		for _, sign := range []string{"+", "−"} {
			n := 0
			for _, l := range words {
				if l.text == sign && l.size == 12 {
					n++
				}
			}
			if n != driven {
				t.Errorf("%s: %d leads are %s, want %d", name, n, sign, driven)
			}
		}
		if says := strings.Count(text, ">reversed: − at the dot<") + strings.Count(text, ">wrong way: swap its leads<"); says < reversed {
			t.Errorf("%s: %d notes for %d reversed coils", name, says, reversed)
		}
	}
}

// part is a piece of the drawn circuit: a wire of no resistance or a winding.
type part struct {
	pts []draw.Point
	ohm float64
}

// drawnParts are the wires and windings of a sketch, and the terminals of the
// amplifier, + and − of one channel after the other.
func drawnParts(t *testing.T, g *driver.Group, text string) (parts []part, ends []draw.Point) {
	t.Helper()
	re := map[string]float64{}
	for _, a := range g.Coils() {
		re[where(g, a)] = g.Positions[a.Position][a.Member].Driver.Re
	}
	words := labels(t, text)
	for _, s := range shapes(t, text) {
		switch {
		case s.stroke != "VAR(--INK)":
		case strings.Count(s.d, "C") == 8: // a winding
			a, b := s.pts[0], s.pts[len(s.pts)-1]
			ohm := math.NaN()
			for _, l := range words { // its place stands above it
				if r, ok := re[l.text]; ok && math.Abs(l.x-(a.X+b.X)/2) < 4 && a.Y-l.y > 0 && a.Y-l.y < 30 {
					ohm = r
				}
			}
			if r, ok := re[""]; ok {
				ohm = r
			}
			if !math.IsNaN(ohm) {
				parts = append(parts, part{[]draw.Point{a, b}, ohm})
			}
		case len(s.pts) == 13: // a terminal that is not marked
			c := draw.Point{X: (s.pts[0].X + s.pts[6].X) / 2, Y: s.pts[0].Y}
			r := s.pts[0].X - c.X
			parts = append(parts, part{pts: []draw.Point{{X: c.X - r, Y: c.Y}, {X: c.X + r, Y: c.Y}}})
			if r > 3 {
				ends = append(ends, c)
			}
		default:
			parts = append(parts, part{pts: s.pts})
		}
	}
	return parts, ends
}

// The wires as drawn make the group's own resistance: what touches is joined,
// every winding counts with its coil's Re, and the current from + to − is solved.
func TestWiringAsDrawnHasTheGroupsResistance(t *testing.T) {
	for _, name := range drawnAll {
		g := groupOf(t, name)
		parts, ends := drawnParts(t, g, write(t, section.Wiring(g, screen(0))))
		if len(ends) != 2 {
			t.Fatalf("%s: %d terminals of the amplifier", name, len(ends))
		}
		if got := resistance(parts, ends[0], ends[1]); math.Abs(got/g.Re()-1) > 1e-6 { // the conductance to ground of each node is 1e-9 S
			t.Errorf("%s: drawn with %.6g Ω, want %.6g Ω", name, got, g.Re())
		}
	}
}

// A group that is split over channels is drawn with terminals of each, between
// which lies what that channel drives, and nothing joins one channel to another.
func TestWiringKeepsChannelsApart(t *testing.T) {
	one := *groupOf(t, "dual").Positions[0][0].Driver
	for _, spec := range []driver.GroupSpec{
		{SideBySide: 2, Stack: 1, Split: driver.ByDriver, Outputs: 2},
		{SideBySide: 2, Stack: 2, Split: driver.ByDriver, Outputs: 4, Wiring: driver.Wiring{Way: driver.WiringSeries}},
		{SideBySide: 3, Stack: 1, Split: driver.ByCoil, Outputs: 2, Wiring: driver.Wiring{Way: driver.WiringSeries}},
		{SideBySide: 1, Stack: 2, Split: driver.ByCoil, Outputs: 2},
	} {
		spec.Driver = &one
		g, _, err := driver.NewGroup(spec)
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("%d × %d by %v", spec.SideBySide, spec.Stack, spec.Split)
		s := section.Wiring(g, screen(0))
		text := write(t, s)
		tidy(t, name, s)
		parts, ends := drawnParts(t, g, text)
		if len(ends) != 2*g.ChannelCount() || strings.Contains(text, ">amplifier<") {
			t.Fatalf("%s: %d terminals", name, len(ends))
		}
		for k := range g.ChannelCount() {
			if !strings.Contains(text, fmt.Sprintf(">channel %d<", k+1)) {
				t.Errorf("%s: channel %d has no name", name, k+1)
			}
			if got := resistance(parts, ends[2*k], ends[2*k+1]); math.Abs(got/g.ChannelRe(k)-1) > 1e-6 {
				t.Errorf("%s: channel %d is drawn with %.6g Ω, want %.6g Ω", name, k+1, got, g.ChannelRe(k))
			}
			for _, other := range ends[2*k+2:] {
				for _, end := range ends[2*k : 2*k+2] {
					if r := resistance(parts, end, other); r < 1e6 { // each node leaks 1e-9 S, and there are up to a hundred
						t.Errorf("%s: channel %d is joined to another by %.3g Ω", name, k+1, r)
					}
				}
			}
		}
	}
}

// touches reports whether a place lies on a line.
func touches(q draw.Point, line []draw.Point) bool {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		dx, dy := b.X-a.X, b.Y-a.Y
		u := 0.0
		if n := dx*dx + dy*dy; n > 0 {
			u = math.Min(1, math.Max(0, ((q.X-a.X)*dx+(q.Y-a.Y)*dy)/n))
		}
		if math.Hypot(q.X-a.X-u*dx, q.Y-a.Y-u*dy) < 0.3 {
			return true
		}
	}
	return false
}

// resistance of a drawn circuit between two terminals, by nodal analysis.
func resistance(parts []part, from, to draw.Point) float64 {
	// A wire is one node; a winding has one at each end.
	var lines [][]draw.Point
	type edge struct {
		a, b int
		ohm  float64
	}
	var edges []edge
	for _, p := range parts {
		if p.ohm == 0 {
			lines = append(lines, p.pts)
			continue
		}
		edges = append(edges, edge{len(lines), len(lines) + 1, p.ohm})
		lines = append(lines, p.pts[:1], p.pts[1:])
	}
	root := make([]int, len(lines))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			i = root[i]
		}
		return i
	}
	for i, a := range lines {
		for k, b := range lines {
			if i != k && (touches(a[0], b) || touches(a[len(a)-1], b) || len(b) == 1 && touches(b[0], a)) {
				root[find(i)] = find(k)
			}
		}
	}
	at := func(q draw.Point) int {
		for i, l := range lines {
			if len(l) == 2 && math.Hypot((l[0].X+l[1].X)/2-q.X, l[0].Y-q.Y) < 0.1 && math.Abs(l[1].X-l[0].X) < 8 {
				return find(i)
			}
		}
		return 0
	}
	in, out := at(from), at(to)
	n := len(lines)
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n+1)
		m[i][i] = 1e-9
	}
	for _, e := range edges {
		a, b, s := find(e.a), find(e.b), 1/e.ohm
		m[a][a] += s
		m[b][b] += s
		m[a][b] -= s
		m[b][a] -= s
	}
	m[in][n], m[out][n] = 1, -1
	for i := range m {
		for k := i + 1; k < n; k++ {
			f := m[k][i] / m[i][i]
			for c := i; c <= n; c++ {
				m[k][c] -= f * m[i][c]
			}
		}
	}
	v := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		v[i] = m[i][n]
		for c := i + 1; c < n; c++ {
			v[i] -= m[i][c] * v[c]
		}
		v[i] /= m[i][i]
	}
	return v[in] - v[out]
}

var andMore = regexp.MustCompile(`and (\d+) more`)

// Of many alike, some are drawn and the rest is counted and named: together
// they are all of the group's coils.
func TestWiringFoldsAndCounts(t *testing.T) {
	d := *benchStudy(t).Drivers[1].Driver
	rapid.Check(t, func(rt *rapid.T) {
		one := d
		one.Coils.Count = rapid.IntRange(1, 4).Draw(rt, "coils")
		if one.Coils.Count > 1 && rapid.Bool().Draw(rt, "some driven") {
			one.Coils.Driven = 1
		}
		side, stack := rapid.IntRange(1, 12).Draw(rt, "side by side"), rapid.IntRange(1, 5).Draw(rt, "stack")
		n := side * stack * one.Driven()
		var sizes []int
		for i := 1; i <= n; i++ {
			if n%i == 0 {
				sizes = append(sizes, i)
			}
		}
		series := rapid.SampledFrom(sizes).Draw(rt, "in series")
		g, _, err := driver.NewGroup(driver.GroupSpec{Driver: &one, SideBySide: side, Stack: stack, Wiring: driver.Wiring{Way: driver.WiringStrings, N: series}})
		if err != nil {
			rt.Fatal(err)
		}
		s := section.Wiring(g, screen(0))
		text := write(t, s)
		tidy(t, fmt.Sprintf("%d × %d × %d in strings of %d", side, stack, one.Driven(), series), s)
		leads := 0
		for _, l := range labels(t, text) {
			if l.text == "+" && l.size == 12 {
				leads++
			}
		}
		// In a string: what is drawn and what is folded; of the strings: those drawn and those told.
		strs, inString := 0, 0
		for _, l := range labels(t, text) {
			if m := andMore.FindStringSubmatch(l.text); m != nil {
				k, _ := strconv.Atoi(m[1])
				if strings.HasSuffix(l.text, "like this") {
					strs = max(strs, k)
				} else {
					inString += k
				}
			}
		}
		total := n / series
		drawn := total
		if total > 4 {
			drawn = 2
		}
		if leads+inString != drawn*series {
			rt.Fatalf("%d coils drawn and %d told in %d strings of %d", leads, inString, drawn, series)
		}
		if total > 4 && (strs < total-2 || one.Undriven() == 0 && strs != total-2) {
			rt.Fatalf("%d strings more are told, want %d", strs, total-2)
		}
	})
}

func TestWiringNamesWhatIsFolded(t *testing.T) {
	for name, says := range map[string][]string{
		"eight": {"and 6 more like this", ">positions 3 to 8<"},
		"crowd": {"and 6 more like this", ">positions 3 to 8<", "the outer driver at positions 1 to 8; the driver 3 from outside at positions 1 to 8"},
		"row":   {"and 61 more", "in series between them: positions 3 to 63"},
		"spare": {"and 7 more like this", "coil 1 at positions 3 to 9", "coil 2 at positions 3 to 9"},
	} {
		g := groupOf(t, name)
		text := write(t, section.Wiring(g, section.Options{Theme: draw.Screen(), Size: 12, Width: 1200}))
		for _, w := range says {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not say %q", name, w)
			}
		}
	}
}

// A wrong polarity is marked at the coils that move against the others and told
// with its mend; a right one is not.
func TestWiringMarksWrongPolarity(t *testing.T) {
	for name, want := range map[string]int{"wrong": 1, "half-wrong": 1, "two-by-two": 0, "dual": 0, "inwards": 0} {
		text := write(t, section.Wiring(groupOf(t, name), screen(0)))
		if n := strings.Count(text, ">wrong way: swap its leads<"); n != want {
			t.Errorf("%s: %d coils marked, want %d", name, n, want)
		}
		if strings.Contains(text, "var(--stop)") != (want > 0) || strings.Contains(text, "work against each other") != (want > 0) {
			t.Errorf("%s: marked and told otherwise", name)
		}
		if strings.Contains(text, "var(--heed)") != (name == "inwards") {
			t.Errorf("%s: heed", name)
		}
	}
}

// Coils that are not driven are drawn as they are left: open, shorted or with
// a resistor across.
func TestWiringShowsWhatIsNotDriven(t *testing.T) {
	text := write(t, section.Wiring(groupOf(t, "idle"), screen(0)))
	for says, n := range map[string]int{">not driven, shorted<": 1, ">not driven, 8\u2009Ω across<": 2, ">not driven, open<": 1} {
		if got := strings.Count(text, says); got != n {
			t.Errorf("%d times %q, want %d", got, says, n)
		}
	}
	resistors := 0
	for _, s := range shapes(t, text) {
		if len(s.pts) == 4 && strings.HasSuffix(s.d, "Z") {
			resistors++
		}
	}
	if resistors != 2 {
		t.Errorf("%d resistors, want one across each of kite’s two spare coils", resistors)
	}
}
