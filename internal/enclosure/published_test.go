package enclosure

import (
	"encoding/csv"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/phys"
)

// The network against published figures: Small 1972, 1973 and 1974 and the
// literature named in each row of testdata. Values are printed with eight to
// ten digits; a driver with a mechanical Q of 1e9 stands for their total Q, so
// what is compared agrees to a few units of the last digit.

type publishedRow struct {
	id, quantity, value, unit, conditions, source, seen string
}

func publishedRows(t *testing.T, name string) []publishedRow {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []publishedRow
	for _, r := range rows[1:] {
		out = append(out, publishedRow{id: r[0], quantity: r[1], value: r[2], unit: r[3], conditions: r[4], source: r[6], seen: r[8]})
	}
	return out
}

// values are the numbers of a row, in the order in which its quantity names them.
func (r publishedRow) values(t *testing.T) []float64 {
	t.Helper()
	var out []float64
	for _, s := range strings.Split(r.value, ";") {
		v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil {
			t.Fatalf("%s: %v", r.id, err)
		}
		out = append(out, v)
	}
	return out
}

var conditionPattern = regexp.MustCompile(`([A-Za-z0-9']+)\s*=\s*(inf|[0-9.]+(?:e[+-]?[0-9]+)?)`)

// condition reads "fs=30 Qt=0.38 f=10 Hz".
func (r publishedRow) condition() map[string]float64 {
	out := map[string]float64{}
	for _, m := range conditionPattern.FindAllStringSubmatch(r.conditions, -1) {
		v := math.Inf(1)
		if m[2] != "inf" {
			v, _ = strconv.ParseFloat(m[2], 64)
		}
		out[m[1]] = v
	}
	return out
}

func (r publishedRow) expect(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s, %s (%s): %s is %.10g, published %.10g (%s)", r.id, r.quantity, r.conditions, what, got, want, r.source)
	}
}

// leaves counts what a test leaves out; every row must be asserted or have a reason.
type leaves struct {
	t       *testing.T
	reasons map[string]string // beginning of a quantity: why it is left out
	used    int
	left    map[string]int
}

func leaving(t *testing.T, reasons map[string]string) *leaves {
	return &leaves{t: t, reasons: reasons, left: map[string]int{}}
}

// each holds every row of a collection; assert says whether it knows the row.
func (l *leaves) each(name string, least int, assert func(r publishedRow, c map[string]float64) bool) {
	l.t.Helper()
	for _, r := range l.rows(name) {
		if !assert(r, r.condition()) {
			l.out(r)
		}
	}
	l.done(least)
}

// rows reads a collection; each row counts as asserted unless it goes out.
func (l *leaves) rows(name string) []publishedRow {
	l.t.Helper()
	rows := publishedRows(l.t, name)
	l.used += len(rows)
	return rows
}

func (l *leaves) out(r publishedRow) {
	l.t.Helper()
	l.used--
	if r.seen == "memory" {
		l.left["from memory, never asserted"]++
		return
	}
	for begin, why := range l.reasons {
		if strings.HasPrefix(r.quantity, begin) {
			l.left[why]++
			return
		}
	}
	l.t.Errorf("%s, %s: neither asserted nor left out for a reason", r.id, r.quantity)
}

func (l *leaves) done(least int) {
	l.t.Helper()
	l.t.Logf("%d rows asserted; left out: %v", l.used, l.left)
	if l.used < least {
		l.t.Errorf("only %d rows were asserted, there are %d", l.used, least)
	}
}

const idealQms = 1e9 // loss-free but for the motor

// of makes the driver with the given resonance, total Q and volume in litres.
func of(t *testing.T, fs, qt, vas, qms float64) *driver.Driver {
	t.Helper()
	air := referenceAir(t)
	const sd, re = 0.03, 6.0
	cms := vas * 1e-3 / (air.Rho * air.C * air.C * sd * sd)
	ws := 2 * math.Pi * fs
	mms := 1 / (ws * ws * cms)
	qes := 1 / (1/qt - 1/qms)
	return &driver.Driver{
		Name: "published", Re: re, Sd: sd, Cms: cms, Mms: mms, Rms: ws * mms / qms, Bl: math.Sqrt(ws * mms * re / qes), Coils: driver.Coils{Count: 1},
	}
}

