package study

import "math"

// Louder is the drive of the study turned up, or down, until the first limit of a
// candidate is reached.
type Louder struct {
	Drive Drive
	Gain  float64 // dB from the study's drive to it; NaN where that is all that the amplifier gives
}

// Louder is how far the drive can be turned until something of a candidate gives:
// in watts where the drive is told in watts, else in volts. There is none where no
// limit is known, or where the load is too low at any level.
func (st *Study) Louder(o *Outcome) (Louder, bool) {
	f := o.Figures.First
	if f == nil || !(f.Volts > 0) {
		return Louder{}, false
	}
	switch st.Drive.Kind {
	case DrivePower:
		return Louder{Drive{DrivePower, f.Watts}, 10 * math.Log10(f.Watts/st.Drive.Value)}, true
	case DrivePowerPerDriver:
		w := f.Watts / float64(o.System.Group.Count())
		return Louder{Drive{DrivePowerPerDriver, w}, 10 * math.Log10(w/st.Drive.Value)}, true
	case DriveAmplifierFull:
		return Louder{Drive{DriveVoltage, f.Volts}, math.NaN()}, true
	}
	return Louder{Drive{DriveVoltage, f.Volts}, 20 * math.Log10(f.Volts/st.Drive.Value)}, true
}

// LoudestOfAll is the candidate that gives before all others as the drive is turned
// up, −1 where none is known to give.
func (r *Result) LoudestOfAll() int {
	best, least := -1, math.Inf(1)
	for i, o := range r.Candidates {
		if l, ok := r.Study.Louder(o); ok && l.Drive.Value < least {
			best, least = i, l.Drive.Value
		}
	}
	return best
}

// PerDecibel is by how much a drive grows for one decibel; 1 where it has no number.
func (d Drive) PerDecibel() float64 {
	switch d.Kind {
	case DrivePower, DrivePowerPerDriver:
		return math.Pow(10, 0.1)
	case DriveAmplifierFull:
		return 1
	}
	return math.Pow(10, 0.05)
}
