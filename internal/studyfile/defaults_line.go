package studyfile

import (
	"slices"
)

// unsaidOfLine are the defaults by which the duct of an enclosure and its fill are
// read.
func (b *builder) unsaidOfLine(v *value, path string) {
	b.unsaidOfNet(v, path)
	if d := v.get("duct"); d != nil {
		b.unsaidOfDuct(d, path+".duct")
		if v.text == "transmission_line" && v.get("driver_at") == nil {
			b.study.Findings = append(b.study.Findings, b.filled("driver-at", path+".driver_at", "the cone looks into the duct at its closed end", "write driver_at to replace it"))
		}
	}
	fill := v.get("fill")
	fills := []*value{fill}
	if fill != nil && fill.form.what == aList {
		fills = fill.items
	}
	b.unsaidOfFill(fills, path+".fill")
	for _, inner := range []string{"rear", "front", "throat_chamber"} {
		b.unsaidOfFill([]*value{v.get(inner).get("fill")}, path+"."+inner+".fill")
	}
}

// unsaidOfDuct are the defaults of a duct, whose keys stand at a path.
func (b *builder) unsaidOfDuct(d *value, path string) {
	tell := func(id, key, text, mend string) {
		if key != "" {
			key = "." + key
		}
		b.study.Findings = append(b.study.Findings, b.filled(id, path+key, text, mend))
	}
	if d.get("start") != nil && d.get("flare") == nil {
		tell("flare", "flare", "the duct is a cone from start to end", "write flare to replace it")
	}
	if d.get("profile") != nil && d.get("between") == nil {
		tell("between", "between", "between the points of the profile the duct is a cone", "write between to replace it")
	}
	if d.get("width") == nil && d.get("aspect") == nil {
		tell("section", "", "the duct is round", "write width or aspect in duct for a rectangular one")
	}
	if d.get("jumps") == nil && jumps(d.get("profile").list()) {
		tell("jumps", "jumps", "where the area jumps the air that flows together has a mass (Kergomard & Garcia 1987, from memory)", "write jumps: plain for none")
	}
	if b.root.get("model").get("wall_loss") == nil && !b.wallsTold {
		b.wallsTold = true
		b.fill("wall-loss", "model.wall_loss", "the air in ducts loses energy at their walls (Zwikker & Kosten 1949)", "write wall_loss: false in model to leave it out")
	}
}

// unsaidOfFill tells what fills leave out, once for all of a list.
func (b *builder) unsaidOfFill(fills []*value, path string) {
	var said, keys []string
	for _, f := range fills {
		if f == nil {
			continue
		}
		for _, x := range []struct {
			key, text string
			absent    bool
		}{
			{"frame", "its fibres stand still", f.get("frame") == nil},
			{"model", "its air is that of Allard & Champoux 1992", f.get("model") == nil},
			{"share", "it fills all of the chamber", f.form.object == stuffingObject && f.get("share") == nil},
			{"from", "it begins at the start of the duct", f.form.object == fillObject && f.get("from") == nil},
			{"to", "it ends at the mouth", f.form.object == fillObject && f.get("to") == nil},
		} {
			if x.absent && !slices.Contains(keys, x.key) {
				keys = append(keys, x.key)
				if !slices.Contains(said, x.text) {
					said = append(said, x.text)
				}
			}
		}
	}
	if len(said) > 0 {
		b.study.Findings = append(b.study.Findings, b.filled("fill", path, joined(said, "and"), "write "+joined(keys, "and")+" in fill to replace it"))
	}
}

// jumps says whether a profile has two points at one place.
func jumps(points []*value) bool {
	for i := 1; i < len(points); i++ {
		if points[i].get("at").si() == points[i-1].get("at").si() {
			return true
		}
	}
	return false
}
