package variant

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// Where enclosures with a duct begin. Nothing is known of a closed form for them: their
// sizes are common practice where the comments say so, the length is the model’s, and the
// section is the largest of a few that stands in the study’s space.

// askedF3 is the extension that is asked for, if the cone’s resonance is not far.
func (d draft) askedF3() (hz float64, ok bool) {
	f3, fs := d.st.Brief.Extension.F3, lead(d.sys.Group).Fs()
	return f3, f3 > 0.7*fs && f3 < 1.4*fs
}

// goal is where the bass of a duct is to end, Hz, and what that is: the extension asked
// for, or the tuning of a vented box of the same group.
func (d draft) goal() (hz float64, of string) {
	if f3, ok := d.askedF3(); ok {
		return f3, "the F3 asked for"
	}
	if sys, family, ok := d.aligned(); ok {
		return sys.Spec.Rear.Tuning, "the tuning of the " + strings.ToUpper(family) + " alignment"
	}
	return lead(d.sys.Group).Fs(), "the cone’s resonance"
}

// outer is the area of the outer cones, m².
func (d draft) outer() float64 {
	area := 0.0
	for _, stack := range d.sys.Group.Positions {
		area += stack[0].Driver.Sd
	}
	return area
}

// section is k times what a duct would have that is as large as the cones, m²: in a duct a
// stack asks for the section of one driver over the number of its drivers. It is no less
// than most times smaller than the outer cones.
func (d draft) section(k, most float64) float64 {
	outer := d.outer()
	return max(k*outer/float64(d.sys.Group.Depth()), outer/(most*0.97)) // whatever is rounded
}

// A want is a duct to be tried: an area, m², and the width of its one side, m.
type want struct{ area, width float64 }

// wants are areas, the largest first, each as wide as the space, lying or standing, and
// as the drivers ask. An area that drivers need more of is as large as they need.
func (d draft) wants(areas []float64, seats study.Seating) []want {
	snug := up(seats.Wall, d.st.Units)
	least := snug * seats.Across
	widths := []float64{snug}
	if in, ok := d.st.Inside(); ok {
		widths = []float64{down(in.Depth), down(in.Height), snug, down(in.Width)}
	}
	var out []want
	last := 0.0
	for _, a := range areas {
		if a = max(a, least*1.02); a == last { // a little more than they need, as sizes are rounded
			continue
		}
		last = a
		for _, w := range widths {
			across := a / w
			holds := func(wall, across float64) bool { return wall >= seats.Wall-alittle && across >= seats.Across-alittle }
			if w > 0 && (holds(w, across) || holds(across, w)) {
				out = append(out, want{a, w})
			}
		}
	}
	return out
}

// alittle is what a size may be less by rounding, m.
const alittle = 1e-6

// down is a length with three digits that is no more.
func down(v float64) float64 {
	if v <= 0 {
		return 0
	}
	k := math.Pow(10, math.Floor(math.Log10(v))-2)
	return math.Floor(v/k+1e-9) * k
}

// up is a length in whole steps of 5 mm, or of a quarter inch, that is no less.
func up(v float64, u phys.System) float64 {
	step := 5e-3
	if u == phys.Imperial {
		step = 0.25 * phys.Length.Unit(u).Factor
	}
	return math.Ceil(v/step-1e-9) * step
}

// words are the keys of an enclosure as they are written, with the sizes that were.
type words struct {
	u    phys.System
	keys []string
}

func (w *words) size(key string, v float64, k phys.Kind) float64 {
	text, si := written(v, k, w.u)
	w.word(key, text)
	return si
}

func (w *words) word(key, value string) { w.keys = append(w.keys, key+": "+value) }

func (w *words) in(key string, inner words) { w.word(key, inner.braces()) }

func (w words) braces() string { return "{" + strings.Join(w.keys, ", ") + "}" }

// boxed is a copy of the draft in another enclosure, in those words.
func (d draft) boxed(box enclosure.Spec, w words) draft {
	e := d.fresh()
	e.box = box
	e.set("enclosure", fmt.Sprintf("{kind: %s, %s}", box.Kind, strings.Join(w.keys, ", ")))
	return e
}

// standing is the draft of the first of wants whose enclosure stands in the space with
// its drivers; where none does, of the last that can be built; false where none can.
func standing[W any](d draft, wants []W, of func(W) (draft, bool)) (found draft, by W, ok bool) {
	for _, w := range wants {
		e, can := of(w)
		if !can {
			continue
		}
		sys, can := e.build()
		if !can {
			continue
		}
		found, by, ok = e, w, true
		if d.st.Stands(sys) {
			break
		}
	}
	return found, by, ok
}

// coneWords tell a section by the cones before it: “1.5 times the area of the cone”.
func (d draft) coneWords(area float64) string {
	g := d.sys.Group
	of := "the cone"
	switch {
	case g.SideBySide() > 1 && g.Depth() > 1:
		of = "the outer cones"
	case g.SideBySide() > 1:
		of = "the cones"
	case g.Depth() > 1:
		of = "the outer cone"
	}
	return phys.Digits(area/d.outer(), 2) + " times the area of " + of
}