func oneOf(t *testing.T, d *driver.Driver) *driver.Group {
	t.Helper()
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// response reads a system against the asymptote of its driver at high
// frequency on an infinite baffle: G, and X against the static excursion.
type response struct {
	t   *testing.T
	sys *System
	d   *driver.Driver
}

func respond(t *testing.T, d *driver.Driver, s Spec) response {
	t.Helper()
	sys, _, err := Build(oneOf(t, d), s, Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1})
	if err != nil {
		t.Fatal(err)
	}
	return response{t, sys, d}
}

func (r response) at(f float64) (g complex128, x, opening float64) {
	r.t.Helper()
	s := r.sys.Program.NewSolver()
	if err := s.Solve(2 * math.Pi * f); err != nil {
		r.t.Fatal(err)
	}
	asymptote := r.sys.Setting.Air.Rho / (2 * math.Pi) * r.d.Sd * r.d.Bl / (r.d.Re * r.d.Mms)
	x = r.sys.Excursion(s, &r.sys.Cones[0]) / (math.Sqrt2 * r.d.Bl / r.d.Re * r.d.Cms)
	if len(r.sys.Openings) > 0 {
		u := r.sys.OpeningFlow(s, &r.sys.Openings[0])
		opening = u / (r.d.Sd * cmplx.Abs(s.Potential(r.sys.Cones[0].Node)))
	}
	return r.sys.Pressure(s) / complex(asymptote, 0), x, opening
}

func (r response) db(f float64) float64 {
	g, _, _ := r.at(f)
	return 20 * math.Log10(cmplx.Abs(g))
}

// delay is −dφ/dω in s.
func (r response) delay(f float64) float64 {
	const h = 1e-5
	up, _, _ := r.at(f * (1 + h))
	down, _, _ := r.at(f * (1 - h))
	return -cmplx.Phase(up/down) / (2 * h * 2 * math.Pi * f)
}

var none = Losses{Leakage: Loss{State: LossNone}, Absorption: Loss{State: LossNone}, Port: Loss{State: LossNone}}

const halfPower = -3.010299956639812

