package enclosure

import (
	"math"
	"math/cmplx"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/driver"
)

// rating is what Small's papers rate a system by, all read from its network:
// reference efficiency, power at the displacement limit, f3.
type rating struct {
	f3 float64 // Hz
	// reference efficiency: acoustic power in half space over V²/Re, far above
	// the resonances
	efficiency float64
	// acoustic power there, W, for a displaced volume of 1 m³ peak where the
	// cone moves most
	power float64
}

// rate reads the rating; the excursion counts from the frequency `from` up.
func rate(box response, from, f3near float64) rating {
	air := box.sys.Setting.Air
	far := func(p complex128) float64 { return real(p*cmplx.Conj(p)) * 2 * math.Pi / (air.Rho * air.C) }
	p, _, _ := reading(box.t, box.sys, 1e5*f3near)
	most := peakOf(func(f float64) float64 { _, _, x := reading(box.t, box.sys, f); return x }, from, 20*f3near)
	return rating{
		f3:         crossing(f3near/2, f3near*2, func(f float64) float64 { return box.db(f) - halfPower }),
		efficiency: far(p) * box.d.Re,
		power:      far(p) / sq(box.d.Sd*most),
	}
}

// closedRating is that of a closed box of volume Vas, so that its Qtc is √2
// times the driver's, in air of 345 m/s and 1.18 kg/m³ for which the factors
// are printed.
func closedRating(t *testing.T, qtc float64) (efficiencyFactor, powerFactor float64) {
	t.Helper()
	const fs = 30.0
	air := airOf(t, 345, 1.18)
	d := of(t, fs, qtc/math.Sqrt2, 80, idealQms)
	vas := d.Vas(air)
	sys, _, err := Build(oneOf(t, d), Spec{Kind: Sealed, Rear: Chamber{Volume: vas, Losses: none}}, Setting{Air: air, Space: 2 * math.Pi, Distance: 1})
	if err != nil {
		t.Fatal(err)
	}
	fc := fs * math.Sqrt2
	// f3 lies between fc/1.6 and 2.5 fc for the Q of the table
	near := fc * math.Max(0.8, math.Min(1.5, 0.75/qtc))
	r := rate(response{t, sys, d}, fc/1e5, near)
	f3 := r.f3
	// Small 1972 part I: η0 = kη(Q)·kη(C)·kη(G)·f3³·V; without mechanical loss
	// the first is 1, and the second α/(α+1), here 1/2
	return 2 * r.efficiency / (f3 * f3 * f3 * vas), r.power / math.Pow(f3, 4)
}

// The efficiency and power factors of closed boxes, their maxima over Qtc and
// the group delay towards dc (Small 1972, closed-box systems part I): the rows
// that TestPublishedClosedBox leaves out.
func TestPublishedClosedBoxRatings(t *testing.T) {
	qtc := regexp.MustCompile(`^Qtc=([0-9.]+)`)
	factors := map[float64][2]float64{}
	used, bestQ := 0, [2]float64{}
	for _, r := range publishedRows(t, "closed-box") {
		if r.seen == "memory" {
			continue
		}
		q := 0.0
		if m := qtc.FindStringSubmatch(r.conditions); m != nil {
			q, _ = strconv.ParseFloat(m[1], 64)
		}
		k := 0
		if strings.Contains(r.quantity, "k_P") {
			k = 1
		}
		switch {
		case strings.HasPrefix(r.quantity, "k_"):
			if _, ok := factors[q]; !ok {
				e, p := closedRating(t, q)
				factors[q] = [2]float64{e, p}
			}
			r.agrees(t, 1e-9, factors[q][k])
		case strings.HasPrefix(r.quantity, "Qtc that maximises"):
			bestQ[k] = r.values(t)[0]
			// where a parabola through three neighbours has its top; what its third
			// derivative moves that is of the order of the step squared
			const h = 1e-3
			at := func(q float64) float64 { e, p := closedRating(t, q); return [2]float64{e, p}[k] }
			lo, mid, hi := at(bestQ[k]*(1-h)), at(bestQ[k]), at(bestQ[k]*(1+h))
			top := bestQ[k] * (1 + h/2*(lo-hi)/(lo-2*mid+hi))
			r.expect(t, "Qtc", top, bestQ[k], 5*h*h)
		case strings.HasPrefix(r.quantity, "max k_"):
			e, p := closedRating(t, bestQ[k])
			r.agrees(t, 0, [2]float64{e, p}[k])
		case strings.HasPrefix(r.quantity, "group delay at DC"):
			const fs = 30.0
			box := respond(t, of(t, fs, q/math.Sqrt2, 80, idealQms), Spec{Kind: Sealed, Rear: Chamber{Volume: 0.08, Losses: none}})
			fc := fs * math.Sqrt2
			const x = 3e-4 // of fc; the delay leaves its limit by x² times (1/Q² + 3)
			want := r.values(t)[0]
			r.expect(t, "delay", box.delay(x*fc)*2*math.Pi*fc, want, want*(x*x*(1/(q*q)+3)+2e-7)+r.halfDigits()[0])
		default:
			continue
		}
		used++
	}
	if used != 46 {
		t.Errorf("%d rows were asserted, there are 46", used)
	}
}

