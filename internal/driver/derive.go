package driver

import (
	"math"
	"slices"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// reading is how a relation is solved for one of its quantities, in words and
// in numbers.
type reading struct {
	formula string // "Mms = 1 / ((2π)² fs² Cms)"
	numbers string // "1 / ((2π)² (30.5 Hz)² 0.26 mm/N)"
	from    []quant
	source  string
}

// solvedFor reads a relation as an equation for q. show gives a quantity in
// numbers.
func (r relation) solvedFor(q quant, show func(quant) string) reading {
	own := 0.0
	for _, f := range r.factors {
		if f.q == q {
			own = f.e
		}
	}
	root := r.rootFor(own)
	out := reading{source: r.source}
	var words, numbers product
	add := func(f power) {
		e := -f.e / own * root
		words.add(infoOf(f.q).text, e)
		numbers.add(show(f.q), e)
	}
	for _, f := range r.factors { // constants stand first
		if f.q >= symbols {
			add(f)
		}
	}
	for _, f := range r.factors {
		if f.q < symbols && f.q != q {
			add(f)
			out.from = append(out.from, f.q)
		}
	}
	out.formula = infoOf(q).text + " = " + words.rooted(root)
	out.numbers = numbers.rooted(root)
	return out
}

// rootFor is the lowest root over all that leaves whole exponents when the
// relation is solved for a quantity with exponent own.
func (r relation) rootFor(own float64) float64 {
	for root := 1.0; ; root++ {
		whole := true
		for _, f := range r.factors {
			whole = whole && math.Mod(f.e/own*root, 1) == 0
		}
		if whole || root == math.Abs(own) {
			return root
		}
	}
}

// product collects the factors above and below a fraction bar.
type product struct{ above, below []string }

func (p *product) add(text string, e float64) {
	// A quantity with its unit needs brackets before an exponent.
	if math.Abs(e) != 1 && strings.ContainsAny(text, "\u2009 π") {
		text = "(" + text + ")"
	}
	switch math.Abs(e) {
	case 2:
		text += "²"
	case 3:
		text += "³"
	case 4:
		text += "⁴"
	}
	if e > 0 {
		p.above = append(p.above, text)
	} else {
		p.below = append(p.below, text)
	}
}

func (p *product) rooted(root float64) string {
	text := p.String()
	switch root {
	case 2:
		return "√(" + text + ")"
	case 3:
		return "∛(" + text + ")"
	case 4:
		return "∜(" + text + ")"
	}
	return text
}

func (p *product) String() string {
	above, below := strings.Join(p.above, " · "), strings.Join(p.below, " · ")
	if above == "" {
		above = "1"
	}
	switch len(p.below) {
	case 0:
		return above
	case 1:
		return above + " / " + below
	}
	return above + " / (" + below + ")"
}

// show gives a quantity of the sheet, or a constant, in numbers.
func (c *completion) show(q quant) string {
	info := infoOf(q)
	switch q {
	case qTwoPi, qQuarterPi:
		return info.text
	case qRho, qC, qVolt:
		return phys.Brief(math.Exp(c.k[q]), info.kind, phys.Metric)
	case qEta:
		return phys.Brief(math.Exp(c.plan.predict(q, c.b)), phys.Ratio, phys.Metric)
	case qPower:
		return phys.Brief(math.Exp(c.plan.predict(q, c.b)), phys.Power, phys.Metric)
	}
	return phys.Brief(c.value(q), info.kind, c.sheet.Units)
}

// qtsReading reads Qts = Qms·Qes/(Qms + Qes) as an equation for one of the
// three.
func (c *completion) qtsReading(q quant, use qtsUse) reading {
	m, e, t := c.show(qQms), c.show(qQes), c.show(qQts)
	out := reading{source: small1972}
	switch {
	case q == qQts:
		out.from = []quant{qQms, qQes}
		out.formula, out.numbers = "Qts = Qms · Qes / (Qms + Qes)", m+" · "+e+" / ("+m+" + "+e+")"
	case use == qtsRatio:
		out.from = []quant{qQts, qBl, qRe, qRms}
		out.formula = "Qms = Qts · (1 + Bl² / (Re · Rms))"
		out.numbers = t + " · (1 + (" + c.show(qBl) + ")² / (" + c.show(qRe) + " · " + c.show(qRms) + "))"
	case q == qQes:
		out.from = []quant{qQts, qQms}
		out.formula, out.numbers = "Qes = Qts · Qms / (Qms − Qts)", t+" · "+m+" / ("+m+" − "+t+")"
	default:
		out.from = []quant{qQts, qQes}
		out.formula, out.numbers = "Qms = Qts · Qes / (Qes − Qts)", t+" · "+e+" / ("+e+" − "+t+")"
	}
	return out
}

// derivations explains every quantity that was not taken from the sheet, by
// the simplest relation whose other quantities are explained already. A core
// value that no single relation reaches is solved together with others.
func (c *completion) derivations() map[quant]reading {
	known := map[quant]bool{}
	out := map[quant]reading{}
	for _, r := range c.plan.rows {
		known[r.from] = true
	}
	// Each pass adds one, so it ends.
	for len(known) < int(symbols) {
		q, r, ok := c.simplest(known)
		if !ok {
			q, r = c.together(known)
		}
		known[q], out[q] = true, r
	}
	return out
}

// simplest finds the first relation that explains something new.
func (c *completion) simplest(known map[quant]bool) (quant, reading, bool) {
	allKnown := func(qs []quant) bool {
		return !slices.ContainsFunc(qs, func(q quant) bool { return !known[q] })
	}
	for _, r := range c.plan.rows {
		if r.use != qtsNone && !known[r.q] {
			if d := c.qtsReading(r.q, r.use); allKnown(d.from) {
				return r.q, d, true
			}
		}
	}
	for _, rel := range explaining() {
		if q, ok := rel.onlyOpen(known); ok {
			return q, rel.solvedFor(q, c.show), true
		}
	}
	d := c.qtsReading(qQts, qtsNone)
	return qQts, d, !known[qQts] && allKnown(d.from)
}

// onlyOpen gives the one quantity of a relation that is not known.
func (r relation) onlyOpen(known map[quant]bool) (quant, bool) {
	open, n := quant(0), 0
	for _, f := range r.factors {
		if f.q < symbols && !known[f.q] {
			open = f.q
			n++
		}
	}
	return open, n == 1
}

// together explains the first core value that is still open as the solution
// of all relations at once.
func (c *completion) together(known map[quant]bool) (quant, reading) {
	q := quant(0)
	for known[q] {
		q++
	}
	d := reading{formula: infoOf(q).text + ": the relations solved together", source: small1972}
	for _, r := range c.plan.rows {
		d.from = append(d.from, r.from)
	}
	return q, d
}

// roots names the printed values that a quantity depends on.
func (c *completion) roots(q quant) string { return c.keysOf(c.rootsOf(q)) }

func (c *completion) rootsOf(q quant) []quant {
	depends := func(q quant, i int) bool { return math.Abs(c.plan.coef[q][i]) > solverTolerance }
	var on []quant
	for i, r := range c.plan.rows {
		if q == qQts && (depends(qQms, i) || depends(qQes, i)) || q != qQts && depends(q, i) {
			on = append(on, r.from)
			// A Qts brings along what it was used with.
			for j, k := range r.known {
				if math.Abs(k) > solverTolerance {
					on = append(on, c.plan.rows[j].from)
				}
			}
		}
	}
	slices.Sort(on)
	return slices.Compact(on)
}

func (c *completion) keysOf(qs []quant) string {
	var words []string
	for _, q := range qs {
		switch {
		case q == qEta && !c.used(q):
			words = append(words, "the efficiency")
		case q == qPower && !c.used(q):
			words = append(words, "the acoustic power")
		default:
			words = append(words, string(infoOf(q).key))
		}
	}
	return listOf(words, "and")
}

// steps is the account of the completion, one step for each parameter.
func (c *completion) steps() []note.Step {
	derived := c.derivations()
	var out []note.Step
	for _, q := range []quant{qFs, qQms, qQes, qQts, qVas, qSd, qDiameter, qRe, qBl, qMms, qCms, qRms, qEta, qPower} {
		info := infoOf(q)
		_, given := c.sheet.Values[info.key]
		if q == qDiameter && !given {
			continue
		}
		s := note.Step{
			Name: info.name, Symbol: info.text, Kind: info.kind,
			Single: phys.None(), Value: phys.Maybe(c.value(q)), Factor: phys.None(),
		}
		if q == qEta || q == qPower {
			s.Symbol = ""
		}
		if c.used(q) {
			s.Rule, s.Why = "given", "as the sheet prints it: "+c.text(q)
			out = append(out, s)
			continue
		}
		r := derived[q]
		s.Rule, s.Why, s.Source = "derived", "from "+c.keysOf(r.from), r.source
		s.Formula, s.Numbers = r.formula, r.numbers
		if info.kind == phys.Level {
			s.Formula = "10 · log10(" + info.text + " · ρc / (2π p0²)) with " + r.formula
		}
		if given {
			s.Rule, s.Why = "set aside", "the sheet prints "+c.text(q)+", which was not needed: it follows from "+c.roots(q)
		}
		out = append(out, s)
	}
	return append(out, c.coilSteps()...)
}

// coilSteps tells how figures quoted for several coils become those of one.
func (c *completion) coilSteps() []note.Step {
	s := c.sheet
	if s.Coils.Count == 1 || s.Coils.Quoted == QuotedEach {
		return nil
	}
	q := s.Coils.quoting()
	way := map[Quoted]string{QuotedSeries: "in series", QuotedParallel: "in parallel"}[s.Coils.Quoted]
	step := func(of quant, factor float64) note.Step {
		info := infoOf(of)
		v := c.value(of)
		return note.Step{
			Name: info.name + " of one coil", Symbol: info.text, Kind: info.kind,
			Single: phys.None(), Value: phys.Maybe(v / factor), Factor: phys.Maybe(1 / factor), Rule: "derived",
			Why:     "the sheet quotes " + plain(float64(s.Coils.Count)) + " coils " + way,
			Formula: info.text + " of one = " + info.text + " / " + plain(factor),
			Numbers: phys.Brief(v, info.kind, s.Units) + " / " + plain(factor),
			Source:  "circuit laws",
		}
	}
	out := []note.Step{step(qRe, q.re), step(qBl, q.bl)}
	if s.Coil.Model != CoilPowerLaw {
		out = append(out, note.Step{
			Name: "Inductance of one coil", Symbol: "Le", Kind: phys.Inductance,
			Single: phys.None(), Value: phys.Maybe(s.Coil.Le / q.blocked), Factor: phys.Maybe(1 / q.blocked), Rule: "derived",
			Why:     "the coils share one former, so in series their inductance grows as the square of their number, in parallel it stays",
			Formula: "Le of one = Le / " + plain(q.blocked),
			Numbers: phys.Brief(s.Coil.Le, phys.Inductance, s.Units) + " / " + plain(q.blocked),
			Source:  "circuit laws of fully coupled coils",
		})
	}
	return out
}
