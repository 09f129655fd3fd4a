package study

import (
	"fmt"

	"basswright/internal/duct"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// gas is the air of the place as fill and ducts see it.
func (l *boxAccount) gas() duct.Gas { return duct.GasOf(l.o.System.Setting.Air) }

// fills tells what fill makes of the air of chambers.
func (l *boxAccount) fills() {
	sys := l.o.System
	for _, f := range sys.Facts.Fills {
		c := sys.Spec.FillChamber(&f)
		name := "Apparent volume"
		if len(sys.Facts.Fills) > 1 || f.Chamber != "box" {
			name += " of " + f.Chamber
		}
		most := 1 + c.Fill.Share*(phys.Gamma-1)
		energy := "it takes energy too: the spring’s Q is " + phys.Digits(f.Q, 3)
		if f.Q < 0 {
			energy = "by its model it gives energy there, which no fill does: the model is asked below its range, and this is no prediction"
		}
		l.add(note.Step{Name: name, Kind: phys.Volume, Value: phys.Maybe(c.Volume * f.Gain),
			Why: fmt.Sprintf("at %s the fill gives and takes the heat of the air in it, which is softer by %s\u2009%% and would be by %s\u2009%% at the most, isothermal; %s",
				l.show(f.At, phys.Frequency), phys.Digits(100*(f.Gain-1), 3), phys.Digits(100*(most-1), 3), energy),
			Formula: "V · Re(γP0/K), from 1 to γ", Numbers: fmt.Sprintf("%s · %s, with a resistivity of %s in %s of it", l.show(c.Volume, phys.Volume), phys.Digits(f.Gain, 4), l.show(c.Fill.Resistivity, phys.FlowResistivity), phys.Show(c.Fill.Share, phys.Ratio, l.st.Units)),
			Source: c.Fill.Model.String()})
	}
}

// apparent is the rear chamber’s volume as its fill makes it appear.
func (l *boxAccount) apparent(v float64) float64 {
	for _, f := range l.o.System.Facts.Fills {
		if f.Chamber == "box" || f.Chamber == "rear" {
			return v * f.Gain
		}
	}
	return v
}
