package duct

import (
	"math"
	"math/cmplx"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
)

func gasOf(t *testing.T, r check.Row) Gas {
	return Gas{Rho: r.After(t, "rho="), C: r.After(t, " c="), Viscosity: r.After(t, "mu="), Prandtl: r.After(t, "Pr="), Gamma: r.After(t, "gamma=")}
}

// digits is half of the last digit of a printed number, and a little.
func digits(text string) float64 {
	text = strings.TrimSpace(text)
	mantissa, exponent, _ := strings.Cut(text, "e")
	power := 0
	if exponent != "" {
		power, _ = strconv.Atoi(exponent)
	}
	if _, behind, ok := strings.Cut(mantissa, "."); ok {
		power -= len(behind)
	}
	return 0.6 * math.Pow(10, float64(power))
}

// matches holds numbers against those of a row, to their digits and a relative
// tolerance.
func matches(t *testing.T, r check.Row, relative float64, got ...float64) {
	t.Helper()
	printed := strings.Split(r.Value, ";")
	for i, want := range r.Values(t) {
		if d := math.Abs(got[i] - want); !(d <= digits(printed[i])+relative*math.Abs(want)) {
			t.Errorf("%s, %s: %s is %.10g, want %s", r.ID, r.Conditions, r.Quantity, got[i], printed[i])
		}
	}
}

// line is what the wave in a long round duct is: attenuation, Np/m, phase speed
// over c, and characteristic impedance over ρ0·c. All follow from the chain of a
// metre of it, the product’s own.
func line(g Gas, radius float64, section Section, area, f float64) (alpha, speed float64, zc complex128) {
	if radius > 0 {
		area = math.Pi * radius * radius
	}
	const length = 0.01
	w := omega(f)
	m := must(New(must(Cylinder(length, area)), Making{Gas: g, Walls: true, Section: section})).Chain(w)
	// A = cosh ΓL; B/C = Zc²
	zc = cmplx.Sqrt(m.B / m.C)
	gamma := cmplx.Log(m.A+m.B/zc) / complex(length, 0)
	return real(gamma), w / imag(gamma) / g.C, zc * complex(area/(g.Rho*g.C), 0)
}

