package study

import (
	"fmt"
	"math"

	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/place"
)

// loud is the level from which bass is cautioned of that is too deep to count in
// dBA, dB: music on top of it is as loud as a rule, and at 100 dBA the
// recommended exposure of NIOSH 1998 (85 dBA for 8 h, 3 dB exchange) is used up
// in a quarter of an hour.
const loud = 100.0

// A tone is the loudest that a study predicts, by one way of counting.
type tone struct {
	level, f float64
	counted  float64 // dB, weighted
	who      string
}

func (t *tone) take(level, f, weight float64, who string) {
	if l := level + weight; !math.IsNaN(l) && l > t.counted {
		*t = tone{level, f, l, who}
	}
}

// The ways of counting a tone: as it is, and by the curves of IEC 61672-1.
const (
	byA = iota
	byC
	unweighted
	weighings
)

// loudest are the loudest tones of a candidate, by each way of counting: on the
// drive, and played as loud as it goes where the study has an amplifier to do so.
func (st *Study) loudest(o *Outcome) [weighings]tone {
	var out [weighings]tone
	for i := range out {
		out[i].counted = math.Inf(-1)
	}
	who := o.Candidate.Name
	take := func(level, f float64, who string) {
		if f > bassTo || math.IsNaN(level) {
			return
		}
		out[byA].take(level, f, place.AWeight(f), who)
		out[byC].take(level, f, place.CWeight(f), who)
		out[unweighted].take(level, f, 0, who)
	}
	for k, f := range o.Curves.Frequency {
		take(o.Curves.SPL[k], f, who)
	}
	if g := o.Greatest; g != nil && st.Amplifier != nil { // without one nothing says that it is ever played so loud
		who += " at its loudest"
		for k, f := range g.Frequency {
			if g.By[k] != "" {
				take(g.Level[k], f, who)
			}
		}
	}
	return out
}

// hearing is what the loudest tone that any candidate is predicted to give does
// to hearing.
func (r *Result) hearing() []note.Finding {
	worst := func(way int) tone {
		t := tone{counted: math.Inf(-1)}
		for _, o := range r.Candidates {
			if x := o.loudest[way]; x.counted > t.counted {
				t = x
			}
		}
		return t
	}
	var out []note.Finding
	seen := map[string]bool{}
	add := func(t tone) {
		if t.f == 0 {
			return // no sound at all
		}
		for _, f := range place.Hearing(t.level, t.f, "") {
			if !seen[f.ID] {
				seen[f.ID] = true
				f.Text = t.who + ": " + f.Text
				out = append(out, f)
			}
		}
	}
	add(worst(byA))
	add(worst(byC))
	if t := worst(unweighted); len(out) == 0 && t.level >= loud {
		out = append(out, note.Finding{ID: "hearing", Severity: note.Caution, Text: fmt.Sprintf(
			"%s: %s\u2009dB at %s is too deep to count in dBA, and music on top of it can use up a day’s noise dose in minutes; keep to the dose limits of your place",
			t.who, phys.Fixed(t.level, 0), phys.Brief(t.f, phys.Frequency, r.Study.Units))})
	}
	return out
}
