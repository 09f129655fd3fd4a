package study_test

import (
	"math"
	"testing"

	"basswright/internal/note"
	"basswright/internal/study"
)

// The greatest level under a noise is told for the listener's place, as that under
// a sine is: with a noise of one tone, nearly, by the gain there.
func TestNoiseIsToldForThePlace(t *testing.T) {
	st := example(t, "salt-road")
	st.Noise = &study.Noise{Name: "pink", From: 24, To: 26, Crest: 2}
	plain := example(t, "salt-road")
	plain.Noise, plain.Listening.At, plain.Air = st.Noise, nil, st.Air
	a, b := evaluated(t, st).Candidates[0], evaluated(t, plain).Candidates[0]
	if a.Noise == nil || b.Noise == nil {
		t.Fatal("no noise")
	}
	sineA, okA := a.Figures.GreatestNear(25)
	sineB, okB := b.Figures.GreatestNear(25)
	if !okA || !okB {
		t.Fatal("no greatest level at 25 Hz")
	}
	gain, want := a.Noise.Level-b.Noise.Level, sineA.Level-sineB.Level
	if !(want > 5) || math.Abs(gain-want) > 0.3 { // over the 2 Hz of the band the gain moves by less
		t.Errorf("the place adds %.3f dB to a noise and %.3f dB to a sine", gain, want)
	}
}

// A filter that takes away everywhere is a volume control and no protection: what
// the amplifier's full power does stays.
func TestAPadProtectsNothing(t *testing.T) {
	bare := evaluated(t, freeMoving(t, tunedBoxes[0].box, rated(400), "")).Candidates[0]
	pad := evaluated(t, freeMoving(t, tunedBoxes[0].box, rated(400), "filters: {pad: {kind: low_shelf, at: 20000 Hz, q: 0.7, gain: -40 dB}}")).Candidates[0]
	a, b := checkNamed(bare, study.CheckExcursionFull), checkNamed(pad, study.CheckExcursionFull)
	if a == nil || b == nil || math.Abs(float64(b.Fill/a.Fill)-1) > 1e-3 { // the shelf is flat to that there
		t.Errorf("bare %+v, behind a pad %+v", a, b)
	}
}

// The loudest tone is looked for up to 120 Hz, on the drive and at the loudest: as
// what the amplifier gives in full is.
func TestHearingLooksAsFarAtTheLoudest(t *testing.T) {
	text := func(full bool) string {
		st := example(t, "camper-bench")
		if full {
			st.Drive = study.Drive{Kind: study.DriveAmplifierFull}
		}
		for _, f := range evaluated(t, st).Cautions {
			if f.ID == "hearing-dose" && f.Severity == note.Caution {
				return f.Text
			}
		}
		return ""
	}
	drive, full := text(false), text(true)
	level := func(s string) string {
		for i := range s {
			if s[i] >= '0' && s[i] <= '9' {
				return s[i:min(len(s), i+3)]
			}
		}
		return ""
	}
	if level(drive) == "" || level(drive) < "111" || level(full) < level(drive) {
		t.Errorf("at the drive with an amplifier: %q; at its full power: %q", drive, full)
	}
}
