package driver

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/curve"
	"basswright/internal/phys"
)

func poly(t testing.TB, c ...float64) *curve.Curve {
	t.Helper()
	out, err := curve.Polynomial(c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func reachNamed(t interface{ Fatalf(string, ...any) }, d *Driver, symbol string) Reach {
	for _, r := range d.Reaches() {
		if r.Symbol == symbol {
			return r
		}
	}
	t.Fatalf("no reach %s", symbol)
	return Reach{}
}

// Where a quadratic force factor has fallen to 82 % and a quadratic stiffness has
// taken the compliance to 75 %, and at which cone movement a tone is
// frequency-modulated so far, against worked-out values.
func TestReachPublished(t *testing.T) {
	for _, r := range check.Rows(t, "testdata/displacement-limits.csv") {
		d := merlin(t)
		number := func(name string) float64 {
			_, rest, ok := strings.Cut(r.Conditions, name+"=")
			if !ok {
				t.Fatalf("%s: no %s in %q", r.ID, name, r.Conditions)
			}
			var v float64
			if _, err := fmt.Sscan(strings.Fields(rest)[0], &v); err != nil {
				t.Fatalf("%s: %v", r.ID, err)
			}
			return v
		}
		want := r.Values(t)[0]
		const digit = 0.6e-9 // m: half of the last digit of the table, and the nanometre to which is searched
		switch {
		case strings.Contains(r.Quantity, "82 %"):
			d.Curves = &Curves{Bl: poly(t, 1, 0, -number("b2"))}
			check.Near(t, r.ID, float64(reachNamed(t, d, "XBl").X), want, 2*digit, "half of the table’s last digit, and a nanometre")
		case strings.Contains(r.Quantity, "75 %"):
			d.Curves = &Curves{Kms: poly(t, 1, 0, number("k2"))}
			check.Near(t, r.ID, float64(reachNamed(t, d, "XC").X), want, 2*digit, "half of the table’s last digit, and a nanometre")
		default: // the share of the side tones is linear in the movement
			d.Curves = &Curves{}
			d.Cms = 1 / (math.Pow(2*math.Pi*number("f2")/ReachTone, 2) * d.Mms)
			x, air := float64(reachNamed(t, d, "XD").X), phys.StandardAir()
			got := ReachDoppler * 100 * number("A1") / x * air.C / number("c")
			check.Near(t, r.ID, got, want, 1e-7, "half of the table’s last digit, and the rounding of a product")
		}
	}
}

// Between −X and X every limit is kept, and just beyond X it is not, on one side at
// least: for tables and polynomials at random, read at many displacements.
func TestReachIsTheFirst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := randomDriver(t)
		d.Coil = VoiceCoil{Model: CoilLR2, Le: rapid.Float64Range(1e-4, 5e-3).Draw(t, "le"), L2: rapid.Float64Range(1e-4, 9e-3).Draw(t, "l2"), R2: rapid.Float64Range(1, 20).Draw(t, "r2")}
		draw := func(name string, tail curve.Tail) *curve.Curve {
			if rapid.Bool().Draw(t, name+" as a table") {
				var x, v []float64
				for k := -3; k <= 3; k++ {
					x = append(x, 4e-3*float64(k))
					v = append(v, rapid.Float64Range(0.4, 2).Draw(t, name))
				}
				c, err := curve.Table(x, v, tail)
				if err != nil {
					t.Fatal(err)
				}
				return c
			}
			c, err := curve.Polynomial([]float64{1, rapid.Float64Range(-60, 60).Draw(t, name), rapid.Float64Range(-4000, 4000).Draw(t, name)})
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		d.Curves = &Curves{Bl: draw("bl", curve.Settle), Kms: draw("kms", curve.Onward), Le: draw("le(x)", curve.Settle), L2: draw("l2(x)", curve.Settle)}
		at := func(c *curve.Curve, x float64) float64 {
			v, _, _ := c.At(x)
			rest, _, _ := c.At(0)
			return v / rest
		}
		w := 2 * math.Pi * 8.5 * d.Fs()
		z := func(x float64) float64 { // written out anew, as the two branches’ admittances
			l2 := complex(0, w*d.Coil.L2*at(d.Curves.L2, x))
			return cmplx.Abs(complex(d.Re, w*d.Coil.Le*at(d.Curves.Le, x)) + 1/(1/complex(d.Coil.R2, 0)+1/l2))
		}
		for symbol, kept := range map[string]func(x float64) bool{
			"XBl": func(x float64) bool { return at(d.Curves.Bl, x) >= 0.82 },
			"XC":  func(x float64) bool { return at(d.Curves.Kms, x) > 0 && 1/at(d.Curves.Kms, x) >= 0.75 },
			"XL":  func(x float64) bool { return math.Abs(z(x)/z(0)-1) <= 0.1 },
		} {
			r := reachNamed(t, d, symbol)
			end := r.Known
			if r.X.OK() {
				end = float64(r.X)
				if out := end + 2e-9; kept(out) && kept(-out) { // two nanometres: it is searched to one
					t.Fatalf("%s: beyond %g m it is still kept", symbol, end)
				}
			}
			for k := range 400 {
				x := end * float64(k) / 400
				if !kept(x) || !kept(-x) {
					t.Fatalf("%s: at %g m it is not kept, and it is told as %g m", symbol, x, end)
				}
			}
		}
	})
}

