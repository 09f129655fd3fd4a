package report

import (
	"strings"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// gauges are the limits: a bar that fills towards a wall.
func (p *printer) gauges(r *study.Result, some []*study.Outcome) {
	ids := checksOf(r)
	if len(ids) == 0 {
		return
	}
	p.line("  %s", p.strong("Limits"))
	for _, k := range ids {
		p.row("  "+k.Name, some, plain, func(o *study.Outcome) string { return gauge(r, o, k) })
	}
}

// checksOf lists the checks that any candidate has, in their order; where the
// limits differ, without the limit in the name.
func checksOf(r *study.Result) []study.Check {
	var out []study.Check
	for _, id := range study.Checks() {
		first, found := study.Check{}, false
		for _, o := range r.Candidates {
			c, ok := checkOf(o, id)
			switch {
			case ok && !found:
				first, found = c, true
			case ok && c.Name != first.Name: // "excursion of 12 mm" holds for some only
				first.Name, _, _ = strings.Cut(first.Name, " of ")
			}
		}
		if id == study.CheckHeat { // the table has the power of a coil too
			first.Name = "driver’s " + first.Name
		}
		if found {
			out = append(out, first)
		}
	}
	return out
}

func checkOf(o *study.Outcome, id study.CheckID) (study.Check, bool) {
	for _, c := range o.Checks {
		if c.ID == id {
			return c, true
		}
	}
	return study.Check{}, false
}

func gauge(r *study.Result, o *study.Outcome, k study.Check) string {
	c, ok := checkOf(o, k.ID)
	if !ok || !c.Fill.OK() {
		return "–"
	}
	return strings.TrimSpace(beside(checkValue(c, r.Study.Units), bar(float64(c.Fill))) + " " + ownLimit(k, c))
}

// ownLimit is a candidate's limit where the name of the row does not tell it:
// "of 12 mm".
func ownLimit(row, c study.Check) string {
	if strings.Contains(row.Name, " of ") {
		return ""
	}
	if _, limit, ok := strings.Cut(c.Name, " of "); ok {
		return "of " + limit
	}
	return ""
}

// checkValue is a check's figure without its unit, which stands in its name.
func checkValue(c study.Check, u phys.System) string {
	if !c.Value.OK() {
		return "below"
	}
	switch c.Kind {
	case phys.Level:
		return phys.Fixed(float64(c.Value), 1)
	case phys.Price: // as in its own row
		return phys.Fixed(float64(c.Value), 0)
	}
	return phys.Digits(c.Kind.Unit(u).Of(float64(c.Value)), 3)
}

// bar is a gauge as text: what is used, what is left, the wall, and what lies
// beyond it.
func bar(fill float64) string {
	n := min(gaugeCells, int(fill*gaugeCells+0.5))
	if fill < 1 {
		n = min(n, gaugeCells-1) // a limit that is kept never touches its wall
	}
	s := strings.Repeat("━", n) + strings.Repeat("╌", gaugeCells-n) + "▒"
	if fill > 1+1e-9 {
		s += "━"
	}
	return s
}
