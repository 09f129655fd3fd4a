package driver

import "basswright/internal/phys"

// Range is what a driver's parameter can be, in SI units. Ranges are wide: they
// catch slips of the unit, not drivers of an unusual kind.
type Range struct{ Min, Max float64 }

// RangeOf is the range of a parameter that a driver is made from; every one is
// above zero, so a Min of 0 is itself not in it.
func RangeOf(s Symbol) Range {
	q, _ := quantOf(s)
	return infoOf(q).span
}

// contain allows for the rounding of a bound that was written in another unit.
func (r Range) contain(v float64) bool {
	return v > 0 && v >= r.Min*(1-rounding) && v <= r.Max*(1+rounding)
}

// plausible refuses a driver of which a parameter that follows from the sheet
// is out of its range, as a printed one would be, and one that gives more sound
// than it takes power. Of several faults it tells the one with the fewest roots,
// which leaves the fewest entries to look at.
func (c *completion) plausible() error {
	var worst quant
	var from []quant
	for _, q := range leading() {
		if q == qPower || c.inRange(q) {
			continue
		}
		if roots := c.rootsOf(q); from == nil || len(roots) < len(from) {
			worst, from = q, roots
		}
	}
	if from == nil {
		return nil
	}
	about := make([]Symbol, len(from))
	for i, q := range from {
		about[i] = infoOf(q).key
	}
	return &SheetError{
		Driver: c.sheet.Name, About: about, Reason: c.absurdity(worst),
		Mend: "check " + c.keysOf(from) + ", from which it follows, and " + map[bool]string{true: "its unit", false: "their units"}[len(from) == 1],
	}
}

// inRange tells of a sensitivity whether the efficiency that it stands for is
// below one.
func (c *completion) inRange(q quant) bool {
	if q == qEta {
		return c.plan.predict(q, c.b) < 0
	}
	return infoOf(q).span.contain(c.value(q))
}

func (c *completion) absurdity(q quant) string {
	if q == qEta {
		return "its efficiency would be " + c.show(q) + ": more sound than the power it takes"
	}
	info := infoOf(q)
	show := func(v float64) string { return phys.Brief(v, info.kind, c.sheet.Units) }
	than, bound := "more than ", info.span.Max
	if c.value(q) < info.span.Max {
		than, bound = "less than ", info.span.Min
	}
	return string(info.key) + " would be " + show(c.value(q)) + ", and no driver has " + than + show(bound)
}