// The designs of vented-box.csv from alignment to rating, and what the two
// frequencies at which a lossless box has a real impedance tell (Small 1973,
// vented-box systems parts I to III).
func TestPublishedVentedDesigns(t *testing.T) {
	used := 0
	var fl, fh float64
	for _, r := range publishedRows(t, "vented-box") {
		c := r.condition()
		switch q := r.quantity; {
		case strings.HasPrefix(q, "fL;fH"):
			d := of(t, c["fs"], 1/(1/c["Qms"]+1/c["Qes"]), c["Vas"], c["Qms"])
			box := respond(t, d, Spec{Kind: Vented, Rear: Chamber{Volume: c["Vb"] * 1e-3, Tuning: c["fb"], Losses: none}})
			x := func(f float64) float64 { _, z, _ := reading(t, box.sys, f); return -imag(z) }
			fl, fh = crossing(c["fb"]/4, c["fb"]*0.95, x), crossing(c["fb"]*1.05, c["fb"]*4, x)
			r.agrees(t, 1e-9, fl, fh)
		case strings.HasPrefix(q, "fL fH/fb"):
			r.agrees(t, 1e-9, fl*fh/c["fb"])
		case strings.HasPrefix(q, "alpha recovered"):
			b := sq(c["fb"])
			r.agrees(t, 1e-8, (sq(fh)-b)*(b-sq(fl))/sq(fh*fl))
		case strings.HasPrefix(q, "closed-vent fc"):
			r.agrees(t, 1e-9, sq(fl)+sq(fh)-sq(c["fb"]))
		case strings.HasPrefix(q, "QB3 design"):
			checkVentedDesign(t, r)
		default:
			continue
		}
		used++
	}
	if used != 11 {
		t.Errorf("%d rows were asserted, there are 11", used)
	}
}

// checkVentedDesign holds a row Qt;alpha;h;f3/fs;Vb;fb;f3;eta0;kP;PAR;PER: the
// box that `alignment: {family: qb3}` makes for the row's driver.
func checkVentedDesign(t *testing.T, r publishedRow) {
	t.Helper()
	v, half, c := r.values(t), r.halfDigits(), r.condition()
	air := airOf(t, c["c"], c["rho"])
	qt := 1 / (1/c["Qms"] + 1/c["Qes"])
	const sd, re = 0.03, 6.0
	cms := c["Vas"] * 1e-3 / (air.Rho * sq(air.C*sd))
	ws := 2 * math.Pi * c["fs"]
	mms := 1 / (ws * ws * cms)
	d := &driver.Driver{Name: "published", Re: re, Sd: sd, Cms: cms, Mms: mms, Rms: ws * mms / c["Qms"], Bl: math.Sqrt(ws * mms * re / c["Qes"]), Coils: driver.Coils{Count: 1}}
	sys := build(t, d, air, Spec{Kind: Vented, Alignment: Alignment{Family: "qb3"}, Rear: Chamber{Losses: Losses{Leakage: lossOf(7), Port: Loss{State: LossNone}}}})
	vb, fb := sys.Spec.Rear.Volume, sys.Spec.Rear.Tuning
	box := response{t, sys, d}
	k := rate(box, fb, v[6]) // the excursion from the tuning up
	kp := k.power / math.Pow(k.f3, 4)
	par := kp * math.Pow(k.f3, 4) * sq(c["Vd"])
	for i, got := range []float64{qt, d.Vas(air) / vb, fb / c["fs"], k.f3 / c["fs"], vb * 1e3, fb, k.f3, k.efficiency, kp, par, par / k.efficiency} {
		more := 2e-9
		if i > 8 {
			more = half[8] / v[8] // PAR and PER were worked out from the printed kP
		}
		r.expect(t, "number "+strconv.Itoa(i+1), got, v[i], half[i]+more*v[i])
	}
}

// The response of a passive-radiator box is the polynomial of Small 1974,
// whose coefficients are printed: s²(s² + ωp²) over the row, s in units of
// 2π Hz.
func TestPublishedPassiveRadiatorPolynomials(t *testing.T) {
	used := 0
	for _, r := range publishedRows(t, "passive-radiator") {
		if !strings.HasPrefix(r.quantity, "denominator") {
			continue
		}
		c, a := r.condition(), r.values(t)
		box := passiveBox(t, c["fs"], c["Qt"], c["alpha"], c["fp"], c["delta"])
		for _, x := range []float64{0.2, 0.45, 0.8, 1, 1.5, 3} {
			s := complex(0, x*c["fs"])
			want := s * s * (s*s + complex(sq(c["fp"]), 0)) / (complex(a[4], 0) + s*(complex(a[3], 0)+s*(complex(a[2], 0)+s*(complex(a[1], 0)+s*complex(a[0], 0)))))
			g, _, _ := box.at(x * c["fs"])
			// eight digits of the coefficients, which largely cancel near the low
			// resonance; the radiator's Q of 1e9 is below that
			r.expect(t, "response", cmplx.Abs(g-want), 0, 3e-7*cmplx.Abs(want))
		}
		used++
	}
	if used != 4 {
		t.Errorf("%d rows were asserted, there are 4", used)
	}
}

// passiveBox is a passive-radiator box of a driver with Vas = 80 L and a
// radiator with its resonance and compliance ratio.
func passiveBox(t *testing.T, fs, qt, alpha, fp, delta float64) response {
	t.Helper()
	air := referenceAir(t)
	v := 80e-3 / alpha
	const sp = 0.04
	cmp := delta * v / (air.Rho * sq(air.C*sp))
	mmp := 1 / (sq(2*math.Pi*fp) * cmp)
	return respond(t, of(t, fs, qt, 80, idealQms), Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: v, Losses: none}, Radiator: Radiator{Sd: sp, Mms: mmp, Cms: cmp, Rms: 2 * math.Pi * fp * mmp / idealQms}})
}
