package study_test

import (
	"context"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/filter"
	"basswright/internal/study"
)

// A filter before the amplifier multiplies the drive: the level goes by its gain,
// the phase by its angle, the delay by its own, the excursion by its magnitude
// and the watts by that squared; the impedance does not change.
func TestFiltersMultiplyTheDrive(t *testing.T) {
	hp, err := filter.HighPass(filter.Butterworth, 4, 24)
	if err != nil {
		t.Fatal(err)
	}
	bell, err := filter.Peak(45, 1.2, 4)
	if err != nil {
		t.Fatal(err)
	}
	chain, err := filter.Join(hp, bell)
	if err != nil {
		t.Fatal(err)
	}
	at := []float64{8, 20, 24, 45, 120, 400}
	for _, drive := range []study.Drive{{Kind: study.DriveVoltage, Value: 10}, {Kind: study.DrivePower, Value: 50}} {
		plain, with := example(t, "camper-bench"), example(t, "camper-bench")
		plain.Drive, with.Drive = drive, drive
		with.Chain = chain
		sys, _, err := plain.Build(3)
		if err != nil {
			t.Fatal(err)
		}
		a, err := plain.CurvesAt(context.Background(), sys, at, 1)
		if err != nil {
			t.Fatal(err)
		}
		b, err := with.CurvesAt(context.Background(), sys, at, 1)
		if err != nil {
			t.Fatal(err)
		}
		for k, f := range at {
			w := 2 * math.Pi * f
			h := chain.At(w)
			up, down := chain.At(w*1.001), chain.At(w*0.999)
			late := -cmplx.Phase(up/down) / (0.002 * w) // another step than the product’s: off by its square, 1e-6 of the delay’s bend
			same := func(what string, got, want, tolerance float64) {
				if math.Abs(got-want) > tolerance {
					t.Errorf("%s at %g Hz: %.9g, want %.9g", what, f, got, want)
				}
			}
			same("level", b.SPL[k], a.SPL[k]+20*math.Log10(cmplx.Abs(h)), 1e-9)
			same("phase", math.Remainder(b.Phase[k]-a.Phase[k]-cmplx.Phase(h)*180/math.Pi, 360), 0, 1e-9)
			same("delay", b.GroupDelay[k], a.GroupDelay[k]+late, 1e-5*math.Abs(late)+1e-9)
			same("excursion", b.ExcursionMax[k], a.ExcursionMax[k]*cmplx.Abs(h), 1e-12)
			same("watts", b.Power[0].Y[k], a.Power[0].Y[k]*cmplx.Abs(h)*cmplx.Abs(h), 1e-9)
			same("impedance", b.Impedance[k], a.Impedance[k], 0)
		}
	}
	// At all that the amplifier gives, a lift gives no more than that.
	full := example(t, "camper-bench")
	full.Drive = study.Drive{Kind: study.DriveAmplifierFull}
	full.Chain = bell
	sys, _, err := full.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	c, err := full.CurvesAt(context.Background(), sys, []float64{45}, 1)
	if err != nil {
		t.Fatal(err)
	}
	if most := full.Amplifier.MaxVoltage(); c.Voltage[0] > most*(1+1e-12) {
		t.Errorf("lifted at full it gives %g V of %g", c.Voltage[0], most)
	}
}