// The printed digits bound the comparison; a chain of 1 cm leaves 1e-8 of a small
// attenuation.
func TestPublishedDucts(t *testing.T) {
	const left = 5 + // laws of air, from memory
		3 + // the air of Keefe’s formulas, with its Prandtl number, and the c that a rule of thumb implies
		1 + // the rule itself, from memory
		4 // Keefe’s formulas as such; their values are asserted
	tested, rows := 0, check.Rows(t, "testdata/ducts.csv")
	keefe := Gas{Rho: 1.1769, C: 347.23, Viscosity: 1.846e-5, Prandtl: 0.707281, Gamma: 1.4017}
	for _, r := range rows {
		tested++
		switch {
		case r.Quantity == "attenuation alpha (exact circular tube)":
			a, _, _ := line(gasOf(t, r), r.After(t, "tube radius "), Section{}, 0, r.After(t, "f="))
			matches(t, r, 1e-7, a)
		case r.Quantity == "phase velocity / c":
			_, v, _ := line(gasOf(t, r), r.After(t, "tube radius "), Section{}, 0, r.After(t, "f="))
			matches(t, r, 1e-8, v)
		case r.Quantity == "Zc/(rho c) re;im":
			_, _, z := line(gasOf(t, r), r.After(t, "tube radius "), Section{}, 0, r.After(t, "f="))
			matches(t, r, 1e-8, real(z), imag(z))
		case r.Quantity == "attenuation alpha (Kirchhoff wide tube)":
			// Kirchhoff’s leading term; the next is 1.08/1.045 of it over the shear wave
			// number (Keefe).
			g, radius, f := gasOf(t, r), r.After(t, "tube radius "), r.After(t, "f=")
			a, _, _ := line(g, radius, Section{}, 0, f)
			rv := radius * math.Sqrt(omega(f)*g.Rho/g.Viscosity)
			check.Near(t, r.ID+": attenuation over Kirchhoff’s", a/r.Values(t)[0]-1, 1.034/rv, 1/(rv*rv)+2e-3/rv, "the next term but one, and that Keefe’s air is another")
		case strings.HasPrefix(r.Quantity, "exact "):
			rv := r.After(t, "rv=")
			const f = 50.0
			a, v, z := line(keefe, rv/math.Sqrt(omega(f)*keefe.Rho/keefe.Viscosity), Section{}, 0, f)
			if strings.HasPrefix(r.Quantity, "exact Zc") {
				matches(t, r, 1e-8, real(z), imag(z))
			} else {
				matches(t, r, 1e-7, a/(omega(f)/keefe.C), 1/v)
			}
		case strings.HasPrefix(r.Quantity, "Keefe large-rv: "):
			rv := r.After(t, "rv="+map[bool]string{true: "a sqrt(rho w/mu)="}[strings.Contains(r.Conditions, "sqrt")])
			const f = 50.0
			a, v, z := line(keefe, rv/math.Sqrt(omega(f)*keefe.Rho/keefe.Viscosity), Section{}, 0, f)
			got := []float64{a / (omega(f) / keefe.C), 1 / v}
			if strings.Contains(r.Quantity, "Zc") {
				got = []float64{real(z), imag(z)}
			}
			for i, want := range r.Values(t) {
				check.Near(t, r.ID, got[i], want, 0.2/(rv*rv)+3e-4/rv, "Keefe’s expansions end with these powers, and have four digits")
			}
		case r.Quantity == "1.045 coefficient":
			const rv, f = 1e4, 50.0
			a, _, _ := line(keefe, rv/math.Sqrt(omega(f)*keefe.Rho/keefe.Viscosity), Section{}, 0, f)
			check.Near(t, r.ID, a/(omega(f)/keefe.C)*rv, r.Values(t)[0], 2e-4, "the next term is 1.08/rv")
		case strings.Contains(r.Quantity, "boundary layer"):
			g := gasOf(t, r)
			const radius = 0.03
			d := must(New(must(Cylinder(1, math.Pi*radius*radius)), Making{Gas: g, Walls: true}))
			s := d.airs[0].wall.viscous
			if strings.HasPrefix(r.Quantity, "thermal") {
				s = d.airs[0].wall.thermal
			}
			matches(t, r, 1e-8, radius*math.Sqrt2/(s*math.Sqrt(omega(r.After(t, "f=")))))
		case strings.HasPrefix(r.Quantity, "slot"):
			// The exact loss between plates against that of the hydraulic radius: alike
			// where the layers are thin, and off by a share of their thickness.
			g, gap, f := gasOf(t, r), r.After(t, "gap "), r.After(t, "f=")
			const width = 40.0
			a, v, _ := line(g, 0, Section{Width: width}, gap*width, f)
			layer := math.Sqrt(2*g.Viscosity/(g.Rho*omega(f))) / gap
			want := r.Values(t)
			check.Near(t, r.ID+": attenuation over that of a slot", a/want[0], 1, 0.8*layer, "the curvature of the round duct’s layers")
			check.Near(t, r.ID+": phase speed", v, want[1], 0.5*layer*layer+1e-3*layer, "as above, of second order")
		case strings.HasPrefix(r.Quantity, "closed-open pipe"):
			c, l := r.After(t, " c="), r.After(t, "L=")+0.6133*r.After(t, " a=")
			d := must(New(must(Cylinder(l, 0.01)), Making{Gas: Gas{Rho: 1.2, C: c}}))
			for i, want := range r.Values(t) {
				// U1 = D·U2 for a mouth without pressure: it answers without bound where D is 0.
				f := root(want*0.9, want*1.1, func(f float64) float64 { return real(d.Chain(omega(f)).D) })
				check.Near(t, r.ID+" resonance "+strconv.Itoa(i+1), f, want, 1e-6, "the printed digits")
			}
		case strings.HasPrefix(r.Quantity, "fb with port as lossless line"):
			matches(t, r, 5e-9, lineTuning(t, r, 1.4349)) // the area is printed with eight digits
		case r.Quantity == "Helmholtz fb":
			// As a line the port tunes lower, by a sixth of its air over the box’s.
			_, text, _ := strings.Cut(r.Conditions, "end corr ")
			ends := map[string]float64{
				"no end correction": 0, "one flanged piston 8/(3pi), one unflanged .6133": 8/(3*math.Pi) + 0.6133, "0.8216+0.6133": 1.4349,
				"both 8/(3pi)": 16 / (3 * math.Pi), "1.463 total": 1.463, "0.732 per end (1.464)": 1.464,
			}
			e, ok := ends[text]
			if !ok {
				t.Fatalf("%s: ends %q", r.ID, text)
			}
			area, length := r.After(t, "S="), r.After(t, "L=")
			share := area * (length + e*math.Sqrt(area/math.Pi)) / r.After(t, "V=")
			check.Near(t, r.ID+": tuning as a line", lineTuning(t, r, e)/r.Values(t)[0], 1-share/6, share*share/15, "the next term of x·tan x")
		default:
			tested--
		}
	}
	if tested+left != len(rows) {
		t.Errorf("%d rows of %d were tested, and %d are left out", tested, len(rows), left)
	}
}

