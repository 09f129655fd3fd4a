package variant

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// Next offers so many candidates, as far as there are any; a study may hold
// mostStudied, with names of longestName letters.
const (
	mostNext    = 4
	leastNext   = 3
	mostStudied = 64
	longestName = 40
)

// Next lists a few candidates worth adding to an evaluated study, the likeliest
// first: what the candidates miss says which, candidates that miss least
// before others. None is in the study already.
func Next(res *study.Result) []Variant {
	if len(res.Study.Candidates) >= mostStudied {
		return nil
	}
	f := finder{res: res, ideas: map[string]bool{}}
	for i := range res.Study.Candidates {
		f.known = append(f.known, signatureOf(res.Candidates[i].System))
	}
	order := f.order()
	// each idea once, about the candidate that it helps most; again only if
	// there are too few
	for f.again = range 2 {
		f.mends(order)
		for _, i := range order {
			f.usual(res.Candidates[i])
		}
		if len(f.out) >= leastNext {
			break
		}
	}
	return f.out
}

// mends offers what the misses ask for: one offer for each candidate's first
// miss, then for its second, and so on.
func (f *finder) mends(order []int) {
	for k, more := 0, true; more && !f.full(); k++ {
		more = false
		for _, i := range order {
			if o := f.res.Candidates[i]; k < len(o.Misses) {
				more = true
				f.answer(o, o.Misses[k].Check)
			}
		}
	}
}

// finder gathers next candidates.
type finder struct {
	res   *study.Result
	known []signature
	ideas map[string]bool // that were offered, by their suffix
	again int             // 1: ideas may come again
	ducts int             // that were computed
	out   []Variant
}

func (f *finder) full() bool { return len(f.out) >= mostNext }

// order is the candidates by what they miss, in the order of the study where
// they miss alike.
func (f *finder) order() []int {
	out := make([]int, len(f.res.Candidates))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int {
		return len(f.res.Candidates[a].Misses) - len(f.res.Candidates[b].Misses)
	})
	return out
}

// answer offers what may mend a miss.
func (f *finder) answer(o *study.Outcome, miss study.CheckID) {
	switch miss {
	case study.CheckSound:
		f.polarity(o)
	case study.CheckF3, study.CheckF6, study.CheckF10:
		f.deeper(o)
	case study.CheckLevel, study.CheckExcursion, study.CheckHeat:
		f.doubled(o)
		f.ducted(o, miss, enclosure.BackLoadedHorn, enclosure.TappedWaveguide)
	case study.CheckRadiator, study.CheckExcursionFull, study.CheckRadiatorFull:
		f.closed(o)
	case study.CheckGroupDelay:
		f.closed(o)
		f.ducted(o, miss, enclosure.TransmissionLine)
	case study.CheckLoad:
		f.rewired(o)
	case study.CheckPortSpeed, study.CheckPortFull:
		f.radiator(o)
		f.ducted(o, miss, enclosure.TransmissionLine)
	case study.CheckFit, study.CheckDuctAir, study.CheckDuctFrame, study.CheckMass:
		f.stacked(o)
		f.halved(o)
	case study.CheckPrice:
		f.fewer(o)
	}
}

// usual offers what is worth a look beside any candidate.
func (f *finder) usual(o *study.Outcome) {
	f.stacked(o)
	f.deeper(o)
	f.halved(o)
}

// add makes a next candidate of a copy of o that was changed; it is left out
// if it cannot be built or is known.
func (f *finder) add(o *study.Outcome, sort, suffix string, change func(*draft) bool, words func(*enclosure.System) string) {
	if f.full() || f.again == 0 && f.ideas[suffix] {
		return
	}
	d, ok := draftOf(f.res.Study, o.Index)
	if !ok {
		return
	}
	name := f.free(o.Candidate.Name, suffix)
	d.path = "candidates." + name
	d.edits = []studyfile.Change{{Do: "copy", Path: "candidates." + o.Candidate.Name, Name: name}}
	if o.Candidate.Note != "" { // it is about the other one
		d.remove("note")
	}
	if !change(&d) {
		return
	}
	sys, ok := d.build()
	if !ok {
		return
	}
	s := signatureOf(sys)
	if slices.ContainsFunc(f.known, s.like) {
		return
	}
	f.known, f.ideas[suffix] = append(f.known, s), true
	text := words(sys)
	if len(f.res.Candidates) > 1 { // else there is but one that it can be about
		text = o.Candidate.Name + ": " + text
	}
	v := d.variant("next-"+name, sort, text)
	v.Name, v.From, v.Why = name, o.Candidate.Name, d.why
	f.out = append(f.out, v)
}

