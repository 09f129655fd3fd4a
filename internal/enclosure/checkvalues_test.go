package enclosure

import (
	"math"
	"math/cmplx"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/phys"
)

// halfDigits is half a unit of the last printed digit of each number of a row,
// in its order, widened by 2 % for the rounding of the comparison itself.
func (r publishedRow) halfDigits() []float64 {
	var out []float64
	for _, s := range strings.Split(r.value, ";") {
		s = strings.TrimSpace(s)
		mantissa, exponent := s, 0
		if i := strings.IndexAny(s, "eE"); i >= 0 {
			mantissa = s[:i]
			exponent, _ = strconv.Atoi(s[i+1:])
		}
		decimals := 0
		if i := strings.Index(mantissa, "."); i >= 0 {
			decimals = len(mantissa) - i - 1
		}
		out = append(out, 0.51*math.Pow(10, float64(exponent-decimals)))
	}
	return out
}

// agrees asserts all numbers of a row to their last printed digit. more is an
// error of the computation itself, relative; 0: none worth a word.
func (r publishedRow) agrees(t *testing.T, more float64, got ...float64) {
	t.Helper()
	want, half := r.values(t), r.halfDigits()
	if len(want) != len(got) {
		t.Fatalf("%s: %d numbers, %d computed", r.id, len(want), len(got))
	}
	for k := range got {
		r.expect(t, "number "+strconv.Itoa(k+1), got[k], want[k], half[k]+more*math.Abs(want[k]))
	}
}

// reading is what a system does at one frequency.
func reading(t *testing.T, sys *System, f float64) (p, z complex128, excursion float64) {
	t.Helper()
	s := sys.Program.NewSolver()
	if err := s.Solve(2 * math.Pi * f); err != nil {
		t.Fatal(err)
	}
	return sys.Pressure(s), sys.Impedance(s), sys.Excursion(s, &sys.Cones[0])
}

func build(t *testing.T, d *driver.Driver, air phys.Air, s Spec) *System {
	t.Helper()
	sys, _, err := Build(oneOf(t, d), s, Setting{Air: air, Space: 2 * math.Pi, Distance: 1})
	if err != nil {
		t.Fatal(err)
	}
	return sys
}

func airOf(t testing.TB, c, rho float64) phys.Air {
	t.Helper()
	air, err := phys.AirOf(c, rho)
	if err != nil {
		t.Fatal(err)
	}
	return air
}

// workedReasons are the reasons for which rows of the worked examples are left
// out, by the beginning of their quantity.
var workedReasons = map[string]string{
	"EBP rule":         "a rule of thumb",
	"QL=7 typical for": "a range of practice",
	"fb":               "product of the printed row before it, whose response is asserted",
	"f3":               "product of the printed row before it, whose response is asserted",
	"Vb":               "product of the printed row before it, whose response is asserted",
	"input:":           "the input of the next row, which uses it",
	"efficiency of":    "an order of magnitude",
	"10 log10":         "arithmetic",
	"accuracy of":      "a statement about practice",
	"pole-zero":        "equalisers before the amplifier: not part of a candidate",
	"open dipole":      "two sources at a distance: openings stand at one point here",
	"dipole level":     "two sources at a distance: openings stand at one point here",
	"adiabatic box":    "large signals",
}

// Worked examples: alignments of textbooks, and closed and vented boxes in
// absolute figures (level, excursion, air speed, impedance) of Small's circuit.
// The rows of driver parameters are asserted in package driver.
func TestWorkedExamples(t *testing.T) {
	l := leaving(t, workedReasons)
	var last *System // of the rows that follow each other with one box
	box := ""
	sameBox := func(r publishedRow, assemble func() *System) *System {
		k := regexp.MustCompile(` f=[0-9.]+.*`).ReplaceAllString(r.conditions, "") + r.quantity
		if k != box {
			last, box = assemble(), k
		}
		return last
	}
	for _, r := range l.rows("worked-examples-and-systems") {
		if r.seen == "memory" {
			l.out(r)
			continue
		}
		c := r.condition()
		switch q := r.quantity; {
		case q == "Zmax":
			// the impedance peak of the printed Qms 3.35, Qes 0.796, Re 5.9 at 60.9 Hz
			d := of(t, 60.9, 1/(1/3.35+1/0.796), 7.74, 3.35)
			d.Bl *= math.Sqrt(5.9 / d.Re)
			d.Re = 5.9
			_, z, _ := reading(t, build(t, d, referenceAir(t), Spec{Kind: InfiniteBaffle}), 60.9)
			r.agrees(t, 0, real(z))
			r.expect(t, "phase at the peak", imag(z)/real(z), 0, 1e-9)
		case strings.Contains(q, "C4"):
			checkC4Row(t, r)
		case strings.HasPrefix(q, "B5") || strings.HasPrefix(q, "B6"):
			checkAssistedRow(t, r)
		case strings.HasPrefix(q, "air mass"):
			checkAirMass(t, r)
		case strings.HasPrefix(q, "closed box |G|"):
			d := of(t, c["fs"], c["Qts"], c["Vas"], idealQms)
			sys := sameBox(r, func() *System {
				return build(t, d, referenceAir(t), Spec{Kind: Sealed, Rear: Chamber{Volume: c["Vb"] * 1e-3, Losses: none}})
			})
			box := response{t, sys, d}
			g, x, _ := box.at(c["f"])
			r.agrees(t, 1e-9, 20*math.Log10(cmplx.Abs(g)), cmplx.Phase(g)*180/math.Pi, x, 1e3*box.delay(c["f"]))
		case strings.HasPrefix(q, "absolute: SPL"):
			sys := sameBox(r, func() *System {
				d := &driver.Driver{Name: "published", Re: c["Re"], Bl: c["Bl"], Mms: c["Mms"], Cms: c["Cms"], Rms: c["Rms"], Sd: c["Sd"], Coil: driver.VoiceCoil{Le: c["Le"]}, Coils: driver.Coils{Count: 1}}
				return build(t, d, airOf(t, c["c"], c["rho"]), Spec{Kind: Sealed, Rear: Chamber{Volume: c["Vb"], Losses: none}})
			})
			p, z, x := reading(t, sys, c["f"])
			r.agrees(t, 0, 20*math.Log10(cmplx.Abs(p)*2.83/20e-6), 1e3*x*2.83, cmplx.Abs(z), cmplx.Phase(z)*180/math.Pi)
		case strings.HasPrefix(q, "absolute vented"):
			sys := sameBox(r, func() *System {
				// "same driver": that of the closed boxes before, without inductance
				d := &driver.Driver{Name: "published", Re: 6, Bl: 10, Mms: 0.06, Cms: 0.4e-3, Rms: 1.5, Sd: 0.033, Coils: driver.Coils{Count: 1}}
				return build(t, d, airOf(t, 345, 1.18), Spec{Kind: Vented, Rear: Chamber{
					Volume: c["Vb"], Tuning: c["fb"], Port: Port{Shape: AreaOnly, Area: c["Sv"]},
					Losses: Losses{Leakage: lossOf(c["QL"]), Port: Loss{State: LossNone}},
				}})
			})
			p, z, x := reading(t, sys, c["f"])
			s := sys.Program.NewSolver()
			if err := s.Solve(2 * math.Pi * c["f"]); err != nil {
				t.Fatal(err)
			}
			v := math.Sqrt2 * 2.83 * sys.OpeningFlow(s, &sys.Openings[0]) / sys.Openings[0].Area
			r.agrees(t, 0, 20*math.Log10(cmplx.Abs(p)*2.83/20e-6), 1e3*x*2.83, v, cmplx.Abs(z))
		case strings.HasPrefix(q, "straight line, driver"):
			checkLineRow(t, r)
		default:
			l.out(r)
		}
	}
	l.done(98)
}

