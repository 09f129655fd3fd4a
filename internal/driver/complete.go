package driver

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// leading is the order in which printed values are believed; what comes later
// fills gaps. The first six say all that there is to say, so their own order
// counts only after a trusted value: then bl or rms takes the place of a Q,
// and mms or cms that of vas, rather than that of what a ruler or an ohmmeter
// finds. A sensitivity, which is measured in many ways, comes last.
func leading() []quant {
	return []quant{qFs, qSd, qDiameter, qRe, qVas, qQms, qQes, qQts, qBl, qMms, qCms, qRms, qEta, qPower}
}

// Complete makes a driver from any sufficient set of a sheet's parameters by
// the relations of Small 1972 and IEC 60268-5. When the sheet says more than
// it needs, s.Trust leads, then fs, qms, qes, vas, sd, re, and the rest fill
// gaps; a value that was not needed and disagrees by more than the printed
// digits explain becomes a warning. The steps say where each parameter came
// from. The error is a *SheetError: values that are not positive, too few of
// them, or none that give a positive driver.
func Complete(s Sheet) (*Driver, []note.Step, []note.Finding, error) {
	s = withDefaults(s)
	if err := checkSheet(s); err != nil {
		return nil, nil, nil, err
	}
	c := newCompletion(s)
	if err := c.choose(); err != nil {
		return nil, nil, nil, err
	}
	if err := c.plausible(); err != nil {
		return nil, nil, nil, err
	}
	d := c.driver()
	if _, err := d.CreepRms(); err != nil {
		return nil, nil, nil, err
	}
	findings := c.contradictions()
	findings = append(findings, geometricXmax(d, s)...)
	return d, c.steps(), findings, nil
}

func withDefaults(s Sheet) Sheet {
	s.Coils.Count = max(s.Coils.Count, 1)
	if s.Air.C == 0 {
		s.Air = phys.StandardAir()
	}
	return s
}

// completion is one run of Complete.
type completion struct {
	sheet Sheet
	given []quant // what the sheet prints, in the order in which it is believed
	v     values
	plan  *plan
	b     []float64
	table [symbols]row
	k     constants
}

func newCompletion(s Sheet) *completion {
	c := &completion{sheet: s, k: constantsOf(s.Air)}
	c.table = rowsOf(c.k)
	for _, sym := range s.Trust {
		q, _ := quantOf(sym)
		c.take(q)
	}
	for _, q := range leading() {
		c.take(q)
	}
	return c
}

// take notes a quantity as given, if it is and was not yet noted.
func (c *completion) take(q quant) {
	val, ok := c.sheet.Values[infoOf(q).key]
	if ok && !slices.Contains(c.given, q) {
		c.given = append(c.given, q)
		c.v[q] = logOf(q, val.SI, c.sheet.Air)
	}
}

// choose finds the set that the driver is made from. Only Qts can fail to
// give a positive driver, and only beside a Q that is not above it; then the
// set that leaves out the fewest of the least believed values is taken.
func (c *completion) choose() error {
	c.plan = choose(c.given, c.table, c.v)
	if !c.plan.complete() && c.plan.refused {
		for left := 1; left < len(c.given) && !c.plan.complete(); left++ {
			c.chooseWithout(left, nil, len(c.given)-1)
		}
	}
	if !c.plan.complete() {
		c.plan = choose(c.given, c.table, c.v)
		return c.insufficient()
	}
	c.b, _ = c.plan.evaluate(c.v)
	return nil
}

// chooseWithout tries every set that leaves out n more of given[:last+1].
func (c *completion) chooseWithout(n int, out []quant, last int) {
	if n == 0 {
		kept := slices.DeleteFunc(slices.Clone(c.given), func(q quant) bool { return slices.Contains(out, q) })
		if p := choose(kept, c.table, c.v); p.complete() {
			c.plan = p
		}
		return
	}
	for i := last; i >= 0 && !c.plan.complete(); i-- {
		if c.given[i] != qQts {
			c.chooseWithout(n-1, append(slices.Clone(out), c.given[i]), i-1)
		}
	}
}

// insufficient says what is missing and what would complete the sheet.
func (c *completion) insufficient() error {
	if c.plan.refused {
		return &SheetError{
			Driver: c.sheet.Name, About: []Symbol{Qms, Qes, Qts},
			Reason: fmt.Sprintf("qts %s is not below qms and qes, and nothing else on the sheet gives a positive driver", c.sheet.Values[Qts].Text),
			Mend:   "Qts = Qms·Qes/(Qms + Qes) is always the smallest of the three: correct them, or give qms and qes and leave qts out",
		}
	}
	var open []string
	var about []Symbol
	for _, q := range []quant{qRe, qBl, qMms, qCms, qRms, qSd} {
		if _, ok := express(c.plan.vectors(), c.table[q].a); !ok {
			open = append(open, infoOf(q).text)
			about = append(about, infoOf(q).key)
		}
	}
	return &SheetError{
		Driver: c.sheet.Name, About: about,
		Reason: "the sheet is not sufficient: it leaves " + listOf(open, "and") + " open",
		Mend:   "add " + listOf(c.completing(), "and"),
	}
}

