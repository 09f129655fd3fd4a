package filter

import (
	"fmt"
	"math"
	"math/cmplx"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
)

// Twelve digits are given, so half of the last is at most 5e-12 of a value.
const (
	twelve    = 5e-12
	ofTwelve  = "half of the last of twelve digits"
	stated    = "the tolerance that the table states"
	ofNothing = 2e-13 // dB, where a level is next to 0: some 1e-14 of rounding in |H|
)

// TestTable holds every row of the table of published and evaluated values.
func TestTable(t *testing.T) {
	tested := map[string]int{}
	for _, r := range check.Rows(t, "testdata/filters.csv") {
		kind := ""
		switch q := r.Quantity; {
		case strings.Contains(q, "sum of low and high"):
			kind = "sum"
			tableSum(t, r)
		case strings.HasPrefix(q, "cookbook biquad"):
			kind = "cookbook"
			tableCookbook(t, r)
		case strings.HasPrefix(q, "shelf:"), strings.HasPrefix(q, "band-pass/peak bandwidth"):
			kind = "Q"
			tableQ(t, r)
		case strings.HasPrefix(q, "pole-zero"), strings.HasPrefix(q, "closed box"):
			kind = "pole-zero"
			tablePoleZero(t, r)
		default:
			kind = "pass"
			tablePass(t, r)
		}
		tested[kind]++
	}
	if want := "map[Q:2 cookbook:35 pass:71 pole-zero:20 sum:4]"; fmt.Sprint(tested) != want {
		t.Errorf("tested %v, want %s", tested, want)
	}
}

// pairs reads a list of a,b; "real" is Q 0.
func pairs(t *testing.T, r check.Row) [][2]float64 {
	t.Helper()
	var out [][2]float64
	for _, text := range strings.Split(r.Value, ";") {
		v, err := check.Floats(strings.Replace(text, "real", "0", 1), ",")
		if err != nil || len(v) != 2 {
			t.Fatalf("%s: %v, %v", r.ID, v, err)
		}
		out = append(out, [2]float64{v[0], v[1]})
	}
	return out
}