// Small 1972, closed-box systems: second-order responses. A box of volume Vas
// makes fc = √2 fs and Qtc = √2 Qts.
func TestPublishedClosedBox(t *testing.T) {
	l := leaving(t, map[string]string{
		"k_eta":                    "asserted by TestPublishedClosedBoxRatings",
		"k_P":                      "asserted by TestPublishedClosedBoxRatings",
		"max k_":                   "asserted by TestPublishedClosedBoxRatings",
		"Qtc that maximises":       "asserted by TestPublishedClosedBoxRatings",
		"step response first":      "asserted in study, where responses over time are made",
		"time of first undershoot": "asserted in study, where responses over time are made",
		"group delay at DC limit":  "asserted by TestPublishedClosedBoxRatings",
	})
	first := regexp.MustCompile(`Qtc=([0-9.]+)`)
	l.each("closed-box", 120, func(r publishedRow, c map[string]float64) bool {
		var box response
		const fs = 30.0
		fc := fs * math.Sqrt2
		if m := first.FindStringSubmatch(r.conditions); m != nil && c["Qts"] == 0 {
			q, _ := strconv.ParseFloat(m[1], 64)
			box = respond(t, of(t, fs, q/math.Sqrt2, 80, idealQms), Spec{Kind: Sealed, Rear: Chamber{Volume: 0.08, Losses: none}})
		}
		switch q := r.quantity; {
		case strings.HasPrefix(q, "f3/fc"):
			r.expect(t, "level", box.db(r.values(t)[0]*fc), halfPower, 1e-7)
		case strings.HasPrefix(q, "f6/fc"):
			r.expect(t, "level", box.db(r.values(t)[0]*fc), -6, 1e-7)
		case strings.HasPrefix(q, "f10/fc"):
			r.expect(t, "level", box.db(r.values(t)[0]*fc), -10, 1e-7)
		case q == "|G| at fc":
			r.expect(t, "level", box.db(fc), r.values(t)[0], 1e-6)
		case strings.HasPrefix(q, "group delay at fc"):
			r.expect(t, "delay", box.delay(fc)*2*math.Pi*fc, r.values(t)[0], 1e-6)
		case strings.HasPrefix(q, "response peak |G|max"):
			r.expect(t, "peak", peakOf(box.db, fc/3, 30*fc), r.values(t)[0], 1e-6)
		case strings.HasPrefix(q, "response peak frequency"):
			at := r.values(t)[0] * fc
			r.expect(t, "slope at the peak", box.db(at*1.001)-box.db(at/1.001), 0, 2e-5) // flat to second order in 1e-3
		case strings.HasPrefix(q, "displacement peak |X|max"):
			_, low, _ := box.at(fc / 1e4)
			r.expect(t, "peak", peakOf(func(f float64) float64 { _, x, _ := box.at(f); return 20 * math.Log10(x/low) }, fc/30, 3*fc), r.values(t)[0], 1e-6)
		case strings.HasPrefix(q, "displacement peak frequency"):
			_, up, _ := box.at(r.values(t)[0] * fc * 1.001)
			_, down, _ := box.at(r.values(t)[0] * fc / 1.001)
			r.expect(t, "slope at the peak", 20*math.Log10(up/down), 0, 2e-5)
		case strings.HasPrefix(q, "Qtc for a C2 response"):
			sized := respond(t, of(t, fs, 0.3, 80, idealQms), Spec{Kind: Sealed, Rear: Chamber{SystemQ: r.values(t)[0], Losses: none}})
			f0 := sized.sys.Facts.SealedFc
			r.expect(t, "peak", peakOf(sized.db, f0/3, 30*f0), firstNumber(r.conditions), 1e-6)
		case strings.HasPrefix(q, "alpha needed for target"):
			sized := respond(t, of(t, fs, c["Qts"], 80, idealQms), Spec{Kind: Sealed, Rear: Chamber{SystemQ: c["Qtc"], Losses: none}})
			r.expect(t, "alpha", 0.08/sized.sys.Spec.Rear.Volume, r.values(t)[0], 2.9e-5*(1+r.values(t)[0])) // the target is cut to 0.70710: 1e-5 of Q is 2·(1+α)·1e-5/Q of α
		case q == "alpha" || q == "fc" || q == "Qtc" || q == "f3":
			box = respond(t, of(t, c["fs"], c["Qts"], c["Vas"], idealQms), Spec{Kind: Sealed, Rear: Chamber{Volume: c["Vb"] * 1e-3, Losses: none}})
			switch v := r.values(t)[0]; q {
			case "alpha":
				r.expect(t, q, math.Pow(box.sys.Facts.SealedFc/c["fs"], 2)-1, v, 1e-7*v)
			case "fc":
				r.expect(t, q, box.sys.Facts.SealedFc, v, 1e-7*v)
			case "Qtc":
				r.expect(t, q, box.sys.Facts.SealedQtc, v, 1e-6*v)
			case "f3":
				r.expect(t, "level at f3", box.db(v), halfPower, 1e-7)
			}
		default:
			return false
		}
		return true
	})
}

func firstNumber(s string) float64 {
	v, _ := strconv.ParseFloat(regexp.MustCompile(`[0-9.]+`).FindString(s), 64)
	return v
}

// peakOf is the largest value of f between lo and hi.
func peakOf(f func(float64) float64, lo, hi float64) float64 {
	best, at := math.Inf(-1), lo
	for x := lo; x < hi; x *= 1.01 {
		if v := f(x); v > best {
			best, at = v, x
		}
	}
	for step := 0.01; step > 1e-6; step /= 3 {
		for _, x := range []float64{at / (1 + step), at * (1 + step)} {
			if v := f(x); v > best {
				best, at = v, x
			}
		}
	}
	return best
}

func lossOf(q float64) Loss {
	if q == 0 || math.IsInf(q, 1) {
		return Loss{State: LossNone}
	}
	return Loss{LossGiven, q}
}

