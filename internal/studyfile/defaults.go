package studyfile

import (
	"fmt"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// What the results rest on and the study does not say is told, here for what the
// file's reader fills in; drivers, groups, enclosures and bodies tell their own.
// What is not there where it is left out (creep, a source's resistance, a second
// coil) is not filled in, and is not told.

// filled makes the finding of a value that the study leaves out.
func (b *builder) filled(id, path, text, mend string) note.Finding {
	return note.Finding{
		ID: "default-" + id, Severity: note.Default, Where: path,
		At: b.position(nearby(b.root.node, path)), Text: text, Mend: mend,
	}
}

// fill tells a value of the study as a whole.
func (b *builder) fill(id, path, text, mend string) {
	b.study.Findings = append(b.study.Findings, b.filled(id, path, text, mend))
}

// unsaid are the defaults of the place and of the brief.
func (b *builder) unsaid(v *value) {
	if text := b.unsaidAir(v.get("air"), v.get("listening").get("cabin")); text != "" {
		b.fill("air", "air", text, "write air to replace it")
	}
	if v.get("listening").get("distance") == nil {
		text := "the level is told for " + phys.Brief(b.study.Listening.Distance, phys.Distance, b.study.Units)
		if at := b.study.Listening.At; at != nil && at.Zone != nil {
			text += "; in the cabin that matters above its first mode alone"
		}
		b.fill("distance", "listening.distance", text, "write distance in listening to replace it")
	}
	if v.get("listening").get("space") == nil {
		b.fill("space", "listening.space", "the sound goes into a "+b.study.Listening.Space.String()+" space", "write space in listening to replace it")
	}
	if v.get("model").get("radiation") == nil {
		b.fill("radiation", "model.radiation", "cones and ports radiate without loading the motion (classical)", "write radiation in model to replace it")
	}
	if v.get("brief").get("limits").get("from") == nil {
		b.fill("from", "brief.limits.from", "limits are held from "+phys.Brief(b.study.LimitsFrom(), phys.Frequency, b.study.Units)+" up", "write from in limits to replace it")
	}
}

// unsaidAir is what is filled in of the air that a value and a cabin state, "" for nothing.
func (b *builder) unsaidAir(v, cabin *value) string {
	if v.get("speed_of_sound") != nil {
		return ""
	}
	standard := phys.StandardAir()
	var said []string
	for _, part := range []struct {
		key, text string
	}{
		{"temperature", phys.Brief(standard.Temperature, phys.Temperature, b.study.Units)},
		{"humidity", phys.Brief(standard.Humidity, phys.Ratio, phys.Metric) + " humidity"},
		{"pressure", fmt.Sprintf("%g\u2009kPa", standard.Pressure/1000)},
	} {
		if v.get(part.key) == nil && (part.key != "temperature" || cabin.get("temperature") == nil) {
			said = append(said, part.text)
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "air of " + joined(said, "and")
}

// unsaidOfSheet are the defaults by which a datasheet is read.
func (b *builder) unsaidOfSheet(v *value, path string) []note.Finding {
	var out []note.Finding
	tell := func(id, key, text string) {
		out = append(out, b.filled(id, path+"."+key, text, "write "+strings.ReplaceAll(key, ".", ": ")+" to replace it"))
	}
	if text := b.unsaidAir(v.get("air"), nil); text != "" && (v.get("vas") != nil || v.get("sensitivity") != nil) {
		tell("sheet-air", "air", "the sheet is read for "+text)
	}
	c := v.get("coils")
	count := c.get("count").number(1)
	driven := c.get("driven").number(count)
	if count > 1 && c.get("quoted") == nil {
		tell("quoted", "coils.quoted", "re, le, bl and qes are of each coil")
	}
	if count > 1 && c.get("driven") == nil {
		tell("driven", "coils.driven", fmt.Sprintf("all %d coils are driven", count))
	}
	if driven < count && c.get("other") == nil {
		tell("other", "coils.other", "the coils that are not driven are open")
	}
	if s := v.get("suspension"); s.get("creep") != nil && s.get("creep").si() > 0 && s.get("form") == nil {
		tell("creep-form", "suspension.form", "the creep is causal")
	}
	return out
}
