package study

import "basswright/internal/large"

// DriveAt is the study's drive at the source of candidate i's model at one
// frequency, V rms. The error is a *CandidateError.
func (st *Study) DriveAt(i int, m *large.Model, f float64) (float64, error) {
	v, err := st.driveAt(m.Sys, f)
	if err != nil {
		return 0, &CandidateError{&st.Candidates[i], err}
	}
	return v, nil
}
