package study

import (
	"fmt"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// GreatestAt is the most that the candidate gives under a sine at one of the bass
// frequencies.
func (g Origin) GreatestAt(hz float64) note.Step {
	a, ok := g.o.Figures.GreatestNear(hz)
	if !ok {
		return note.Step{}
	}
	return origin("Greatest level at "+g.hz(hz), phys.Level, phys.Maybe(a.Level), "20 lg(U · |p/U| / 20\u2009µPa), U the least voltage at which a limit is reached",
		fmt.Sprintf("%s at U = %s, %s in the coils", g.pressed(a.Level), g.show(a.Volts, phys.Voltage), g.show(a.Watts, phys.Power)),
		a.By.Ends()+" gives first: "+g.bound(a.By), g.boundSource(a.By)+"; read from the network")
}

// First is what gives first as the level is turned up.
func (g Origin) First() note.Step {
	f := g.o.Figures.First
	if f == nil {
		return note.Step{}
	}
	if f.By == BoundLoad {
		return origin("Gives first", phys.Power, phys.None(), "min |Z| ≥ 0.8 · lowest load that the amplifier is rated for",
			fmt.Sprintf("%s %s ≥ %s", g.told(g.o.Figures.LowestZ.Value, phys.Resistance), "at "+g.show(f.At, phys.Frequency), g.show(g.st.Amplifier.LeastImpedance(), phys.Resistance)),
			"a load below what the amplifier takes is too low at any level", ratedBy)
	}
	return origin("Gives first", phys.Power, phys.Maybe(f.Watts), "(U/(Re + Rsource))² · Re, of all channels, U the least voltage at which a limit is reached",
		fmt.Sprintf("%s into Re of %s: %s at %s", g.show(f.Volts, phys.Voltage), g.show(g.o.Figures.Re, phys.Resistance), f.By.Ends(), g.show(f.At, phys.Frequency)),
		"turned up "+g.held()+" alike, this ends first: "+g.bound(f.By), g.boundSource(f.By)+"; read from the network")
}

// bound is a limit of the output in words.
func (g *Origin) bound(id BoundID) string {
	a, l := g.st.Amplifier, g.st.Brief.Limits
	switch id {
	case BoundExcursion:
		if l.Excursion > 0 && !l.ExcursionXmax {
			return "limited to " + g.st.Asked(l.Excursion, phys.Length)
		}
		return "limited to each driver’s xmax"
	case BoundStop:
		return "each driver’s xmech"
	case BoundRadiator:
		return "limited to the radiator’s xmax"
	case BoundHeat:
		return "each driver’s rated power"
	case BoundPortAir:
		if l.PortSpeed > 0 {
			return "limited to " + g.st.Asked(l.PortSpeed, phys.Speed) + " peak"
		}
		return "a cautious limit, because the brief states none"
	case BoundPressure:
		return "limited to " + g.st.Asked(l.Pressure, phys.Pressure) + " peak"
	case BoundVoltage:
		return "it gives " + g.show(a.MaxVoltage(), phys.Voltage) + " at most"
	}
	return "it gives " + g.show(a.MaxCurrent(), phys.Current) + " at most"
}

// boundSource is where a limit is from.
func (g *Origin) boundSource(id BoundID) string {
	l := g.st.Brief.Limits
	switch id {
	case BoundExcursion:
		if l.Excursion > 0 && !l.ExcursionXmax {
			return "limit: the brief’s"
		}
		return "limit: " + fromSheets
	case BoundStop, BoundRadiator, BoundHeat:
		return "limit: the sheets"
	case BoundPortAir:
		if l.PortSpeed > 0 {
			return "limit: the brief’s"
		}
		if a := g.o.hardestPort(); a != nil {
			return "limit: " + a.Source
		}
	case BoundPressure:
		return "limit: the brief’s"
	}
	return "limit: the amplifier’s ratings, √(P·R) and √(P/R)"
}

// Noise is the level of all of the study's noise.
func (g Origin) Noise() note.Step {
	n := g.o.Noise
	if n == nil {
		return note.Step{}
	}
	return origin("Greatest level under noise", phys.Level, phys.Maybe(n.Level), "20 lg(√Σ p² / 20\u2009µPa) at the greatest drive",
		fmt.Sprintf("%s at %s rms, third-octaves from %s to %s", g.pressed(n.Level), g.show(n.Volts, phys.Voltage), g.hz(n.From), g.hz(NoiseTo())),
		n.By.Ends()+" ends it: "+g.bound(n.By), g.st.Noise.Source()+"; read from the network")
}

// NoiseBand is the level of it in a third-octave.
func (g Origin) NoiseBand(nominal float64) note.Step {
	n := g.o.Noise
	if n == nil {
		return note.Step{}
	}
	l := n.Band(nominal)
	return origin("Third-octave "+g.hz(nominal), phys.Level, phys.Maybe(l), "20 lg(√Σ p² / 20\u2009µPa) over the band, at the greatest drive",
		fmt.Sprintf("%s at %s rms of the whole noise", g.pressed(l), g.show(n.Volts, phys.Voltage)), "its share of what all of the noise gives", g.st.Noise.Source()+"; read from the network")
}

// NoiseVolts is the drive at which a limit is reached.
func (g Origin) NoiseVolts() note.Step {
	n := g.o.Noise
	if n == nil {
		return note.Step{}
	}
	numbers := "min("
	for i, b := range n.Bounds {
		if i > 0 {
			numbers += ", "
		}
		numbers += g.show(b.Volts, phys.Voltage) + " by " + b.ID.Words()
	}
	return origin("Drive under noise", phys.Voltage, phys.Maybe(n.Volts), "min of U at which the noise’s peak reaches a limit, or its mean the rated power", numbers+")",
		"what the parts do adds up as mean squares over frequency; a peak is "+phys.Brief(g.st.Noise.Crest, phys.Number, g.st.Units)+" times the rms value", g.st.Noise.Source()+"; read from the network")
}

// NoiseWatts is the heat at that drive.
func (g Origin) NoiseWatts() note.Step {
	n := g.o.Noise
	if n == nil {
		return note.Step{}
	}
	return origin("Heat in all coils", phys.Power, phys.Maybe(n.Watts), "U² · Σ w(f) · |I/U|² · Re", fmt.Sprintf("(%s)² · %s per V²", g.show(n.Volts, phys.Voltage), g.show(n.Watts/(n.Volts*n.Volts), phys.Power)),
		"the mean over the noise, whose power is spread by w(f)", g.st.Noise.Source()+"; read from the network")
}

// Unfolded is why a fit is not judged.
func (g Origin) Unfolded() note.Step {
	numbers := g.show(g.o.System.Facts.NetVolume, phys.Volume) + " of air"
	if room, ok := g.st.Inside(); ok {
		numbers += ", " + g.show(room.Air(), phys.Volume) + " inside the boards of the space"
	}
	if f := g.o.Body.Fold; f != nil {
		numbers += "; the nearest fold, of " + legs(len(f.Legs)) + ": " + strings.TrimPrefix(g.o.Unfolded(g.st), "fold ")
	}
	why, source := "where the parts of a network stand is not said: lay them out by hand", "the study’s space; a network’s parts have no place"
	if g.o.System.Facts.Line != nil {
		why = "it is no miss, as a fold by hand may fit where none in parallel legs does"
		source = fmt.Sprintf("the study’s space; the duct in up to %d parallel legs, each way round", mostLegs)
	}
	return origin("Fit in the space", phys.Number, phys.None(), "what it takes outside ≤ the space, each way", numbers, why, source)
}

// Check is how much of a limit is used.
func (g Origin) Check(id CheckID) note.Step {
	c, ok := g.o.check(id)
	if !ok || !c.Fill.OK() {
		return note.Step{}
	}
	h := holdings[id]
	value, limit := g.told(c.Value, c.Kind), g.st.Asked(c.Limit, c.Kind)
	switch {
	case c.Kind == phys.Price:
		value, limit = price(float64(c.Value), g.st.Brief.Limits.Currency), price(c.Limit, g.st.Brief.Limits.Currency)
	case c.Varies:
		limit = g.show(c.Limit, c.Kind)
	case !c.Value.OK():
		value = "below " + g.hz(lowest)
	}
	if c.At.OK() && c.Kind != phys.Frequency {
		value += " at " + g.told(c.At, phys.Frequency)
	}
	numbers := value + " / " + limit
	switch id {
	case CheckLoad:
		numbers = limit + " / " + value
	case CheckLevel:
		numbers = fmt.Sprintf("10^((%s − %s)/20)", limit, value)
	case CheckFit:
		numbers = "width " + numbers
		if f := g.o.Body.Fold; f != nil {
			numbers += ", folded in " + legs(len(f.Legs))
		}
		if g.o.Body.Why != "" {
			numbers += ": " + g.o.Body.Why
		}
	}
	why := h.why
	if !c.Asked {
		why += "; told for safety, nobody asked"
	}
	return origin(c.Name, phys.Ratio, c.Fill, h.formula, numbers, why, g.holder(&c))
}

// holder is where the limit of a check is from.
func (g *Origin) holder(c *Check) string {
	h := holdings[c.ID]
	switch l := g.st.Brief.Limits; {
	case c.ID == CheckPortSpeed && l.PortSpeed == 0:
		return g.boundSource(BoundPortAir)
	case c.ID == CheckPortFull:
		return g.boundSource(BoundPortAir)
	case c.ID == CheckExcursion && l.Excursion > 0 && !l.ExcursionXmax:
		return "limit: the brief’s limits.excursion"
	}
	return h.source
}

// holdings are what each check divides by what, why, and where its limit is from.
var holdings = map[CheckID]struct{ formula, why, source string }{
	CheckF3:            {"F3 / the one asked", "extension that was asked for, lower being better", "limit: the brief’s extension"},
	CheckF6:            {"F6 / the one asked", "extension that was asked for, lower being better", "limit: the brief’s extension"},
	CheckF10:           {"F10 / the one asked", "extension that was asked for, lower being better", "limit: the brief’s extension"},
	CheckLevel:         {"10^((asked − L)/20)", "the sound pressure asked over that given", "limit: the brief’s level"},
	CheckExcursion:     {"x̂ / limit", "of the cone that comes nearest to its own limit; beyond it the motor or the suspension ends", "limit: xmax of " + fromSheets},
	CheckRadiator:      {"x̂ / xmax", "beyond it the radiator’s suspension ends", "limit: the radiator’s xmax"},
	CheckStop:          {"x̂ / xmech", "of the cone that comes nearest to its stop, where that is nearer than its limit of excursion", "limit: xmech of " + fromSheets},
	CheckExcursionFull: {"x̂ at all that the amplifier gives / limit", "below a tuning the air lets a cone go: one turn of the knob is enough, whatever the drive is", "limit: xmax or xmech of " + fromSheets + ", or the brief’s limits.excursion"},
	CheckRadiatorFull:  {"x̂ at all that the amplifier gives / xmax", "below its tuning nothing but its suspension holds a radiator", "limit: the radiator’s xmax"},
	CheckHeat:          {"Σ |I|²Re of a driver’s coils / rated power", "of the driver that takes the largest share of what it is rated for", "limit: rated power of " + fromSheets},
	CheckLoad:          {"0.8 · rated load / |Z|", "a load may fall below the rated one by a fifth", "limit: the amplifier’s lowest rating; " + ratedBy},
	CheckPortSpeed:     {"û / limit", "faster air is heard, and is lost as heat", "limit: the brief’s limits.port_speed"},
	CheckPortFull:      {"û at all that the amplifier gives / limit", "a port has to bear what the amplifier can give, whatever the drive is", ""},
	CheckPressure:      {"p̂ / limit", "of the chamber with the most", "limit: the brief’s limits.chamber_pressure"},
	CheckGroupDelay:    {"τ / limit", "the longest within the range of the limits, as far as the sound is no more than 20 dB below the reference level", "limit: the brief’s limits.group_delay"},
	CheckDuctAir:       {"net volume and drivers / volume of the space inside its boards", "a duct or a network cannot hold more than the whole space, however it is folded", "limit: the study’s space"},
	CheckDuctFrame:     {"what stands in the duct / its clear width there", "of frames, tubes and magnets, the one that lacks most", "geometry; what the sheet does not give follows from the cone"},
	CheckFit:           {"width / width of the space", "depth and height of the space are used up first; what does not fit is over its limit", "limit: the study’s space"},
	CheckMass:          {"weight / limit", "drivers and boards together", "limit: the brief’s limits.mass"},
	CheckPrice:         {"price / limit", "the drivers alone", "limit: the brief’s limits.price"},
}
