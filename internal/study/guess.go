package study

import (
	"fmt"

	"basswright/internal/driver"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// guesses tells what was filled in to lay out a box: a driver's size and what
// its body takes, and the boards.
func (st *Study) guesses(o *Outcome) []note.Finding {
	var out []note.Finding
	tell := func(id, where, text, mend string) {
		for _, f := range out {
			if f.ID == id && f.Where == where {
				return
			}
		}
		out = append(out, note.Finding{ID: id, Severity: note.Default, Where: where, Text: text, Mend: mend})
	}
	for _, stack := range o.Body.Group.Positions {
		for _, m := range stack {
			where := "drivers." + m.Driver.Name
			f := FrameOf(m.Driver)
			if f.Guessed {
				tell("default-frame", where, fmt.Sprintf("flange %s and depth %s, where not given by the proportions of common woofers", phys.Show(f.Flange, phys.Length, st.Units), phys.Show(f.Depth, phys.Length, st.Units)), "give flange and mounting_depth")
			}
			if v, estimated := driver.BodyVolume(m.Driver); estimated && o.Body.Known {
				tell("default-body", where, "its body takes "+phys.Show(v, phys.Volume, st.Units)+", from its size", "give displacement")
			}
		}
	}
	if o.Body.Known && (st.Space == nil || st.Space.Panel == 0) {
		tell("default-panel", "space.panel", "boards of "+phys.Brief(defaultPanel, phys.Length, st.Units), "write panel in space")
	}
	return out
}
