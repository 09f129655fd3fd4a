package driver

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// A Composite is the single driver that a group of like drivers acts as, when
// the cones of each stack are rigidly coupled and all positions see the same
// load. It is exact under these two conditions and an approximation where the
// coupling air is a spring. Undriven coils that are closed count as damping
// only, which holds at low frequency.
type Composite struct {
	SideBySide int
	Stack      int
	Coils      int // driven coils in all
	InSeries   int // coils a string

	Re   float64   // Ω at the group's terminals
	Bl   float64   // T m: force over the group's current
	Coil VoiceCoil // blocked impedance at the group's terminals
	Mms  float64   // kg
	Cms  float64   // m/N
	Rms  float64   // kg/s, the suspensions' alone
	Sd   float64   // m² that radiate

	ClosedCoilDamping float64 // kg/s of undriven coils that are closed
	Creep             Creep

	RatedImpedance float64 // Ω; 0: not given
	RatedPower     float64 // W; 0: not given
	Xmax           float64 // m, one way, the least of the members; 0: not given
}

// Count is the number of drivers.
func (c Composite) Count() int { return c.SideBySide * c.Stack }

// scale is what mounting or wiring does to a figure of one: times/over. The
// values and their account are both made from it.
type scale struct{ times, over int }

func (s scale) of(v float64) float64 { return v * float64(s.times) / float64(s.over) }

// text is the scale applied to a number: "2 × 3.3 / 4".
func (s scale) text(number string) string {
	switch {
	case s.times > 1 && s.over > 1:
		return fmt.Sprintf("%d × %s / %d", s.times, number, s.over)
	case s.times > 1:
		return fmt.Sprintf("%d × %s", s.times, number)
	case s.over > 1:
		return fmt.Sprintf("%s / %d", number, s.over)
	}
	return number
}

// scales are what a group does to the figures of one coil and of one driver.
type scales struct {
	re, bl, blocked     scale // of one coil
	mass, give, loss    scale // of one driver: Mms, Cms, Rms
	area                scale // of one driver
	drivers, strings, s int
}

// scalesOf gives the rules. With s coils a string and p strings, every coil
// carries 1/p of the group's current: Re·s/p, Bl·s. The flux of each of a
// driver's coils goes through all coils of that driver, so the blocked
// impedance is s²/n times that of one coil for n drivers, however the strings
// run. Cones that move as one add their masses, stiffnesses and losses; only
// the first of a stack radiates.
func scalesOf(sideBySide, stack, coils, inSeries int) scales {
	n, p := sideBySide*stack, coils/inSeries
	return scales{
		re: scale{inSeries, p}, bl: scale{inSeries, 1}, blocked: scale{inSeries * inSeries, n},
		mass: scale{n, 1}, give: scale{1, n}, loss: scale{n, 1}, area: scale{sideBySide, 1},
		drivers: n, strings: p, s: inSeries,
	}
}

// Composite gives the single equivalent driver. The error is a
// *CompositeError: members that differ, or cones that do not move together.
func (g *Group) Composite() (Composite, error) {
	if !g.Alike() {
		return Composite{}, &CompositeError{
			"its members differ, so they neither move nor heat alike",
			"the network takes each driver as itself; for an equivalent driver, use one kind of driver",
		}
	}
	if !g.MovesTogether() {
		return Composite{}, &CompositeError{
			"its cones do not all move the same way",
			"leave polarity out, or write " + g.polarityWords(),
		}
	}
	d := g.Positions[0][0].Driver
	c := compose(d, g.SideBySide(), g.Depth(), g.InSeries)
	for _, stack := range g.Positions {
		for _, m := range stack {
			c.Xmax = min(c.Xmax, m.Driver.Data.Xmax)
			c.RatedPower = min(c.RatedPower, float64(c.Count())*m.Driver.RatedPower())
		}
	}
	return c, nil
}

// Rigid is the moving parts of a group whose cones are rigidly coupled, as one
// cone: what sums up for unlike members and cones that fight, too.
type Rigid struct {
	Mms float64 // kg
	Cms float64 // m/N
	Sd  float64 // m² that radiate
}