// lineTuning is where a port of a row, as a duct without loss with its ends’
// corrections as length, resonates with the row’s box.
func lineTuning(t *testing.T, r check.Row, ends float64) float64 {
	area, volume := r.After(t, "S="), r.After(t, "V=")
	g := Gas{Rho: 1.2, C: r.After(t, "c=")}
	d := must(New(must(Cylinder(r.After(t, "L=")+ends*math.Sqrt(area/math.Pi), area)), Making{Gas: g}))
	return root(10, 100, func(f float64) float64 {
		w := omega(f)
		return imag(d.Chain(w).load(0)) - g.modulus()/(w*volume)
	})
}

// root is where f changes its sign.
func root(a, b float64, f func(float64) float64) float64 {
	left := f(a) < 0
	for range 200 {
		m := (a + b) / 2
		if (f(m) < 0) == left {
			a = m
		} else {
			b = m
		}
	}
	return (a + b) / 2
}

// An endless horn is a finite one with the rest of it as its load. The rows of
// finite horns have eight digits, those of the parabolic one an error of 1e-6; ours
// is cut into segments there.
func TestPublishedHorns(t *testing.T) {
	const left = 6 + 8 // the spherical-wave horn’s contour, which is not among the flares
	tested, rows := 0, check.Rows(t, "testdata/horns.csv")
	finite := func(s Shape) func(r check.Row) complex128 {
		return func(r check.Row) complex128 {
			g := Gas{Rho: 1.2041, C: 343.21}
			_, text, _ := strings.Cut(r.Conditions, "f=")
			f := must(strconv.ParseFloat(text, 64))
			w := omega(f)
			m := must(New(s, Making{Gas: g})).Chain(w)
			return m.load(piston(g, 0.25, w)) * complex(0.01/(g.Rho*g.C), 0)
		}
	}
	exponential := finite(must(Exponential(1.2, 0.01, 0.25)))
	conical := finite(must(Cone(1.2, 0.01, 0.25)))
	parabolic := finite(must(Parabolic(1.2, 0.01, 0.25)))
	for _, r := range rows {
		tested++
		switch {
		case strings.HasPrefix(r.Quantity, "infinite exponential"):
			s := must(Exponential(0.8, 0.004, 0.05))
			x := r.After(t, "f/fc=")
			if math.Abs(x-math.Sqrt2) < 1e-5 {
				x = math.Sqrt2 // printed with six digits
			}
			v := r.Values(t)
			z := s.endless(x*s.Cutoff(343.2), complex(v[0], v[1]))
			matches(t, r, 2e-8, real(z), imag(z)) // the load has the printed digits, which a horn near its cut-off spreads
		case strings.HasPrefix(r.Quantity, "infinite conical"):
			kr := r.After(t, "k r0=")
			const r0 = 0.5
			s := must(Cone(0.7, 0.01, 0.01*math.Pow((r0+0.7)/r0, 2)))
			end := complex(0, kr*(r0+0.7)/r0)
			z := s.endless(kr/r0*343.2/(2*math.Pi), end/(1+end))
			matches(t, r, 1e-10, real(z), imag(z))
		case strings.HasPrefix(r.Quantity, "exponential cutoff"):
			check.Near(t, r.ID, must(Exponential(2, 0.01, 0.01*math.Exp(3.7*2))).Cutoff(345), r.Values(t)[0], 1e-6, "the printed digits")
		case strings.HasPrefix(r.Quantity, "hyperbolic-exponential"):
			tt, m := r.After(t, "T="), r.After(t, "f/fc=")
			s := must(Hyperbolic(0.8, 0.004, 0.05, tt))
			part := s.stretches[0]
			// The T of what is left of the horn at its end.
			rest := part.slope(0.8) / part.at(0.8) / math.Sqrt(part.kk)
			d := 1 - (1-rest*rest)/(m*m)
			z := s.endless(m*s.Cutoff(343.2), complex(math.Sqrt(1-1/(m*m))/d, rest/m/d))
			matches(t, r, 1e-9, real(z), imag(z))
		case strings.HasPrefix(r.Quantity, "finite exponential"):
			z := exponential(r)
			matches(t, r, 1e-9, real(z), imag(z))
		case strings.HasPrefix(r.Quantity, "finite conical"):
			z := conical(r)
			matches(t, r, 1e-9, real(z), imag(z))
		case strings.HasPrefix(r.Quantity, "finite parabolic"):
			z := parabolic(r)
			v := r.Values(t)
			near(t, r.ID, z, complex(v[0], v[1]), 3e-5, "segments, of whose error resonances make more; 7e-6 was measured below 80 Hz")
		case r.Quantity == "tractrix: distance from mouth":
			s := must(Tractrix(math.Pi*0.01*0.01, math.Pi*0.3*0.3))
			x, radius := r.Values(t)[0], r.After(t, "radius r=")
			check.Near(t, r.ID+": radius", math.Sqrt(s.Area(s.Length()-x)/math.Pi), radius, 1e-9, "the printed digits")
			check.Near(t, r.ID+": distance", tractrix(0.3, radius), x, 1e-9, "the printed digits")
		case r.Quantity == "tractrix mouth radius for cutoff":
			// The cut-off of a tractrix is that of the exponential horn which it leaves at
			// its throat: S grows by e^(2x/a) there, so that κ = 1/a.
			a := r.Values(t)[0]
			s := must(Tractrix(1e-6, math.Pi*a*a))
			l := s.Length()
			k := math.Log(s.Area(l/10)/s.Area(0)) / (2 * l / 10)
			check.Near(t, r.ID+": cut-off, Hz", k*345/(2*math.Pi), 100, 1e-3, "the share of e^−2x/a at the tenth of the length")
		default:
			tested--
		}
	}
	if tested+left != len(rows) {
		t.Errorf("%d rows of %d were tested, and %d are left out", tested, len(rows), left)
	}
}