// Small 1973, vented-box systems: responses with losses, impedance.
func TestPublishedVentedBox(t *testing.T) {
	l := leaving(t, map[string]string{
		"combined box Q":        "a definition",
		"QB for":                "a definition",
		"fL fH/fb":              "an identity of the two frequencies, which are asserted",
		"alpha recovered":       "an identity of the two frequencies, which are asserted",
		"closed-vent fc":        "an identity of the two frequencies, which are asserted",
		"Vb/Vas;fb/fs;f3/fs (p": "a pocket formula, known to be off by up to 35 %",
		"pocket formula":        "a pocket formula, known to be off by up to 35 %",
		"typical QB range":      "a range of practice",
		"displacement function": "qualitative",
		"mutual coupling":       "qualitative",
		"vent area":             "a rule of thumb for sizes, not a response",
	})
	l.each("vented-box", 88, func(r publishedRow, c map[string]float64) bool {
		qt := c["Qt"]
		spec := func() Spec {
			return Spec{Kind: Vented, Rear: Chamber{Volume: c["Vb"] * 1e-3, Tuning: c["fb"], Losses: Losses{Leakage: lossOf(c["QL"]), Absorption: lossOf(c["QA"]), Port: lossOf(c["QP"])}}}
		}
		switch q := r.quantity; {
		case strings.HasPrefix(q, "|G| dB; phase deg"):
			v := r.values(t)
			box := respond(t, of(t, c["fs"], qt, c["Vas"], idealQms), spec())
			g, x, _ := box.at(c["f"])
			r.expect(t, "|G|", 20*math.Log10(cmplx.Abs(g)), v[0], 2e-6)
			r.expect(t, "phase", math.Remainder(cmplx.Phase(g)*180/math.Pi-v[1], 360), 0, 2e-5)
			r.expect(t, "|X|", x, v[2], 2e-7*math.Max(v[2], 0.1))
		case strings.HasPrefix(q, "|G| dB; |X|"):
			v := r.values(t)
			box := respond(t, of(t, c["fs"], qt, c["Vas"], idealQms), spec())
			g, x, u := box.at(c["f"])
			r.expect(t, "|G|", 20*math.Log10(cmplx.Abs(g)), v[0], 2e-6)
			r.expect(t, "|X|", x, v[1], 2e-7)
			r.expect(t, "|Uport/Udriver|", u, v[2], 2e-7*v[2])
		case strings.HasPrefix(q, "fL;fH") || strings.HasPrefix(q, "Z re;im"):
			qt = 1 / (1/c["Qms"] + 1/c["Qes"])
			d := of(t, c["fs"], qt, c["Vas"], c["Qms"])
			d.Bl *= math.Sqrt(c["Re"] / d.Re) // the same Qes at the row's Re
			d.Re = c["Re"]
			box := respond(t, d, spec())
			box.sys.Spec.Rear.Losses = none
			z := func(f float64) complex128 {
				s := box.sys.Program.NewSolver()
				if err := s.Solve(2 * math.Pi * f); err != nil {
					t.Fatal(err)
				}
				return box.sys.Impedance(s)
			}
			if v := r.values(t); strings.HasPrefix(q, "Z") {
				r.expect(t, "Re Z", real(z(c["f"])), v[0], 2e-7*math.Abs(v[0]))
				r.expect(t, "Im Z", imag(z(c["f"])), v[1], 2e-7*cmplx.Abs(complex(v[0], v[1])))
			} else {
				for _, f := range v {
					r.expect(t, "Im Z/|Z| at its zero", imag(z(f))/cmplx.Abs(z(f)), 0, 1e-6)
				}
			}
		case strings.HasPrefix(q, "QB3 design"):
			v := r.values(t)
			a, err := alignFamily(Alignment{Family: "qb3"}, v[0], 7)
			if err != nil {
				t.Fatal(err)
			}
			r.expect(t, "alpha", a.alpha, v[1], 2e-5)
			r.expect(t, "h", a.h, v[2], 2e-6)
		default:
			return false
		}
		return true
	})
}

