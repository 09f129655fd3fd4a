package study

import (
	"fmt"
	"math"
	"slices"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// comesBack is how far below the reference level a sound above the band may lie and
// still be told, dB. A tone an octave higher takes 9 to 12 dB less to be heard as loud in
// the bass (the A-weighting of IEC 61672-1 rises by 12 dB from 40 to 80 Hz, by 9 dB from
// 80 to 160 Hz), so what comes back no further below can be as loud to the ear as the band.
const comesBack = 12

// above is the loudest that the level comes back to above the upper F3, in dB above the
// reference level: at a turning point that lies half power or more above what it fell to
// before, or within the band's own 3 dB. None where it stays away.
func (m *meter) above(f *Figures) Peak {
	best := Peak{phys.None(), phys.None()}
	lo := float64(f.F3High)
	if !(lo < bandHigh) {
		return best
	}
	dip := math.Inf(1)
	var was, at float64
	rises := false
	m.along(lo, bandHigh, func(x float64) {
		l := m.square(x)
		if x > lo && rises && l < was {
			p := refined(lo, bandHigh, was, at, m.square) // narrow ones are higher than the lattice sees
			p.Value = phys.Maybe(levelOf(float64(p.Value)))
			over := p.Value - f.Reference
			again := over >= -phys.Maybe(halfPower) || float64(p.Value)-levelOf(dip) >= halfPower
			if again && over >= -comesBack && !(over <= best.Value) {
				best = Peak{over, p.At}
			}
		}
		rises = x > lo && l > was
		was, at = l, x
		dip = min(dip, l)
	})
	return best
}

// apart is how far a level lies from the reference level, in words.
func apart(over phys.Maybe) string {
	switch d := math.Abs(float64(over)); {
	case d < equalDB:
		return "as loud as the band"
	case over > 0:
		return phys.Fixed(d, 1) + "\u2009dB louder than the band"
	default:
		return phys.Fixed(d, 1) + "\u2009dB below the band"
	}
}

// back tells the customer what comes back above the band, beginning with what it is above;
// empty where nothing does.
func (st *Study) back(f *Figures, above string) string {
	p := f.Above
	if !p.Value.OK() {
		return ""
	}
	unless := ", unless a low-pass takes it away"
	if slices.ContainsFunc(st.Filters, func(f Filter) bool { return f.Kind == "lowpass" || f.Kind == "resonant_lowpass" }) {
		unless = "" // what that takes is taken already
	}
	return fmt.Sprintf("%s it comes back at %s with %s, %s%s", above,
		phys.Show(float64(p.At), phys.Frequency, st.Units), phys.Show(float64(f.Reference+p.Value), phys.Level, st.Units), apart(p.Value), unless)
}

// aboveFindings warn of what comes back above the band: no brief asks for it, and who
// reads the extension alone does not see it.
func (st *Study) aboveFindings(o *Outcome) []note.Finding {
	p := o.Figures.Above
	if !p.Value.OK() {
		return nil
	}
	where := "candidates." + o.Candidate.Name
	return []note.Finding{{ID: "comes-back-above", Severity: note.Warning, Where: where, At: o.Candidate.At,
		Text: fmt.Sprintf("%s: above its upper F3 of %s the level comes back at %s, %s", where,
			phys.Show(float64(o.Figures.F3High), phys.Frequency, st.Units), phys.Show(float64(p.At), phys.Frequency, st.Units), apart(p.Value)),
		Mend: "look at the curve: what no low-pass takes away is heard beside the band"}}
}

// above tells what comes back above the band of one and not of the other.
func (v verdict) above() string {
	a, b := v.a.Above, v.b.Above
	at := func(p Peak) string { return v.show(float64(p.At), phys.Frequency) }
	switch d := float64(a.Value - b.Value); {
	case a.Value.OK() && !b.Value.OK():
		return fmt.Sprintf("above its upper F3 it comes back at %s, %s", at(a), apart(a.Value))
	case !a.Value.OK() && b.Value.OK():
		if !v.a.F3High.OK() {
			return "" // it does not end at the top
		}
		return "nothing comes back above its upper F3"
	case d >= equalDB:
		return fmt.Sprintf("what comes back above its upper F3, at %s, is %s\u2009dB louder beside its band", at(a), phys.Fixed(d, 1))
	case d <= -equalDB:
		return fmt.Sprintf("what comes back above its upper F3, at %s, is %s\u2009dB quieter beside its band", at(a), phys.Fixed(-d, 1))
	}
	return ""
}
