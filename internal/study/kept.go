package study

import (
	"fmt"
	"slices"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// FitUnjudged says that a space is given and nothing is known of how the candidate would
// stand in it: its duct is not folded, or the parts of its network have no place.
func (o *Outcome) FitUnjudged(st *Study) bool {
	if st.Space == nil || o.System.Spec.Kind == enclosure.InfiniteBaffle {
		return false
	}
	return !slices.ContainsFunc(o.Checks, func(k Check) bool { return k.ID == CheckFit || k.ID == CheckDuctAir })
}

// Unfolded says in few words what is known of a fit that is not judged; empty where it is.
// A fold that does not fit is no miss, as one by hand may.
func (o *Outcome) Unfolded(st *Study) string {
	f := o.Body.Fold
	switch {
	case !o.FitUnjudged(st):
		return ""
	case f != nil && f.Why != "":
		return "fold " + f.Why
	case f != nil && !f.Meets:
		return "fold without a wall for its drivers"
	case o.System.Facts.Line != nil:
		return "not folded"
	}
	return "not laid out"
}

// foldTold is that for a customer, after the room that a candidate takes.
func (o *Outcome) foldTold(st *Study) string {
	f := o.Body.Fold
	switch {
	case !o.FitUnjudged(st):
		return ""
	case f != nil && f.Why != "":
		return ", and folded in parallel legs it is " + f.Why + " for its space"
	}
	return ", and whether it can be laid into its space is not judged"
}

// Kept is what is said of a candidate that misses nothing.
func (o *Outcome) Kept(st *Study) string {
	if o.FitUnjudged(st) {
		return "inside every limit that can be judged; its fit in the space is not"
	}
	return "inside every limit"
}

// unjudgedFits says of which of the so many that meet everything the fit is not judged; empty
// where it is of all.
func (r *Result) unjudgedFits(met int) string {
	var names []string
	for _, o := range r.Candidates {
		if len(o.Misses) == 0 && o.FitUnjudged(r.Study) {
			names = append(names, o.Candidate.Name)
		}
	}
	switch {
	case len(names) == 0:
		return ""
	case len(names) == met:
		whose := "their"
		if met == 1 {
			whose = "its"
		}
		return "; " + whose + " fit in the space is not judged"
	}
	return fmt.Sprintf("; the fit of %s in the space is not judged", list(names, "and"))
}

// proved are the figures with which a candidate meets what the brief asks for, in words.
func (st *Study) proved(o *Outcome) string {
	var out []string
	for _, k := range o.Checks {
		if !k.Value.OK() {
			continue
		}
		got, asked := phys.Show(float64(k.Value), k.Kind, st.Units), st.Asked(k.Limit, k.Kind)
		switch k.ID {
		case CheckF3, CheckF6, CheckF10:
			out = append(out, fmt.Sprintf("%s %s, asked: %s", extensionNames[k.ID], got, asked))
		case CheckLevel:
			out = append(out, fmt.Sprintf("%s at %s, asked: %s", got, st.Asked(float64(k.At), phys.Frequency), asked))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return ": " + strings.Join(out, "; ")
}

// extensionNames are the figures of the checks of the extension.
var extensionNames = map[CheckID]string{CheckF3: "F3", CheckF6: "F6", CheckF10: "F10"}
