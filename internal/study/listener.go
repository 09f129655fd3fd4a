package study

import (
	"fmt"
	"math"
	"math/cmplx"

	"basswright/internal/heat"
	"basswright/internal/large"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/place"
)

// Listener is what surrounds the listener beyond distance and space: one of a
// cabin, of walls and of a transfer function that was measured. A nil Listener
// sits in the plain space.
type Listener struct {
	Zone     *place.Zone     // of a cabin
	Volume   float64         // m³, the cabin's
	Walls    *place.Walls    //
	Count    int             // how many walls
	Measured *place.Measured //
	File     string          // that it was read from

	Climate *place.Climate // of a cabin whose temperature is stated; nil: air and drivers are as everywhere
}

// changes reports whether the sound is any other than in the plain space.
func (l *Listener) changes() bool {
	return l != nil && (l.Zone != nil || l.Walls != nil || l.Measured != nil)
}

// Transfer is the pressure at the listener over that in the plain space, at the
// same distance and without the flight, at f in Hz. That of walls and of a
// measurement without phase is real.
func (l *Listener) Transfer(f float64) complex128 {
	switch {
	case l == nil:
		return 1
	case l.Zone != nil:
		return l.Zone.Transfer(f)
	case l.Walls != nil:
		return complex(l.Walls.Gain(f), 0)
	case l.Measured != nil:
		h, _ := l.Measured.Transfer(f)
		return h
	}
	return 1
}

// gain is |Transfer|.
func (l *Listener) gain(f float64) float64 {
	if l == nil {
		return 1
	}
	return cmplx.Abs(l.Transfer(f))
}

// warmth is what the temperature of the place makes of a coil's resistance.
func (l *Listener) warmth(w heat.Wire) float64 {
	if l == nil || l.Climate == nil {
		return 1
	}
	return w.Resistance(l.Climate.Temperature)
}

// Words are the surroundings in a few words: "in a cabin of 3.2 m³", "near two
// walls", "as measured (van.csv)"; nothing in the plain space.
func (l *Listener) Words(u phys.System) string {
	switch {
	case l == nil:
	case l.Zone != nil:
		return "in a cabin of " + cabinVolume(l.Volume, u)
	case l.Walls != nil && l.Count == 1:
		return "near a wall"
	case l.Walls != nil:
		return fmt.Sprintf("near %s walls", Count(l.Count))
	case l.Measured != nil:
		return fmt.Sprintf("as measured (%s)", l.File)
	}
	return ""
}

// elsewhere is where the sound is that of the plain space, as a customer says it.
func (l *Listener) elsewhere() string {
	switch {
	case l.Zone != nil:
		return "outside the cabin"
	case l.Walls != nil && l.Count == 1:
		return "away from the wall"
	case l.Walls != nil:
		return "away from the walls"
	}
	return "in the plain space"
}

// cabinVolume is a volume as people tell that of a room: m³, not L.
func cabinVolume(v float64, u phys.System) string {
	if u == phys.Imperial {
		return phys.Brief(v, phys.Volume, u)
	}
	return brief0(phys.Digits(v, 3)) + "\u2009m³"
}

// colour brings two tones and their side tones to the listener's place.
func (l *Listener) colour(t *large.TwoTone) {
	if l == nil {
		return
	}
	t.Level *= l.gain(t.High)
	for k := range t.Below {
		d := t.Low * float64(k+1)
		t.Below[k] *= l.Transfer(t.High - d)
		t.Above[k] *= l.Transfer(t.High + d)
	}
}

// InPlace reports whether levels are told for a place other than the plain space.
func (st *Study) InPlace() bool { return st.Listening.At.changes() }

// PlaceWords say where levels are told for: "1 m, half space", "2 m, half space,
// in a cabin of 3.2 m³".
func (st *Study) PlaceWords() string {
	text := st.PlainWords()
	if st.InPlace() {
		text += "," + st.Surrounded()
	}
	return text
}

// Surrounded is what surrounds the listener as the end of a clause: " in a cabin
// of 3.2 m³"; nothing in the plain space.
func (st *Study) Surrounded() string {
	if !st.InPlace() {
		return ""
	}
	return " " + st.Listening.At.Words(st.Units)
}

// PlainWords are the distance and the space alone.
func (st *Study) PlainWords() string {
	return fmt.Sprintf("%s, %s space", phys.Brief(st.Listening.Distance, phys.Distance, st.Units), st.Listening.Space)
}

// HalfSpaceDistance is the distance at which a half space has the pressure that the study's
// space has at the listening distance, m: what a cabin is held against.
func (l Listening) HalfSpaceDistance() float64 {
	return l.Distance * l.Space.SolidAngle() / (2 * math.Pi)
}

// MostWalls is how many walls can be added to a space: three can stand at right
// angles to each other, and a half space has one already.
func (s Surroundings) MostWalls() int { return [...]int{2, 3, 1, 0}[s] }

// Findings say what the surroundings take for granted. They go with the study.
func (l *Listener) Findings(u phys.System) []note.Finding {
	if !l.changes() {
		return nil
	}
	tell := func(id, where, text, mend string) note.Finding {
		return note.Finding{ID: id, Severity: note.Default, Where: where, Text: text, Mend: mend}
	}
	out := []note.Finding{tell("listeners-place", "listening", "levels and greatest output are told for the listener’s place, "+l.Words(u)+"; extension, reference level, group delay and responses over time stay those of the plain space",
		"draw the figure plain-level, or leave "+l.key()+" out of listening, to see levels in the plain space")}
	switch {
	case l.Zone != nil:
		return append(out, l.Zone.Findings("listening.cabin")...)
	case l.Walls != nil:
		return append(out, tell("walls-average", "listening.walls", "the gain of walls is the mean over all directions that they leave open, rising to 6.0\u2009dB for each wall; one spot has dips and peaks around it",
			"measure at the seat, and give the transfer, to know more"))
	}
	low, high := l.Measured.Band()
	hz := func(f float64) string { return phys.Brief(f, phys.Frequency, u) }
	out = append(out, tell("transfer-ends", "listening.transfer", fmt.Sprintf("%s reaches from %s to %s; beyond its ends the transfer stays as it is there", l.File, hz(low), hz(high)), "measure further, to know more"))
	if !l.Measured.HasPhase() {
		out = append(out, tell("transfer-phase", "listening.transfer", l.File+" has no phase, so that the phase of the pressure stays that of the plain space", "give phases in degrees in a third column"))
	}
	return out
}

// key is what the surroundings are called in a study file.
func (l *Listener) key() string {
	switch {
	case l.Zone != nil:
		return "cabin"
	case l.Walls != nil:
		return "walls"
	}
	return "transfer"
}