// free is a name that no candidate has, made of another's and a word.
func (f *finder) free(name, suffix string) string {
	taken := func(s string) bool {
		return slices.ContainsFunc(f.res.Study.Candidates, func(c study.Candidate) bool { return c.Name == s }) ||
			slices.ContainsFunc(f.out, func(v Variant) bool { return v.Name == s })
	}
	for k := 1; ; k++ {
		tail := "-" + suffix
		if k > 1 {
			tail += fmt.Sprintf("-%d", k)
		}
		s := strings.TrimRight(name[:min(len(name), longestName-len(tail))], "-_") + tail
		if !taken(s) {
			return s
		}
	}
}

// signature is what makes two candidates one and the same to a designer.
type signature struct {
	group   string
	kind    enclosure.Kind
	volumes [2]float64
	tunings [2]float64
}

func signatureOf(s *enclosure.System) signature {
	g := s.Group
	if l := s.Facts.Line; l != nil {
		return signature{
			group: fmt.Sprint(study.Drivers(g), g.SideBySide(), g.Depth(), g.Arrangement, g.InSeries, g.MovesTogether()),
			kind:  s.Spec.Kind, volumes: [2]float64{s.Facts.NetVolume, l.Start}, tunings: [2]float64{l.Quarter, l.Length},
		}
	}
	if s.Spec.Net != nil { // the parts are what they are: only the group can make them alike
		return signature{
			group: fmt.Sprint(study.Drivers(g), g.SideBySide(), g.Depth(), g.Arrangement, g.InSeries, g.MovesTogether(), *s.Spec.Net),
			kind:  s.Spec.Kind,
		}
	}
	return signature{
		group: fmt.Sprint(study.Drivers(g), g.SideBySide(), g.Depth(), g.Arrangement, g.InSeries, g.MovesTogether()),
		kind:  s.Spec.Kind, volumes: [2]float64{s.Spec.Rear.Volume, s.Spec.Front.Volume},
		tunings: [2]float64{s.Spec.Rear.Tuning, s.Spec.Front.Tuning},
	}
}

// alike is how near two sizes are that nobody would compare.
const alike = 0.05

func (s signature) like(t signature) bool {
	near := func(a, b [2]float64) bool {
		for i := range a {
			if math.Abs(a[i]-b[i]) > alike*max(a[i], b[i]) {
				return false
			}
		}
		return true
	}
	return s.group == t.group && s.kind == t.kind && near(s.volumes, t.volumes) && near(s.tunings, t.tunings)
}

// polarity offers the polarity that the arrangement needs.
func (f *finder) polarity(o *study.Outcome) {
	f.add(o, Polarity, "in-phase",
		func(d *draft) bool { d.dropPolarity(); return true },
		func(*enclosure.System) string { return "with the polarity that its arrangement needs" })
}

// rewired offers the least wiring in series that the amplifier takes: the
// impedance goes with the resistance.
func (f *finder) rewired(o *study.Outcome) {
	g := o.System.Group
	coils := g.CoilsAChannel()
	short := 0.0
	for _, c := range o.Checks {
		if c.ID == study.CheckLoad {
			short = float64(c.Fill)
		}
	}
	for n := g.InSeries + 1; n <= coils; n++ {
		if coils%n != 0 {
			continue
		}
		other := *g
		other.InSeries = n
		if other.Re() < short*g.Re() && n != coils {
			continue
		}
		f.add(o, Wiring, "series",
			func(d *draft) bool { d.wire(n, coils); return true },
			func(s *enclosure.System) string { return "wired in " + wiringWords(s.Group) })
		return
	}
}

// stacked offers the same drivers one behind another, or one more behind a
// single one.
func (f *finder) stacked(o *study.Outcome) {
	f.mounted(o, "stack", func(m, n int) (int, int, bool) {
		switch {
		case m == 1 && n == 1:
			return 1, 2, true
		case m%2 == 0 && n == 1:
			return m / 2, 2, true
		}
		return 0, 0, false
	})
}

// doubled offers twice the positions.
func (f *finder) doubled(o *study.Outcome) {
	f.mounted(o, "pair", func(m, n int) (int, int, bool) { return 2 * m, n, 2*m*n <= mostAlike })
}

// fewer offers half the drivers.
func (f *finder) fewer(o *study.Outcome) {
	f.mounted(o, "fewer", func(m, n int) (int, int, bool) {
		if m%2 == 0 {
			return m / 2, n, true
		}
		return m, n / 2, n%2 == 0
	})
}

func (f *finder) mounted(o *study.Outcome, suffix string, to func(m, n int) (int, int, bool)) {
	spec := o.Candidate.GroupSpec
	if spec.Members != nil {
		return
	}
	m, n, ok := to(spec.SideBySide, spec.Stack)
	if !ok {
		return
	}
	f.add(o, Mounting, suffix, func(d *draft) bool {
		d.mount(m, n)
		var ok bool
		*d, _, ok = d.fitPorts()
		return ok
	}, func(s *enclosure.System) string {
		words := "as "
		if n := spec.SideBySide * spec.Stack; n > 1 && n == s.Group.Count() {
			words = "the same " + study.Count(n) + " as "
		}
		return words + asWords(s.Group) + roomWords(s, o.System.Group, f.res.Study.Units)
	})
}

