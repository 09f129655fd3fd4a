package place

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// The frequencies, Hz, of the poles of the weightings of IEC 61672-1:2013, annex
// E, as are the formulas below (from memory; a test works the poles out from the
// corners that the annex begins with).
const (
	pole1 = 20.598997
	pole2 = 107.65265
	pole3 = 737.86223
	pole4 = 12194.217
)

// AWeight is the A-weighting, dB, at f in Hz (IEC 61672-1:2013, annex E; 0 dB at
// 1 kHz). A tone of a level in dB has that level and AWeight in dBA.
func AWeight(f float64) float64 { return 20 * math.Log10(aCurve(within(f))/aCurve(1000)) }

// CWeight is the C-weighting, dB, at f in Hz (IEC 61672-1:2013, annex E).
func CWeight(f float64) float64 { return 20 * math.Log10(cCurve(within(f))/cCurve(1000)) }

func cCurve(f float64) float64 {
	g := f * f
	return g / ((g + pole1*pole1) * (g + pole4*pole4))
}

func aCurve(f float64) float64 {
	g := f * f
	return cCurve(f) * g / math.Sqrt((g+pole2*pole2)*(g+pole3*pole3))
}

// The limits of exposure.
const (
	hour, day, week = 3600.0, 24 * hour, 7 * day // s

	DailyLevel    = 85.0 // dBA for 8 h a day, 3 dB exchange (NIOSH 98-126, 1998)
	DailySpan     = 8 * hour
	DailyExchange = 3.0

	WeeklyAdult = 80.0 // dBA for 40 h a week, equal energy (WHO-ITU, Rec. ITU-T H.870, mode 1)
	WeeklyChild = 75.0 // mode 2: children and the sensitive
	WeeklySpan  = 40 * hour

	PeakLimit = 140.0 // dB(C), peak: 2003/10/EC, limit value; NIOSH 98-126 has 140 dB. Both from memory
)

// DailyTime is the time, s, for which NIOSH recommends at most to be in a level,
// dBA, in 24 hours: 8 h / 2^((L − 85)/3) (NIOSH 98-126, 1998); 24 h where it is
// more than a day. It is meant for work.
func DailyTime(level float64) float64 {
	return min(day, DailySpan*math.Exp2((DailyLevel-heard(level))/DailyExchange))
}

// An Ear says whom a weekly limit is for.
type Ear uint8

// Whom WHO-ITU H.870 tells apart.
const (
	Adult Ear = iota + 1
	Child     // and who is sensitive
)

// WeeklyTime is the time, s, which the allowance of WHO-ITU (Rec. ITU-T H.870)
// gives a level, dBA, in 7 days: 40 h of 80 dBA for an adult and of 75 dBA for a
// child, with equal energy; 168 h where it is more than a week. It was written
// for devices worn at the ear, and counts what is heard all the week.
func WeeklyTime(level float64, ear Ear) float64 {
	var base float64
	switch ear {
	case Adult:
		base = WeeklyAdult
	case Child:
		base = WeeklyChild
	default:
		panic("place: whose ear?")
	}
	return min(week, WeeklySpan*math.Pow(10, (base-heard(level))/10))
}

// heard is a level, dB, that is a number.
func heard(level float64) float64 {
	if math.IsNaN(level) || math.IsInf(level, 0) {
		panic("place: the level is not a number")
	}
	return level
}

// Hearing is what to tell about a tone of a level in dB re 20 µPa, rms, at f in
// Hz at the listener: Dose and Peak of it. Deep bass is loud in dB long before it
// is in dBA: a quiet answer is no promise, and music above the bass is not in it.
func Hearing(level, f float64, where string) []note.Finding {
	tone := fmt.Sprintf("%s\u2009dB at %s", phys.Fixed(heard(level), 0), hertz(within(f)))
	dose := Dose(tone, level+AWeight(f), where)
	if off := -AWeight(f); off >= deep {
		for i := range dose {
			dose[i].Text += fmt.Sprintf("; dBA takes %s\u2009dB off a tone of %s, so that these times promise nothing for bass this deep", phys.Fixed(off, 0), hertz(within(f)))
		}
	}
	return append(dose, Peak(tone, level+CWeight(f)+20*math.Log10(math.Sqrt2), where)...)
}

