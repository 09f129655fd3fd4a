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

// heardTo is the frequency up to which a level counts for the caution, Hz: above,
// the loudspeaker that takes over decides, and not the bass (common practice).
const heardTo = 120.0

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

// hearing is what the loudest tone that any candidate is predicted to give does
// to hearing: on the drive, and played as loud as it goes where the study has an
// amplifier to do so.
func (r *Result) hearing() []note.Finding {
	worst := func(weight func(f float64) float64) tone {
		t := tone{counted: math.Inf(-1)}
		for _, o := range r.Candidates {
			who := o.Candidate.Name
			for k, f := range o.Curves.Frequency {
				if f <= heardTo {
					t.take(o.Curves.SPL[k], f, weight(f), who)
				}
			}
			if r.Study.Amplifier == nil {
				continue // nothing says that it is ever played so loud
			}
			if g := o.Greatest; g != nil {
				for k, f := range g.Frequency {
					if f <= heardTo && g.By[k] != "" {
						t.take(g.Level[k], f, weight(f), who+" at its loudest")
					}
				}
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
	add(worst(place.AWeight))
	add(worst(place.CWeight))
	if t := worst(func(float64) float64 { return 0 }); len(out) == 0 && t.level >= loud {
		out = append(out, note.Finding{ID: "hearing", Severity: note.Caution, Text: fmt.Sprintf(
			"%s: %s\u2009dB at %s is too deep to count in dBA, and music on top of it can use up a day’s noise dose in minutes; keep to the dose limits of your place",
			t.who, phys.Fixed(t.level, 0), phys.Brief(t.f, phys.Frequency, r.Study.Units))})
	}
	return out
}