// asWords is a mounting after “as”: "a clamshell stack of two".
func asWords(g *driver.Group) string {
	words := mountingWords(g)
	if g.SideBySide() == 1 && g.Depth() > 1 {
		words = "a " + words
	}
	return words
}

// deeper offers a port in the same box, or more air where there is one.
func (f *finder) deeper(o *study.Outcome) {
	st := f.res.Study
	switch o.System.Spec.Kind {
	case enclosure.Sealed:
		f.add(o, Box, "vented", func(d *draft) bool {
			volume := o.System.Spec.Rear.Volume
			e, _, ok := d.vented(volume, f.tuning(o), "")
			*d = e
			return ok
		}, func(s *enclosure.System) string {
			return fmt.Sprintf("vented instead, in the same %s, at %s",
				phys.Show(s.Spec.Rear.Volume, phys.Volume, st.Units), phys.Show(s.Spec.Rear.Tuning, phys.Frequency, st.Units))
		})
	case enclosure.InfiniteBaffle:
		f.add(o, Box, "vented", func(d *draft) bool {
			e, _, ok := d.startVented()
			*d = e
			return ok
		}, func(s *enclosure.System) string { return "in a box: " + kindWords(s, st.Units) })
	default:
		f.sized(o, "large", 1.5, "half as much box again")
	}
}

// tuning is where a port may begin in a box that is there already: at the
// extension that is asked for, if the cone’s resonance is not far, or at that.
func (f *finder) tuning(o *study.Outcome) float64 {
	d := draft{st: f.res.Study, sys: o.System}
	if f3, ok := d.askedF3(); ok {
		return f3
	}
	return lead(o.System.Group).Fs()
}

// halved offers half the box.
func (f *finder) halved(o *study.Outcome) { f.sized(o, "half", 0.5, "with half the box") }

// sized offers the same box in another size.
func (f *finder) sized(o *study.Outcome, suffix string, k float64, words string) {
	if k := o.System.Spec.Kind; k == enclosure.InfiniteBaffle || k == enclosure.Network || k.Distributed() {
		return
	}
	f.add(o, Size, suffix, func(d *draft) bool {
		d.fixSize()
		d.scaleBox(k, 1)
		var ok bool
		*d, _, ok = d.fitPorts()
		return ok
	}, func(s *enclosure.System) string { return words + boxWords(s, f.res.Study.Units) })
}

// fixSize words a box that was sized by an intent by its size.
func (d *draft) fixSize() {
	c := &d.box.Rear
	made := d.sys.Spec.Rear
	switch {
	case c.SystemQ > 0:
		c.SystemQ = 0
		d.remove("enclosure.system_q")
		c.Volume = d.quantity("enclosure.volume", made.Volume, phys.Volume)
	case d.box.Alignment.Family != "":
		d.box.Alignment = enclosure.Alignment{}
		d.remove("enclosure.alignment")
		c.Volume = d.quantity("enclosure.volume", made.Volume, phys.Volume)
		c.Tuning = d.quantity("enclosure.tuning", made.Tuning, phys.Frequency)
	}
}

// closed offers a closed box of the same volume in place of a tuned one.
func (f *finder) closed(o *study.Outcome) {
	st := f.res.Study
	if k := o.System.Spec.Kind; k == enclosure.Sealed || k == enclosure.InfiniteBaffle {
		return
	}
	f.add(o, Box, "sealed", func(d *draft) bool {
		d.box = enclosure.Spec{Kind: enclosure.Sealed}
		text, volume := written(o.System.Facts.NetVolume, phys.Volume, st.Units)
		d.box.Rear.Volume = volume
		d.set("enclosure", fmt.Sprintf("{kind: sealed, volume: %s}", text))
		return true
	}, func(s *enclosure.System) string {
		return "sealed instead, in the same " + phys.Show(s.Facts.NetVolume, phys.Volume, st.Units)
	})
}

// radiator offers passive radiators in place of a port.
func (f *finder) radiator(o *study.Outcome) {
	if o.System.Spec.Kind != enclosure.Vented {
		return
	}
	f.add(o, Box, "radiator", func(d *draft) bool {
		e, _, ok := d.radiators(o.System.Spec.Rear.Volume, o.System.Spec.Rear.Tuning)
		*d = e
		return ok
	}, func(s *enclosure.System) string {
		u := f.res.Study.Units
		return "with passive radiators instead, in the same " + phys.Show(s.Spec.Rear.Volume, phys.Volume, u) + " at " + phys.Show(s.Spec.Rear.Tuning, phys.Frequency, u)
	})
}
