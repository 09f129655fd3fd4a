package section_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// evaluated are the outcomes of a study in words.
func evaluated(t *testing.T, text string) []*study.Outcome {
	t.Helper()
	st, err := studyfile.Parse([]byte(text), "net.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 3})
	if err != nil {
		t.Fatal(err)
	}
	return r.Candidates
}

const netHead = `study: Rooms
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm}
candidates:
  any:
    group: {driver: heron-8, side_by_side: 2, stack: 2}
    enclosure:
      kind: network
`

// someNetwork is one of twelve parts between up to five places, in any order, some
// with long names.
func someNetwork(r *rand.Rand) (text string, parts int) {
	n := 2 + r.IntN(4)
	place := func(k int) string {
		return []string{"cellar", "hall", "loft", "the-room-under-the-northern-stairs", "yard"}[k]
	}
	var list []string
	add := func(format string, args ...any) {
		name := fmt.Sprintf("p%d", len(list))
		if r.IntN(4) == 0 {
			name = fmt.Sprintf("a-name-nobody-would-shorten-%d", len(list))
		}
		list = append(list, "{name: "+name+", "+fmt.Sprintf(format, args...)+"}")
	}
	for k := range n {
		add("kind: chamber, at: %s, volume: %d L", place(k), 5+r.IntN(90))
		if k > 0 {
			add("kind: port, between: [%s, %s], port: {width: 222 mm, height: 33.5 mm, length: %d mm}", place(r.IntN(k)), place(k), 40+r.IntN(90))
		}
	}
	add("kind: port, at: %s, port: {diameter: 99.5 mm, length: 80 mm}", place(r.IntN(n)))
	for len(list) < 11 {
		a, b := r.IntN(n), r.IntN(n)
		if a == b {
			b = (a + 1) % n
		}
		switch r.IntN(5) {
		case 0:
			add("kind: duct, between: [%s, %s], duct: {length: %d cm, area: 123 cm2}, fill: {resistivity: 2000 Pa s/m2}", place(a), place(b), 40+r.IntN(200))
		case 1:
			add("kind: leak, between: [%s, %s], resistance: 123456 Pa s/m3", place(a), place(b))
		case 2:
			add("kind: absorber, at: %s, resistance: 9000 Pa s/m3, volume: 8 L", place(a))
		case 3:
			add("kind: diaphragm, between: [%s, %s], radiator: {sd: 300 cm2, mms: 90 g, fs: 20 Hz, qms: 5}", place(a), place(b))
		case 4:
			add("kind: opening, at: %s, area: 77 cm2", place(a))
		}
	}
	if r.IntN(2) == 0 {
		list = append(list, fmt.Sprintf("{kind: drivers, position: 2, between: [outside, %s]}", place(0)))
	} else {
		add("kind: duct, at: %s, duct: {length: 90 cm, start: 50 cm2, end: 200 cm2}", place(n-1))
	}
	r.Shuffle(len(list), func(a, b int) { list[a], list[b] = list[b], list[a] })
	front := []string{"outside", "behind", place(1)}[r.IntN(3)]
	return netHead + "      front: " + front + "\n      rear: " + place(0) + "\n      parts:\n        - " + strings.Join(list, "\n        - ") + "\n", len(list)
}

// crossed says of the upright lines of a drawing that one runs through a label.
func crossed(t *testing.T, s *draw.Scene) (where string) {
	t.Helper()
	text := write(t, s)
	for _, p := range shapes(t, text) {
		if len(p.pts) != 2 || math.Abs(p.pts[0].X-p.pts[1].X) > 1e-6 {
			continue
		}
		for _, l := range labels(t, text) {
			top, low := min(p.pts[0].Y, p.pts[1].Y), max(p.pts[0].Y, p.pts[1].Y)
			if l.left < p.pts[0].X && p.pts[0].X < l.right && l.top < low && top < l.bottom {
				return l.text
			}
		}
	}
	return ""
}

// Schematics of up to twelve parts, in any order and with long names: nothing stands
// outside the drawing, no label on another, no rail or duct’s end on a label, and
// every part is there with its name.
func TestSchematicsAreTidy(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 3))
		text, parts := someNetwork(r)
		if parts != 12 {
			t.Fatalf("%d parts", parts)
		}
		o := evaluated(t, text)[0]
		for _, opt := range []section.Options{screen(0.3), {Theme: draw.Screen(), Size: 27}, {Theme: draw.Screen(), Size: 11, Room: 300}} {
			s := section.Draw(o, opt)
			name := fmt.Sprintf("seed %d, size %g", seed, opt.Size)
			tidy(t, name, s)
			if l := crossed(t, s); l != "" {
				t.Errorf("%s: a line runs through %q", name, l)
			}
			have := map[string]bool{}
			for _, l := range labels(t, write(t, s)) {
				have[strings.TrimSuffix(strings.SplitN(l.text, ", part", 2)[0], "…")] = true
			}
			for _, p := range o.System.Spec.Net.Parts {
				found := p.Position > 0 // drivers are called as the group is
				for h := range have {
					found = found || strings.HasPrefix(p.Name, h) && (h == p.Name || len(h) > 8)
				}
				if !found {
					t.Errorf("%s: %s is not drawn", name, p.Name)
				}
			}
		}
	}
}

// Every named kind has a schematic, which is that of its network.
func TestEveryKindHasASchematic(t *testing.T) {
	for _, file := range []string{"ducts", "everything", "network"} {
		text, err := os.ReadFile("../studyfile/testdata/good/" + file + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range evaluated(t, string(text)) {
			tidy(t, o.Candidate.Name, section.Schematic(o, screen(0.3)))
		}
	}
}

// The fill of a duct is hatched as far as it goes and no further: of rope-walk’s line,
// filled for 0.8 m with the cone at 0.651 m, all of the first part and a tenth of the second.
func TestSchematicsHatchFillAsFarAsItGoes(t *testing.T) {
	text, err := os.ReadFile("../../examples/rope-walk.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range evaluated(t, string(text)) {
		if o.Candidate.Name != "half" {
			continue
		}
		all := shapes(t, write(t, section.Schematic(o, section.Options{Theme: draw.Page(), Size: 20})))
		var wash, hatched []float64 // of each duct: how wide it is, and how far its hatching goes
		for _, s := range all {
			l, r, _, _ := extent(s)
			switch n := len(wash); {
			case len(s.pts) == 4 && strings.HasSuffix(s.d, "Z") && strings.EqualFold(s.fill, draw.Page().CSS(draw.Wash)):
				wash, hatched = append(wash, r-l), append(hatched, 0)
			case n > 0 && strings.EqualFold(s.stroke, draw.Page().CSS(draw.Rule)):
				hatched[n-1] = r - l
			}
		}
		if len(wash) != 2 {
			t.Fatalf("%d ducts are drawn", len(wash))
		}
		length := o.System.Facts.Line.Length
		second := (0.8 - 0.651) / (length - 0.651)
		if share := hatched[0] / wash[0]; share < 0.9 || share > 1 { // lines that fall end before the corners
			t.Errorf("of the first part %.2f is hatched", share)
		}
		if share := hatched[1] / wash[1]; share < second-0.03 || share > second+0.01 {
			t.Errorf("of the second part %.3f is hatched, of %.3f filled", share, second)
		}
		return
	}
	t.Error("there is no such line")
}
