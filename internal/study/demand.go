package study

import (
	"fmt"
	"math"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// A Demand is a line of what a brief asks of whatever is built: a figure with
// its formula, and for a driver what it has of it.
type Demand struct {
	note.Step
	Driver string     `json:"driver,omitempty"` // whose line it is
	Has    phys.Maybe `json:"has"`              // its xmax, m
	Needs  int        `json:"needs,omitempty"`  // side by side that share the work within xmax; 0: not known
}

// Short reports whether one such driver alone lacks the excursion.
func (d Demand) Short() bool { return d.Has.OK() && d.Needs != 1 }

// Demands is what the brief asks before any box is chosen: the air to move for
// the asked level from a closed box, which is all that radiates there, the
// excursion that each driver of the shortlist would need alone, and the air
// inside the space. What is not asked for has no line.
func (st *Study) Demands() []Demand {
	out := st.airToMove()
	if s := st.Space; s != nil && s.Air() > 0 {
		w, h, d := s.Inside()
		u := phys.Length.Unit(st.Units)
		side := func(v float64) string { return brief0(phys.Digits(u.Of(v), 4)) }
		out = append(out, Demand{Has: phys.None(), Step: note.Step{
			Name: "Air inside the space", Symbol: "V", Kind: phys.Volume, Single: phys.None(), Factor: phys.None(), Value: phys.Maybe(s.Air()),
			Why:     "less the drivers and any port",
			Formula: "(width − 2t) · (height − 2t) · (depth − 2t)",
			Numbers: fmt.Sprintf("%s × %s × %s\u2009%s, boards of %s", side(w), side(h), side(d), u.Name, phys.Brief(s.Board(), phys.Length, st.Units)),
			Source:  "geometry",
		}})
	}
	return out
}

// airToMove is the volume displacement and the excursions; nothing where the
// brief asks for no level or the listening place is not known.
func (st *Study) airToMove() []Demand {
	b, set := st.Brief, st.Setting()
	omega := 2 * math.Pi * b.LevelAt
	perFlow := set.PressurePerFlow(omega)
	gain := st.Listening.At.gain(b.LevelAt)
	perFlow *= gain
	if !(b.LevelAt > 0) || !(b.Level > 0) || !(perFlow > 0) || math.IsInf(perFlow, 0) {
		return nil
	}
	u := st.Units
	p := referencePressure * math.Pow(10, b.Level/20)
	air := math.Sqrt2 * p / perFlow / omega
	level := fmt.Sprintf("%s\u2009dB at %s", brief0(phys.Digits(b.Level, 4)), phys.Brief(st.Listening.Distance, phys.Distance, u))
	at := phys.Brief(b.LevelAt, phys.Frequency, u)
	formula, over := "√2 p Ω r / (ω² ρ)", ""
	if st.InPlace() {
		formula, over = "√2 p Ω r / (ω² ρ g)", " / "+phys.Digits(gain, 3)
	}
	out := []Demand{{Has: phys.None(), Step: note.Step{
		Name: "Air to move at " + at, Symbol: "Vd", Kind: phys.Volume, Single: phys.None(), Factor: phys.None(), Value: phys.Maybe(air),
		Why:     fmt.Sprintf("one way, for %s in %s space%s from a closed box", level, st.Listening.Space, st.Surrounded()),
		Formula: formula + ", p = 20 µPa · 10^(L/20)",
		Numbers: fmt.Sprintf("√2 · %s · %s\u2009sr · %s / ((2π · %s)² · %s)", phys.Show(p, phys.Pressure, u), phys.Digits(set.Space, 3), phys.Show(set.Distance, phys.Distance, phys.Metric), at, phys.Show(set.Air.Rho, phys.Density, phys.Metric)) + over,
		Source:  "a small source in the space: Kinsler, Frey et al., Fundamentals of Acoustics, 4th ed., 2000, section 7.2; the network’s own p/U",
	}}}
	for i := range st.Drivers {
		d := st.Drivers[i].Driver
		if !(d.Sd > 0) {
			continue
		}
		x := air / d.Sd
		line := Demand{Driver: d.Name, Has: phys.None(), Step: note.Step{
			Name: "One " + d.Name + " alone", Symbol: "x", Kind: phys.Length, Single: phys.None(), Factor: phys.None(), Value: phys.Maybe(x),
			Why:     "its xmax is not given",
			Formula: "Vd / Sd", Numbers: fmt.Sprintf("%s / %s", phys.Show(air, phys.Volume, u), phys.Show(d.Sd, phys.Area, u)),
			Source: "definition of the volume displacement",
		}}
		if has := d.Data.Xmax; has > 0 {
			line.Has = phys.Maybe(has)
			if n := math.Ceil(x/has - 1e-9); n < math.MaxInt32 {
				line.Needs = max(int(n), 1)
			}
			line.Why = hasWords(line.Needs, phys.Show(has, phys.Length, u))
		}
		out = append(out, line)
	}
	return out
}

// hasWords says whether a driver's excursion is enough.
func hasWords(n int, has string) string {
	switch {
	case n == 1:
		return "it has " + has + ": enough for a closed box"
	case n == 0 || n > mostLanes:
		return "it has " + has + ": far from enough"
	}
	return fmt.Sprintf("it has %s: %s side by side, or a port", has, Count(n))
}