// endless is the impedance at the start, over ρ·c/S there, for one at the end, over
// that there.
func (s Shape) endless(f float64, end complex128) complex128 {
	g := Gas{Rho: 1.2041, C: 343.2}
	l := s.Length()
	m := must(New(s, Making{Gas: g})).Chain(omega(f))
	return m.load(end*complex(g.Rho*g.C/s.Area(l), 0)) * complex(s.Area(0)/(g.Rho*g.C), 0)
}

func TestPublishedFill(t *testing.T) {
	const left = 32 + 1 + 12 + 1 + // the fits of Delany & Bazley and of others for foam and felt, which are not offered
		4 + // Miki’s formulas as such; their values are asserted
		1 + // what a filled box gains in practice, from memory
		2 // a cavity’s walls, which have no fill
	g := Gas{Rho: 1.2041, C: 343.21, Prandtl: 0.7088, Gamma: 1.4}
	tested, rows := 0, check.Rows(t, "testdata/porous-fill.csv")
	for _, r := range rows {
		tested++
		switch {
		case strings.HasPrefix(r.Quantity, "Miki Zc"):
			f := Fill{Resistivity: 1000, Model: Miki}
			w := omega(1000 * r.After(t, "f/sigma="))
			rho, k := f.At(g, w)
			z, n := cmplx.Sqrt(rho*k)/complex(g.Rho*g.C, 0), cmplx.Sqrt(rho/k)*complex(g.C, 0)
			matches(t, r, 0, real(z), imag(z), real(n), imag(n))
		case strings.HasPrefix(r.Quantity, "phase speed"):
			speed, loss := Fill{Resistivity: r.After(t, "sigma="), Model: Miki}.Wave(g, omega(r.After(t, " f=")))
			matches(t, r, 0, speed, loss*20/math.Ln10)
		case r.Quantity == "Miki fit range":
			if from, to := (Fill{Resistivity: 1, Model: Miki}).Fitted(); from != 0.01 || to != 1 || !strings.Contains(r.Value, "0.01 < f/sigma < 1.0") {
				t.Errorf("%s: %g to %g, want %s", r.ID, from, to, r.Value)
			}
		case strings.HasPrefix(r.Quantity, "flow resistivity of glass"):
			sigma := must(Glass.Resistivity(r.After(t, "bulk density "), r.After(t, "fibre diameter ")*1e-6))
			matches(t, r, 1e-5, sigma)
		case strings.HasPrefix(r.Quantity, "flow resistivity of polyester"):
			matches(t, r, 1e-5, must(Polyester.Resistivity(r.After(t, "bulk density "), 0)))
		case r.Quantity == "isothermal compliance gain limit":
			check.Near(t, r.ID, Fill{Resistivity: 5000}.Gain(g, omega(0.001)), r.Values(t)[0], 1e-6, "the slow limit is reached at f/σ of 1e-7")
		default:
			tested--
		}
	}
	if tested+left != len(rows) {
		t.Errorf("%d rows of %d were tested, and %d are left out", tested, len(rows), left)
	}
}