// Small 1973, appendix 1, and the families of alignments: the response has the
// tabulated f3, f6 and f10 and its highest peak, and sizing by `alignment`
// finds h and alpha again.
func TestPublishedAlignments(t *testing.T) {
	f, err := os.Open("testdata/vented-alignments.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sized, impossible := map[string]int{}, 0
	for _, row := range rows[1:] {
		r := publishedRow{id: row[0] + " " + row[1], quantity: "QL=" + row[2], conditions: "QT=" + row[3], source: "Small 1973"}
		num := func(k int) float64 {
			v, err := strconv.ParseFloat(row[k], 64)
			if err != nil {
				t.Fatalf("%s: %v", r.id, err)
			}
			return v
		}
		ql, qt, h, alpha := num(2), num(3), num(4), num(5)
		if alpha <= 0 {
			impossible++ // the table's own way of saying that no box has this response
			continue
		}
		const fs = 30.0
		box := respond(t, of(t, fs, qt, 80, idealQms), Spec{Kind: Vented, Rear: Chamber{Volume: 0.08 / alpha, Tuning: fs * h, Losses: Losses{Leakage: lossOf(ql), Port: Loss{State: LossNone}}}})
		// eight digits of frequency, on slopes up to 30 dB per octave
		r.expect(t, "level at f3", box.db(num(6)*fs), halfPower, 3e-6)
		r.expect(t, "level at f6", box.db(num(7)*fs), -6, 3e-6)
		r.expect(t, "level at f10", box.db(num(8)*fs), -10, 3e-6)
		if peak := num(9); peak > 1e-3 {
			r.expect(t, "highest peak", peakOf(box.db, 0.3*fs*h, 20*fs), peak, 1e-5)
		}
		family := map[string]string{"QB3": "qb3", "C4 Chebyshev": "c4", "B4 Butterworth": "b4"}[row[0]]
		if family == "" || family == "qb3" && qt > b4Qt(ql) || family == "c4" && qt < b4Qt(ql) {
			continue
		}
		a, err := alignFamily(Alignment{Family: family}, qt, ql)
		if err != nil {
			t.Errorf("%s QL=%s: %v", r.id, row[2], err)
			continue
		}
		sized[family]++
		r.expect(t, "h", a.h, h, 3e-6*h) // QT is printed with eight digits, and h leans on it up to threefold
		r.expect(t, "alpha", a.alpha, alpha, 2e-5*math.Max(alpha, 0.1))
	}
	if len(rows) < 400 || impossible != 2 || sized["qb3"] < 100 || sized["c4"] < 150 || sized["b4"] < 7 {
		t.Errorf("%d rows, sized: %v", len(rows), sized)
	}
}

// Small 1974, passive-radiator systems.
func TestPublishedPassiveRadiator(t *testing.T) {
	l := leaving(t, map[string]string{
		"transfer function": "a formula; its values are asserted", "notch frequency": "a formula; its values are asserted", "box tuning": "a formula; its values are asserted",
		"denominator": "coefficients of the response, whose values are asserted", "abstract fact": "qualitative", "same: fp;delta": "follows from the row before by arithmetic",
	})
	l.each("passive-radiator", 59, func(r publishedRow, c map[string]float64) bool {
		build := func(fs, qt, alpha, fp, delta float64) response {
			air := referenceAir(t)
			vas := 80e-3
			v := vas / alpha
			const sp = 0.04
			cmp := delta * v / (air.Rho * air.C * air.C * sp * sp)
			mmp := 1 / (math.Pow(2*math.Pi*fp, 2) * cmp)
			return respond(t, of(t, fs, qt, 80, idealQms), Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: v, Losses: none}, Radiator: Radiator{Sd: sp, Mms: mmp, Cms: cmp, Rms: 2 * math.Pi * fp * mmp / idealQms}})
		}
		switch q := r.quantity; {
		case q == "fb" || q == "f3" || q == "|G|":
			box := build(c["fs"], c["Qt"], c["alpha"], c["fp"], c["delta"])
			switch v := r.values(t)[0]; q {
			case "fb":
				r.expect(t, q, box.sys.Facts.RadiatorFb, v, 1e-8*v)
			case "f3":
				r.expect(t, "level at f3", box.db(v), halfPower, 2e-6)
			default:
				r.expect(t, q, box.db(c["f"]), v, 2e-6)
			}
		case strings.Contains(q, "alignment: Qt;"):
			v := r.values(t)
			box := build(30, v[0], v[2], v[4]*30, v[3])
			r.expect(t, "fb/fs", box.sys.Facts.RadiatorFb/30, v[1], 2e-6) // seven digits
			r.expect(t, "level at f3", box.db(v[5]*30), halfPower, 2e-5)
		case strings.HasPrefix(q, "passive moving mass"):
			air, err := phys.AirOf(c["c"], c["rho"])
			if err != nil {
				t.Fatal(err)
			}
			sys, _, err := Build(oneOf(t, of(t, 30, 0.4, 80, 5)), Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: c["Vb"], Tuning: c["fb"], Losses: none}, Radiator: Radiator{Sd: c["Sp"], Mms: 0.01, Cms: c["Cmp"], Rms: 1}},
				Setting{Air: air, Space: 2 * math.Pi, Distance: 1})
			if err != nil {
				t.Fatal(err)
			}
			v := r.values(t)[0]
			r.expect(t, q, sys.Spec.Radiator.Mms+sys.Spec.Radiator.AddedMass, v, 2e-8*v)
		default:
			return false
		}
		return true
	})
}

