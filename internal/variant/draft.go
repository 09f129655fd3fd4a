package variant

import (
	"slices"
	"strconv"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A draft is a candidate that is being varied: what it will be, and the
// changes of the file that make it so. The two are written together.
type draft struct {
	st    *study.Study
	sys   *enclosure.System // the candidate before any change
	path  string            // "candidates.one"
	group driver.GroupSpec
	box   enclosure.Spec
	edits []studyfile.Change
	why   string // how it was sized, for who asks
}

// draftOf is candidate i without changes; false if it cannot be built.
func draftOf(st *study.Study, i int) (draft, bool) {
	sys, _, err := st.Build(i)
	if err != nil {
		return draft{}, false
	}
	c := &st.Candidates[i]
	return draft{st: st, sys: sys, path: "candidates." + c.Name, group: c.GroupSpec, box: c.Enclosure}, true
}

// fresh is a copy that can be changed without changing d.
func (d draft) fresh() draft {
	d.edits = slices.Clone(d.edits)
	return d
}

func (d *draft) set(key, value string) {
	d.edits = append(d.edits, studyfile.Change{Do: "set", Path: d.path + "." + key, Value: value})
}

func (d *draft) remove(key string) {
	d.edits = append(d.edits, studyfile.Change{Do: "remove", Path: d.path + "." + key})
}

// quantity writes a size at key as a person would and gives back what was
// written, so that the draft and the file cannot differ.
func (d *draft) quantity(key string, v float64, k phys.Kind) float64 {
	text, si := written(v, k, d.st.Units)
	d.set(key, text)
	return si
}

// written is a size with three significant digits, as it stands in a file,
// and what a reader of the file makes of it.
func written(v float64, k phys.Kind, u phys.System) (text string, si float64) {
	unit := k.Unit(u)
	shown := unit.Of(v)
	if three, err := strconv.ParseFloat(strconv.FormatFloat(shown, 'g', 3, 64), 64); err == nil {
		shown = three
	}
	text = strings.ReplaceAll(phys.Brief(shown*unit.Factor+unit.Offset, k, u), "\u2009", " ")
	q, err := phys.Parse(text, k)
	if err != nil { // cannot be: Brief writes what Parse reads
		return text, v
	}
	return text, q.SI
}

// build makes the network of the draft; false if it cannot be.
func (d draft) build() (*enclosure.System, bool) {
	g, ok := d.built()
	if !ok {
		return nil, false
	}
	sys, _, err := enclosure.Build(g, d.box, d.st.Setting())
	return sys, err == nil
}

func (d draft) built() (*driver.Group, bool) {
	g, _, err := driver.NewGroup(d.group)
	return g, err == nil
}

// variant is the draft as something to choose.
func (d draft) variant(id, sort, words string) Variant {
	return Variant{ID: id, Sort: sort, Words: words, Changes: d.edits}
}

// current is the candidate as it is, as something to choose.
func current(id, sort, words string) Variant {
	return Variant{ID: id, Sort: sort, Words: words, Current: true}
}

// ratio is how much more of a box a group wants than another, and of
// radiating area, so that the response stays: m positions add their air, and
// the drivers of a stack their stiffness, so n side by side need n times the
// volume of one and a stack of n needs 1/n of it.
func ratio(from, to driver.GroupSpec) (volume, area float64) {
	area = float64(to.SideBySide) / float64(from.SideBySide)
	return area * float64(from.Stack) / float64(to.Stack), area
}

// lead is the driver that the listener sees first.
func lead(g *driver.Group) *driver.Driver { return g.Positions[0][0].Driver }