// checkC4Row holds a row of h, α, f3/fs (and ripple) with QL = 7: the response
// has that f3, and within the family (k ≤ 1) sizing finds the row.
func checkC4Row(t *testing.T, r publishedRow) {
	t.Helper()
	v, half := r.values(t), r.halfDigits()
	const ql = 7
	qt := 0.4
	if strings.Contains(r.quantity, "0.6") {
		qt = 0.6
	}
	const fs = 30.0
	box := respond(t, of(t, fs, qt, 80, idealQms), Spec{Kind: Vented, Rear: Chamber{Volume: 0.08 / v[1], Tuning: fs * v[0], Losses: Losses{Leakage: lossOf(ql), Port: Loss{State: LossNone}}}})
	// f3 of the printed h and α moves with their rounding: by about as much
	slack := half[2] + 2*(half[0]+half[1])
	r.expect(t, "level a little below f3", math.Max(0, box.db((v[2]-slack)*fs)-halfPower), 0, 0)
	r.expect(t, "level a little above f3", math.Min(0, box.db((v[2]+slack)*fs)-halfPower), 0, 0)
	if qt < b4Qt(ql) {
		return // continued to k > 1, which `alignment` does not offer
	}
	a, err := alignFamily(Alignment{Family: "c4"}, qt, ql)
	if err != nil {
		t.Fatal(err)
	}
	r.expect(t, "h", a.h, v[0], half[0])
	r.expect(t, "alpha", a.alpha, v[1], half[1])
	r.expect(t, "ripple", a.ripple, v[3], half[3])
}

// checkAssistedRow holds a box for an electrical high-pass before it (Thiele
// 1971): the two in a row make a Butterworth response of the fifth or sixth
// order. The filter is the test's; the box is the network's.
func checkAssistedRow(t *testing.T, r publishedRow) {
	t.Helper()
	v, c := r.values(t), r.condition()
	const fs = 30.0
	box := respond(t, of(t, fs, v[0], 80, idealQms), Spec{Kind: Vented, Rear: Chamber{Volume: 0.08 / v[1], Tuning: fs * v[2], Losses: Losses{Leakage: lossOf(c["QL"]), Port: Loss{State: LossNone}}}})
	for _, x := range []float64{0.4, 0.7, 1, 1.3, 2.5} {
		order, aux := 5.0, x/math.Hypot(1, x)
		if q := c["Q"]; q > 0 {
			order, aux = 6, x*x/math.Hypot(1-x*x, x/q)
		}
		want := -10 * math.Log10(1+math.Pow(x, -2*order))
		// nine digits of Qt and α, eight of the filter's Q
		r.expect(t, "level", box.db(x*v[3]*fs)+20*math.Log10(aux), want, 1e-6)
	}
}

// checkAirMass holds the air that moves with a piston: free on both sides,
// baffled on both sides, and at a tube's end.
func checkAirMass(t *testing.T, r publishedRow) {
	t.Helper()
	c := r.condition()
	b := builder{System: &System{Setting: Setting{Air: airOf(t, 345, c["rho"]), Space: 2 * math.Pi}}}
	a := c["a"]
	s := math.Pi * a * a
	w := 1e-4 * 345 / a // ka = 1e-4: the load is a mass to (ka)² of itself
	tube := Port{Shape: Round, Diameter: 2 * a}
	r.agrees(t, 1e-8, 2*b.heldMass(s), imag(b.coneLoad(s, 2).At(w))/w, c["rho"]*s*tube.endCorrection(EndFree))
}
