package enclosure

import (
	"math"
	"math/cmplx"
	"regexp"
	"strings"
	"testing"

	"basswright/internal/driver"
)

// What is measured on a driver follows from the network as from Small's
// formulas (1972, Direct-Radiator Loudspeaker System Analysis): the impedance
// curve, its electrical image, added mass and test box. The rows of parameters
// alone are asserted in package driver.
func TestPublishedMeasurements(t *testing.T) {
	l := leaving(t, map[string]string{
		"identity": "an identity in letters: package driver holds it for random drivers",
	})
	var m measured
	for _, r := range l.rows("ts-parameters") {
		if r.seen == "memory" || strings.HasPrefix(r.quantity, "identity") {
			l.out(r)
			continue
		}
		if !strings.HasPrefix(r.conditions, "same") {
			m.take(t, r)
		}
		got, more := m.read(t, r)
		if got == nil {
			l.out(r)
			continue
		}
		// what float64 and the search for a crossing leave
		r.agrees(t, math.Max(more, 1e-9), got...)
	}
	l.done(70)
}

// measured is the driver that a run of rows is about.
type measured struct {
	sys, loaded *System // on an infinite baffle, plain and with the row's added mass
	d           *driver.Driver
	box         *System // in the row's test box
	c           map[string]float64
	added       float64
}

var addedPattern = regexp.MustCompile(`added ([0-9.]+) kg`)

// take makes the driver of a row.
func (m *measured) take(t *testing.T, r publishedRow) {
	t.Helper()
	c := r.condition()
	*m = measured{c: c}
	air := referenceAir(t)
	if c["rho"] > 0 && c["c"] > 0 {
		air = airOf(t, c["c"], c["rho"])
	}
	switch {
	case c["Bl"] > 0:
		m.d = &driver.Driver{Name: "published", Re: c["Re"], Bl: c["Bl"], Mms: c["Mms"], Cms: c["Cms"], Rms: c["Rms"], Sd: c["Sd"], Coils: driver.Coils{Count: 1}}
	case c["Qms"] > 0 && c["fs"] > 0:
		m.d = of(t, c["fs"], 1/(1/c["Qms"]+1/c["Qes"]), 80, c["Qms"])
		m.d.Bl *= math.Sqrt(c["Re"] / m.d.Re)
		m.d.Re = c["Re"]
	case c["Vtest"] > 0:
		m.d = of(t, c["fs"], c["Qes"], c["Vas"]*1e3, idealQms)
		m.box = build(t, m.d, air, Spec{Kind: Sealed, Rear: Chamber{Volume: c["Vtest"], Losses: none}})
	case c["Mms"] > 0:
		m.added = firstNumber(addedPattern.FindString(r.conditions))
		d := of(t, c["fs"], 0.4, 80, 5)
		k := c["Mms"] / d.Mms // heavier and stiffer alike: fs stays
		d.Mms, d.Cms = d.Mms*k, d.Cms/k
		heavy := *d
		heavy.Mms += m.added
		m.d, m.loaded = d, build(t, &heavy, air, Spec{Kind: InfiniteBaffle})
	default:
		m.d = of(t, 30, 0.4, 80, 5)
		if c["rho"] > 0 {
			air = airOf(t, 345, c["rho"])
		}
	}
	m.sys = build(t, m.d, air, Spec{Kind: InfiniteBaffle})
}

// read is what a row is about, and the relative error of the reading where it
// is more than rounding. nil: nothing that a network gives.
func (m *measured) read(t *testing.T, r publishedRow) (got []float64, more float64) {
	t.Helper()
	c := m.c
	one := func(v float64) ([]float64, float64) { return []float64{v}, 0 }
	switch q := r.quantity; {
	case q == "Res" || q == "Lces" || q == "Cmes":
		res, lces, cmes := image(t, m.sys, m.d)
		return one(map[string]float64{"Res": res, "Lces": lces, "Cmes": cmes}[q])
	case strings.HasPrefix(q, "half-space peak displacement"), strings.HasPrefix(q, "same, full space"):
		// at any drive: the pressure for a displaced volume of 10⁻³ m³ peak
		p, _, x := reading(t, m.sys, 20)
		level := 20 * math.Log10(cmplx.Abs(p)*1e-3/(x*m.d.Sd)/20e-6)
		if strings.Contains(q, "full space") {
			free, _, err := Build(oneOf(t, m.d), Spec{Kind: InfiniteBaffle}, Setting{Air: m.sys.Setting.Air, Space: 4 * math.Pi, Distance: 1})
			if err != nil {
				t.Fatal(err)
			}
			p, _, x = reading(t, free, 20)
			level = 20 * math.Log10(cmplx.Abs(p)*1e-3/(x*m.d.Sd)/20e-6)
		}
		return one(level)
	case strings.HasPrefix(q, "acoustic power for Vd"):
		p, _, x := reading(t, m.sys, 50)
		a := m.sys.Setting.Air
		return one(real(p*cmplx.Conj(p)) * 2 * math.Pi / (a.Rho * a.C) / (math.Pow(50, 4) * sq(x*m.d.Sd)))
	case q == "Z re;im":
		_, z, _ := reading(t, m.sys, c["f"])
		return []float64{real(z), imag(z)}, 0
	case m.loaded != nil:
		fs, fm := resonance(t, m.sys, c["fs"]), resonance(t, m.loaded, c["fs"])
		mms := m.added / (sq(fs/fm) - 1)
		return one(map[byte]float64{'r': fm, 'M': mms, 'C': 1 / (sq(2*math.Pi*fs) * mms)}[q[0]])
	case m.box != nil:
		return m.testBox(t, q)
	case c["Qms"] > 0:
		return m.curve(t, q)
	}
	return nil, 0
}

