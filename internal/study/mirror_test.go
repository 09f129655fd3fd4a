package study_test

import (
	"context"
	"math"
	"testing"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/study"
)

// The even lines of the same-way and of the mirrored stack are those of the
// candidates that are built so: the example has both, alike but for the way
// they face and the air between.
func TestMirrorIsTheOtherCandidate(t *testing.T) {
	st := example(t, "hayloft")
	same, err := st.Find("same-way")
	if err != nil {
		t.Fatal(err)
	}
	turned, err := st.Find("mirrored")
	if err != nil {
		t.Fatal(err)
	}
	st.Candidates[same].Group.Coupling = st.Candidates[turned].Group.Coupling
	at, volts := []float64{25, 40, 63}, []float64{4, 12}
	ctx := context.Background()
	m, err := st.Mirror(ctx, turned, at, volts)
	if err != nil {
		t.Fatal(err)
	}
	if !m.Mirrored || !m.Coupled || len(m.Rows) != 6 {
		t.Fatalf("%+v", m)
	}
	for _, c := range []struct {
		candidate int
		of        func(r *study.MirrorRow) [2]float64
	}{
		{same, func(r *study.MirrorRow) [2]float64 { return [2]float64{float64(r.SameWay[0]), float64(r.SameWay[1])} }},
		{turned, func(r *study.MirrorRow) [2]float64 { return [2]float64{float64(r.Facing[0]), float64(r.Facing[1])} }},
	} {
		d, err := st.Distort(ctx, c.candidate, at, volts)
		if err != nil {
			t.Fatal(err)
		}
		for k := range m.Rows {
			p := d.Points[k].Pressure
			for i, n := range []int{2, 4} {
				want := float64(study.LineLevel(p, n) - study.LineLevel(p, 1))
				// a stack is symmetrical end to end only to what the search for a state leaves
				if got := c.of(&m.Rows[k])[i]; math.Abs(got-want) > 1e-3 {
					t.Errorf("%s, row %d: line %d is %.6f dB, as built %.6f", st.Candidates[c.candidate].Name, k, n, got, want)
				}
			}
		}
	}
	for k, r := range m.Rows {
		if r.Tight[0].OK() || r.Tight[1].OK() {
			t.Errorf("row %d: a perfect mirror leaves %v", k, r.Tight)
		}
		for what, v := range map[string]float64{"the box’s air": float64(r.BoxAir[0]), "the gap’s air": float64(r.GapAir[0]), "unlike samples": float64(r.Unlike[0])} {
			if !(v < float64(r.SameWay[0])) {
				t.Errorf("row %d: %s leaves %.1f dB, and without a mirror there is %.1f dB", k, what, v, r.SameWay[0])
			}
		}
	}
}

func evenCurve(t *testing.T) *curve.Curve {
	t.Helper()
	c, err := curve.Polynomial([]float64{1, 0, 4000})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Drivers whose curves are even have no even lines but those of the air, and it
// is said that mirroring them buys nothing.
func TestSymmetricalDriversNeedNoMirror(t *testing.T) {
	st := example(t, "hayloft")
	i, err := st.Find("mirrored")
	if err != nil {
		t.Fatal(err)
	}
	d := st.Candidates[i].Group.Positions[0][0].Driver
	d.Curves = &driver.Curves{Kms: evenCurve(t)}
	for _, linear := range []bool{false, true} {
		st.Model.LinearAir = linear
		m, err := st.Mirror(context.Background(), i, []float64{25, 40}, []float64{6})
		if err != nil {
			t.Fatal(err)
		}
		has(t, m.Words, "so symmetrical that mirroring buys nothing", "the same for in and out")
		if linear {
			has(t, m.Words, "There is no second harmonic to cancel.")
		} else {
			has(t, m.Words, "dB at most, at 25\u2009Hz and 6\u2009V: it is made by the air, which no mirror touches")
		}
		for k, r := range m.Rows {
			// alike to what the search for a state leaves
			if d := float64(r.SameWay[0] - r.Facing[0]); r.SameWay[0].OK() != r.Facing[0].OK() || r.SameWay[0].OK() && math.Abs(d) > 1e-3 {
				t.Errorf("row %d: turned the same way %v, mirrored %v", k, r.SameWay, r.Facing)
			}
		}
	}
	// A single driver and one without curves have nothing to mirror.
	for _, name := range []string{"one"} {
		k, err := st.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		if m, err := st.Mirror(context.Background(), k, []float64{25}, nil); m != nil || err != nil {
			t.Errorf("%s: %+v, %v", name, m, err)
		}
	}
}

// A stack of three of which two have no air between them can be computed in
// every way: nothing of it is not a number.
func TestGapWithoutAir(t *testing.T) {
	st := example(t, "hayloft")
	i, err := st.Find("same-way")
	if err != nil {
		t.Fatal(err)
	}
	d := st.Candidates[i].Group.Positions[0][0].Driver
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 3, Coupling: []driver.Coupling{{Volume: 4e-3}, {}}})
	if err != nil {
		t.Fatal(err)
	}
	st.Candidates[i].Group = g
	dist, err := st.Distort(context.Background(), i, []float64{40}, []float64{4})
	if err != nil {
		t.Fatal(err)
	}
	if v := study.THD(dist.Points[0].Pressure); !(v > 0 && v < 1) {
		t.Errorf("THD %g", v)
	}
	res, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Candidates[i].Coupling[0].Modes {
		if math.IsNaN(f) {
			t.Error("a mode is not a number")
		}
	}
}