func TestTransmissionLineFacts(t *testing.T) {
	const left = 2 // a unit, and a formula whose values are asserted
	tested, rows := 0, check.Rows(t, "testdata/transmission-line-facts.csv")
	for _, r := range rows {
		tested++
		switch {
		case strings.HasPrefix(r.Quantity, "Bradbury co-moving"):
			// The air carries fibres along that hold it fast: a resistivity so high that
			// they move as one. The air’s own springiness is then isothermal.
			g := Gas{Rho: 1.2, C: 343.2, Prandtl: 0.7088, Gamma: 1.4}
			f := Fill{Resistivity: 1e6, Density: r.After(t, "fill density ")}
			speed, _ := f.Wave(g, omega(0.01))
			want := r.Values(t)
			check.Near(t, r.ID+", isothermal", speed/g.C, want[1], 1e-5, "the resistivity is finite, the frequency not 0")
			check.Near(t, r.ID+", adiabatic", speed/g.C*math.Sqrt(1.4), want[0], 1e-5, "as above")
		case strings.HasPrefix(r.Quantity, "quarter-wave"):
			l := r.After(t, "L=")
			for i, end := range []float64{0, 0.613 * 0.08} {
				d := must(New(must(Cylinder(l+end, 0.02)), Making{Gas: Gas{Rho: 1.2, C: 345}}))
				want := r.Values(t)[i]
				f := root(want*0.8, want*1.2, func(f float64) float64 { return real(d.Chain(omega(f)).D) })
				check.Near(t, r.ID, f, want, 1e-6, "the printed digits")
			}
		case r.Quantity == "gamma_isothermal c ratio":
			_, k := Fill{Resistivity: 5000}.At(plainAir, omega(0.001))
			check.Near(t, r.ID, math.Sqrt(real(k)/plainAir.modulus()), r.Values(t)[0], 1e-6, "the slow limit is reached at f/σ of 1e-7")
		default:
			tested--
		}
	}
	if tested+left != len(rows) {
		t.Errorf("%d rows of %d were tested, and %d are left out", tested, len(rows), left)
	}
}
