package study_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// mirrorOf is the hayloft's mirrored candidate with a driver whose curves are
// polynomials, and the study.
func mirrorOf(t *testing.T) (*study.Study, int, *driver.Driver) {
	t.Helper()
	st := example(t, "hayloft")
	i, err := st.Find("mirrored")
	if err != nil {
		t.Fatal(err)
	}
	d := st.Candidates[i].Group.Positions[0][0].Driver
	d.Curves = &driver.Curves{Bl: powers(t, 10.2, 122, -22440), Kms: powers(t, 1282, -12820, 2.3e6), Le: powers(t, 0.9e-3, -0.027, -0.27)}
	return st, i, d
}

func powers(t *testing.T, c ...float64) *curve.Curve {
	t.Helper()
	out, err := curve.Polynomial(c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// What unlike samples leave is what a rigid mirrored stack in linear air leaves
// whose inner driver is written out by hand: less Bl, a stiffer suspension, and
// polynomials multiplied out at x + 0.3 mm.
func TestMismatchIsTheOtherDriver(t *testing.T) {
	st, i, d := mirrorOf(t)
	const bl, kms, o = 0.03, 0.08, 0.3e-3
	st.Model.Mismatch = &study.Mismatch{Bl: bl, Kms: kms, Offset: o}
	at, volts := []float64{25, 40, 63}, []float64{4, 12}
	m, err := st.Mirror(context.Background(), i, at, volts)
	if err != nil {
		t.Fatal(err)
	}
	twin := *d
	restBl, restLe := 10.2+122*o-22440*o*o, 0.9e-3-0.027*o-0.27*o*o
	twin.Bl *= (1 - bl) * restBl / 10.2
	twin.Coil.Le *= restLe / 0.9e-3
	twin.Cms /= 1 + kms
	twin.Curves = &driver.Curves{
		Bl: powers(t, restBl, 122-2*22440*o, -22440), Kms: d.Curves.Kms,
		Le: powers(t, restLe, -0.027-2*0.27*o, -0.27),
	}
	facing := st.Candidates[i].Group.Positions[0]
	g, _, err := driver.NewGroup(driver.GroupSpec{Members: [][]*driver.Driver{{d, &twin}}, Facing: []driver.Facing{facing[0].Facing, facing[1].Facing}})
	if err != nil {
		t.Fatal(err)
	}
	st.Candidates[i].Group, st.Model.LinearAir = g, true
	dist, err := st.Distort(context.Background(), i, at, volts)
	if err != nil {
		t.Fatal(err)
	}
	for k, p := range dist.Points {
		for j, n := range []int{2, 4} {
			want, got := float64(study.LineLevel(p.Pressure, n)-study.LineLevel(p.Pressure, 1)), float64(m.Rows[k].Unlike[j])
			if math.Abs(got-want) > 1e-3 { // what the search for a state leaves of a line 100 dB down
				t.Errorf("row %d: line %d is %.5f dB, by hand %.5f dB", k, n, got, want)
			}
		}
	}
}

// Without a difference a perfect mirror leaves nothing; a larger one leaves more;
// where the study does not say, the usual one counts and is told.
func TestMismatchOfDegrees(t *testing.T) {
	st, i, _ := mirrorOf(t)
	left := func(m *study.Mismatch) (float64, []string) {
		st.Model.Mismatch = m
		r, err := st.Mirror(context.Background(), i, []float64{40}, []float64{8})
		if err != nil {
			t.Fatal(err)
		}
		return float64(r.Rows[0].Unlike[0]), r.Words
	}
	none, _ := left(&study.Mismatch{})
	usual, words := left(nil)
	same := study.UsualMismatch()
	stated, _ := left(&same)
	shifted, other := left(&study.Mismatch{Offset: 0.5e-3})
	further, _ := left(&study.Mismatch{Offset: 1e-3})
	if !math.IsNaN(none) || usual != stated || math.IsNaN(usual) || !(further > shifted+3) {
		t.Errorf("no difference leaves %.1f dB, the usual one %.1f dB, stated %.1f dB, an offset of 0.5 mm %.1f dB and of 1 mm %.1f dB", none, usual, stated, shifted, further)
	}
	if all := strings.Join(words, " "); !strings.Contains(all, "force factor 5\u2009% less and its suspension 10\u2009% stiffer") {
		t.Errorf("it says %q", all)
	}
	if all := strings.Join(other, " "); !strings.Contains(all, "the inner driver’s coil at rest 0.5\u2009mm further to its front") {
		t.Errorf("it says %q", all)
	}
	for _, m := range []*study.Mismatch{nil, {Bl: -0.02}} {
		st.Model.Mismatch = m
		d, err := st.Distort(context.Background(), i, []float64{40}, []float64{8})
		if err != nil {
			t.Fatal(err)
		}
		want := map[bool]string{true: "no source", false: "force factor 2\u2009% more (as the study says)"}[m == nil]
		told := false
		for _, f := range d.Findings {
			told = told || f.ID == "mismatch" && strings.Contains(f.Text, want)
		}
		if !told {
			t.Errorf("%+v is not told: %v", m, d.Findings)
		}
	}
}

// An offset to where the coil has left its gap is an error that says so.
func TestMismatchOutOfTheGap(t *testing.T) {
	st, i, d := mirrorOf(t)
	d.Curves.Bl = powers(t, 10, 0, -1e5) // gone at 10 mm
	st.Model.Mismatch = &study.Mismatch{Offset: 11e-3}
	_, err := st.Mirror(context.Background(), i, []float64{40}, []float64{1})
	if err == nil || !strings.Contains(err.Error(), "model.mismatch.offset of 11\u2009mm") || !strings.Contains(err.Error(), "curve of bl") {
		t.Errorf("%v", err)
	}
	if w := (study.Mismatch{}).Words(phys.Metric); w != "no difference" {
		t.Errorf("%q", w)
	}
}
