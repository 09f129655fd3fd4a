package studyfile

import (
	"math"

	"basswright/internal/note"
	"basswright/internal/phys"
	listener "basswright/internal/place"
	"basswright/internal/study"
)

// seated says whether a listener as far away as the study has it still sits in the
// cabin; where not, that is told.
func (b *builder) seated(v *value, c listener.Cabin) bool {
	d := b.root.get("listening").get("distance")
	reach := c.Reach()
	if w := v.get("width"); w != nil { // all three sides are given
		reach = math.Hypot(math.Hypot(v.get("length").si(), w.si()), v.get("height").si())
	}
	if d == nil || d.si() <= reach*(1+1e-9) {
		return true
	}
	b.add(d.node, "bad-place", "listening.distance", "give a distance inside it, or leave the cabin out",
		"nobody sits %s away from the box in a cabin of %s: two places of it are %s apart at the most",
		d.node.text, cabinWords(v), phys.Show(reach, phys.Distance, b.study.Units))
	return false
}

// cabinWords is a cabin as it was written: "3 m3", "2 m × 2.5 m × 1.2 m".
func cabinWords(v *value) string {
	if x := v.get("volume"); x != nil {
		return x.node.text
	}
	return v.get("length").node.text + " × " + v.get("width").node.text + " × " + v.get("height").node.text
}

// contradictions warns of what can be computed and is hardly meant.
func (b *builder) contradictions() {
	b.openCabin()
	b.lateLimits()
	b.thinCable()
}

// doubt is a warning at a key.
func (b *builder) doubt(id, path, text, mend string) {
	b.study.Findings = append(b.study.Findings, note.Finding{
		ID: id, Severity: note.Warning, Where: path, At: b.position(nearby(b.root.node, path)), Text: text, Mend: mend,
	})
}

// openCabin warns of a cabin in a space without any wall.
func (b *builder) openCabin() {
	if at := b.study.Listening.At; at != nil && at.Zone != nil && b.study.Listening.Space == study.FreeSpace {
		b.doubt("cabin-in-free-space", "listening.space", "a closed cabin has a floor, and a free space has no wall at all; above the cabin’s first mode the level is led back to that of the free space",
			"leave space out, or write half, quarter or eighth for a box on the floor, at an edge or in a corner")
	}
}

// lateLimits warns of a brief whose limits are not held where it asks for sound.
func (b *builder) lateLimits() {
	from := b.study.Brief.Limits.From
	hz := func(f float64) string { return phys.Brief(f, phys.Frequency, b.study.Units) }
	e := b.study.Brief.Extension
	for _, x := range []struct {
		what string
		at   float64
	}{{"a level", b.study.Brief.LevelAt}, {"an F3", e.F3}, {"an F6", e.F6}, {"an F10", e.F10}} {
		if x.at > 0 && from > x.at*(1+1e-9) {
			b.doubt("limits-above-brief", "brief.limits.from", "limits are held from "+hz(from)+" up, and "+x.what+" is asked at "+hz(x.at)+", where none is held",
				"let limits.from be "+hz(x.at)+" or less")
			return
		}
	}
}

// thinCable warns of a cable with more resistance than the coils behind it.
func (b *builder) thinCable() {
	c := b.study.Cable
	if c == nil {
		return
	}
	least, name := 0.0, ""
	for i := range b.study.Candidates {
		g := b.study.Candidates[i].Group
		for k := range g.ChannelCount() {
			if re := g.ChannelRe(k); name == "" || re < least {
				least, name = re, b.study.Candidates[i].Name
			}
		}
	}
	ohms := func(r float64) string { return phys.Show(r, phys.Resistance, b.study.Units) }
	if r := c.Resistance(); name != "" && r > least {
		b.doubt("cable-too-thin", "source.cable", "the cable has "+ohms(r)+" and the coils of "+name+" have "+ohms(least)+": most of the power stays in the cable",
			"correct its length, or take a thicker one")
	}
}
