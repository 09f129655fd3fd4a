package driver

import (
	"fmt"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// smallSteps are the parameters of Small: what mounting leaves alone, and Vas.
func (l *ledger) smallSteps() []note.Step {
	n := l.by.drivers
	alike := func(text string) string {
		if n == 1 {
			return "one driver: unchanged"
		}
		return text + ": unchanged"
	}
	fs := l.step("Resonance", "fs", phys.Frequency, l.single.Fs(), l.group.Fs())
	fs.Why = alike(fmt.Sprintf("mass × %d, compliance / %d", n, n))
	fs.Formula = "fs = 1 / (2π √(Mms · Cms))"
	fs.Numbers = "1 / (2π √(" + l.show(l.group.Mms, phys.Mass) + " · " + l.show(l.group.Cms, phys.Compliance) + "))"

	qms := l.step("Mechanical Q", "Qms", phys.Number, l.single.Qms(), l.group.Qms())
	qms.Why = alike(fmt.Sprintf("mass × %d, losses × %d", n, n))
	qms.Formula = "Qms = 2π fs · Mms / Rms"
	qms.Numbers = "2π · " + l.show(l.group.Fs(), phys.Frequency) + " · " + l.show(l.group.Mms, phys.Mass) + " / " + l.show(l.group.motor().rms, phys.MechanicalResistance)
	if damp := l.group.ClosedCoilDamping; damp > 0 {
		qms.Formula = "Qms = 2π fs · Mms / (Rms + damping of the closed coils)"
		qms.Why += ", the closed coils’ " + l.show(damp, phys.MechanicalResistance) + " counted"
	}

	qes := l.step("Electrical Q", "Qes", phys.Number, l.single.Qes(), l.group.Qes())
	qes.Why = alike(fmt.Sprintf("mass × %d, motor Bl²/Re × %d", n, n))
	qes.Formula = "Qes = 2π fs · Mms / (Bl²/Re)"
	qes.Numbers = "2π · " + l.show(l.group.Fs(), phys.Frequency) + " · " + l.show(l.group.Mms, phys.Mass) + " / " + l.show(l.group.Strength(), phys.MotorStrength)

	qts := l.step("Total Q", "Qts", phys.Number, l.single.Qts(), l.group.Qts())
	qts.Why = alike("mass, losses and motor " + fold(n) + " alike")
	qts.Formula = "Qts = Qms · Qes / (Qms + Qes)"
	m, e := l.number(l.group.Qms(), phys.Number), l.number(l.group.Qes(), phys.Number)
	qts.Numbers = m + " · " + e + " / (" + m + " + " + e + ")"

	vas := l.volume()
	out := []note.Step{fs, qms, qes, qts, vas}
	for i := range out {
		out[i].Source = small1972
	}
	return append(out, l.bandwidthProduct())
}

// bandwidthProduct is the efficiency bandwidth product, which the trade reads as
// a hint of the box: low for a closed one, high for a tuned one.
func (l *ledger) bandwidthProduct() note.Step {
	s := l.step("Bandwidth product", "EBP", phys.Frequency, l.single.EBP(), l.group.EBP())
	s.Why = "neither resonance nor electrical Q changes: unchanged"
	if l.by.drivers == 1 {
		s.Why = "one driver: unchanged"
	}
	s.Formula, s.Numbers = "EBP = fs / Qes", l.show(l.group.Fs(), phys.Frequency)+" / "+l.number(l.group.Qes(), phys.Number)
	s.Source = practice
	return s
}

// fold is the verb for growing n times.
func fold(n int) string {
	switch n {
	case 2:
		return "double"
	case 3:
		return "triple"
	}
	return fmt.Sprintf("grow %d times", n)
}

// volume is Vas: side by side it grows with the area squared over the added
// stiffness, in a stack it falls with the stiffness alone.
func (l *ledger) volume() note.Step {
	m, k := l.group.SideBySide, l.group.Stack
	s := l.step("Volume", "Vas", phys.Volume, l.single.Vas(l.air), l.group.Vas(l.air))
	number := l.number(float64(s.Single), phys.Volume)
	switch {
	case m*k == 1:
		s.Why = "one driver: unchanged"
	case m == 1 && k == 2:
		s.Why = "ρc² Sd² Cms: half the compliance, half the volume"
	case m == 1:
		s.Why = fmt.Sprintf("ρc² Sd² Cms: compliance / %d, so %s", k, scale{1, k}.text(number))
	default:
		s.Why = fmt.Sprintf("ρc² Sd² Cms: area × %d, compliance / %d, so %s", m, m*k, scale{m, k}.text(number))
	}
	s.Formula = "Vas = ρc² · Sd² · Cms"
	s.Numbers = l.show(l.air.Rho, phys.Density) + " · (" + l.show(l.air.C, phys.Speed) + ")² · (" +
		l.show(l.group.Sd, phys.Area) + ")² · " + l.show(l.group.Cms, phys.Compliance)
	return s
}

// outputSteps are what the group gives and bears.
func (l *ledger) outputSteps() []note.Step {
	return []note.Step{l.atOneWatt(), l.atVoltage(), l.ratedPower(), l.displacement()}
}

func (l *ledger) atOneWatt() note.Step {
	m, k := l.group.SideBySide, l.group.Stack
	s := l.step("Level at 1 W", "", phys.Level, l.single.Sensitivity1W(l.air), l.group.Sensitivity1W(l.air))
	change := signed(float64(s.Value-s.Single)) + " dB"
	switch {
	case m*k == 1:
		s.Why = "one driver: unchanged"
	case m == 1:
		s.Why = fmt.Sprintf("the same power moves %s the mass and no more cone area: %s", multiple(k), change)
	case k == 1:
		s.Why = fmt.Sprintf("the same power, shared by %d cones that help each other: %s", m, change)
	default:
		s.Why = fmt.Sprintf("%d positions gain %s\u2009dB, stacks of %d lose %s\u2009dB", m, phys.Fixed(decibels(float64(m)), 1), k, phys.Fixed(decibels(float64(k)), 1))
	}
	s.Formula = "L = 10 · log10(η0 · ρc / (2π p0²)), η0 = 4π² fs³ Vas / (c³ Qes), at 1 m in a half space"
	s.Numbers = "η0 = " + l.show(l.group.Efficiency(l.air), phys.Ratio) + ", 1 W into " + l.show(l.group.Re, phys.Resistance)
	s.Source = small1972
	return s
}

// multiple is "twice", "3 times".
func multiple(n int) string {
	if n == 2 {
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

func (l *ledger) atVoltage() note.Step {
	s := l.step("Level at 2.83 V", "", phys.Level, l.single.Sensitivity283V(l.air), l.group.Sensitivity283V(l.air))
	power := decibels(l.single.Re / l.group.Re)
	efficiency := l.group.Sensitivity1W(l.air) - l.single.Sensitivity1W(l.air)
	s.Why = fmt.Sprintf("power into Re %s\u2009dB, efficiency %s\u2009dB", signed(power), signed(efficiency))
	if l.by.drivers*l.by.s == 1 {
		s.Why = "one driver: unchanged"
	}
	s.Formula = "L at 1 W + 10 · log10(E² / Re), E = 2.83 V"
	watts := referenceVoltage * referenceVoltage / l.group.Re
	s.Numbers = l.show(l.group.Sensitivity1W(l.air), phys.Level) + " + 10 · log10(" + l.number(watts, phys.Power) + ")"
	s.Source = small1972
	return s
}

func (l *ledger) ratedPower() note.Step {
	one := l.single.RatedPower
	if one == 0 || l.group.RatedPower == 0 {
		return l.missing("Rated power", "P", phys.Power, "rated_power")
	}
	s := l.step("Rated power", "P", phys.Power, one, l.group.RatedPower)
	s.Why = "each driver takes its own share of the heat: " + l.by.mass.text(l.number(one, phys.Power))
	if l.by.drivers == 1 {
		s.Why = "one driver: unchanged"
	}
	s.Formula, s.Numbers, s.Source = "P = n · P₁, n drivers", l.by.mass.text(l.show(one, phys.Power)), practice
	return s
}

func (l *ledger) displacement() note.Step {
	if l.group.Xmax == 0 {
		return l.missing("Volume displacement", "Vd", phys.Volume, "xmax")
	}
	s := l.step("Volume displacement", "Vd", phys.Volume, l.single.VolumeDisplacement(), l.group.VolumeDisplacement())
	switch {
	case l.by.drivers == 1:
		s.Why = "one driver: unchanged"
	case l.group.SideBySide == 1:
		s.Why = "a stack displaces no more than one driver: unchanged"
	default:
		s.Why = fmt.Sprintf("%d positions displace: %s", l.group.SideBySide, l.by.area.text(l.number(float64(s.Single), phys.Volume)))
	}
	s.Formula = "Vd = Sd · xmax, one way"
	s.Numbers, s.Source = l.show(l.group.Sd, phys.Area)+" · "+l.show(l.group.Xmax, phys.Length), small1972
	return s
}

// missing is a figure that the sheet does not give.
func (l *ledger) missing(name, symbol string, kind phys.Kind, key string) note.Step {
	return note.Step{
		Name: name, Symbol: symbol, Kind: kind,
		Single: phys.None(), Value: phys.None(), Factor: phys.None(),
		Why: "the sheet gives no " + key,
	}
}