// after is the number behind a mark, NaN if the mark is not there.
func after(text, mark string) float64 {
	_, text, ok := strings.Cut(text, mark)
	if !ok {
		return math.NaN()
	}
	end := strings.IndexFunc(text, func(c rune) bool { return !strings.ContainsRune("0123456789.-", c) })
	if end >= 0 {
		text = text[:end]
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

func near(t *testing.T, r check.Row, what string, got, want, tolerance float64, why string) {
	t.Helper()
	check.Near(t, r.ID+", "+r.Quantity+", "+r.Conditions+": "+what, got, want, tolerance, why)
}

func tablePass(t *testing.T, r check.Row) {
	t.Helper()
	q := r.Quantity
	order := int(after(q, "order "))
	family := Butterworth
	switch {
	case strings.HasPrefix(q, "Linkwitz-Riley"):
		family = LinkwitzRiley
	case strings.Contains(q, "normalised to -3 dB"):
		family = Bessel
	case strings.Contains(q, "Bessel"):
		family = BesselDelay
	case !strings.HasPrefix(q, "Butterworth"):
		t.Fatalf("%s: no test for %s", r.ID, q)
	}
	c := must(t)(LowPass(family, order, 100))
	level := func(times float64) float64 { return db(c.At(hz(100 * times))) }
	switch {
	case strings.Contains(q, "poles"):
		var want []complex128
		for _, p := range pairs(t, r) {
			want = append(want, complex(p[0], p[1]))
		}
		near(t, r, "distance of a pole", farthest(poles(c), want), 0, twelve, ofTwelve)
		if n := (order + 1) / 2; len(want) != n {
			t.Errorf("%s: %d poles", r.ID, len(want))
		}
	case strings.Contains(q, "section Q"):
		var got []float64
		for _, s := range c.Sections {
			if _, q := s.Pole(); q != 0 {
				got = append(got, q)
			}
		}
		if order == 1 {
			if len(got) != 0 {
				t.Errorf("%s: %v", r.ID, got)
			}
			return
		}
		for i, want := range r.Values(t) {
			near(t, r, "Q", got[i], want, twelve*want, ofTwelve)
		}
	case strings.Contains(q, "f0,Q per section"):
		for i, want := range pairs(t, r) {
			f, q := c.Sections[i].Pole()
			near(t, r, "f0", f/100, want[0], twelve*want[0], ofTwelve)
			near(t, r, "Q", q, want[1], twelve*want[1], ofTwelve)
		}
	case strings.Contains(q, "polynomial"):
		want, got := r.Values(t), polynomial(c)
		for i, w := range want {
			if strings.Contains(q, "descending") { // the same from both ends
				near(t, r, "coefficient from the other end", got[i], w, twelve*w, ofTwelve)
				i = order - i
			}
			near(t, r, "coefficient", got[i], w, twelve*w, ofTwelve)
		}
	case strings.Contains(q, "-3.0103 dB frequency"):
		f := wherever(level, -10*math.Log10(2), 0.1, 10)
		near(t, r, "where it is", f, r.Values(t)[0], twelve*f, ofTwelve)
	case strings.Contains(q, "level at f0"):
		for i, times := range []float64{1, 2, 0.5} {
			want := r.Values(t)[i]
			near(t, r, "level", level(times), want, -twelve*want+ofNothing, ofTwelve)
		}
	case strings.Contains(q, "attenuation"):
		for i, times := range []float64{0.5, 0.9, 1.1, 2, 4, 10} {
			want := r.Values(t)[i]
			near(t, r, "attenuation", -level(times), want, twelve*want+ofNothing, ofTwelve)
			high := must(t)(HighPass(family, order, 100))
			near(t, r, "attenuation of the high-pass", -db(high.At(hz(100/times))), want, twelve*want+ofNothing, ofTwelve)
		}
	default:
		t.Errorf("%s: no test for %s", r.ID, q)
	}
}

// tableSum holds that the sum is an all-pass of the order that the row says.
func tableSum(t *testing.T, r check.Row) {
	t.Helper()
	order := int(after(r.Quantity, "order "))
	if got, want := reversed(order), strings.Contains(r.Value, "high inverted"); got != want {
		t.Errorf("%s: reversed %v", r.ID, got)
	}
	low, high := must(t)(LowPass(LinkwitzRiley, order, 80)), must(t)(HighPass(LinkwitzRiley, order, 80))
	high.Reversed = reversed(order)
	turned, last := 0.0, 0.0
	for f := 0.001; f < 1e7; f *= 1.01 {
		sum := low.At(hz(f)) + high.At(hz(f))
		near(t, r, "level of the sum", db(sum), 0, 1e-13, "rounding")
		if f > 0.001 {
			step := math.Mod(cmplx.Phase(sum)-last+3*math.Pi, 2*math.Pi) - math.Pi
			turned += step
		}
		last = cmplx.Phase(sum)
	}
	near(t, r, "half turns of the sum", -turned/math.Pi, after(r.Value, "all-pass of order "), 1e-3, "the range of frequencies ends five decades from the crossover")
}

func tableCookbook(t *testing.T, r check.Row) {
	t.Helper()
	kind, _, _ := strings.Cut(r.Conditions, ",")
	rate, f0 := after(r.Conditions, "fs="), after(r.Conditions, "f0=")
	q, gain := after(r.Conditions, "Q="), after(r.Conditions, "G=")
	if s := after(r.Conditions, "S="); !math.IsNaN(s) {
		var err error
		if q, err = ShelfQ(gain, s); err != nil {
			t.Fatal(err)
		}
	}
	if octaves := after(r.Conditions, "BW="); !math.IsNaN(octaves) {
		// The table's octaves are those of the digital filter, whose axis is
		// compressed there by w0/sin(w0).
		w0 := hz(f0) / rate
		var err error
		if q, err = BandwidthQ(octaves * w0 / math.Sin(w0)); err != nil {
			t.Fatal(err)
		}
	}
	c := must(t)(map[string]func() (Chain, error){
		"LPF":       func() (Chain, error) { return LowPassQ(f0, q) },
		"HPF":       func() (Chain, error) { return HighPassQ(f0, q) },
		"APF":       func() (Chain, error) { return AllPassQ(f0, q) },
		"peak":      func() (Chain, error) { return Peak(f0, q, gain) },
		"lowshelf":  func() (Chain, error) { return LowShelf(f0, q, gain) },
		"highshelf": func() (Chain, error) { return HighShelf(f0, q, gain) },
	}[kind]())
	d := digital(t, c, rate)
	switch {
	case strings.Contains(r.Quantity, "level"):
		for i, f := range []float64{f0 / 2, f0, 2 * f0} {
			near(t, r, "level", db(d.At(hz(f))), r.Values(t)[i], 1e-9, stated)
		}
	case strings.Contains(r.Quantity, "phase"):
		want := after("x"+r.Value, "x")
		got := cmplx.Phase(d.At(hz(f0))) * 180 / math.Pi
		near(t, r, "phase", math.Abs(math.Remainder(got-want, 360)), 0, 1e-9, stated)
	default:
		tableBiquad(t, r, d)
	}
}

func tableBiquad(t *testing.T, r check.Row, d Digital) {
	t.Helper()
	if len(d.Biquads) != 1 {
		t.Fatalf("%s: %d biquads", r.ID, len(d.Biquads))
	}
	b := d.Biquads[0]
	want := r.Values(t)
	for i, got := range []float64{b.B0, b.B1, b.B2, b.A1, b.A2} {
		near(t, r, "coefficient", got, want[i], 1e-14, stated)
	}
	// Where coefficients nearly cancel, what is left of them has to be right too.
	got, left := closing(1, b.A1, b.A2), closing(1, want[3], want[4])
	near(t, r, "1 + a1 + a2", got, left, 8e-16, "a1 has 15 decimals in the table, half of the last is 5e-16; the rest is rounding of a1, a2 and what is read")
}

func tableQ(t *testing.T, r check.Row) {
	t.Helper()
	if strings.HasPrefix(r.Quantity, "shelf:") { // S = 1 gives Q = 1/√2 for any gain
		for gain := -40.0; gain <= 40; gain++ {
			q, err := ShelfQ(gain, 1)
			if err != nil {
				t.Fatal(err)
			}
			near(t, r, "Q", q, math.Sqrt2/2, 1e-15, "rounding")
		}
		return
	}
	q, err := BandwidthQ(1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, r, "Q", q, after(r.Conditions, "Q="), 5e-9, "half of the last digit")
	near(t, r, "Q", q, math.Sqrt2, 1e-15, "the closed form of the row's last column")
}

func tablePoleZero(t *testing.T, r check.Row) {
	t.Helper()
	f0, q0 := after(r.Conditions, "f0="), after(r.Conditions, "Q0=")
	fp, qp := after(r.Conditions, "fp="), after(r.Conditions, "Qp=")
	c, boost, err := PoleZero(f0, q0, fp, qp)
	if err != nil {
		t.Fatal(err)
	}
	box := must(t)(HighPassQ(f0, q0))
	at := []float64{10, 20, 30, 50, 100, 200}
	switch q := r.Quantity; {
	case strings.Contains(q, "dc gain"):
		want := r.Values(t)[0]
		near(t, r, "boost at dc", boost.DC, want, twelve*want, ofTwelve)
		near(t, r, "level at dc", db(c.At(0)), want, twelve*want, ofTwelve)
	case strings.Contains(q, "biquad b0"):
		tableBiquad(t, r, digital(t, c, after(r.Conditions, "fs=")))
	case strings.Contains(q, "(analogue)"):
		for i, f := range at {
			want := r.Values(t)[i]
			near(t, r, "level", db(c.At(hz(f))), want, twelve*math.Abs(want)+ofNothing, ofTwelve)
		}
	case strings.Contains(q, "(biquad)"):
		d := digital(t, c, after(r.Conditions, "fs="))
		for i, f := range at {
			near(t, r, "level", db(d.At(hz(f))), r.Values(t)[i], 1e-9, stated)
		}
	case strings.HasPrefix(q, "closed box"):
		whole := must(t)(Join(box, c))
		for i, f := range []float64{20, 40, 80} {
			want := r.Values(t)[i]
			near(t, r, "level", db(whole.At(hz(f))), want, twelve*math.Abs(want)+ofNothing, ofTwelve)
		}
	default:
		t.Errorf("%s: no test for %s", r.ID, q)
	}
}
