package driver

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// rounding is the relative difference that float64 arithmetic alone explains.
const rounding = 1e-9

// interval is a range of logarithms.
type interval struct{ lo, hi float64 }

func (i interval) apartFrom(j interval) bool {
	return i.lo > j.hi+rounding || j.lo > i.hi+rounding
}

// printed is what a printed value may stand for: half a unit of its last digit
// to either side.
func (c *completion) printed(q quant) interval {
	val := c.sheet.Values[infoOf(q).key]
	return interval{
		logOf(q, val.SI-val.Step/2, c.sheet.Air),
		logOf(q, val.SI+val.Step/2, c.sheet.Air),
	}
}

// following is the range of a quantity that follows from the set used, each
// of which is anywhere in its printed digits. The relations are sums in the
// logarithms, so the deviations add; for Qts, which is not, to first order.
func (c *completion) following(q quant) interval {
	mid := c.plan.predict(q, c.b)
	out := interval{mid, mid}
	for _, r := range c.plan.rows {
		ends := c.printed(r.from)
		lo, hi := 0.0, 0.0
		for _, end := range []float64{ends.lo, ends.hi} {
			v := c.v
			v[r.from] = end
			b, ok := c.plan.evaluate(v)
			if !ok {
				return interval{math.Inf(-1), math.Inf(1)}
			}
			dev := c.plan.predict(q, b) - mid
			lo, hi = min(lo, dev), max(hi, dev)
		}
		out.lo += lo
		out.hi += hi
	}
	return out
}

// used reports whether a printed quantity is in the set that the driver is
// made from.
func (c *completion) used(q quant) bool {
	for _, r := range c.plan.rows {
		if r.from == q {
			return true
		}
	}
	return false
}

// contradictions compares what was printed but not needed with what follows
// from the set used.
func (c *completion) contradictions() []note.Finding {
	var out []note.Finding
	for _, q := range leading() {
		if _, given := c.sheet.Values[infoOf(q).key]; !given || c.used(q) {
			continue
		}
		if f := c.following(q); c.printed(q).apartFrom(f) {
			out = append(out, c.disagreement(q, f))
		}
	}
	return out
}

func (c *completion) disagreement(q quant, f interval) note.Finding {
	info := infoOf(q)
	show := func(l float64) string {
		return phys.Brief(valueOf(q, l, c.sheet.Air), info.kind, c.sheet.Units)
	}
	a := &note.Apart{
		Key: string(info.key), Says: c.text(q), Follows: show(c.plan.predict(q, c.b)), From: c.roots(q), Formula: c.derivations()[q].formula,
		Leads: q != qEta && q != qPower,
	}
	text := fmt.Sprintf("%s %s disagrees with %s, which follows from %s by %s", a.Key, a.Says, a.Follows, a.From, a.Formula)
	if lo, hi := show(f.lo), show(f.hi); lo != hi {
		a.Allows = lo + " to " + hi
		text += "; the printed digits allow " + a.Allows
	}
	return note.Finding{
		ID: "sheet-disagrees", Severity: note.Warning,
		Where: "drivers." + c.sheet.Name + "." + string(info.key),
		Text:  text, Mend: c.mendOf(q), Apart: a,
	}
}

func (c *completion) mendOf(q quant) string {
	key := string(infoOf(q).key)
	switch q {
	case qEta, qPower:
		return "correct the sheet, or leave " + key + " out: a printed sensitivity is often a mean over some band, measured on a baffle of its own"
	case qVas:
		return "correct the sheet, state the sheet’s air, or let vas lead with trust: [vas]"
	}
	return fmt.Sprintf("correct the sheet, or let %s lead with trust: [%s]", key, key)
}

// text is a printed value as it was written, or as it would be shown where it
// has no text.
func (c *completion) text(q quant) string {
	val := c.sheet.Values[infoOf(q).key]
	if t := strings.TrimSpace(val.Text); t != "" {
		return t
	}
	return phys.Brief(val.SI, infoOf(q).kind, c.sheet.Units)
}
