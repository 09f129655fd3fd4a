package studyfile

import (
	"fmt"
	"math"
	"math/cmplx"

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
	b.limitBeyondStop()
	b.unevenAmplifier()
	b.filteredAway()
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

// thinCable warns of a source or a cable with more resistance than the coils behind it.
func (b *builder) thinCable() {
	least, name := 0.0, ""
	for i := range b.study.Candidates {
		g := b.study.Candidates[i].Group
		for k := range g.ChannelCount() {
			if re := g.ChannelRe(k); name == "" || re < least {
				least, name = re, b.study.Candidates[i].Name
			}
		}
	}
	if name == "" {
		return
	}
	ohms := func(r float64) string { return phys.Show(r, phys.Resistance, b.study.Units) }
	coils := " and the coils of " + name + " have " + ohms(least) + ": most of the power stays in "
	if c := b.study.Cable; c != nil && c.Resistance() > least {
		b.doubt("cable-too-thin", "source.cable", "the cable has "+ohms(c.Resistance())+coils+"the cable",
			"correct its length, or take a thicker one")
	}
	if r := b.study.Source; r > least {
		b.doubt("source-resists", "source.resistance", "the source has "+ohms(r)+coils+"front of them", "correct it: an amplifier and its wires have some hundredths of an ohm")
	}
}

// limitBeyondStop warns of a limit of excursion that a cone cannot come to.
func (b *builder) limitBeyondStop() {
	length := func(x float64) string { return phys.Brief(x, phys.Length, b.study.Units) }
	for i := range b.study.Drivers {
		d := b.study.Drivers[i].Driver
		if stop, limit := d.Data.Xmech, b.study.Brief.Limits.Excursion; stop > 0 && limit > stop {
			b.doubt("limit-beyond-stop", "brief.limits.excursion", "cones may go "+length(limit)+", and that of "+d.Name+" is at its mechanical stop at "+length(stop)+", which is what is held of it",
				"let the limit be xmax, or "+length(stop)+" or less")
			return
		}
	}
}

// sheetRounding is the share by which rated powers may miss each other: sheets give
// them in round numbers.
const sheetRounding = 0.05

// unevenAmplifier warns of rated powers that are no amplifier's: into a higher load it
// gives no less voltage, and into a lower one no less current.
func (b *builder) unevenAmplifier() {
	if b.study.Amplifier == nil {
		return
	}
	rated := b.study.Amplifier.Rated // by rising load
	show := func(r study.Rating) string {
		return phys.Brief(r.Power, phys.Power, b.study.Units) + " into " + phys.Brief(r.Load, phys.Resistance, b.study.Units)
	}
	for k := 1; k < len(rated); k++ {
		low, high := rated[k-1], rated[k]
		volts := func(r study.Rating) float64 { return math.Sqrt(r.Power * r.Load) }
		amps := func(r study.Rating) float64 { return math.Sqrt(r.Power / r.Load) }
		text := ""
		switch {
		case volts(high) < volts(low)*(1-sheetRounding):
			text = show(low) + " are " + phys.Show(volts(low), phys.Voltage, b.study.Units) + ", and " + show(high) + " only " + phys.Show(volts(high), phys.Voltage, b.study.Units) + ": an amplifier gives no less voltage into a higher load"
		case amps(low) < amps(high)*(1-sheetRounding):
			text = show(high) + " are " + phys.Show(amps(high), phys.Current, b.study.Units) + ", and " + show(low) + " only " + phys.Show(amps(low), phys.Current, b.study.Units) + ": an amplifier that can give the one current can give it into the lower load too, as is taken here, unless it protects itself"
		default:
			continue
		}
		b.doubt("uneven-amplifier", "amplifier.rated", text, "look into its sheet again, or leave out the load that it is not made for")
		return
	}
}

// takenAway is what filters take at a frequency for them to be in the way there, dB.
const takenAway = 12

// filteredAway warns of filters that take what the brief asks for.
func (b *builder) filteredAway() {
	bands := b.study.Chain
	bands.Gain = 0 // an amplifier that is turned down is meant to be
	brief := &b.study.Brief
	for _, x := range []struct {
		what string
		at   float64
	}{{"a level", brief.LevelAt}, {"an F3", brief.Extension.F3}, {"an F6", brief.Extension.F6}} {
		if x.at == 0 {
			continue
		}
		if lost := -20 * math.Log10(cmplx.Abs(bands.At(2*math.Pi*x.at))); lost > takenAway {
			b.doubt("filtered-away", "filters", fmt.Sprintf("they take %s dB at %s, where the brief asks for %s", phys.Digits(min(lost, 999), 3), phys.Brief(x.at, phys.Frequency, b.study.Units), x.what),
				"correct their corners, or ask for it where they let it pass")
			return
		}
	}
}
