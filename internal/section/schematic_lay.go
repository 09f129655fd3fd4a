package section

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// A schematic has a rail for each place, from left to right, and a row for each part
// between two of them: what is alike in the row never meets, so that no label can lie
// on another. Rails are put in the order in which parts reach over the fewest others,
// the outside last.

// symbol is what is drawn for a part.
type symbol uint8

const (
	symChamber symbol = iota
	symPort
	symDuct
	symDiaphragm
	symOpening
	symLeak
	symAbsorber
	symCone
)

// wired is a part of a schematic: between two rails, or at one of them alone.
type wired struct {
	sym         symbol
	name, value string
	a, b        string // places; b empty: at a alone
	alone       string // of a part at one place with a free end: "closed" where it ends at a wall
	from, to    float64
	filled      bool         // a chamber
	fills       [][2]float64 // of a duct, from and to, as shares of its length from a
	behind      bool         // the absorber has air of its own

	low, high int // the rails it is between, by index
	gap       int // where its symbol stands
	row       int
}

// schema is the layout of a schematic, in sizes of text.
type schema struct {
	rails []string
	items []wired
	gaps  []float64 // width of each
	rows  int
	left  float64 // room before the first rail
	right float64
}

// Widths and heights of a schematic in sizes of its text.
const (
	symbolWide = 3.4
	rowHigh    = 5.2
	headHigh   = 2.4
	longName   = 17.0 // of a name or a value; longer ones are cut
	airy       = 1.6  // between labels, and beside a rail
)

// schemaOf lays a network out.
func schemaOf(o *study.Outcome, u phys.System) *schema {
	net := o.System.AsNet()
	s := &schema{items: wiredOf(o, net, u)}
	s.rails = s.ordered()
	s.seat()
	s.pack()
	s.widen()
	return s
}

// wiredOf lists what a network is made of: the cones first.
func wiredOf(o *study.Outcome, net *enclosure.Net, u phys.System) []wired {
	show := func(v float64, k phys.Kind) string { return phys.Show(v, k, u) }
	out := conesOf(o, net)
	for i := range net.Parts {
		p := &net.Parts[i]
		w := wired{name: p.Name, a: p.A, b: p.B}
		switch p.Kind {
		case enclosure.NetChamber:
			w.sym, w.value, w.filled = symChamber, show(p.Chamber.Volume, phys.Volume), p.Chamber.Fill.Share > 0
		case enclosure.NetPort:
			w.sym, w.value = symPort, portWords(&p.Chamber, u)
		case enclosure.NetDiaphragm:
			w.sym, w.value = symDiaphragm, show(p.Radiator.Sd, phys.Area)
			if p.Radiator.Count > 1 {
				w.value = strconv.Itoa(p.Radiator.Count) + " × " + w.value
			}
		case enclosure.NetOpening:
			w.sym, w.b = symOpening, enclosure.PlaceOutside
			for _, op := range o.System.Openings {
				if op.Name == p.Name {
					w.value = show(op.Area, phys.Area)
				}
			}
		case enclosure.NetLeak:
			w.sym, w.value = symLeak, show(p.Resist, phys.AcousticResistance)
		case enclosure.NetAbsorber:
			w.sym, w.value = symAbsorber, show(p.Resist, phys.AcousticResistance)
			w.behind = p.B == ""
		case enclosure.NetDuct:
			out = append(out, piecesOf(p, u)...)
			continue
		case enclosure.NetDrivers:
			continue
		}
		out = append(out, w)
	}
	return out
}

// portWords are a port’s size, or its tuning where it has none.
func portWords(c *enclosure.Chamber, u phys.System) string {
	mm := func(v float64) string {
		text := phys.Digits(phys.Length.Unit(u).Of(v), 3)
		if strings.Contains(text, ".") {
			text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
		}
		return text
	}
	unit := "\u2009" + phys.Length.Unit(u).Name
	p := &c.Port
	text := ""
	switch p.Shape {
	case enclosure.NoPort:
		return "at " + phys.Show(c.Tuning, phys.Frequency, u)
	case enclosure.Round:
		text = "Ø " + mm(p.Diameter)
	case enclosure.Slot:
		text = mm(p.Width) + " × " + mm(p.Height)
	case enclosure.AreaOnly:
		text = phys.Show(p.Area, phys.Area, u) + ","
	}
	if p.Count > 1 {
		text = strconv.Itoa(p.Count) + " × " + text
	}
	if p.Shape == enclosure.AreaOnly {
		return text + " " + mm(p.Length) + unit
	}
	return text + " × " + mm(p.Length) + unit
}

