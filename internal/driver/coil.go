package driver

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// The coils of one driver sit on one former in one gap: they are taken as
// fully coupled, so that the flux of each goes through all. In series the
// blocked impedance (all but Re) is then that of one coil times the square of
// their number; in parallel it is that of one.

// quoting is what the sheet's electrical figures are, as multiples of those of
// one coil.
type quoting struct{ re, bl, blocked float64 }

// quoting gives the factors for what the sheet's re, le, bl and qes refer to.
// QuotedEach is one coil driven with the others open. The Q of the motor needs
// no factor: it follows from re and bl.
func (c Coils) quoting() quoting {
	n := float64(max(c.Count, 1))
	switch c.Quoted {
	case QuotedSeries:
		return quoting{n, n, n * n}
	case QuotedParallel:
		return quoting{1 / n, 1, 1}
	}
	return quoting{1, 1, 1}
}

func (c Coils) check(name string) error {
	fail := func(reason, mend string) error {
		return &SheetError{Driver: name, About: []Symbol{"coils"}, Reason: reason, Mend: mend}
	}
	switch {
	case c.Count < 1 || c.Count > 8:
		return fail(fmt.Sprintf("it has %d voice coils", c.Count), "write how many coils sit on its former, 1 to 8")
	case c.Driven < 0 || c.Driven > c.Count:
		return fail(fmt.Sprintf("%d of its %d coils are driven", c.Driven, c.Count), fmt.Sprintf("write 1 to %d, or leave driven out to drive them all", c.Count))
	case c.Other == OtherLoaded && !(c.Load >= 0 && c.Load <= math.MaxFloat64):
		return fail("the undriven coils are closed with "+phys.Brief(c.Load, phys.Resistance, phys.Metric), "give a resistance of 0 ohm or more, or other: open")
	}
	return nil
}

// driven is the number of coils that are driven.
func (c Coils) driven() int {
	if c.Driven > 0 {
		return c.Driven
	}
	return max(c.Count, 1)
}

// scaled gives the blocked impedance times f: inductances and resistances
// alike, so that it keeps its shape.
func (v VoiceCoil) scaled(f float64) VoiceCoil {
	v.Le *= f
	v.L2 *= f
	v.R2 *= f
	v.K *= f
	return v
}

func (v VoiceCoil) check(name string) error {
	fail := func(reason, mend string) error {
		return &SheetError{Driver: name, About: []Symbol{"voice_coil"}, Reason: reason, Mend: mend}
	}
	finite := func(x float64) bool { return x >= 0 && x <= math.MaxFloat64 }
	switch {
	case !finite(v.Le):
		return fail("its inductance le is below zero", "give 0 mH or more, or leave it out")
	case v.Model == CoilLR2 && !(finite(v.L2) && finite(v.R2) && v.L2 > 0 && v.R2 > 0):
		return fail("the model lr2 needs l2 and r2 above zero", "give both, or take the plain model with le alone")
	case v.Model == CoilPowerLaw && !(finite(v.K) && v.K > 0 && v.N > 0 && v.N <= 1):
		return fail("the model power_law needs k above zero and an exponent n above 0 and up to 1", "give both, or take the plain model with le alone")
	}
	return nil
}

// check refuses what no driver can have among the values beside the
// small-signal parameters.
func (d Data) check(name string) error {
	for _, f := range []struct {
		key Symbol
		v   float64
	}{
		{"rated_impedance", d.RatedImpedance}, {"rated_power", d.RatedPower}, {"xmax", d.Xmax}, {"xmech", d.Xmech},
		{"mounting_depth", d.MountingDepth}, {"cutout", d.Cutout}, {"flange", d.Flange}, {"flange_thickness", d.FlangeThickness},
		{"magnet_diameter", d.MagnetDiameter}, {"coil_diameter", d.CoilDiameter}, {"winding_height", d.WindingHeight},
		{"gap_height", d.GapHeight}, {"displacement", d.Displacement}, {"mass", d.Weight}, {"price", d.Price},
	} {
		if !(f.v >= 0 && f.v <= math.MaxFloat64) {
			return &SheetError{Driver: name, About: []Symbol{f.key}, Reason: string(f.key) + " is below zero", Mend: "correct it, or leave it out"}
		}
	}
	if d.Xmech > 0 && d.Xmech < d.Xmax {
		return &SheetError{
			Driver: name, About: []Symbol{"xmech"},
			Reason: fmt.Sprintf("xmech %s is less than xmax %s, but the stop lies beyond the linear range",
				phys.Brief(d.Xmech, phys.Length, phys.Metric), phys.Brief(d.Xmax, phys.Length, phys.Metric)),
			Mend: "correct one of them; a sheet that prints peak to peak is written xmax_peak_to_peak",
		}
	}
	return nil
}
