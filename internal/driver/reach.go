package driver

import (
	"fmt"
	"math"
	"math/cmplx"

	"basswright/internal/curve"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// The displacement limits of IEC 62458:2010 for 10 % of distortion, between −x and
// x. The thresholds are as published measurement sheets print them; the standard
// itself, and with it the two tones and how a share of Doppler is counted, is from
// memory.
const (
	ReachBl      = 0.82 // Bl(x)/Bl(0) at the least
	ReachCms     = 0.75 // Cms(x)/Cms(0) at the least
	ReachZ       = 0.10 // | |Z(x)|/|Z(0)| − 1 | at the most, of the blocked coil at the upper tone
	ReachDoppler = 0.10 // rms of the side tones over the upper tone
	ReachTone    = 8.5  // the upper tone in fs; the cone is moved at fs

	reachSource = "IEC 62458:2010 for 10 % distortion; from memory, its thresholds as measurement sheets print them"
	reachEnd    = 0.1 // m, up to which a polynomial is followed
	reachStep   = 25e-6
)

// A Reach is how far a cone goes, one way, until one of its parameters has changed
// by what a definition allows.
type Reach struct {
	Name   string // "force factor"
	Symbol string
	X      phys.Maybe // m; none: not within Known
	Known  float64    // m, up to where that could be looked for
	Rule   string     // "Bl(x) ≥ 82 % of Bl(0)"
}

// Reaches are those by the driver's curves and by Doppler; none for a driver
// without curves.
func (d *Driver) Reaches() []Reach {
	c := d.Curves
	if c == nil {
		return nil
	}
	var out []Reach
	add := func(name, symbol, rule string, known float64, inside func(x float64) bool) {
		out = append(out, Reach{name, symbol, firstOutside(known, inside), known, rule})
	}
	if c.Bl != nil {
		bl := shape(c.Bl, 1)
		add("force factor", "XBl", fmt.Sprintf("Bl(x) ≥ %g\u2009%% of Bl(0)", 100*ReachBl), c.Bl.Reach(reachEnd), func(x float64) bool { return bl(x) >= ReachBl })
	}
	if c.Kms != nil {
		k := shape(c.Kms, 1)
		add("compliance", "XC", fmt.Sprintf("Cms(x) ≥ %g\u2009%% of Cms(0)", 100*ReachCms), c.Kms.Reach(reachEnd), func(x float64) bool { return k(x) <= 1/ReachCms && k(x) > 0 })
	}
	if known, z := d.blocked(); z != nil {
		rest := cmplx.Abs(z(0))
		add("inductance", "XL", fmt.Sprintf("|Z(x)| within %g\u2009%% of |Z(0)|, of the blocked coil at %g\u2009fs", 100*ReachZ, ReachTone), known,
			func(x float64) bool { return math.Abs(cmplx.Abs(z(x))/rest-1) <= ReachZ })
	}
	air := phys.StandardAir()
	doppler := ReachDoppler * math.Sqrt2 * air.C / (2 * math.Pi * ReachTone * d.Fs())
	return append(out, Reach{
		Name: "Doppler", Symbol: "XD", X: phys.Maybe(doppler), Known: doppler,
		Rule: fmt.Sprintf("side tones of %g\u2009%% of a tone at %g\u2009fs: √2 · %g · c / (2π · %g fs)", 100*ReachDoppler, ReachTone, ReachDoppler, ReachTone),
	})
}

// shape is a parameter over displacement that has the curve's shape and at rest is
// the driver's own.
func shape(c *curve.Curve, own float64) func(x float64) float64 {
	rest, _, _ := c.At(0)
	return func(x float64) float64 { v, _, _ := c.At(x); return v / rest * own }
}

// blocked is the impedance of one blocked coil over displacement at the upper tone,
// nil where no curve changes it, and how far it is known, m.
func (d *Driver) blocked() (known float64, z func(x float64) complex128) {
	c, coil := d.Curves, d.Coil
	known = reachEnd
	still := true
	of := func(c *curve.Curve, own float64) func(x float64) float64 {
		if c == nil || own == 0 {
			return func(float64) float64 { return own }
		}
		known, still = c.Reach(known), false
		return shape(c, own)
	}
	le, l2 := of(c.Le, coil.Le), of(c.L2, coil.L2)
	if still {
		return 0, nil
	}
	s := complex(0, 2*math.Pi*ReachTone*d.Fs())
	return known, func(x float64) complex128 {
		z := complex(d.Re, 0) + s*complex(le(x), 0)
		if coil.Model == CoilLR2 {
			eddy := s * complex(l2(x), 0)
			z += eddy * complex(coil.R2, 0) / (complex(coil.R2, 0) + eddy)
		}
		return z
	}
}

// firstOutside is the least x up to known where x or −x is no longer inside, to a
// nanometre.
func firstOutside(known float64, inside func(x float64) bool) phys.Maybe {
	both := func(x float64) bool { return inside(x) && inside(-x) }
	for lo := 0.0; lo < known; lo += reachStep {
		hi := min(lo+reachStep, known)
		if both(hi) {
			continue
		}
		for hi-lo > 1e-9 {
			if mid := (lo + hi) / 2; both(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return phys.Maybe(lo)
	}
	return phys.None()
}

// LeastReach is the least of some reaches; ok is false where another one, which is
// not known far enough, may be less. What is not ok holds at least as far as X.
func LeastReach(list []Reach) (least Reach, ok bool) {
	least.X = phys.None()
	known := math.Inf(1)
	for _, r := range list {
		switch {
		case !r.X.OK():
			known = min(known, r.Known)
		case !least.X.OK() || r.X < least.X:
			least = r
		}
	}
	if !least.X.OK() || float64(least.X) > known {
		return Reach{Name: least.Name, X: phys.Maybe(known)}, false
	}
	return least, true
}

// GeometricXmax is half of what the coil and the gap differ by in height, m; 0
// where they are not given.
func (d Data) GeometricXmax() float64 {
	if d.WindingHeight == 0 || d.GapHeight == 0 {
		return 0
	}
	return math.Abs(d.WindingHeight-d.GapHeight) / 2
}

// ReachSteps set the printed xmax beside that of the coil and the gap and those of
// the curves, each with its definition; none where there is nothing to compare.
func (d *Driver) ReachSteps(units phys.System) []note.Step {
	geometric, reaches := d.Data.GeometricXmax(), d.Reaches()
	if geometric == 0 && reaches == nil {
		return nil
	}
	step := func(name, symbol string, v phys.Maybe, why, formula, source string) note.Step {
		return note.Step{Name: name, Symbol: symbol, Kind: phys.Length, Value: v, Single: phys.None(), Factor: phys.None(), Why: why, Formula: formula, Source: source}
	}
	var out []note.Step
	if x := d.Data.Xmax; x > 0 && x != geometric {
		out = append(out, step("Xmax, as printed", "", phys.Maybe(x), "one way; sheets define it in many ways, and few say how", "", ""))
	}
	if geometric > 0 {
		out = append(out, step("Xmax, coil and gap", "", phys.Maybe(geometric), "half of what the heights of winding and gap differ by", "|winding_height − gap_height| / 2", practice))
	}
	for _, r := range reaches {
		why := "one way, the side that gives way first"
		if r.Symbol == "XD" {
			why = "one way, whatever the curves are"
		}
		if !r.X.OK() {
			why = "not within " + phys.Show(r.Known, phys.Length, units) + ", as far as the curve tells of both sides"
		}
		out = append(out, step("Reach by "+r.Name, r.Symbol, r.X, why, r.Rule, reachSource))
	}
	if reaches != nil {
		out = append(out, d.leastStep(step, units))
	}
	return out
}

func (d *Driver) leastStep(step func(name, symbol string, v phys.Maybe, why, formula, source string) note.Step, units phys.System) note.Step {
	least, ok := LeastReach(d.Reaches())
	if !ok {
		return step("Xmax, by the curves", "", phys.None(), fmt.Sprintf("at least %s; what the curves tell ends there", phys.Show(float64(least.X), phys.Length, units)), "the least of the reaches", reachSource)
	}
	return step("Xmax, by the curves", "", least.X, "the "+least.Name+" ends it", "the least of the reaches", reachSource)
}

// origin says where its threshold is from, and where it takes the upper tone, that too.
func (r Reach) origin() string {
	s := "10\u2009% of distortion, the threshold as measurement sheets print it"
	if r.Symbol == "XL" || r.Symbol == "XD" {
		s += ", the upper tone from memory"
	}
	return s
}

// XmaxDoubt is a warning where an xmax that was printed with digits of the given
// step is more than the curves allow, and the digits do not explain it.
func (d *Driver) XmaxDoubt(step float64, where string, units phys.System) []note.Finding {
	least, ok := LeastReach(d.Reaches())
	if !ok || d.Data.Xmax == 0 || d.Data.Xmax-step/2 <= float64(least.X)*(1+rounding) {
		return nil
	}
	show := func(x float64) string { return phys.Show(x, phys.Length, units) }
	return []note.Finding{{
		ID: "xmax-beyond-curves", Severity: note.Warning, Where: where,
		Text: fmt.Sprintf("xmax %s is more than the %s at which the curves reach a displacement limit of IEC 62458 (%s): %s", phys.Brief(d.Data.Xmax, phys.Length, units), show(float64(least.X)), least.origin(), least.Rule),
		Mend: "lower it to be held to the curves’ limit, or leave it to be held to the sheet’s",
	}}
}
