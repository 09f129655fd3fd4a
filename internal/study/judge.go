package study

import (
	"fmt"
	"math"
	"slices"

	"basswright/internal/enclosure"
	"basswright/internal/note"
)

// judge says whether the brief is met, which candidate is nearest, and which
// cautions travel with the result.
func (r *Result) judge() {
	var met []string
	nearest, least := 0, math.Inf(1)
	for i, o := range r.Candidates {
		over, full := 0.0, 0.0 // how far the limits are passed, in all: the sum of the logarithms
		for _, c := range o.Checks {
			r.HasBrief = r.HasBrief || c.Asked
			if c.Passed || !c.Fill.OK() {
				continue
			}
			past := math.Log(float64(c.Fill))
			if drive, ok := c.ID.atDrive(); ok { // one turn of the level mends them all: the largest counts, beyond what the drive does
				if d, ok := o.check(drive); ok && d.Fill > 1 {
					past -= math.Log(float64(d.Fill))
				}
				full = max(full, past)
				continue
			}
			over += past
		}
		over += full
		if o.silent() {
			over = math.Inf(1)
		}
		if len(o.Misses) == 0 {
			met = append(met, o.Candidate.Name)
			over = math.Inf(-1) // what is not judged is a miss that passes no limit: it is not nearer
		}
		if over < least {
			nearest, least = i, over
		}
	}
	r.BriefMet = len(met) > 0 || !r.HasBrief
	unjudged := ""
	if r.HasBrief {
		unjudged = r.unjudgedFits(len(met))
	}
	r.Told = r.told(met) + unjudged
	switch o := r.Candidates[nearest]; {
	case !r.HasBrief && len(r.Candidates) == 1:
		r.Lead = fmt.Sprintf("The study asks for nothing, and %s stands alone: figures only.", r.Candidates[0].Candidate.Name)
	case !r.HasBrief:
		r.Lead = fmt.Sprintf("The study asks for nothing; %s compared %s.", candidates(len(r.Candidates)), r.Study.Drive.Same())
	case len(met) == 1:
		r.Lead = fmt.Sprintf("%s meets the brief, the only one of %s%s%s.", met[0], Count(len(r.Candidates)), r.Study.proved(o), unjudged)
		if back := r.Study.back(&o.Figures, "Above its band"); back != "" {
			r.Lead += " " + back + "."
		}
	case len(met) == len(r.Candidates):
		r.Lead = "Every candidate meets the brief" + unjudged + "."
	case len(met) > 1:
		r.Lead = fmt.Sprintf("%s meet the brief%s.", list(met, "and"), unjudged)
	case len(r.Candidates) == 1:
		r.Lead = fmt.Sprintf("%s: %s.", noneOf(1), r.missed(o))
	default:
		r.Lead = fmt.Sprintf("%s. %s is nearest: %s.", noneOf(len(r.Candidates)), o.Candidate.Name, r.missed(o))
	}
	r.caution()
}

// told says whether the brief is met. A study that describes its amplifier or
// its space and asks for nothing has no brief, and limits all the same.
func (r *Result) told(met []string) string {
	who := list(met, "and") // those that keep everything, where not all do
	if len(met) == len(r.Candidates) {
		who = ""
	}
	nothing := "Nothing is asked beyond what the study’s amplifier and space bear, and "
	switch asks := r.Study.Brief != (Brief{}); {
	case !r.HasBrief && len(met) < len(r.Candidates):
		return "The study asks for nothing, and not every candidate keeps what its own parts bear"
	case !r.HasBrief:
		return "The study asks for nothing: figures only"
	case !asks && len(met) == 0:
		return nothing + "no candidate keeps it"
	case !asks && who != "":
		return nothing + who + " " + verb(len(met), "keeps", "keep") + " it"
	case !asks:
		return nothing + "that is kept"
	case len(met) > 0 && who != "":
		return "The brief is met by " + who
	case r.BriefMet:
		return "The brief is met"
	}
	return "The brief is not met"
}

func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func candidates(n int) string {
	return "its " + Count(n) + " candidates are"
}

func noneOf(n int) string {
	if n == 1 {
		return "The candidate does not meet the brief as it stands"
	}
	return fmt.Sprintf("None of the %s meets the brief as it stands", Count(n))
}

// missed is what a candidate misses, in a few words: numbers and mends stand with
// the misses. A fit that is not judged is none, and told beside them.
func (r *Result) missed(o *Outcome) string {
	var texts []string
	for _, m := range o.Misses {
		if !slices.Contains(texts, m.Short) {
			texts = append(texts, m.Short)
		}
	}
	if fold := o.Unfolded(r.Study); fold != "" {
		return list(texts, "and") + "; its fit in the space is not judged: " + fold
	}
	return list(texts, "and")
}

// caution adds the short cautions for what can hurt someone.
func (r *Result) caution() {
	add := func(id, text string) {
		r.Cautions = append(r.Cautions, note.Finding{ID: id, Severity: note.Caution, Text: text})
	}
	r.Cautions = append(r.Cautions, r.hearing()...)
	for _, o := range r.Candidates {
		for _, m := range o.Misses {
			switch m.Check {
			case CheckLoad:
				add("load", fmt.Sprintf("%s %s: an amplifier may shut down, overheat or fail; rewire it, or do not connect it", o.Candidate.Name, m.Text))
			case CheckHeat:
				add("heat", fmt.Sprintf("%s: %s; coils this hot burn skin and can catch fire", o.Candidate.Name, m.Text))
			}
		}
	}
	r.cableCaution(add)
	if r.boxed() { // a study does not say whether it travels
		add("vehicle", "if it travels in a vehicle, a box comes loose in a crash: bolt it to the frame, and fuse the supply at the battery by the rules of your place")
	}
	add("workshop", "dust from sheet goods harms lungs: extract it and wear a mask; lift heavy assemblies with two")
}

// boxed reports whether any candidate is a box, which can be carried away.
func (r *Result) boxed() bool {
	for _, o := range r.Candidates {
		if o.System.Spec.Kind != enclosure.InfiniteBaffle {
			return true
		}
	}
	return false
}
