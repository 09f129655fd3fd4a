package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// A lower band is the loudest octave below a dip that the reference octave lies above.
type lower struct {
	Band  Band
	Level float64 // its power mean, dB
	Dip   float64 // Hz, where the level is least between the two
	F3    phys.Maybe
}

// below is the lowest band with no less than half of the reference octave’s power mean, from
// which a dip of half power or more parts it that ends the extension; nil where there is
// none. The half is a rule of our own.
// Ducts without a low-pass ring above their band as loud as in it: which octave is the
// loudest is then settled by tenths of a decibel, and the extension with it.
func (m *meter) below(f *Figures) *lower {
	reference := float64(f.Reference)
	if m.st.Reference != nil || !f.Reference.OK() || !f.F3.OK() || !f.F3High.OK() {
		return nil
	}
	n := int(math.Round(latticeAt(f.ReferenceBand.To)))
	p := m.squaresTo(n)
	of := func(k int) float64 { return levelOf(p[k]) }
	octave := func(k int) float64 { return levelOf(mean(p, k, k+meanSteps)) }
	peak := func(k int) int { // of an octave; it moves down with the octave, or stays
		best := k
		for i := k; i <= k+meanSteps; i++ {
			if p[i] > p[best] {
				best = i
			}
		}
		return best
	}
	var found *lower
	for top := n - meanSteps; ; {
		seen, loud := peak(top), octave(top)
		dip, next, parted := seen, -1, 0
		for k := top - 1; k >= 0; k-- {
			for to := peak(k); seen > to; {
				if seen--; p[seen] < p[dip] {
					dip = seen
				}
			}
			if l := octave(k); l >= reference-halfPower && of(dip) <= math.Min(l, loud)-halfPower && (next < 0 || l > octave(next)) {
				next, parted = k, dip
			}
		}
		if next < 0 || latticeHz(parted) > float64(f.F3) { // a dip above F3 does not end the extension
			return found
		}
		band := Band{latticeHz(next), 2 * latticeHz(next)}
		found = &lower{band, octave(next), latticeHz(parted), m.lowEdge(band, octave(next)-halfPower)}
		top = next
	}
}

// belowFindings warn of an extension that is told of the sound above a dip.
func (m *meter) belowFindings(o *Outcome) []note.Finding {
	b := m.below(&o.Figures)
	if b == nil || !b.F3.OK() {
		return nil
	}
	st, f := m.st, &o.Figures
	hz := func(x float64) string { return phys.Show(x, phys.Frequency, st.Units) }
	plain := func(x float64) string { return strings.ReplaceAll(hz(x), "\u2009", " ") }
	where := "candidates." + o.Candidate.Name
	return []note.Finding{{ID: "band-below-dip", Severity: note.Warning, Where: where, At: o.Candidate.At,
		Text: fmt.Sprintf("%s: its extension ends at a dip at %s, above which it has its loudest octave, from %s to %s; below the dip it has %s, %s\u2009dB less, down to an F3 of %s",
			where, hz(b.Dip), hz(f.ReferenceBand.From), hz(f.ReferenceBand.To), phys.Show(b.Level, phys.Level, st.Units), phys.Fixed(float64(f.Reference)-b.Level, 1), hz(float64(b.F3))),
		Mend: fmt.Sprintf("take what is above the dip away with a low-pass, or name the band that is meant with reference: {from: %s, to: %s}", plain(b.Band.From), plain(b.Band.To))}}
}