// piecesOf are a duct’s pieces from place to place.
func piecesOf(p *enclosure.NetPart, u phys.System) []wired {
	shape, err := p.Run.Shape()
	if err != nil { // it was built before
		return nil
	}
	length := shape.Length()
	at, from := 0.0, p.A
	ends := append(slices.Clone(p.Taps), enclosure.NetTap{Place: p.B, At: length})
	var out []wired
	for k, e := range ends {
		w := wired{sym: symDuct, name: p.Name, value: phys.Show(e.At-at, phys.Distance, u), from: shape.Area(at), to: shape.Area(e.At)}
		if len(ends) > 1 {
			w.name = fmt.Sprintf("%s, part %d", p.Name, k+1)
		}
		for _, f := range p.Fills {
			to := f.To
			if to == 0 {
				to = length
			}
			if a, b := max(f.From, at), min(to, e.At); b > a {
				w.fills = append(w.fills, [2]float64{(a - at) / (e.At - at), (b - at) / (e.At - at)})
			}
		}
		w.a, w.b = from, e.Place
		switch {
		case w.a == enclosure.PlaceClosed:
			w.a, w.b, w.alone = w.b, "", enclosure.PlaceClosed
			w.from, w.to = w.to, w.from
			for i, f := range w.fills {
				w.fills[i] = [2]float64{1 - f[1], 1 - f[0]}
			}
		case w.b == enclosure.PlaceClosed:
			w.b, w.alone = "", enclosure.PlaceClosed
		}
		if w.a != enclosure.PlaceClosed { // a duct closed at both ends is refused before
			out = append(out, w)
		}
		at, from = e.At, e.Place
	}
	return out
}

// conesOf are the cones: all positions that look alike as one.
func conesOf(o *study.Outcome, net *enclosure.Net) []wired {
	g := o.System.Group
	looks := make([][2]string, g.SideBySide())
	for i := range looks {
		looks[i] = [2]string{net.Rear, net.Front}
	}
	for i := range net.Parts {
		if p := &net.Parts[i]; p.Kind == enclosure.NetDrivers && p.Position <= len(looks) {
			looks[p.Position-1] = [2]string{p.B, p.A}
		}
	}
	var out []wired
	var seen [][2]string
	for i, l := range looks {
		if k := slices.Index(seen, l); k >= 0 {
			if g.Positions[i][0].Driver.Name != out[k].name {
				out[k].name = "drivers"
			}
			out[k].from++
			continue
		}
		seen = append(seen, l)
		out = append(out, wired{sym: symCone, name: g.Positions[i][0].Driver.Name, a: l[0], b: l[1], from: 1})
	}
	for i := range out {
		w := &out[i]
		n, deep := int(w.from), g.Depth()
		switch {
		case n > 1 && deep > 1:
			w.value = fmt.Sprintf("%d stacks of %d", n, deep)
		case deep > 1:
			w.value = fmt.Sprintf("a stack of %d", deep)
		case n > 1:
			w.value = fmt.Sprintf("%d side by side", n)
		}
	}
	return out
}

// mostTried is how many places of its own a network may have for all orders of the
// rails to be tried.
const mostTried = 7

