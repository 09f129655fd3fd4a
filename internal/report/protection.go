package report

import (
	"strings"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// protectionJSON is what a candidate needs in front of it to bear all that the
// amplifier gives.
type protectionJSON struct {
	From     float64         `json:"looked_from_hz"`
	Holds    []study.BoundID `json:"limits"`
	Worst    phys.Maybe      `json:"worst_share"`
	WorstAt  phys.Maybe      `json:"worst_at_hz"`
	By       study.BoundID   `json:"worst_bound"`
	Needed   bool            `json:"needed"`
	Possible bool            `json:"possible"`
	TurnDown float64         `json:"turn_down_db,omitempty"` // where no high-pass is enough
	HighPass *highPassJSON   `json:"high_pass"`
	Lowest   *highPassJSON   `json:"lowest_order"`
	Orders   []highPassJSON  `json:"orders"`
	Missed   []study.Miss    `json:"missed_behind_it"`
}

// highPassJSON is one with its lowest corner, null where none is enough.
type highPassJSON struct {
	Family     string     `json:"family"`
	Order      int        `json:"order"`
	Corner     phys.Maybe `json:"corner_hz"`
	F3         phys.Maybe `json:"f3_hz"`
	Reference  phys.Maybe `json:"reference_level_db"`
	GroupDelay phys.Maybe `json:"group_delay_s"`
	Level      phys.Maybe `json:"level_asked_db"`
}

func highPassOf(h *study.HighCut) highPassJSON {
	out := highPassJSON{strings.ReplaceAll(strings.ToLower(h.Family.String()), "-", "_"), h.Order, phys.Maybe(h.Corner), h.F3, h.Reference, h.GroupDelay.Value, h.Level}
	if h.Corner == 0 {
		out.Corner = phys.None()
	}
	return out
}

// protectionOf is nil where nothing can be said.
func protectionOf(o *study.Outcome) *protectionJSON {
	p := o.Protection
	if p == nil {
		return nil
	}
	out := &protectionJSON{From: p.From, Holds: p.Holds, Worst: p.Worst.Value, WorstAt: p.Worst.At, By: p.By, Needed: p.Needed, Possible: p.Possible, TurnDown: p.TurnDown}
	for i := range p.Orders {
		out.Orders = append(out.Orders, highPassOf(&p.Orders[i]))
	}
	if p.Needed && p.Possible {
		take, least := highPassOf(&p.HighCut), highPassOf(&p.Lowest)
		out.HighPass, out.Lowest = &take, &least
	}
	if p.After != nil {
		out.Missed = p.After.Missed
	}
	return out
}