// The least is not told where another one that is not known far enough may be less.
func TestLeastReach(t *testing.T) {
	some := func(name string, x, known float64) Reach {
		if x == 0 {
			return Reach{Name: name, X: phys.None(), Known: known}
		}
		return Reach{Name: name, X: phys.Maybe(x), Known: known}
	}
	for _, c := range []struct {
		list []Reach
		name string
		x    float64
		ok   bool
	}{
		{[]Reach{some("a", 5e-3, 9e-3), some("b", 4e-3, 9e-3)}, "b", 4e-3, true},
		{[]Reach{some("a", 5e-3, 9e-3), some("b", 0, 9e-3)}, "a", 5e-3, true},
		{[]Reach{some("a", 5e-3, 9e-3), some("b", 0, 3e-3)}, "a", 3e-3, false},
		{[]Reach{some("a", 0, 9e-3), some("b", 0, 3e-3)}, "", 3e-3, false},
	} {
		if got, ok := LeastReach(c.list); ok != c.ok || got.Name != c.name || float64(got.X) != c.x {
			t.Errorf("%+v: %+v, %v", c.list, got, ok)
		}
	}
}

// An xmax beyond the curves is doubted, unless its printed digits explain it.
func TestXmaxDoubt(t *testing.T) {
	d := merlin(t)
	if d.XmaxDoubt(1e-3, "drivers.merlin-10.xmax", phys.Metric) != nil || d.ReachSteps(phys.Metric) != nil {
		t.Error("a driver without curves is compared with them")
	}
	d.Curves = &Curves{Bl: poly(t, 1, 0, -0.18/(11.7e-3*11.7e-3))} // 82 % at 11.7 mm
	for _, c := range []struct {
		xmax, step float64
		doubted    bool
	}{{12e-3, 1e-3, false}, {12e-3, 0.1e-3, true}, {11e-3, 0.1e-3, false}, {13e-3, 1e-3, true}, {0, 0, false}} {
		d.Data.Xmax = c.xmax
		if got := d.XmaxDoubt(c.step, "drivers.merlin-10.xmax", phys.Metric); (len(got) == 1) != c.doubted {
			t.Errorf("%g m with a digit of %g m: %v", c.xmax, c.step, got)
		}
	}
}

// Each definition stands beside the printed value, with what it is.
func TestReachSteps(t *testing.T) {
	d := merlin(t)
	d.Data.WindingHeight, d.Data.GapHeight = 30e-3, 8e-3
	d.Curves = &Curves{Bl: poly(t, 1, 0, -0.18/(9e-3*9e-3)), Kms: poly(t, 1, 0, 1/(3*8e-3*8e-3))}
	want := map[string]float64{"Xmax, as printed": 12e-3, "Xmax, coil and gap": 11e-3, "Reach by force factor": 9e-3, "Reach by compliance": 8e-3, "Xmax, by the curves": 8e-3}
	for _, s := range d.ReachSteps(phys.Metric) {
		if w, ok := want[s.Name]; ok {
			check.Near(t, s.Name, float64(s.Value), w, 2e-9, "it is searched to a nanometre")
			delete(want, s.Name)
		}
		if s.Why == "" {
			t.Errorf("%s has no reason", s.Name)
		}
	}
	if len(want) > 0 {
		t.Errorf("not told: %v", want)
	}
	ledger := (&Group{Positions: [][]Member{{{Driver: d, Facing: Front, Polarity: 1}}}, InSeries: 1}).Ledger(phys.StandardAir())
	last := ledger[len(ledger)-1]
	if last.Name != "Xmax, by the curves" || math.Abs(float64(last.Single)-8e-3) > 2e-9 || !strings.Contains(last.Why, "compliance") || !strings.Contains(last.Why, "12\u2009mm") {
		t.Errorf("in the ledger: %+v", last)
	}
}
