package study

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// Protection is what a candidate needs in front of it to bear all that the
// amplifier gives, at every frequency from From up.
type Protection struct {
	From     float64 // Hz
	Worst    Peak    // the largest share of a limit at full amplifier power
	By       BoundID // whose limit
	Needed   bool
	Possible bool      // some high-pass keeps every limit
	Order    int       // of the Butterworth high-pass
	Corner   float64   // Hz
	Orders   []HighCut // what each order would take
	TurnDown float64   // dB, where no high-pass is enough: by how much the level has to come down
}

// HighCut is a high-pass of one order with the lowest corner that keeps every limit.
type HighCut struct {
	Order  int
	Corner float64    // Hz; 0: none up to highestCut
	F3     phys.Maybe // Hz, with it
	// Reference is the reference level that is left, dB.
	Reference phys.Maybe
}

const (
	protectFrom = 5.0   // Hz: what music, handling and a switch send below that is short
	highestCut  = 200.0 // Hz: above it a bass system has lost its work
	mostOrders  = 4
	worthHz     = 1.0 // of extension: an order more is worth that
	worthDB     = 0.5 // of the reference level: or that
)

// protection finds the high-pass, nil where the study has no amplifier, nothing
// limits the movement, or nothing is heard.
func (m *meter) protection(f *Figures) *Protection {
	if m.st.Amplifier == nil || !f.Reference.OK() {
		return nil
	}
	var moving []bound
	for _, b := range m.bounds() {
		switch b.id {
		case BoundExcursion, BoundStop, BoundRadiator, BoundPortAir, BoundPressure:
			moving = append(moving, b)
		}
	}
	if len(moving) == 0 {
		return nil
	}
	p := &Protection{From: min(protectFrom, m.st.LimitsFrom()), Worst: Peak{0, phys.None()}}
	var risks []risk
	grid(p.From, m.st.limitsTo(), func(hz float64) {
		r, by := m.risk(hz, moving)
		if s := r.behind(1); s > float64(p.Worst.Value) {
			p.Worst, p.By = Peak{phys.Maybe(s), phys.Maybe(hz)}, by
		}
		risks = append(risks, r)
	})
	if p.Needed = p.Worst.Value > 1; !p.Needed {
		return p
	}
	for order := 1; order <= mostOrders; order++ {
		p.Orders = append(p.Orders, m.highCut(order, risks, f))
	}
	for _, h := range p.Orders {
		if h.Corner == 0 {
			continue
		}
		if !p.Possible || better(h, p.chosen()) {
			p.Possible, p.Order, p.Corner = true, h.Order, h.Corner
		}
	}
	if !p.Possible {
		p.TurnDown = 20 * math.Log10(float64(p.Worst.Value))
		return p
	}
	m.proved(p, moving, f)
	return p
}

// risk is what moves at one frequency when the amplifier gives all that it can.
type risk struct {
	hz    float64
	share float64 // of a limit, the largest, at the amplifier's most
	gain  float64 // of the study's filters, which stand before it
}

// behind is the share where another filter of gain h stands there too: what both
// together lift beyond the amplifier's limits is cut off.
func (r risk) behind(h float64) float64 { return r.share * min(1, r.gain*h) }

// risk reads it, with the bound whose share it is; no share where the network
// cannot be solved, which the meter tells.
func (m *meter) risk(hz float64, moving []bound) (r risk, by BoundID) {
	r.hz = hz
	if _, ok := m.solve(hz); !ok {
		return r, by
	}
	volts := m.st.Amplifier.most(m.sys, m.sol)
	r.gain = cmplx.Abs(m.feed.gain(2*math.Pi*hz)) * m.feed.lift
	for _, b := range moving {
		if s := b.share() * volts; s > r.share {
			r.share, by = s, b.id
		}
	}
	return r, by
}

// proved raises the corner that was chosen by tenths of a hertz until it keeps the
// limits between the frequencies of the grid too, so that whoever takes it passes.
func (m *meter) proved(p *Protection, moving []bound, f *Figures) {
	for range 10 {
		c, err := filter.HighPass(filter.Butterworth, p.Order, p.Corner)
		if err != nil {
			return
		}
		worst := largest(p.From, m.st.limitsTo(), func(hz float64) float64 {
			r, _ := m.risk(hz, moving)
			return r.behind(cmplx.Abs(c.At(2 * math.Pi * hz)))
		})
		if !(worst.Value > 1) {
			return
		}
		p.Corner = math.Round(p.Corner*10+1) / 10
		p.Orders[p.Order-1] = m.extended(p.Order, p.Corner, f)
	}
}

func (p *Protection) chosen() HighCut { return p.Orders[p.Order-1] }

// better says that a steeper high-pass is worth its order: by the extension that it
// leaves, or by the level where a flatter one takes from that.
func better(h, than HighCut) bool {
	if float64(h.Reference-than.Reference) > worthDB {
		return true
	}
	return h.F3.OK() && (!than.F3.OK() || float64(than.F3-h.F3) > worthHz)
}

