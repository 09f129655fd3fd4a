package study

import (
	"fmt"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// F3 is the low edge at half power.
func (g Origin) F3() note.Step { return g.edge("F3", halfPower, g.o.Figures.F3) }

// F6 is the low edge at 6 dB.
func (g Origin) F6() note.Step { return g.edge("F6", 6, g.o.Figures.F6) }

// F10 is the low edge at 10 dB.
func (g Origin) F10() note.Step { return g.edge("F10", 10, g.o.Figures.F10) }

// F3High is the upper edge at half power.
func (g Origin) F3High() note.Step { return g.edge("upper F3", halfPower, g.o.Figures.F3High) }

// F6High is the upper edge at 6 dB.
func (g Origin) F6High() note.Step { return g.edge("upper F6", 6, g.o.Figures.F6High) }

// F10High is the upper edge at 10 dB.
func (g Origin) F10High() note.Step { return g.edge("upper F10", 10, g.o.Figures.F10High) }

// edge is where the level has fallen by so much from the reference level.
func (g *Origin) edge(name string, drop float64, v phys.Maybe) note.Step {
	f := &g.o.Figures
	formula, source := "f where L(f) falls to Lref − "+g.dropped(drop), fromNetwork
	switch drop {
	case halfPower:
		formula, source = "f where L(f) falls to Lref − 10 lg 2", "definition: half power; read from the network"
	case 10:
		source = "IEC 60268-5, effective frequency range; read from the network"
	}
	return origin(name, phys.Frequency, v, formula,
		fmt.Sprintf("f where L(f) falls to %s (%s) − %s = %s", g.told(f.Reference, phys.Level), g.band(), g.dropped(drop), g.told(f.Reference-phys.Maybe(drop), phys.Level)),
		g.outwards(name), source)
}

// dropped is a fall of the level; that to half power needs its decimals.
func (g *Origin) dropped(drop float64) string { return phys.Digits(drop, 3) + "\u2009dB" }

func (g *Origin) outwards(name string) string {
	side := "below"
	if name[0] == 'u' {
		side = "above"
	}
	return "the first such place " + side + " the reference band, in the plain space, " + g.drive()
}

// band is the reference band: "60 Hz to 120 Hz".
func (g *Origin) band() string {
	b := g.o.Figures.ReferenceBand
	return g.show(b.From, phys.Frequency) + " to " + g.show(b.To, phys.Frequency)
}

// Reference is the level that the others are told against.
func (g Origin) Reference() note.Step {
	f := &g.o.Figures
	why, source := "the octave from "+g.hz(bandLow)+" to "+g.hz(bandHigh)+" with the most sound", "after the effective frequency range of IEC 60268-5"
	if g.st.Reference != nil {
		why, source = "the band that the study names", "definition; the study’s reference"
	}
	return origin("Reference level", phys.Level, f.Reference, "10 lg(mean of p² / (20\u2009µPa)²)",
		fmt.Sprintf("%s, the mean over %s", g.pressed(float64(f.Reference)), g.band()), why+": power mean on a log scale of frequency, in the plain space, "+g.drive(), source)
}

// PeakLevel is how far the response rises above the reference level.
func (g Origin) PeakLevel() note.Step {
	f := &g.o.Figures
	return origin("Peak above the reference", phys.Level, f.PeakLevel.Value, "max L(f) − Lref",
		fmt.Sprintf("%s %s − %s", g.told(f.PeakLevel.Value+f.Reference, phys.Level), g.at(f.PeakLevel), g.told(f.Reference, phys.Level)),
		"a hump in the level: of what the box and the drivers make, from F10 up", fromNetwork)
}

// Above is how far the level comes back above the upper F3.
func (g Origin) Above() note.Step {
	f := &g.o.Figures
	numbers := fmt.Sprintf("%s %s − %s", g.told(f.Above.Value+f.Reference, phys.Level), g.at(f.Above), g.told(f.Reference, phys.Level))
	if !f.Above.Value.OK() {
		numbers = fmt.Sprintf("none within %d\u2009dB of %s up to %s", comesBack, g.told(f.Reference, phys.Level), g.hz(bandHigh))
	}
	return origin("Level back above the upper F3", phys.Level, f.Above.Value, "max of the turning points of L(f) − Lref above the upper F3", numbers,
		fmt.Sprintf("a resonance above the band, told if it is no more than %d\u2009dB below the reference and at least %s above the dip before it, or within half power of the reference: a tone an octave higher takes about so much less to be heard as loud", comesBack, g.dropped(halfPower)),
		fromNetwork+"; the bound by the A-weighting of IEC 61672-1")
}

// Ripple is the span between the response's turning points.
func (g Origin) Ripple() note.Step {
	f := &g.o.Figures
	from, to := g.hz(bandLow), g.show(f.ReferenceBand.To, phys.Frequency)
	if f.F3.OK() {
		from = g.told(f.F3, phys.Frequency)
	}
	if f.F3High.OK() {
		to = g.told(f.F3High, phys.Frequency)
	}
	numbers := "fewer than two turning points from " + from + " to " + to
	if f.RippleHigh.OK() {
		numbers = fmt.Sprintf("%s − %s, the extremes from %s to %s", g.told(f.RippleHigh, phys.Level), g.told(f.RippleLow, phys.Level), from, to)
	}
	return origin("Ripple", phys.Level, f.Ripple, "highest − lowest turning point of L(f)", numbers, "a level that only rises or falls has none", fromNetwork)
}

// counted says where delay counts.
func counted(o *Outcome) string {
	if !o.Figures.Reference.OK() {
		return ""
	}
	return fmt.Sprintf("; where the sound lies more than %d\u2009dB below the reference level it does not count", heardBelow)
}

// GroupDelay is the longest.
func (g Origin) GroupDelay() note.Step {
	return g.most("Group delay", phys.Time, g.o.Figures.GroupDelay, "max τ(f), τ = −dφ/dω", "τ", "how late the envelope of a tone comes, without the flight of the sound, in the plain space"+counted(g.o))
}

// DelayCycles is the longest in cycles.
func (g Origin) DelayCycles() note.Step {
	p := g.o.Figures.DelayCycles
	tau := p.Value / p.At // whose product with its frequency this is
	return g.most("Group delay in cycles", phys.Number, p, "max f · τ(f)", g.told(p.At, phys.Frequency)+" · "+g.told(tau, phys.Time), "the ear is as patient as the tone is slow"+counted(g.o))
}

// LevelAsked is the level at the frequency of the brief.
func (g Origin) LevelAsked() note.Step {
	f := g.o.Figures.LevelAsked
	return origin("Level at "+g.hz(g.st.Brief.LevelAt), phys.Level, f, "20 lg(|p| / 20\u2009µPa)", g.pressed(float64(f)),
		g.heard(), fromNetwork)
}

// LowestZ is the lowest impedance.
func (g Origin) LowestZ() note.Step {
	f := &g.o.Figures
	why := "what the amplifier meets, behind the source’s resistance"
	if len(g.o.System.Channels) > 1 {
		why += ", of the hardest of its channels"
	}
	return origin("Lowest impedance", phys.Resistance, f.LowestZ.Value, "min |Z(f)|, Z = U/I", fmt.Sprintf("|Z| %s, the smallest %s", g.at(f.LowestZ), g.held()), why, fromNetwork)
}

// LowestZPhase is the phase there.
func (g Origin) LowestZPhase() note.Step {
	f := &g.o.Figures
	return origin("Its phase", phys.Angle, f.LowestZPhase, "arg Z", fmt.Sprintf("arg Z %s, where |Z| is %s", g.at(f.LowestZ), g.told(f.LowestZ.Value, phys.Resistance)),
		"above 0° the voltage leads, as on a coil; a load that is not in phase heats the amplifier more", fromNetwork)
}

// Excursion is the farthest that a cone goes.
func (g Origin) Excursion() note.Step {
	what := "x̂"
	if n := len(g.o.System.Cones); n > 1 {
		what = fmt.Sprintf("x̂ of the farthest of %d cones", n)
	}
	return g.most("Excursion", phys.Length, g.o.Figures.Excursion, "max √2 · |v|/ω", what, "one way, peak of a sine")
}

// RadiatorExcursion is the farthest that a passive radiator goes.
func (g Origin) RadiatorExcursion() note.Step {
	return g.most("Radiator’s excursion", phys.Length, g.o.Figures.RadiatorExcursion, "max √2 · |v|/ω", "x̂ of the radiator", "one way, peak of a sine")
}

// PortSpeed is the fastest air of an opening.
func (g Origin) PortSpeed() note.Step {
	var areas []string
	for i := range g.o.System.Openings {
		if a := g.o.System.Openings[i].Area; a > 0 {
			areas = append(areas, g.show(a, phys.Area))
		}
	}
	return g.most("Port air", phys.Speed, g.o.Figures.PortSpeed, "max √2 · |U|/S", "û through S of "+list(areas, "and"), "peak of a sine, before the port’s own loss takes from it")
}

// HottestCoil is the power that turns into heat in one coil.
func (g Origin) HottestCoil() note.Step {
	what := "|I|²·Re of the coil"
	if n := len(g.o.System.Coils); n > 1 {
		what = fmt.Sprintf("|I|²·Re of the hottest of %d coils", n)
	}
	if each := unlikeWatts(g.o, g.st.Units); each != "" {
		what += " (each at its own worst: " + each + ")"
	}
	return g.most("Power per coil", phys.Power, g.o.Figures.HottestCoil, "max |I|² · Re", what, "the heat in its wire")
}

// TotalPower is what is drawn from the source.
func (g Origin) TotalPower() note.Step {
	f := &g.o.Figures
	return g.most("Power in all", phys.Power, Peak{phys.Maybe(f.TotalPower), f.TotalPowerAt}, "max Re(U · I*)", "real power at the source’s terminals", "what the amplifier gives, heat and sound together")
}
