package place

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/check"

	"pgregory.net/rapid"
)

// Every row is asserted, or left out for a reason.
func TestPublishedHearing(t *testing.T) {
	asserted, left := 0, 0
	for _, r := range check.Rows(t, "testdata/electrical-wire-hearing.csv") {
		asserted++
		switch {
		case r.ID == "electrical-wire-hearing-089": // "85 dBA for 8 h, 3 dB exchange, 100 % dose"
			check.Near(t, r.ID, DailyTime(85), 8*3600, 0, "exact")
			check.Near(t, r.ID+" exchange", DailyTime(88), 4*3600, 0, "exact")
		case r.Quantity == "allowed time" && strings.HasPrefix(r.Source, "NIOSH"):
			check.Near(t, r.ID, DailyTime(r.After(t, "L="))/60, r.Values(t)[0], 0.5e-7, lastDigit)
		case r.Quantity == "WHO mode 1 weekly time":
			check.Near(t, r.ID, WeeklyTime(r.After(t, "L="), Adult)/3600, r.Values(t)[0], 0.5e-7, lastDigit)
		case r.ID == "electrical-wire-hearing-109", r.ID == "electrical-wire-hearing-111": // 80 dBA for 40 h = 1.6 Pa²h
			check.Near(t, r.ID, WeeklyTime(80, Adult)/3600*pascal(80)*pascal(80), 1.6, 1e-12, arithmetic)
		case r.ID == "electrical-wire-hearing-110", r.ID == "electrical-wire-hearing-112": // 75 dBA for 40 h = 0.51 Pa²h
			check.Near(t, r.ID, WeeklyTime(75, Child)/3600, 40, 1e-12, "exact")
			check.Near(t, r.ID, WeeklyTime(75, Child)/3600*pascal(75)*pascal(75), 0.5059644, 0.5e-7, lastDigit)
		case strings.HasPrefix(r.Quantity, "OSHA"):
			asserted-- // another rule, of one country's law: the caution defers to it and does not quote it
			left++
		default:
			t.Errorf("%s: nothing asserts %q", r.ID, r.Quantity)
		}
	}
	if asserted != 25 || left != 6 {
		t.Errorf("%d rows asserted, %d left out", asserted, left)
	}
}

func pascal(level float64) float64 { return 20e-6 * math.Pow(10, level/20) }

// The weightings as tabulated in IEC 61672-1, table 3 (from memory), at the exact
// frequencies 10^(n/10) Hz that the nominal ones stand for.
func TestWeightingTable(t *testing.T) {
	for _, r := range []struct {
		n    float64
		a, c float64
	}{
		{10, -70.4, -14.3}, {11, -63.4, -11.2}, {12, -56.7, -8.5}, {13, -50.5, -6.2}, {14, -44.7, -4.4},
		{15, -39.4, -3.0}, {16, -34.6, -2.0}, {17, -30.2, -1.3}, {18, -26.2, -0.8}, {19, -22.5, -0.5},
		{20, -19.1, -0.3}, {21, -16.1, -0.2}, {23, -10.9, 0}, {27, -3.2, 0}, {30, 0, 0}, {40, -2.5, -4.4},
	} {
		f := math.Pow(10, r.n/10)
		check.Near(t, "A", AWeight(f), r.a, 0.05, lastDigit)
		check.Near(t, "C", CWeight(f), r.c, 0.05, lastDigit)
	}
	check.Near(t, "A at 1 kHz", AWeight(1000), 0, 0, "the reference")
	check.Near(t, "C at 1 kHz", CWeight(1000), 0, 0, "the reference")
}

// The poles follow from the corners that the standard's annex begins with: C is
// 3 dB down at 10^1.5 and 10^3.9 Hz, with double poles, and A has a high-pass
// of 10^2.45 Hz more (from memory).
func TestWeightingPoles(t *testing.T) {
	const fr = 1000.0
	low, high, fa, d := math.Pow(10, 1.5), math.Pow(10, 3.9), math.Pow(10, 2.45), math.Sqrt(0.5)
	b := (fr*fr + low*low*high*high/(fr*fr) - d*(low*low+high*high)) / (1 - d)
	c := low * low * high * high
	root := math.Sqrt(b*b - 4*c)
	for _, p := range []struct{ got, want float64 }{
		{pole1, math.Sqrt((-b - root) / 2)},
		{pole2, fa * (3 - math.Sqrt(5)) / 2},
		{pole3, fa * (3 + math.Sqrt(5)) / 2},
		{pole4, math.Sqrt((-b + root) / 2)},
	} {
		check.Near(t, "pole over its value", p.got/p.want, 1, 1e-7, "eight digits")
	}
}