// highCut finds the lowest corner of one order that keeps every share below 1.
func (m *meter) highCut(order int, risks []risk, f *Figures) HighCut {
	holds := func(corner float64) bool {
		c, err := filter.HighPass(filter.Butterworth, order, corner)
		if err != nil {
			return false
		}
		for _, r := range risks {
			if r.behind(1) > 1 && r.behind(cmplx.Abs(c.At(2*math.Pi*r.hz))) > 1 {
				return false
			}
		}
		return true
	}
	if !holds(highestCut) {
		return HighCut{Order: order, F3: phys.None(), Reference: phys.None()}
	}
	lo, hi := math.Log(protectFrom/4), math.Log(highestCut)
	for range 30 {
		if mid := (lo + hi) / 2; holds(math.Exp(mid)) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return m.extended(order, math.Ceil(math.Exp(hi)*10)/10, f) // the corner as it is told
}

// extended is a high-pass with what is left behind it: figures as of a study that
// has it among its filters, told against the reference level that is left.
func (m *meter) extended(order int, corner float64, f *Figures) HighCut {
	out := HighCut{Order: order, Corner: corner, F3: phys.None(), Reference: phys.None()}
	c, err := filter.HighPass(filter.Butterworth, order, corner)
	if err != nil {
		return out
	}
	behind := *m
	behind.feed.chain = &filter.Chain{Sections: slices.Concat(m.feed.chain.Sections, c.Sections)}
	behind.at, behind.delayAt = math.NaN(), math.NaN() // what it has read is of the old chain
	left := blank()
	behind.response(&left)
	m.at, m.delayAt = math.NaN(), math.NaN() // the solver that both share has moved on
	out.F3, out.Reference = left.F3, left.Reference
	return out
}

// protection tells it in the ledger.
func (l *boxAccount) protection() {
	p := l.o.Protection
	if p == nil {
		return
	}
	hz := func(v phys.Maybe) string { return l.show(float64(v), phys.Frequency) }
	if !p.Needed {
		l.add(note.Step{Name: "Protection", Value: phys.None(),
			Why:    fmt.Sprintf("none is needed: at all that the amplifier gives, from %s up, %s stays inside its limit (%s of it at %s)", hz(phys.Maybe(p.From)), p.By.Ends(), phys.Show(float64(p.Worst.Value), phys.Ratio, l.st.Units), hz(p.Worst.At)),
			Source: "the network at full amplifier power"})
		return
	}
	why := fmt.Sprintf("at all that the amplifier gives, %s is %s its limit at %s", p.By.Ends(), shareWords(float64(p.Worst.Value)), hz(p.Worst.At))
	tuned := l.o.System.Spec.Kind == enclosure.Vented || l.o.System.Spec.Kind == enclosure.PassiveRadiator
	if fb := l.o.Figures.Tuning; tuned && fb.OK() && p.Worst.At < fb && (p.By == BoundExcursion || p.By == BoundStop) {
		why += fmt.Sprintf(", below the tuning of %s, where the air of the box no longer holds the cone", hz(fb))
	}
	if !p.Possible {
		l.add(note.Step{Name: "Protection", Value: phys.None(),
			Why:    why + fmt.Sprintf("; no high-pass up to %s keeps it inside: turn the level down by %s dB, or take a smaller amplifier", hz(highestCut), phys.Fixed(math.Ceil(p.TurnDown*10)/10, 1)),
			Source: "the network at full amplifier power"})
		return
	}
	cost := l.cost(p.chosen())
	l.add(note.Step{Name: "Protection, high-pass", Symbol: "", Kind: phys.Frequency, Value: phys.Maybe(p.Corner),
		Why:     fmt.Sprintf("%s; a Butterworth high-pass of order %d at this frequency keeps every limit of movement (heat and load are held on the drive); %s", why, p.Order, cost),
		Formula: "the lowest corner with |H|·share ≤ 1 at every frequency, of orders 1 to 4; an order more where it is worth 1 Hz of F3 or 0.5 dB of level",
		Numbers: l.orders(p),
		Source:  "the network at full amplifier power; Butterworth 1930"})
}

// cost is what a high-pass takes of the extension and of the level.
func (l *boxAccount) cost(h HighCut) string {
	f := &l.o.Figures
	var out []string
	switch {
	case !h.F3.OK():
		out = append(out, "nothing is left of the extension")
	case !f.F3.OK():
		out = append(out, "F3 is "+l.show(float64(h.F3), phys.Frequency)+" then")
	case float64(h.F3-f.F3) >= equalHz:
		out = append(out, fmt.Sprintf("F3 goes from %s to %s", l.show(float64(f.F3), phys.Frequency), l.show(float64(h.F3), phys.Frequency)))
	default:
		out = append(out, "F3 stays")
	}
	if d := float64(f.Reference - h.Reference); d >= equalDB {
		out = append(out, fmt.Sprintf("the reference level falls by %s dB", phys.Fixed(d, 1)))
	}
	return strings.Join(out, ", and ")
}

// orders lists what each order would take.
func (l *boxAccount) orders(p *Protection) string {
	var out []string
	for _, h := range p.Orders {
		if h.Corner == 0 {
			out = append(out, fmt.Sprintf("order %d: none", h.Order))
			continue
		}
		s := fmt.Sprintf("order %d: %s", h.Order, l.show(h.Corner, phys.Frequency))
		if h.F3.OK() {
			s += ", F3 " + l.show(float64(h.F3), phys.Frequency)
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}