// curve is what Small reads from the impedance curve: the peak, and the two
// frequencies at which |Z| is Re·√r0.
func (m *measured) curve(t *testing.T, q string) ([]float64, float64) {
	t.Helper()
	fs := resonance(t, m.sys, m.c["fs"])
	z := func(f float64) float64 { _, z, _ := reading(t, m.sys, f); return cmplx.Abs(z) }
	r0 := z(fs) / m.d.Re
	at := m.d.Re * math.Sqrt(r0)
	f1 := crossing(fs/6, fs, func(f float64) float64 { return z(f) - at })
	f2 := crossing(fs, fs*6, func(f float64) float64 { return at - z(f) })
	qms := fs * math.Sqrt(r0) / (f2 - f1)
	for begin, v := range map[string]float64{
		"Zmax": r0 * m.d.Re, "r0": r0, "|Z| at f1": at, "f1": f1, "f2": f2, "sqrt(f1": math.Sqrt(f1 * f2), "Qms rec": qms, "Qes rec": qms / (r0 - 1),
	} {
		if strings.HasPrefix(q, begin) {
			return []float64{v}, 0
		}
	}
	return nil, 0
}

// testBox is the measurement of Vas in a closed box of known volume.
func (m *measured) testBox(t *testing.T, q string) ([]float64, float64) {
	t.Helper()
	fc, qc := m.box.Facts.SealedFc, m.box.Facts.SealedQtc
	heavy := *m.d
	heavy.Mms *= 1.05
	loaded := build(t, &heavy, m.box.Setting.Air, m.box.Spec)
	fl, ql := loaded.Facts.SealedFc, loaded.Facts.SealedQtc
	fs, qes, v := m.c["fs"], m.c["Qes"], m.c["Vtest"]
	const loss = 3e-9 // the driver's Qms of 1e9 shows in Q
	switch {
	case strings.HasPrefix(q, "fc in test box, mass"):
		return []float64{fc}, 0
	case strings.HasPrefix(q, "fc in test box if"):
		return []float64{fl}, 0
	case strings.HasPrefix(q, "Vas recovered"):
		return []float64{v * (fc*qc/(fs*qes) - 1)}, loss
	case strings.HasPrefix(q, "Vas still"):
		return []float64{v * (fl*ql/(fs*qes) - 1)}, loss
	case strings.HasPrefix(q, "Vas from the"):
		return []float64{v * (sq(fl/fs) - 1)}, 0
	}
	return nil, 0
}

// image is the resonant circuit that the mechanical side shows at the
// terminals: 1/(Z − Re) = 1/R + jωC + 1/(jωL), read at two frequencies.
func image(t *testing.T, sys *System, d *driver.Driver) (r, l, c float64) {
	t.Helper()
	y := func(f float64) complex128 { _, z, _ := reading(t, sys, f); return 1 / (z - complex(d.Re, 0)) }
	const lo, hi = 15.0, 60.0
	wl, wh := 2*math.Pi*lo, 2*math.Pi*hi
	bl, bh := imag(y(lo)), imag(y(hi))
	// b = ωC − 1/(ωL) at both
	c = (bh*wh - bl*wl) / (wh*wh - wl*wl)
	l = 1 / (wl * (wl*c - bl))
	return 1 / real(y(lo)), l, c
}

// resonance is where the impedance is real, near a frequency.
func resonance(t *testing.T, sys *System, near float64) float64 {
	t.Helper()
	return crossing(near/1.7, near*1.7, func(f float64) float64 { _, z, _ := reading(t, sys, f); return -imag(z) })
}

// crossing is where f rises through 0 between lo and hi, to the last bit.
func crossing(lo, hi float64, f func(float64) float64) float64 {
	for range 60 {
		if mid := (lo + hi) / 2; f(mid) > 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	return (lo + hi) / 2
}
