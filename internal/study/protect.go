package study

import (
	"math"

	"basswright/internal/filter"
	"basswright/internal/phys"
)

// Protection is what a candidate needs in front of it to bear all that the
// amplifier gives, at every frequency from From up.
type Protection struct {
	From     float64   // Hz
	Holds    []BoundID // the limits that are meant: those of movement that are known
	Worst    Peak      // the largest share of a limit at full amplifier power
	By       BoundID   // whose limit
	Needed   bool
	Possible bool      // some high-pass keeps every limit
	HighCut            // the one to take, where one is needed and possible
	Lowest   HighCut   // that of the lowest order
	Orders   []HighCut // all that were looked at: Butterworth by rising order, then Linkwitz-Riley
	After    *After    // what the candidate is behind the one to take
	TurnDown float64   // dB, where no high-pass is enough: by how much the level has to come down
}

// HighCut is a high-pass with the lowest corner that keeps every limit, and what
// is left behind it, told against what is heard behind it.
type HighCut struct {
	Family     filter.Family
	Order      int
	Corner     float64    // Hz; 0: none up to highestCut
	F3         phys.Maybe // Hz; none: below all that is computed
	Reference  phys.Maybe // dB
	GroupDelay Peak       // s, the largest from the limits' lower edge up
	Level      phys.Maybe // dB, at the frequency that the brief names
}

// chain is the high-pass itself.
func (h *HighCut) chain() (filter.Chain, error) { return filter.HighPass(h.Family, h.Order, h.Corner) }

// Chain is the high-pass to take behind other filters.
func (p *Protection) Chain(before filter.Chain) (filter.Chain, error) {
	c, err := p.chain()
	if err != nil {
		return filter.Chain{}, err
	}
	return filter.Join(before, c)
}

const (
	protectFrom = 5.0   // Hz: what music, handling and a switch send below that is short
	highestCut  = 200.0 // Hz: above it a bass system has lost its work
	mostOrders  = 8     // as filters have them
	worthHz     = 1.0   // of extension, or so many dB of level: an order more is worth that
)

// protection finds the high-pass, nil where the study has no amplifier, nothing
// limits the movement, or nothing is heard.
func (m *meter) protection(o *Outcome) *Protection {
	if m.st.Amplifier == nil || o.silent() {
		return nil
	}
	m.trio[0].Remember(mostAnswers) // every high-pass that is tried asks for the same frequencies
	r := m.risks(min(protectFrom, m.st.LimitsFrom()))
	if r == nil {
		return nil
	}
	p := &Protection{From: r.from}
	for _, b := range r.moving {
		p.Holds = append(p.Holds, b.id)
	}
	p.Worst, p.By = r.worst(nil)
	if p.Needed = p.Worst.Value > 1; !p.Needed {
		return p
	}
	for order := 1; order <= mostOrders; order++ {
		p.Orders = append(p.Orders, m.highCut(filter.Butterworth, order, r))
	}
	for order := 2; order <= mostOrders; order += 2 {
		p.Orders = append(p.Orders, m.highCut(filter.LinkwitzRiley, order, r))
	}
	for _, h := range p.Orders {
		if h.Corner == 0 {
			continue
		}
		if !p.Possible || h.Order < p.Lowest.Order {
			p.Lowest = h
		}
		if !p.Possible || better(h, p.HighCut) {
			p.Possible, p.HighCut = true, h
		}
	}
	if !p.Possible {
		p.TurnDown = 20 * math.Log10(float64(p.Worst.Value))
		return p
	}
	p.After = m.after(o, &p.HighCut)
	return p
}

// better says that another high-pass is worth its order: by what it leaves of the
// extension and of the level, or where neither takes any of the extension, by how
// low its corner is.
func better(h, than HighCut) bool {
	gain := than.reach() - h.reach() + float64(h.Reference-than.Reference) // a decibel counts as much as a hertz
	if !h.F3.OK() && !than.F3.OK() {
		gain = than.Corner - h.Corner
	}
	return gain > worthHz*float64(max(1, h.Order-than.Order))
}

// reach is F3, Hz, where it lies below all that is computed the end of that.
func (h *HighCut) reach() float64 {
	if h.F3.OK() {
		return float64(h.F3)
	}
	return lowest
}

// highCut finds the lowest corner of one order, told to the tenth, and what is
// left behind it.
func (m *meter) highCut(family filter.Family, order int, r *risks) HighCut {
	none := phys.None()
	h := HighCut{Family: family, Order: order, Corner: r.corner(family, order), F3: none, Reference: none, GroupDelay: Peak{none, none}, Level: none}
	behind := m.behind(&h)
	if behind == nil {
		h.Corner = 0
		return h
	}
	band, reference := behind.reference()
	h.F3, h.Reference = behind.lowEdge(band, float64(reference)-halfPower), reference
	h.GroupDelay = behind.longest(reference)
	if at := m.st.Brief.LevelAt; at > 0 {
		h.Level = phys.Maybe(behind.heard(at))
	}
	return h
}

// behind is a meter of the same system with a high-pass behind the study's
// filters; nil where there is no such high-pass, or no room for it.
func (m *meter) behind(h *HighCut) *meter {
	if h.Corner == 0 {
		return nil
	}
	c, err := h.chain()
	if err != nil {
		return nil
	}
	st := *m.st
	if st.Chain, err = filter.Join(m.st.Chain, c); err != nil {
		return nil
	}
	return meterOn(&st, m.sys, m.trio[0].Twin()) // the filters change nothing of what the network answers
}

// After is a candidate behind a high-pass.
type After struct {
	Figures Figures
	Missed  []Miss // what it misses then and does not miss without
}

// after evaluates the candidate once more, as if the high-pass stood in the study.
func (m *meter) after(o *Outcome, h *HighCut) *After {
	b := m.behind(h)
	if b == nil {
		return nil
	}
	before := Outcome{Index: o.Index, Candidate: o.Candidate, System: o.System, Body: o.Body, Curves: o.Curves, Air: o.Air, Figures: o.Figures}
	then := before
	then.Figures = b.figures(&then)
	then.Air = b.air(&then, false)
	m.st.check(&before, m, false)
	b.st.check(&then, b, false)
	a := &After{Figures: then.Figures}
	missed := map[CheckID]bool{}
	for _, x := range before.Misses {
		missed[x.Check] = true
	}
	for _, x := range then.Misses {
		if !missed[x.Check] {
			a.Missed = append(a.Missed, x)
		}
	}
	return a
}
