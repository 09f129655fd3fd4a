package study

import (
	"fmt"
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// An output of an amplifier is a channel or, bridged, two of them that push and
// pull at the two ends of one load. Each then sees half of the load, and the
// voltages add: the outputs are rated for twice the power of a channel into
// twice the load.

// sides is how many channels work on one load.
func (a *Amplifier) sides() int {
	if a.Bridged {
		return 2
	}
	return 1
}

// Outputs is the number of loads that the amplifier drives at once.
func (a *Amplifier) Outputs() int { return max(a.Channels/a.sides(), 1) }

// MaxVoltage is the voltage limit of an output, V rms: the largest √(P·R).
func (a *Amplifier) MaxVoltage() float64 {
	v := 0.0
	for _, r := range a.Rated {
		v = max(v, math.Sqrt(r.Power*r.Load))
	}
	return v * float64(a.sides())
}

// MaxCurrent is the current limit of an output, A rms: the largest √(P/R).
func (a *Amplifier) MaxCurrent() float64 {
	i := 0.0
	for _, r := range a.Rated {
		i = max(i, math.Sqrt(r.Power/r.Load))
	}
	return i
}

// OutputResistance is that of an output, Ω.
func (a *Amplifier) OutputResistance() float64 { return a.Output * float64(a.sides()) }

// Voltage is the most that an output gives into |z|, V rms.
func (a *Amplifier) Voltage(z float64) float64 { return min(a.MaxVoltage(), a.MaxCurrent()*z) }

// most is the most that it gives into a system, V rms, where the solver stands:
// on all channels alike, as much as the one that gives the largest current can.
func (a *Amplifier) most(sys *enclosure.System, sol *network.Solver) float64 {
	return a.Voltage(1 / sys.LargestCurrent(sol))
}

// LowestLoad is the lowest load that an output is rated for, Ω.
func (a *Amplifier) LowestLoad() float64 {
	lowest := math.Inf(1)
	for _, r := range a.Rated {
		lowest = min(lowest, r.Load)
	}
	return lowest * float64(a.sides())
}

// LeastImpedance is the lowest |Z| that an output takes, Ω.
func (a *Amplifier) LeastImpedance() float64 { return loadShare * a.LowestLoad() }

// words is the amplifier in a sentence without full stop.
func (a *Amplifier) words(u phys.System) string {
	var r []string
	for _, x := range a.Rated {
		r = append(r, fmt.Sprintf("%s into %s", phys.Brief(x.Power, phys.Power, u), phys.Brief(x.Load, phys.Resistance, u)))
	}
	gives := list(r, "and")
	switch {
	case a.Bridged && a.Outputs() > 1:
		return fmt.Sprintf("Each of the amplifier’s %s channels gives %s; they are bridged in pairs, so that each works on half of a load", Count(a.Channels), gives)
	case a.Bridged:
		return fmt.Sprintf("Each of the amplifier’s two channels gives %s; they are bridged, so that each works on half of the load", gives)
	case a.Outputs() > 1:
		return fmt.Sprintf("Each of the amplifier’s %s channels gives %s", Count(a.Channels), gives)
	}
	return "The amplifier gives " + gives
}