// completing names printed values that would complete the sheet, each with up
// to three that would do instead.
func (c *completion) completing() []string {
	candidates := []quant{qFs, qQms, qQes, qVas, qSd, qRe, qQts, qBl, qMms, qCms, qRms}
	// What would complete a sheet is a matter of structure alone; a Qts far
	// below any other Q keeps its own condition out of it.
	v := values{qQts: math.Inf(-1)}
	size := func(set []quant) int { return len(choose(set, c.table, v).rows) }
	set := slices.Clone(c.given)
	var added []quant
	for size(set) < int(unknowns) {
		best, most := quant(0), 0
		for _, q := range candidates {
			if n := size(append(slices.Clone(set), q)); n > most && !slices.Contains(set, q) {
				best, most = q, n
			}
		}
		set, added = append(set, best), append(added, best)
	}
	words := make([]string, len(added))
	for i, q := range added {
		others := slices.DeleteFunc(slices.Clone(set), func(o quant) bool { return o == q })
		var instead []string
		for _, o := range candidates {
			if !slices.Contains(set, o) && size(append(slices.Clone(others), o)) == int(unknowns) {
				instead = append(instead, string(infoOf(o).key))
			}
		}
		words[i] = string(infoOf(q).key)
		if len(added) <= 2 && len(instead) > 0 {
			words[i] += " (or " + strings.Join(instead[:min(3, len(instead))], ", ") + ")"
		}
	}
	return words
}

// value is a quantity of the finished driver as the sheet would print it.
func (c *completion) value(q quant) float64 {
	return valueOf(q, c.plan.predict(q, c.b), c.sheet.Air)
}

func (c *completion) driver() *Driver {
	s := c.sheet
	d := &Driver{
		Name: s.Name, Re: c.value(qRe), Bl: c.value(qBl), Coil: s.Coil,
		Mms: c.value(qMms), Cms: c.value(qCms), Rms: c.value(qRms), Sd: c.value(qSd),
		Creep: s.Creep, Coils: s.Coils, Data: s.Data,
	}
	q := s.Coils.quoting()
	d.Re /= q.re
	d.Bl /= q.bl
	d.Coil = s.Coil.scaled(1 / q.blocked)
	return d
}

// geometricXmax fills a missing xmax from the coil's and the gap's height.
func geometricXmax(d *Driver, s Sheet) []note.Finding {
	x := d.Data.GeometricXmax()
	if d.Data.Xmax > 0 || x == 0 {
		return nil
	}
	d.Data.Xmax = x
	return []note.Finding{{
		ID: "default-xmax", Severity: note.Default, Where: "drivers." + s.Name + ".xmax",
		Text: fmt.Sprintf("xmax is taken as half of what the coil and the gap differ by in height: %s (common practice, no source)",
			phys.Brief(d.Data.Xmax, phys.Length, s.Units)),
		Mend: "give xmax to replace it",
	}}
}

// checkSheet refuses what is wrong on its own, before any completion.
func checkSheet(s Sheet) error {
	fail := func(about Symbol, reason, mend string) error {
		return &SheetError{Driver: s.Name, About: []Symbol{about}, Reason: reason, Mend: mend}
	}
	for _, q := range leading() {
		info := infoOf(q)
		v, ok := s.Values[info.key]
		switch {
		case !ok:
		case math.IsNaN(v.SI) || math.IsInf(v.SI, 0):
			return fail(info.key, string(info.key)+" is not a number", "write it as the sheet prints it")
		case v.SI <= 0 && info.kind != phys.Level:
			return fail(info.key, fmt.Sprintf("%s is %s, and it must be above zero", info.key, v.Text), "correct it, or leave it out")
		case !info.span.contain(v.SI):
			return fail(info.key, fmt.Sprintf("%s is %s, which no driver has", info.key, v.Text), "check its unit")
		}
	}
	for _, t := range s.Trust {
		if _, ok := quantOf(t); !ok {
			return fail(t, fmt.Sprintf("trust names %s, which is no parameter that a driver is made from", t), "name parameters such as bl or mms")
		}
		if _, ok := s.Values[t]; !ok {
			return fail(t, fmt.Sprintf("trust names %s, which the sheet does not give", t), fmt.Sprintf("give %s, or take it out of trust", t))
		}
	}
	if err := s.Coils.check(s.Name); err != nil {
		return err
	}
	if err := s.Coil.check(s.Name); err != nil {
		return err
	}
	if l := s.Creep.Lambda; !(l >= 0 && l < 1) {
		return fail("creep", "creep is "+plain(l)+", and it must be 0 or more and below 1", "common values are 0.05 to 0.2")
	}
	return s.Data.check(s.Name)
}

// listOf is "a", "a and b", "a, b and c".
func listOf(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}
