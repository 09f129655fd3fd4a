package study

import (
	"fmt"
	"math"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// WholeRatio warns where the high of two tones is a harmonic of the low one: each
// side tone then falls on a harmonic of the low tone, and is told together with it.
func (st *Study) WholeRatio(low, high float64) []note.Finding {
	times := math.Round(high / low)
	if times < 1 || math.Abs(high-times*low) > 1e-6*low {
		return nil
	}
	brief := func(f float64) string { return phys.Brief(f, phys.Frequency, st.Units) }
	apart := math.Round(10*(high+low/4)) / 10
	return []note.Finding{{
		ID: "whole-ratio", Severity: note.Warning, Where: "tones",
		Text: fmt.Sprintf("%s is %.0f times %s, so that every side tone falls on a harmonic of the low tone and holds that too; %s is harmonic number %.0f, for one",
			brief(high), times, brief(low), brief(high-2*low), times-2),
		Mend: fmt.Sprintf("take tones apart from that, such as %s and %s", brief(low), brief(apart)),
	}}
}
