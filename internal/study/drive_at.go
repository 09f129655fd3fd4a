package study

import (
	"math"
	"math/cmplx"

	"basswright/internal/large"
)

// LeftOf is what the line-level filters leave at the source of a drive of so many
// volts, at one frequency: wherever a voltage is asked for, it is a drive as
// drive: {voltage: …} of a study, which stands before the filters.
func (st *Study) LeftOf(volts, f float64) float64 {
	return volts * cmplx.Abs(st.Chain.At(2*math.Pi*f))
}

// DriveAt is the study's drive at the source of candidate i's model at one
// frequency, V rms. The error is a *CandidateError.
func (st *Study) DriveAt(i int, m *large.Model, f float64) (float64, error) {
	v, err := st.driveAt(m.Sys, f)
	if err != nil {
		return 0, &CandidateError{&st.Candidates[i], err}
	}
	return v, nil
}