// Geddes 1989 and Fincham 1979: fourth-order bandpass; the sixth order with
// both chambers tuned to the outside.
func TestPublishedBandpass(t *testing.T) {
	l := leaving(t, map[string]string{
		"4th-order band-pass": "a formula; its values are asserted", "low-pass prototype": "a formula; its values are asserted", "symmetric alignment": "a formula; its values are asserted",
		"front volume relation": "a formula; its values are asserted", "rear volume relation": "a formula; its values are asserted", "tuning relation": "a formula; its values are asserted", "mid-band gain": "a formula; its values are asserted",
	})
	build := func(fs, qts, vas, s, qbp float64) (response, float64) {
		fb := fs * qbp / qts
		vf, vr := math.Pow(2*s*qts, 2)*vas, vas/(math.Pow(qbp/qts, 2)-1)
		return respond(t, of(t, fs, qts, vas, idealQms), Spec{Kind: Bandpass, Rear: Chamber{Volume: vr * 1e-3, Losses: none}, Front: Chamber{Volume: vf * 1e-3, Tuning: fb, Losses: none}}), fb
	}
	l.each("bandpass", 105, func(r publishedRow, c map[string]float64) bool {
		switch q := r.quantity; {
		case strings.HasPrefix(q, "pass-band ripple"):
			box, fb := build(30, 0.38, 80, c["S"], 0.7)
			r.expect(t, "hump", peakOf(box.db, fb/6, 6*fb)-box.db(fb), math.Max(0, r.values(t)[0]), 1e-6)
		case strings.HasPrefix(q, "3-dB constant"):
			box, fb := build(30, 0.38, 80, c["S"], 0.7)
			x := r.values(t)[0] / 0.7
			high := (x + math.Sqrt(x*x+4)) / 2
			r.expect(t, "level at fH", box.db(high*fb)-box.db(fb), halfPower, 1e-6)
			r.expect(t, "level at fL", box.db(fb/high)-box.db(fb), halfPower, 1e-6)
		case strings.HasPrefix(q, "fL/fb;fH/fb"):
			v := r.values(t)
			box, fb := build(30, c["Qbp"]/2, 80, c["S"], c["Qbp"])
			r.expect(t, "gain", box.db(fb), v[2], 2e-6)
			r.expect(t, "level at fL", box.db(v[0]*fb)-v[2], halfPower, 2e-6)
			r.expect(t, "level at fH", box.db(v[1]*fb)-v[2], halfPower, 2e-6)
		case strings.HasPrefix(q, "worked: Vf"):
			v := r.values(t)
			box, fb := build(c["fs"], c["Qts"], c["Vas"], c["S"], c["Qbp"])
			r.expect(t, "fb", fb, v[2], 1e-5)
			r.expect(t, "gain", box.db(fb), v[5], 1e-5)
			r.expect(t, "level at fL", box.db(v[3])-v[5], halfPower, 1e-5)
			r.expect(t, "level at fH", box.db(v[4])-v[5], halfPower, 1e-5)
		case q == "|G|":
			var box response
			if c["S"] > 0 {
				box, _ = build(c["fs"], c["Qts"], c["Vas"], c["S"], c["Qbp"])
			} else {
				box = respond(t, of(t, c["fs"], c["Qts"], c["Vas"], idealQms), Spec{
					Kind: Bandpass, Rear: Chamber{Volume: c["Vr"] * 1e-3, Losses: none}, Front: Chamber{Volume: c["Vf"] * 1e-3, Tuning: c["fb"], Losses: none},
				})
			}
			r.expect(t, q, box.db(c["f"]), r.values(t)[0], 2e-6)
		case q == "|G| 6th order":
			box := respond(t, of(t, c["fs"], c["Qt"], c["Vas"], idealQms), Spec{
				Kind: BandpassParallel, Rear: Chamber{Volume: c["V2"] * 1e-3, Tuning: c["f2"], Losses: none}, Front: Chamber{Volume: c["V1"] * 1e-3, Tuning: c["f1"], Losses: none},
			})
			r.expect(t, q, box.db(c["f"]), r.values(t)[0], 2e-6)
		default:
			return false
		}
		return true
	})
}

