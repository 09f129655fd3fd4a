package variant

import (
	"fmt"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// Own is a candidate to begin with or to go on from by hand: one driver, the first of
// the study, in a closed box of the size that suits it. False where there is no room for one
// more, or no closed box can be made for that driver.
func Own(st *study.Study) (Variant, bool) {
	if len(st.Candidates) >= mostStudied || len(st.Drivers) == 0 {
		return Variant{}, false
	}
	first := st.Drivers[0]
	name, lead := freeOf(st, "own"), "one of your own: one "
	if len(st.Candidates) == 0 {
		name, lead = "one", "one "
	}
	d := draft{st: st, path: "candidates." + name, group: driver.GroupSpec{Driver: first.Driver, SideBySide: 1, Stack: 1, Where: "candidates." + name + ".group"}}
	for _, c := range st.Candidates {
		d.group.Outputs = max(d.group.Outputs, c.GroupSpec.Outputs) // of the one amplifier
	}
	boxed, why, ok := d.startSealed()
	if !ok {
		boxed, why, ok = d.asCompliant()
	}
	if !ok {
		return Variant{}, false
	}
	sys, ok := boxed.build()
	if !ok {
		return Variant{}, false
	}
	words := fmt.Sprintf("%s%s, %s", lead, first.Driver.Name, kindWords(sys, st.Units))
	if why != "" {
		words += " (" + why + ")"
	}
	whole := fmt.Sprintf("{group: {driver: %s}, enclosure: %s}", first.Driver.Name, boxed.edits[0].Value) // its one edit is the box
	return Variant{ID: "own", Sort: Box, Words: words, Name: name, Changes: []studyfile.Change{{Do: "set", Path: d.path, Value: whole}}}, true
}

// asCompliant is a closed box whose air is as compliant as the suspension: for a
// motor so weak that no closed box gives it one of the total Qs.
func (d draft) asCompliant() (draft, string, bool) {
	g, ok := d.built()
	if !ok {
		return d, "", false
	}
	c, err := g.Composite()
	if err != nil {
		return d, "", false
	}
	e := d.fresh()
	text, volume := written(c.Vas(d.st.Air), phys.Volume, d.st.Units)
	e.box = enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: volume}}
	e.set("enclosure", fmt.Sprintf("{kind: sealed, volume: %s}", text))
	return e, "as compliant as the suspension", true
}

func freeOf(st *study.Study, base string) string {
	for k := 1; ; k++ {
		name := base
		if k > 1 {
			name = fmt.Sprintf("%s-%d", base, k)
		}
		if _, err := st.Find(name); err != nil {
			return name
		}
	}
}
