package heat

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
)

// Button 1992's chain as tabulated; the digits printed are all that is known.
func TestPublishedSteps(t *testing.T) {
	c, err := New(3, 20, 2, 1500)
	if err != nil {
		t.Fatal(err)
	}
	rows := check.Rows(t, "testdata/cauer.csv")
	if len(rows) != 5 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, r := range rows {
		_, at, _ := strings.Cut(r.Conditions, "t=")
		at, _, _ = strings.Cut(at, " s")
		seconds, err := strconv.ParseFloat(at, 64)
		if err != nil {
			t.Fatal(err)
		}
		want := r.Values(t)
		s := c.After(State{}, 50, seconds)
		for i, v := range []float64{s.Coil, s.Magnet} {
			if math.Abs(v-want[i]) > 0.6e-8 {
				t.Errorf("after %g s: %.9f, published %.8f", seconds, v, want[i])
			}
		}
	}
}

func drawCircuit(t *rapid.T) Circuit {
	f := func(name string, lo, hi float64) float64 {
		return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))
	}
	c, err := New(f("rtv", 0.1, 10), f("ctv", 5, 300), f("rtm", 0.1, 5), f("ctm", 500, 1e4))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// What goes in is stored or given off: the heat given off is the magnet's rise
// over Rtm, summed by a fine rule over the course.
func TestHeatBalances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t)
		s := State{rapid.Float64Range(0, 150).Draw(t, "coil"), rapid.Float64Range(0, 80).Draw(t, "magnet")}
		p, span := rapid.Float64Range(0, 300).Draw(t, "watts"), rapid.Float64Range(1, 2000).Draw(t, "seconds")
		const steps = 4000
		lost, last := 0.0, s
		for k := 1; k <= steps; k++ { // Simpson’s rule over each step
			mid, end := c.After(s, p, span*(float64(k)-0.5)/steps), c.After(s, p, span*float64(k)/steps)
			lost += (last.Magnet + 4*mid.Magnet + end.Magnet) / 6 * span / steps / c.Rtm
			last = end
		}
		in := p * span
		if d := c.Stored(last) - c.Stored(s) + lost - in; math.Abs(d) > 1e-6*(in+c.Stored(s)+1) {
			t.Fatalf("%g J go in, %g J are lost, %g J too many", in, lost, d)
		}
	})
}

// Cutting a stretch in two changes nothing; a fourth-order step by step agrees;
// in the end it is the steady state.
func TestCoursesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCircuit(t)
		s := State{rapid.Float64Range(0, 150).Draw(t, "coil"), rapid.Float64Range(0, 80).Draw(t, "magnet")}
		p := rapid.Float64Range(0, 300).Draw(t, "watts")
		a, b := rapid.Float64Range(0, 500).Draw(t, "first"), rapid.Float64Range(0, 500).Draw(t, "then")
		whole, cut := c.After(s, p, a+b), c.After(c.After(s, p, a), p, b)
		if math.Abs(whole.Coil-cut.Coil) > 1e-9*(1+whole.Coil) || math.Abs(whole.Magnet-cut.Magnet) > 1e-9*(1+whole.Magnet) {
			t.Fatalf("%v at once, %v in two", whole, cut)
		}
		slope := func(s State) State {
			flow := (s.Coil - s.Magnet) / c.Rtv
			return State{(p - flow) / c.Ctv, (flow - s.Magnet/c.Rtm) / c.Ctm}
		}
		h, r := c.Rtv*c.Ctv/200, s
		for range 400 {
			k1 := slope(r)
			k2 := slope(State{r.Coil + h/2*k1.Coil, r.Magnet + h/2*k1.Magnet})
			k3 := slope(State{r.Coil + h/2*k2.Coil, r.Magnet + h/2*k2.Magnet})
			k4 := slope(State{r.Coil + h*k3.Coil, r.Magnet + h*k3.Magnet})
			r.Coil += h / 6 * (k1.Coil + 2*k2.Coil + 2*k3.Coil + k4.Coil)
			r.Magnet += h / 6 * (k1.Magnet + 2*k2.Magnet + 2*k3.Magnet + k4.Magnet)
		}
		if e := c.After(s, p, 400*h); math.Abs(e.Coil-r.Coil) > 1e-6*(1+r.Coil) || math.Abs(e.Magnet-r.Magnet) > 1e-6*(1+r.Magnet) {
			t.Fatalf("%v, step by step %v", e, r)
		}
		_, slow := c.rates()
		if e, end := c.After(s, p, 60/slow), c.Steady(p); math.Abs(e.Coil-end.Coil) > 1e-9*(1+end.Coil) {
			t.Fatalf("in the end %v, steady %v", e, end)
		}
	})
}

func TestDefaultReachesItsRise(t *testing.T) {
	c, err := Default(350, 0.065)
	if err != nil {
		t.Fatal(err)
	}
	if s := c.Steady(175); math.Abs(s.Coil-180) > 1e-9 || math.Abs(s.Magnet-60) > 1e-9 {
		t.Errorf("at the rated power %v", s)
	}
	if tau := c.Rtv * c.Ctv; math.Abs(tau-26) > 1e-9 {
		t.Errorf("the coil’s time is %g s", tau)
	}
	for _, bad := range []float64{0, -1, math.NaN()} {
		if _, err := Default(bad, 0.05); err == nil {
			t.Errorf("a rated power of %g was taken", bad)
		}
		if _, err := New(bad, 20, 2, 1500); err == nil {
			t.Errorf("a resistance of %g was taken", bad)
		}
		if _, err := New(3, 20, 2, bad); err == nil {
			t.Errorf("a capacity of %g was taken", bad)
		}
	}
	for _, bad := range []float64{-0.05, math.NaN()} {
		if _, err := Default(350, bad); err == nil {
			t.Errorf("a diameter of %g was taken", bad)
		}
	}
}

// Whatever New takes, no course is without a number, and none is hotter than it
// can get.
func TestAnyCircuitHasANumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 {
			return math.Min(hi, math.Max(lo, math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))))
		}
		c, err := New(f("rtv", MinResistance, MaxResistance), f("ctv", MinCapacity, MaxCapacity), f("rtm", MinResistance, MaxResistance), f("ctm", MinCapacity, MaxCapacity))
		if err != nil {
			t.Fatal(err)
		}
		p := rapid.Float64Range(0, 1e4).Draw(t, "watts")
		s, end := c.After(State{}, p, f("seconds", 1e-3, 1e9)), c.Steady(p)
		if !(s.Coil >= -1e-9*end.Coil && s.Coil <= end.Coil*(1+1e-9)) || !(s.Magnet >= -1e-9*end.Coil && s.Magnet <= end.Magnet*(1+1e-9)) {
			t.Fatalf("%+v: %+v on the way to %+v", c, s, end)
		}
	})
}
