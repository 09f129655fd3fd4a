package study_test

import (
	"context"
	"math"
	"testing"

	"basswright/internal/study"
)

// Over a second of a settled quiet tone, the time beyond the chamber’s pressure and
// the amplifier’s amperes is that of a sine of the amplitude that the curves tell,
// to the steps of the crossings.
func TestTimeBeyondPressureAndAmperes(t *testing.T) {
	const f, volts, share, slack = 40.0, 0.2, 0.6, 3e-3
	st := example(t, "camper-bench")
	for _, name := range []string{"one", "tuned", "four"} {
		i, err := st.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		sys, _, err := st.Build(i)
		if err != nil {
			t.Fatal(err)
		}
		own := *st
		own.Drive = study.Drive{Kind: study.DriveVoltage, Value: volts}
		c, err := own.CurvesAt(context.Background(), sys, []float64{f}, 1)
		if err != nil {
			t.Fatal(err)
		}
		own.Brief.Limits.Pressure = share * math.Sqrt2 * c.Pressure[0].Y[0]
		if got := settled(t, &own, i, f, volts, func(p *study.Programme) float64 { return p.Chambers[0].Over }); math.Abs(got-beyond(share, 1)) > slack {
			t.Errorf("%s: %.4f s beyond the pressure, want %.4f", name, got, beyond(share, 1))
		}
		amps := volts / math.Hypot(c.Impedance[0]*math.Cos(c.ImpedancePhase[0]*math.Pi/180)+own.SourceResistance(), c.Impedance[0]*math.Sin(c.ImpedancePhase[0]*math.Pi/180))
		// so few amperes that they are passed, and volts enough: 1 V
		own.Amplifier = &study.Amplifier{Channels: st.Amplifier.Channels, Rated: []study.Rating{{Load: 1 / (share * amps), Power: share * amps}}}
		if got := settled(t, &own, i, f, volts, func(p *study.Programme) float64 { return p.Lacking }); math.Abs(got-beyond(share, 1)) > slack {
			t.Errorf("%s: %.4f s beyond the amperes, want %.4f", name, got, beyond(share, 1))
		}
	}
}