// RigidSum sums up the moving parts. Between rigidly coupled cones the air
// carries equal volume velocities, so a cone of area Sd behind one of Sd0 moves
// Sd0/Sd times as fast, and its mass and stiffness count with the square of
// that. Positions that are unlike count as if they moved alike.
func (g *Group) RigidSum() Rigid {
	var sum Rigid
	stiffness := 0.0
	for _, stack := range g.Positions {
		outer := stack[0].Driver.Sd
		sum.Sd += outer
		for _, m := range stack {
			r := outer / m.Driver.Sd
			sum.Mms += r * r * m.Driver.Mms
			stiffness += r * r / m.Driver.Cms
		}
	}
	sum.Cms = 1 / stiffness
	return sum
}

func compose(d *Driver, sideBySide, stack, inSeries int) Composite {
	coils := sideBySide * stack * d.Driven()
	by := scalesOf(sideBySide, stack, coils, inSeries)
	return Composite{
		SideBySide: sideBySide, Stack: stack, Coils: coils, InSeries: inSeries,
		Re: by.re.of(d.Re), Bl: by.bl.of(d.Bl), Coil: d.Coil.scaled(by.blocked.of(1)),
		Mms: by.mass.of(d.Mms), Cms: by.give.of(d.Cms), Rms: by.loss.of(d.Rms), Sd: by.area.of(d.Sd),
		ClosedCoilDamping: by.loss.of(d.ClosedCoilDamping()), Creep: d.Creep,
		RatedImpedance: by.re.of(d.ratedImpedance()),
		RatedPower:     by.mass.of(d.RatedPower()), Xmax: d.Data.Xmax,
	}
}

// RatedPower is the driver's rated power in W with the coils that are driven:
// a coil that is not driven takes no share of the heat.
func (d *Driver) RatedPower() float64 {
	return d.Data.RatedPower * float64(d.Driven()) / float64(max(d.Coils.Count, 1))
}

func (c Composite) motor() motor {
	return motor{re: c.Re, bl: c.Bl, mms: c.Mms, cms: c.Cms, rms: c.Rms + c.ClosedCoilDamping, sd: c.Sd}
}

// Fs is the resonance in free air, Hz.
func (c Composite) Fs() float64 { return c.motor().fs() }

// Qms is the mechanical Q at fs, with closed coils counted as mechanical.
func (c Composite) Qms() float64 { return c.motor().qms() }

// Qes is the electrical Q at fs.
func (c Composite) Qes() float64 { return c.motor().qes() }

// Qts is the total Q at fs.
func (c Composite) Qts() float64 { return c.motor().qts() }

// EBP is the efficiency bandwidth product fs/Qes, Hz.
func (c Composite) EBP() float64 { return c.Fs() / c.Qes() }

// Vas is the volume of air, m³, that is as compliant as the suspensions.
func (c Composite) Vas(air phys.Air) float64 { return c.motor().of(qVas, air) }

// Efficiency is the reference efficiency in a half space, as a fraction.
func (c Composite) Efficiency(air phys.Air) float64 { return c.motor().efficiency(air) }

// Sensitivity1W is the level in dB at 1 m in a half space, 1 W into the
// group's Re.
func (c Composite) Sensitivity1W(air phys.Air) float64 { return c.motor().of(qEta, air) }

// Sensitivity283V is the level in dB at 1 m in a half space, 2.83 V at the
// group's terminals.
func (c Composite) Sensitivity283V(air phys.Air) float64 { return c.motor().of(qPower, air) }

// Strength is Bl²/Re in N²/W.
func (c Composite) Strength() float64 { return c.Bl * c.Bl / c.Re }

// VolumeDisplacement is Sd·xmax in m³, one way; 0 where xmax is not known.
func (c Composite) VolumeDisplacement() float64 { return c.Sd * c.Xmax }

// Driver is the composite as a driver with one coil, so that whatever takes a
// driver can be run with it.
func (c Composite) Driver(name string) *Driver {
	return &Driver{
		Name: name, Re: c.Re, Bl: c.Bl, Coil: c.Coil,
		Mms: c.Mms, Cms: c.Cms, Rms: c.Rms + c.ClosedCoilDamping, Sd: c.Sd,
		Creep: c.Creep, Coils: Coils{Count: 1},
		Data: Data{RatedImpedance: c.RatedImpedance, RatedPower: c.RatedPower, Xmax: c.Xmax},
	}
}

// decibels is a ratio of powers in dB.
func decibels(ratio float64) float64 { return 10 * math.Log10(ratio) }