// What a port's air must move for a level: at the tuning of a box without losses
// the cone stands still, and all that is heard comes from the port.
func TestPublishedPortSpeed(t *testing.T) {
	l := leaving(t, nil)
	l.each("ports", 4, func(r publishedRow, c map[string]float64) bool {
		air, err := phys.AirOf(345, c["rho"]) // the speed of sound only sizes the port
		if err != nil {
			t.Fatal(err)
		}
		spec := Spec{Kind: Vented, Rear: Chamber{Volume: 0.06, Tuning: c["fb"], Losses: none, Port: Port{Shape: AreaOnly, Area: c["Sv"]}}}
		sys, _, err := Build(oneOf(t, of(t, 30, 0.4, 80, 5)), spec, Setting{Air: air, Space: 2 * math.Pi, Distance: 1})
		if err != nil {
			t.Fatal(err)
		}
		s := sys.Program.NewSolver()
		if err := s.Solve(2 * math.Pi * c["fb"]); err != nil {
			t.Fatal(err)
		}
		peak := math.Sqrt2 * sys.OpeningFlow(s, &sys.Openings[0]) / sys.Openings[0].Area
		volts := 20e-6 * math.Pow(10, c["SPL"]/20) / cmplx.Abs(sys.Pressure(s))
		v := r.values(t)[0]
		r.expect(t, "peak speed", peak*volts, v, 1e-6*v) // the area is given to six digits
		return true
	})
}

// Facts of groups that need the network: the resonance of two cones against
// each other on the trapped air, closed boxes, and levels of pairs.
func TestPublishedGroups(t *testing.T) {
	d := &driver.Driver{Name: "published", Re: 6, Bl: 10, Mms: 0.06, Cms: 0.4e-3, Rms: 1.5, Sd: 0.033, Coil: driver.VoiceCoil{Le: 1e-3}, Coils: driver.Coils{Count: 1}}
	air, err := phys.AirOf(345, 1.18)
	if err != nil {
		t.Fatal(err)
	}
	set := Setting{Air: air, Space: 2 * math.Pi, Distance: 1}
	build := func(g *driver.Group, s Spec) *System {
		sys, _, err := Build(g, s, set)
		if err != nil {
			t.Fatal(err)
		}
		return sys
	}
	asserted := 0
	for _, r := range publishedRows(t, "isobaric-groups-wiring") {
		v := firstNumber(r.value)
		switch q := r.quantity; {
		case strings.HasPrefix(q, "compound pair: out-of-phase resonance"):
			g := mount(t, d, 1, 2, 1)
			litres, _ := strconv.ParseFloat(regexp.MustCompile(`volume ([0-9.]+) L`).FindStringSubmatch(r.conditions)[1], 64)
			g.Coupling = []driver.Coupling{{Volume: litres * 1e-3}}
			r.expect(t, "mode", build(g, Spec{Kind: InfiniteBaffle}).Facts.CouplingModes[0], v, 2e-8*v)
			asserted++
		case strings.HasPrefix(q, "closed box"):
			stack := 1
			if strings.Contains(q, "compound") {
				stack = 2
			}
			sys := build(mount(t, d, 1, stack, 1), Spec{Kind: Sealed, Rear: Chamber{Volume: firstNumber(q) * 1e-3}})
			w := r.values(t)
			r.expect(t, "fc", sys.Facts.SealedFc, w[1], 1e-7*w[1])
			r.expect(t, "Qtc", sys.Facts.SealedQtc, w[2], 1e-6*w[2])
			asserted += 2
		case strings.HasPrefix(q, "side-by-side pair"):
			series := 1
			if strings.Contains(q, "series wired") {
				series = 2
			}
			level := func(sys *System) float64 {
				s := sys.Program.NewSolver()
				if err := s.Solve(2 * math.Pi * 80); err != nil {
					t.Fatal(err)
				}
				return 20 * math.Log10(cmplx.Abs(sys.Pressure(s)))
			}
			got := level(build(mount(t, d, 2, 1, series), Spec{Kind: InfiniteBaffle})) - level(build(mount(t, d, 1, 1, 1), Spec{Kind: InfiniteBaffle}))
			r.expect(t, "level", got, v, 1e-4/2)
			asserted++
		}
	}
	if asserted < 15 {
		t.Errorf("only %d figures were asserted", asserted)
	}
}
