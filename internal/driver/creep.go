package driver

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// creepLoss is π/(2 ln 10): the imaginary part of log10(j).
const creepLoss = math.Pi / (2 * math.Ln10)

// leastCompliance keeps the magnitude law of creep away from zero.
const leastCompliance = 0.1

// Compliance is the suspension's compliance C(ω) in m/N at w rad/s > 0. With
// creep it is Cms·(1 − λ·log10(jf/fs)), the causal form of Knudsen & Jensen
// 1993; with Creep.Real the magnitude law Cms·(1 − λ·log10(f/fs)) alone, kept
// above a tenth of Cms.
func (d *Driver) Compliance(w float64) complex128 {
	l := d.Creep.Lambda
	if l == 0 {
		return complex(d.Cms, 0)
	}
	re := 1 - l*math.Log10(w*math.Sqrt(d.Mms*d.Cms))
	if d.Creep.Real {
		return complex(d.Cms*max(re, leastCompliance), 0)
	}
	return complex(d.Cms*re, -d.Cms*l*creepLoss)
}

// CreepRms is the mechanical resistance in kg/s that goes with Compliance.
// The complex law takes energy: at fs its 1/(jωC) has the real part
// κ/(1 + κ²)/(2π fs Cms), κ = λπ/(2 ln 10). Rms is lowered by that much, so
// that Qms at fs stays the sheet's. The error, a *SheetError, is a creep that
// takes more than the sheet's Qms allows.
func (d *Driver) CreepRms() (float64, error) {
	if d.Creep.Lambda == 0 || d.Creep.Real {
		return d.Rms, nil
	}
	k := d.Creep.Lambda * creepLoss
	characteristic := math.Sqrt(d.Mms / d.Cms) // 2π fs Mms = 1/(2π fs Cms)
	r := d.Rms - k/(1+k*k)*characteristic
	if r > 0 {
		return r, nil
	}
	qms := characteristic / d.Rms
	// κ/(1 + κ²) = 1/Qms at the limit; there is none for Qms ≤ 2.
	most := (qms - math.Sqrt(max(qms*qms-4, 0))) / 2 / creepLoss
	return 0, &SheetError{
		Driver: d.Name, About: []Symbol{"creep", Qms},
		Reason: fmt.Sprintf("creep %s alone would damp the suspension more than the sheet’s Qms of %s allows",
			plain(d.Creep.Lambda), phys.Digits(qms, 3)),
		Mend: fmt.Sprintf("take a creep below %s, or form: real, which leaves Rms alone", plain(math.Floor(most*1000)/1000)),
	}
}
