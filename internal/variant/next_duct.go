package variant

import (
	"context"
	"slices"

	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// mostDucts bounds how many enclosures with a duct are computed for one list: unlike the
// other ideas, which are offered for what they are known to do, a duct is offered only
// where it has been shown to be worth its air, and that takes as long as a candidate.
const mostDucts = 3

// ducted offers a duct in place of a box, where the model shows that it mends what is
// missed, misses less in all, and stands in the space.
func (f *finder) ducted(o *study.Outcome, miss study.CheckID, kinds ...enclosure.Kind) {
	if k := o.System.Spec.Kind; k.Distributed() || k == enclosure.Network {
		return
	}
	for _, kind := range kinds {
		suffix := map[enclosure.Kind]string{enclosure.TransmissionLine: "line", enclosure.TappedWaveguide: "tapped", enclosure.BackLoadedHorn: "horn"}[kind]
		if f.full() || f.again > 0 || f.ducts == mostDucts {
			return
		}
		if f.ideas[suffix] {
			return // one is enough
		}
		f.ducts++
		f.add(o, Box, suffix, func(d *draft) bool {
			e, why, ok := d.starts()[kind]()
			if !ok {
				return false
			}
			sys, ok := e.build()
			if !ok || !d.st.Stands(sys) || !f.worth(o, e, sys, miss) {
				return false
			}
			e.why = why
			*d = e
			return true
		}, func(s *enclosure.System) string { return kindWords(s, f.res.Study.Units) + " instead" })
		if f.ideas[suffix] {
			return
		}
	}
}

// worth says that a draft keeps what the candidate misses there, and misses nothing that
// the candidate keeps, but the excursion at all that the amplifier gives: below its tuning
// whatever is tuned passes that, and a filter mends it.
func (f *finder) worth(o *study.Outcome, d draft, sys *enclosure.System, miss study.CheckID) bool {
	one := *f.res.Study
	c := *o.Candidate
	c.GroupSpec, c.Group, c.Enclosure = d.group, sys.Group, d.box
	c.Changed()
	one.Candidates = []study.Candidate{c}
	res, err := study.Evaluate(context.Background(), &one, study.Options{Points: 2, WithoutMends: true})
	if err != nil {
		return false
	}
	for _, m := range res.Candidates[0].Misses {
		known := slices.ContainsFunc(o.Misses, func(n study.Miss) bool { return n.Check == m.Check })
		if m.Check == miss || !known && m.Check != study.CheckExcursionFull {
			return false
		}
	}
	return true
}