// deep is how much the A-weighting takes off a tone, dB, from which on a time by dBA
// needs a word: that of 50 Hz (a rule of our own; the limits are for work in noise,
// and what such bass does to ears and body they do not count).
const deep = 30.0

// Dose is the caution about the dose of a sound of a level in dBA, from 80 dBA up;
// what says what it is: "109 dB at 119 Hz". The dBA are rounded up, and the times
// down.
func Dose(what string, dba float64, where string) []note.Finding {
	if !(dba >= WeeklyAdult) {
		return nil
	}
	dba = math.Ceil(dba)
	return []note.Finding{{
		ID: "hearing-dose", Severity: note.Caution, Where: where,
		Text: fmt.Sprintf("%s is %s\u2009dBA, for which the limits are %s a day (NIOSH 1998: 85\u2009dBA for 8\u2009h) and, in a week, %s for adults and %s for children (WHO-ITU H.870, written for devices worn at the ear); music above the bass adds to it, and what is measured on the spot may differ",
			what, phys.Fixed(dba, 0), span(DailyTime(dba)), span(WeeklyTime(dba, Adult)), span(WeeklyTime(dba, Child))),
		Mend: "play quieter or shorter, measure where people are, and keep to the rules of your place",
	}}
}

// Peak is the caution about a peak of a level in dB(C), from 140 dB(C) up.
func Peak(what string, dbc float64, where string) []note.Finding {
	if !(dbc >= PeakLimit) {
		return nil
	}
	return []note.Finding{{
		ID: "hearing-peak", Severity: note.Caution, Where: where,
		Text: fmt.Sprintf("%s peaks at %s\u2009dB(C), where 140\u2009dB(C) is the most that rules for work allow even for a moment; what is measured on the spot may differ", what, phys.Fixed(dbc, 0)),
		Mend: "let nobody be in it, and keep to the rules of your place",
	}}
}

// AWeighted is the level, dBA, of a sound pressure in Pa, sampled at rate in Hz:
// of its mean power over the whole of it (IEC 61672-1:2013, the equivalent level).
// −Inf where it is silent or empty.
func AWeighted(pressure []float64, rate float64) float64 {
	if len(pressure) == 0 {
		return math.Inf(-1)
	}
	n := 2
	for n < len(pressure) {
		n *= 2 // zeros behind it add nothing, and a power of two is quick
	}
	lines := fourier.NewFFT(n).Coefficients(nil, append(append(make([]float64, 0, n), pressure...), make([]float64, n-len(pressure))...))
	sum := 0.0
	for k := 1; k < len(lines); k++ {
		w := aCurve(rate*float64(k)/float64(n)) / aCurve(1000)
		twice := 2.0 // each line but the last stands for its mirror too
		if k == n/2 {
			twice = 1
		}
		a := cmplx.Abs(lines[k])
		sum += twice * a * a * w * w
	}
	const reference = 20e-6 // Pa
	return 10 * math.Log10(sum/(float64(n)*float64(len(pressure))*reference*reference))
}

// span writes a time, s, that is allowed: rounded down, never up.
func span(t float64) string {
	switch {
	case t >= 10*hour:
		return fmt.Sprintf("%.0f\u2009h", math.Floor(t/hour))
	case t >= hour:
		return phys.Brief(math.Floor(10*t/hour)/10, phys.Number, phys.Metric) + "\u2009h"
	case t >= 60:
		return fmt.Sprintf("%.0f\u2009min", math.Floor(t/60))
	case t >= 1:
		return fmt.Sprintf("%.0f\u2009s", math.Floor(t))
	}
	return "less than a second"
}