// Limits, monotony and equal energy.
func TestTimeProperties(t *testing.T) {
	for _, level := range []float64{-1e300, -100, 0} {
		check.Near(t, "a quiet day", DailyTime(level), 24*3600, 0, "exact")
		check.Near(t, "a quiet week", WeeklyTime(level, Child), 168*3600, 0, "exact")
	}
	rapid.Check(t, func(t *rapid.T) {
		level := rapid.Float64Range(-1e3, 1e3).Draw(t, "level")
		more := level + rapid.Float64Range(0, 50).Draw(t, "more")
		times := func(l float64) [3]float64 {
			return [3]float64{DailyTime(l), WeeklyTime(l, Adult), WeeklyTime(l, Child)}
		}
		a, b := times(level), times(more)
		for i := range a {
			if !isFinite(a[i]) || a[i] < 0 || b[i] > a[i] {
				t.Fatalf("%g dBA: %v, %g dBA: %v", level, a, more, b)
			}
		}
		if a[2] > a[1] {
			t.Fatalf("a child may stay longer than an adult: %v", a)
		}
		f := drawFrequency(t)
		if !isFinite(AWeight(f), CWeight(f)) || AWeight(f) > 1.3 || CWeight(f) > 0.1 { // A peaks at +1.27 dB, C at +0.06
			t.Fatalf("%g Hz: %g, %g", f, AWeight(f), CWeight(f))
		}
		for _, n := range Hearing(level, f, "") {
			if n.Text == "" || n.Mend == "" || strings.Contains(n.Text, "–") { // what phys shows for no number
				t.Fatalf("%+v", n)
			}
		}
	})
}

func TestHearingTold(t *testing.T) {
	var all strings.Builder
	for _, c := range []struct{ level, f float64 }{{116, 50}, {120, 30}, {135, 20}, {140, 40}, {150, 40}, {160, 200}, {90, 1000}} {
		all.WriteString(told(Hearing(c.level, c.f, "candidates.tuned")))
	}
	check.Golden(t, "testdata/hearing.txt", all.String())
}

// Each caution begins where it says: at 80 dBA, and at a peak of 140 dB(C).
func TestHearingBegins(t *testing.T) {
	const f = 40
	dose, peak := 80-AWeight(f), 140-CWeight(f)-20*math.Log10(math.Sqrt2)
	for _, c := range []struct {
		level float64
		want  string
	}{
		{dose - 0.01, ""}, {dose + 0.01, "hearing-dose"}, {peak - 0.01, "hearing-dose"}, {peak + 0.01, "hearing-dose hearing-peak"},
	} {
		var ids []string
		for _, n := range Hearing(c.level, f, "") {
			ids = append(ids, n.ID)
		}
		if got := strings.Join(ids, " "); got != c.want {
			t.Errorf("%g dB: %q, want %q", c.level, got, c.want)
		}
	}
	// deep bass meets the peak first: the weightings part by 60 dB at 10 Hz
	if got := Hearing(152, 10, ""); len(got) != 2 || got[1].ID != "hearing-peak" {
		t.Errorf("152 dB at 10 Hz: %+v", got)
	}
	check.Panics(t, "level is not a number", func() { Hearing(math.NaN(), 40, "") })
	check.Panics(t, "level is not a number", func() { DailyTime(math.Inf(-1)) })
	check.Panics(t, "whose ear", func() { WeeklyTime(80, 0) })
}

// A span is never more than what is allowed.
func TestSpan(t *testing.T) {
	for want, s := range map[string]float64{
		"168\u2009h": 168 * hour, "10\u2009h": 10.99 * hour, "9.9\u2009h": 9.99 * hour, "1\u2009h": 1.05 * hour,
		"59\u2009min": 59.9 * 60, "1\u2009min": 119, "59\u2009s": 59.9, "1\u2009s": 1, "less than a second": 0.99,
	} {
		if got := span(s); got != want {
			t.Errorf("%g s is %q, want %q", s, got, want)
		}
	}
}

// The level of a sound is that of its tones, each by the weighting at it: of one
// and of two, at any rate, with silence behind it counted as what it is.
func TestAWeightedOfTones(t *testing.T) {
	const rms = 2.0 // Pa
	tone := func(f, rate float64, n int) []float64 {
		out := make([]float64, n)
		for k := range out {
			out[k] = rms * math.Sqrt2 * math.Sin(2*math.Pi*f*float64(k)/rate)
		}
		return out
	}
	for _, rate := range []float64{8000, 48000} {
		whole := func(f float64) float64 { return math.Round(f*(1<<16)/rate) * rate / (1 << 16) } // periods
		low, high := whole(125), whole(1000)
		for _, f := range []float64{whole(31.25), low, high} {
			got := AWeighted(tone(f, rate, 1<<16), rate)
			check.Near(t, "a tone", got, 20*math.Log10(rms/20e-6)+AWeight(f), 1e-9, "whole periods in the transform: rounding")
		}
		both := tone(low, rate, 1<<16)
		for k, v := range tone(high, rate, 1<<16) {
			both[k] += v
		}
		sum := math.Pow(10, AWeight(low)/10) + math.Pow(10, AWeight(high)/10)
		check.Near(t, "two tones", AWeighted(both, rate), 20*math.Log10(rms/20e-6)+10*math.Log10(sum), 1e-9, "rounding")
		half := append(tone(1000, rate, 1<<15), make([]float64, 1<<15)...)
		check.Near(t, "half of it silent", AWeighted(half, rate), 20*math.Log10(rms/20e-6)+10*math.Log10(0.5), 0.01, "the ends of the tone spread")
	}
	if l := AWeighted(nil, 48000); !math.IsInf(l, -1) {
		t.Errorf("of nothing %g", l)
	}
}
