package study

import (
	"fmt"
	"math"
	"math/cmplx"

	"basswright/internal/enclosure"
	"basswright/internal/heat"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// coilDoubt is said of a coil, °C at its hottest, that no longer lives: the law of its
// resistance and its circuit go on for ever, a winding does not. when tells how soon
// it gives way. Nothing is said of a coil that bears it.
func (st *Study) coilDoubt(c *Candidate, hottest float64, w heat.Wire, when string) []note.Finding {
	if hottest <= heat.GivesWay {
		return nil
	}
	show := func(v float64) string { return phys.Brief(v, phys.Temperature, st.Units) }
	text := fmt.Sprintf("no coil bears %s: enamel and glue give way at about %s (from memory)%s", show(math.Round(hottest)), show(heat.GivesWay), when)
	if hottest > w.Melts() {
		text += fmt.Sprintf(", and %s melts at %s", w, show(w.Melts()))
	}
	return []note.Finding{{
		ID: "coil-gives-way", Severity: note.Warning, Where: "candidates." + c.Name, At: c.At,
		Text: text + "; what is told beyond that is arithmetic, not what the driver does",
		Mend: "take less voltage, or longer rests",
	}}
}

// gaveWay is when a coil gives way on the course, in words.
func (c *HeatCourse) gaveWay() string {
	switch {
	case c.broken > 0:
		return ", here after " + Lasting(c.broken)
	case c.broken == 0:
		return ""
	}
	return ", here after the time that is followed"
}

// doubts are what makes a course of heat doubtful: coils that have given way, and a
// voltage that the amplifier does not have.
func (h *hot) doubts(sys *enclosure.System, course *HeatCourse) ([]note.Finding, error) {
	hottest, k := h.air, 0
	see := func(list []float64) {
		for i, v := range list {
			if v > hottest {
				hottest, k = v, i
			}
		}
	}
	see(course.Hottest)
	if course.Steady != nil {
		see(course.Steady.Coil)
	}
	beyond, err := h.beyond(sys)
	return append(h.st.coilDoubt(h.c, hottest, h.wires[k], course.gaveWay()), beyond...), err
}

// beyond is said of a voltage that the amplifier does not have.
func (h *hot) beyond(sys *enclosure.System) ([]note.Finding, error) {
	short, err := h.short(sys)
	if err != nil || short.times <= 1+1e-9 {
		return nil, err
	}
	u := h.st.Units
	return []note.Finding{{
		ID: "beyond-amplifier", Severity: note.Warning, Where: "amplifier",
		Text: fmt.Sprintf("the amplifier does not give this: noise of %s rms%s takes %s times the %s rms that it has at most, and noise has peaks beyond its rms",
			phys.Brief(h.volts, phys.Voltage, u), h.st.Fed(), phys.Digits(short.times, 3), phys.Show(short.most, short.kind, u)),
		Mend: fmt.Sprintf("take at most %s", phys.Show(floor3(h.volts/short.times), phys.Voltage, u)),
	}}, nil
}

// shortage is what a noise takes of the amplifier's volts or amperes, whichever it
// has less of.
type shortage struct {
	times float64 // of the most
	most  float64
	kind  phys.Kind
}

// short is what the noise takes of the amplifier while the coils are cold; nothing
// without an amplifier, and where the drive is all that it gives.
func (h *hot) short(sys *enclosure.System) (shortage, error) {
	a := h.st.Amplifier
	if a == nil || h.all {
		return shortage{}, nil
	}
	sol := sys.Program.NewSolver()
	volts, amps := 0.0, 0.0
	for k := range heatPlaces {
		w := 2 * math.Pi * heatPlace(k)
		if err := sol.Solve(w); err != nil {
			return shortage{}, err
		}
		v := h.volts * cmplx.Abs(h.st.Chain.At(w))
		i := v * sys.LargestCurrent(sol)
		volts += v * v / heatPlaces
		amps += i * i / heatPlaces
	}
	of := shortage{math.Sqrt(volts) / a.MaxVoltage(), a.MaxVoltage(), phys.Voltage}
	if i := math.Sqrt(amps) / a.MaxCurrent(); i > of.times {
		of = shortage{i, a.MaxCurrent(), phys.Current}
	}
	return of, nil
}

// heatPlace is the frequency of a part of the noise, Hz: all have the same share of
// its power.
func heatPlace(k int) float64 {
	return heatFrom * math.Pow(heatTo/heatFrom, (float64(k)+0.5)/heatPlaces)
}

// crossed is when on a step from a moment the hottest coil has a temperature, s; −1:
// not on it.
func crossed(at, step, before, after, level float64) float64 {
	switch {
	case after < level:
		return -1
	case after > before:
		return math.Max(0, at+step-step*(after-level)/(after-before))
	}
	return at + step
}
