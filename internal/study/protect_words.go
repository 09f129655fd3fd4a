package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// protection tells it in the ledger.
func (l *boxAccount) protection() {
	p := l.o.Protection
	if p == nil {
		return
	}
	hz := func(v phys.Maybe) string { return l.show(float64(v), phys.Frequency) }
	none := note.Step{Name: "Protection", Value: phys.None(), Source: "the network at full amplifier power"}
	if !p.Needed {
		none.Why = fmt.Sprintf("none is needed: at all that the amplifier gives, from %s up, %s stays inside its limit (%s of it at %s)", hz(phys.Maybe(p.From)), p.By.Ends(), phys.Show(float64(p.Worst.Value), phys.Ratio, l.st.Units), hz(p.Worst.At))
		l.add(none)
		return
	}
	why := fmt.Sprintf("at all that the amplifier gives, %s is %s its limit at %s", p.By.Ends(), shareWords(float64(p.Worst.Value)), hz(p.Worst.At))
	tuned := l.o.System.Spec.Kind == enclosure.Vented || l.o.System.Spec.Kind == enclosure.PassiveRadiator
	if fb := l.o.Figures.Tuning; tuned && fb.OK() && p.Worst.At < fb && (p.By == BoundExcursion || p.By == BoundStop) {
		why += fmt.Sprintf(", below the tuning of %s, where the air of the box no longer holds the cone", hz(fb))
	}
	if !p.Possible {
		none.Why = why + fmt.Sprintf("; no high-pass of order 1 to %d up to %s keeps it inside: turn the level down by %s dB, or take a smaller amplifier", mostOrders, hz(highestCut), phys.Fixed(math.Ceil(p.TurnDown*10)/10, 1))
		l.add(none)
		return
	}
	l.add(note.Step{Name: "Protection, high-pass", Symbol: "", Kind: phys.Frequency, Value: phys.Maybe(p.Corner),
		Why:     fmt.Sprintf("%s; a %s high-pass of order %d at this frequency keeps every limit of movement (%s); %s", why, p.Family, p.Order, p.holds(), p.costs(&l.o.Figures, l.st.Units)),
		Formula: "the lowest corner with |H|·share ≤ 1 at every frequency, |H| against its most in the bass; an order more where it is worth 1 Hz of F3 or 1 dB of the reference level",
		Source:  "the network at full amplifier power; Butterworth 1930"})
	l.add(note.Step{Name: "Protection, what each order costs", Value: phys.None(),
		Why:    p.ordersWords(&l.o.Figures, l.st.Units),
		Source: "the network at full amplifier power, behind each high-pass; F3 against its own reference level"})
}

// holds names the limits that the high-pass keeps.
func (p *Protection) holds() string {
	var names []string
	for _, b := range p.Holds {
		names = append(names, b.Words())
	}
	return list(names, "and")
}

// costs is what the high-pass takes of a candidate that has these figures without.
func (h *HighCut) costs(f *Figures, u phys.System) string {
	out := "F3 stays"
	was := HighCut{F3: f.F3}
	if math.Abs(h.reach()-was.reach()) >= equalHz {
		out = fmt.Sprintf("F3 goes from %s to %s", f3Words(f.F3, u), f3Words(h.F3, u))
	}
	if d := float64(f.Reference - h.Reference); d >= 0.1 {
		out += ", the reference level falls by " + phys.Fixed(d, 1) + " dB"
	}
	return out
}

// f3Words is an F3, or that it lies below all that is computed.
func f3Words(f3 phys.Maybe, u phys.System) string {
	if !f3.OK() {
		return "below " + phys.Show(lowest, phys.Frequency, u)
	}
	return phys.Show(float64(f3), phys.Frequency, u)
}

// ordersWords tells the lowest order that does and what each costs. Of the
// Linkwitz-Riley ones, whose corner lies at half the voltage, those are told that
// cost less than Butterworth's of the same order.
func (p *Protection) ordersWords(f *Figures, u phys.System) string {
	one := func(h *HighCut) string {
		if h.Corner == 0 {
			return fmt.Sprintf("%d: none up to %s", h.Order, phys.Show(highestCut, phys.Frequency, u))
		}
		s := fmt.Sprintf("%d: %s, F3 %s", h.Order, phys.Show(h.Corner, phys.Frequency, u), f3Words(h.F3, u))
		if d := float64(f.Reference - h.Reference); d >= 0.1 {
			s += ", −" + phys.Fixed(d, 1) + " dB"
		}
		return s
	}
	var butterworth, linkwitz []string
	for i := range p.Orders {
		h := &p.Orders[i]
		switch {
		case h.Family == filter.Butterworth:
			butterworth = append(butterworth, one(h))
		case h.Corner > 0 && p.cheaper(h):
			linkwitz = append(linkwitz, one(h))
		}
	}
	s := fmt.Sprintf("the lowest order that does is %d. Corner, F3 behind it and what the reference level loses, Butterworth of order %s. Linkwitz-Riley of order ", p.Lowest.Order, strings.Join(butterworth, "; "))
	if len(linkwitz) == 0 {
		s = strings.TrimSuffix(s, " of order ") + " costs more at every order"
	} else {
		s += strings.Join(linkwitz, "; ")
	}
	return s + ". Heat and what the amplifier itself bears are not held by them"
}

// cheaper says that a high-pass leaves more than Butterworth's of the same order.
func (p *Protection) cheaper(h *HighCut) bool {
	for i := range p.Orders {
		if b := &p.Orders[i]; b.Family == filter.Butterworth && b.Order == h.Order {
			return b.Corner == 0 || b.F3.OK() && (!h.F3.OK() || h.F3 < b.F3)
		}
	}
	return true
}

// behindWords is the high-pass as a mend, with what is left of the brief behind it; the
// same one again is that in a word.
func (c *checker) behindWords(p *Protection) string {
	if c.behind {
		return "behind the same high-pass"
	}
	c.behind = true
	family := ""
	if p.Family != filter.Butterworth {
		family = p.Family.String() + " "
	}
	s := fmt.Sprintf("behind a %shigh-pass of order %d at %s", family, p.Order, c.show(p.Corner, phys.Frequency))
	if p.After == nil {
		return s
	}
	b, f := &c.st.Brief, &p.After.Figures
	told := map[CheckID]bool{CheckF3: true, CheckLevel: true, CheckGroupDelay: true}
	left := []string{"F3 then " + f3Words(f.F3, c.st.Units)}
	if b.Extension.F3 > 0 {
		left[0] += ", asked: " + c.asked(b.Extension.F3, phys.Frequency)
	} else {
		left[0] += ", now " + f3Words(c.f.F3, c.st.Units)
	}
	if b.LevelAt > 0 && b.Level > 0 {
		left = append(left, fmt.Sprintf("%s at %s, asked: %s", c.past(f.LevelAsked, b.Level, phys.Level), c.asked(b.LevelAt, phys.Frequency), c.asked(b.Level, phys.Level)))
	}
	if d := f.GroupDelay; d.Value.OK() {
		text := "group delay " + c.show(float64(d.Value), phys.Time)
		if l := b.Limits.GroupDelay; l > 0 {
			text += ", limit " + c.asked(l, phys.Time)
		} else if now := c.f.GroupDelay.Value; now.OK() {
			text += ", now " + c.show(float64(now), phys.Time)
		}
		left = append(left, text)
	}
	for _, x := range p.After.Missed {
		if !told[x.Check] {
			left = append(left, x.Text)
		}
	}
	end := ""
	if len(p.After.Missed) > 0 {
		end = "; it does not meet the brief"
	}
	return s + " (" + strings.Join(left, "; ") + end + ")"
}