// ordered puts the rails in the order with the shortest way for all parts: what lies
// behind first, the outside last.
func (s *schema) ordered() []string {
	var own []string
	behind, outside := false, false
	for _, w := range s.items {
		for _, place := range []string{w.a, w.b} {
			switch {
			case place == enclosure.PlaceBehind:
				behind = true
			case place == enclosure.PlaceOutside:
				outside = true
			case place != "" && !slices.Contains(own, place):
				own = append(own, place)
			}
		}
	}
	around := func(own []string) []string {
		var out []string
		if behind {
			out = append(out, enclosure.PlaceBehind)
		}
		out = append(out, own...)
		if outside {
			out = append(out, enclosure.PlaceOutside)
		}
		return out
	}
	best, least := around(own), math.Inf(1)
	try := func(own []string) {
		order, cost := around(own), 0.0
		for i, w := range s.items {
			if w.b == "" {
				continue
			}
			d := float64(slices.Index(order, w.b) - slices.Index(order, w.a))
			cost += math.Abs(d)
			if d < 0 && i == 0 { // of two orders that are alike the one in which the cone looks to the right
				cost += 0.5
			}
		}
		if cost < least-1e-9 {
			best, least = order, cost
		}
	}
	if len(own) > mostTried {
		return around(own)
	}
	permute(own, 0, try)
	return best
}

// permute calls f with every order of a list.
func permute(list []string, k int, f func([]string)) {
	if k >= len(list)-1 {
		f(list)
		return
	}
	for i := k; i < len(list); i++ {
		c := slices.Clone(list)
		c[k], c[i] = c[i], c[k]
		slices.Sort(c[k+1:])
		permute(c, k+1, f)
	}
}

// seat finds the rails that each part is between, and where its symbol stands.
func (s *schema) seat() {
	for i := range s.items {
		w := &s.items[i]
		a := slices.Index(s.rails, w.a)
		if w.b == "" {
			w.low, w.high = a, a+1
			if w.high >= len(s.rails) {
				w.low, w.high = a-1, a
			}
			w.gap = w.low
			continue
		}
		b := slices.Index(s.rails, w.b)
		w.low, w.high = min(a, b), max(a, b)
		w.gap = w.low
		if a > b {
			w.gap = w.high - 1 // beside the place that it begins at
		}
	}
}

// pack gives parts rows: several share one where they have no gap in common.
func (s *schema) pack() {
	var used [][]bool
	for i := range s.items {
		w := &s.items[i]
		free := func(row []bool) bool {
			for g := w.low; g < w.high; g++ {
				if row[g] {
					return false
				}
			}
			return true
		}
		w.row = 0
		if w.sym != symCone || i > 0 {
			for w.row < len(used) && !free(used[w.row]) {
				w.row++
			}
		}
		if w.row == len(used) {
			used = append(used, make([]bool, len(s.rails)))
		}
		for g := w.low; g < w.high; g++ {
			used[w.row][g] = true
		}
	}
	s.rows = len(used)
}

// widen makes every gap as wide as what stands in it.
func (s *schema) widen() {
	s.gaps = make([]float64, max(len(s.rails)-1, 1))
	wide := func(text string, weight draw.Weight) float64 {
		return loose * draw.MeasureText(cutShort(text, 1), 1, weight)
	}
	for i := range s.items {
		w := &s.items[i]
		need := math.Max(symbolWide+airy, math.Max(wide(w.name, draw.Medium), wide(w.value, draw.Regular))+airy)
		s.gaps[w.gap] = math.Max(s.gaps[w.gap], need)
	}
	for i := range s.gaps {
		s.gaps[i] = math.Max(s.gaps[i], symbolWide+airy)
		if i+1 < len(s.rails) {
			s.gaps[i] = math.Max(s.gaps[i], (wide(s.rails[i], draw.Regular)+wide(s.rails[i+1], draw.Regular))/2+airy)
		}
	}
	s.left = wide(s.rails[0], draw.Regular)/2 + 0.3
	s.right = wide(s.rails[len(s.rails)-1], draw.Regular)/2 + 0.3
}

// cutShort is a text that is no wider than a name may be.
func cutShort(text string, size float64) string {
	if draw.MeasureText(text, size, draw.Medium) <= longName*size {
		return text
	}
	r := []rune(text)
	for len(r) > 1 && draw.MeasureText(string(r)+"…", size, draw.Medium) > longName*size {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}
