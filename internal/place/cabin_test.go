package place

import (
	"math"
	"math/cmplx"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/phys"

	"pgregory.net/rapid"
)

// far keeps the first mode away from what is measured below it.
const far = 1e-3

// Every row of the table is asserted, or left out for a reason.
func TestPublishedCabin(t *testing.T) {
	left := map[string]string{
		"room-cabin-038": "no length is given: it only names the band, which TestFirstModeOfACar holds",
		"room-cabin-041": "an overtone: no part of this package",
		"room-cabin-042": "an overtone: no part of this package",
		"room-cabin-043": "the speed of sound that rows 039 and 040 are held with",
		"room-cabin-044": "booming of the road: no figure of ours",
		"room-cabin-045": "a coupled trunk: qualitative",
		"room-cabin-048": "walls: TestPublishedWalls",
		"room-cabin-049": "walls: TestPublishedWalls",
	}
	air := tableAir(t)
	asserted := 0
	for _, r := range check.Rows(t, "testdata/room-cabin.csv") {
		if left[r.ID] != "" {
			continue
		}
		asserted++
		switch r.Quantity {
		case "sealed-volume gain re half-space 1 m level":
			z := newZone(t, Cabin{Volume: r.After(t, "V=")}, air)
			check.Near(t, r.ID, dB(z.Lumped(r.After(t, "f="))), r.Values(t)[0], 0.5e-7, lastDigit)
		case "frequency where pressure-zone level equals half-space 1 m level":
			z := newZone(t, Cabin{Volume: r.After(t, "V=")}, air)
			// half a unit of the last digit, at 2·20/ln 10 dB for a relative change of the frequency
			f := r.Values(t)[0]
			check.Near(t, r.ID, dB(z.Lumped(f)), 0, 0.5e-7/f*40/math.Ln10, lastDigit)
		case "pressure-zone SPL for peak volume displacement":
			z := newZone(t, Cabin{Volume: r.After(t, "V=")}, air)
			const f = 11.0
			w := 2 * math.Pi * f
			half := air.Rho * w * w * r.After(t, "Vd=") / (2 * math.Pi) / math.Sqrt2
			got := 20*math.Log10(half/20e-6) + dB(z.Lumped(f))
			check.Near(t, r.ID, got, r.Values(t)[0], 0.5e-7, lastDigit)
		case "first axial mode":
			z := newZone(t, Cabin{Volume: 1, Length: r.After(t, "L=")}, air)
			check.Near(t, r.ID, z.FirstMode(), r.Values(t)[0], 0.5e-7, lastDigit)
		case "cabin leak Helmholtz corner":
			leak := Leak{Area: r.After(t, "S="), Length: r.After(t, "l="), Q: 5}
			z := newZone(t, Cabin{Volume: r.After(t, "V="), Leak: leak}, air)
			check.Near(t, r.ID, z.LeakCorner(), r.Values(t)[0], 0.5e-7, lastDigit)
		case "slope below first mode re half space":
			// "+12 dB/octave … limited by leaks (6 dB/oct less below the leak Helmholtz corner)"
			slope := func(c Cabin) float64 {
				z := newZone(t, c, air)
				return dB(z.Lumped(far)) - dB(z.Lumped(2*far))
			}
			octave := 20 * math.Log10(2)
			check.Near(t, r.ID+" sealed", slope(Cabin{Volume: 3}), 2*octave, 1e-9, arithmetic)
			// a thousandth of a hertz is 7500 times below the corner: what is left of the mass is (ωM/R)² = (far·Q/corner)²
			check.Near(t, r.ID+" with a leak", slope(Cabin{Volume: 3, Leak: Leak{Area: 5e-3, Q: 1}}), octave, 1e-6, "the mass of the leak that is left")
		case "first ten rectangular room modes":
			size, _, _ := strings.Cut(r.Conditions, " ")
			sides, err := check.Floats(strings.TrimSuffix(size, "m"), "x")
			first, _, _ := strings.Cut(r.Value, "(")
			want, werr := strconv.ParseFloat(first, 64)
			if err != nil || werr != nil {
				t.Fatalf("%s: %v, %v", r.ID, err, werr)
			}
			z := newZone(t, Cabin{Volume: sides[0] * sides[1] * sides[2], Length: sides[0]}, air)
			check.Near(t, r.ID, z.FirstMode(), want, 0.5e-5, lastDigit)
			z = newZone(t, Cabin{Volume: sides[0] * sides[1] * sides[2]}, air)
			check.Near(t, r.ID+" estimated, over it", z.FirstMode()/want, 1, 0.11, "what FirstMode says of its estimate")
		case "(0,1,0) mode, width 1.4 m":
			z := newZone(t, Cabin{Volume: 1, Length: 1.4}, airOf(t, 344.4, 1.2))
			check.Near(t, r.ID, z.FirstMode(), 120, 5, "the row says around 120")
			check.Near(t, r.ID, 2*z.FirstMode(), 246, 0.5, lastDigit)
		case "(0,0,1) mode, height 1.2 m":
			z := newZone(t, Cabin{Volume: 1, Length: 1.2}, airOf(t, 344.4, 1.2))
			check.Near(t, r.ID, z.FirstMode(), 143, 0.5+1e-9, lastDigit)
		default:
			t.Errorf("%s: nothing asserts %q", r.ID, r.Quantity)
		}
	}
	if asserted != 41 || asserted+len(left) != 49 {
		t.Errorf("%d rows asserted, %d left out; the table has 49", asserted, len(left))
	}
}

// The car of the table, 1.4 m wide and 1.2 m high with a first mode at about
// 70 Hz, is near what the estimate from its volume says.
func TestFirstModeOfACar(t *testing.T) {
	air := airOf(t, 344.4, 1.2)
	length := air.C / (2 * 70)
	z := newZone(t, Cabin{Volume: length * 1.4 * 1.2}, air)
	check.Near(t, "estimated mode", z.FirstMode(), 70, 0.11*70, "what FirstMode says of its estimate")
}

// A rigid closed zone is −2πr·c²/(ω²V), for any cabin and distance.
func TestClosedZone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(300, 360).Draw(t, "c")
		volume := rapid.Float64Range(0.1, 1e4).Draw(t, "volume")
		r := rapid.Float64Range(0.1, 100).Draw(t, "r")
		f := math.Pow(10, rapid.Float64Range(-3, 6).Draw(t, "log f"))
		z, err := NewZone(Cabin{Volume: volume, Distance: r}, airRapid(t, c, rapid.Float64Range(0.9, 1.4).Draw(t, "rho")))
		if err != nil {
			t.Fatal(err)
		}
		w := 2 * math.Pi * f
		want := -2 * math.Pi * r * c * c / (w * w * volume)
		got := z.Lumped(f)
		if !(math.Abs(real(got)/want-1) < 4e-15) || imag(got) != 0 { // a dozen roundings of 1.1e-16
			t.Fatalf("%v, want %v", got, want)
		}
		if f <= z.FirstMode() && z.Transfer(f) != got {
			t.Fatalf("below the first mode the transfer is %v", z.Transfer(f))
		}
	})
}

// Against a piston at the end of a rigid duct, whose modes are all there: the
// zone is its limit at low frequencies, and off by what Lumped says.
func TestZoneAgainstDuct(t *testing.T) {
	const length, area = 2.5, 1.2
	air := tableAir(t)
	z := newZone(t, Cabin{Volume: length * area, Length: length}, air)
	// duct is p/U over that of the half space at 1 m: −jρc/S·cos(k(L − x))/sin(kL), over jωρ/2π
	duct := func(f, x float64) complex128 {
		k := 2 * math.Pi * f / air.C
		p := complex(0, -air.Rho*air.C/area*math.Cos(k*(length-x))/math.Sin(k*length))
		return p / complex(0, 2*math.Pi*f*air.Rho/(2*math.Pi))
	}
	for _, x := range []float64{0, 1, length} {
		// (kL)²/2 at most: the next term of cos and sin
		const f = 0.1
		kl := 2 * math.Pi * f / air.C * length
		if got := cmplx.Abs(z.Lumped(f)/duct(f, x) - 1); !(got < kl*kl/2) {
			t.Errorf("at %g m the duct differs by %g", x, got)
		}
	}
	for _, c := range []struct{ share, x, want float64 }{
		{0.25, length, 0.91}, {0.25, 0, -2.10}, {0.5, length, 3.92},
	} {
		f := c.share * z.FirstMode()
		check.Near(t, "duct over zone, dB", dB(duct(f, c.x)/z.Lumped(f)), c.want, 0.005, "what Lumped says, to three digits")
	}
	if got := cmplx.Abs(duct(z.FirstMode()/2, 0) / z.Lumped(z.FirstMode()/2)); got > 1e-12 {
		t.Errorf("the node at the piston has %g", got)
	}
}

// The leak by its parts in time: a sine of flow into the cabin, integrated until
// it is steady, is what Lumped says.
func TestZoneInTime(t *testing.T) {
	air := tableAir(t)
	z := newZone(t, Cabin{Volume: 3, Leak: Leak{Area: 5e-3, Length: 0.02, Q: 2}, Q: 3}, air)
	for _, f := range []float64{3, z.LeakCorner(), 20} {
		w := 2 * math.Pi * f
		const steps = 4000 // a period
		dt := 1 / f / steps
		rate := func(time, p, u float64) (dp, du float64) { // p in the cabin, u out through the leak
			return (math.Sin(w*time) - u - z.g*p) / z.c, (p - z.r*u) / z.mass
		}
		var p, u, sin, cos float64
		const periods = 60 // the resonance of Q 1.2 has died to e^(−π·50/1.2)
		for i := range periods * steps {
			time := float64(i) * dt
			if i >= (periods-1)*steps {
				sin += p * math.Sin(w*time) * 2 / steps
				cos += p * math.Cos(w*time) * 2 / steps
			}
			p1, u1 := rate(time, p, u)
			p2, u2 := rate(time+dt/2, p+dt/2*p1, u+dt/2*u1)
			p3, u3 := rate(time+dt/2, p+dt/2*p2, u+dt/2*u2)
			p4, u4 := rate(time+dt, p+dt*p3, u+dt*u3)
			p, u = p+dt/6*(p1+2*p2+2*p3+p4), u+dt/6*(u1+2*u2+2*u3+u4)
		}
		// of U = sin the pressure sin + j·cos; over jωρ/2πr of the half space
		got := complex(sin, cos) / complex(0, w*air.Rho/(2*math.Pi))
		if off := cmplx.Abs(got/z.Lumped(f) - 1); !(off < 1e-9) { // (ω·dt)⁴/120 = 5e-14 a step, over all steps
			t.Errorf("%g Hz: %v in time, %v in frequency", f, got, z.Lumped(f))
		}
	}
}

// The Qs mean what they say: each alone limits the pressure at the corner to Q
// times that of the closed cabin, but for what a series resistance does to the
// branch it stands in.
func TestZoneLosses(t *testing.T) {
	air := tableAir(t)
	for _, q := range []float64{0.5, 3, 40} {
		z := newZone(t, Cabin{Volume: 3, Leak: Leak{Corner: 8}, Q: q}, air)
		closed := newZone(t, Cabin{Volume: 3}, air)
		check.Near(t, "walls", cmplx.Abs(z.Lumped(8)/closed.Lumped(8)), q, 1e-12*q, arithmetic)
		z = newZone(t, Cabin{Volume: 3, Leak: Leak{Corner: 8, Q: q}}, air)
		// |R + jωM|/|R + jωM + 1/jωC| at ω0: √(1 + Q²)
		check.Near(t, "leak", cmplx.Abs(z.Lumped(8)/closed.Lumped(8)), math.Hypot(1, q), 1e-12*q, arithmetic)
	}
	// A closed cabin with a Q of its walls turns over at mode/Q: half the power there.
	z := newZone(t, Cabin{Volume: 3, Length: 2.5, Q: 10}, air)
	closed := newZone(t, Cabin{Volume: 3, Length: 2.5}, air)
	f := z.FirstMode() / 10
	check.Near(t, "at mode/Q", dB(z.Lumped(f)/closed.Lumped(f)), -10*math.Log10(2), 1e-12, arithmetic)
}

// What NewZone says of an absorption area: a wall of small real admittance β
// absorbs 8β of sound from all sides (Paris' average of 4β·cosθ/(cosθ + β)²).
func TestAbsorptionOfAWall(t *testing.T) {
	const beta, n = 1e-5, 200000
	sum := 0.0
	for i := range n {
		s, c := math.Sincos(math.Pi / 2 * (float64(i) + 0.5) / n)
		sum += 4 * beta * c / ((c + beta) * (c + beta)) * 2 * s * c * math.Pi / 2 / n
	}
	check.Near(t, "α/β", sum/beta, 8, 8*beta*30, "terms of β·ln β")
	air := tableAir(t)
	z := newZone(t, Cabin{Volume: 3, Absorption: 2}, air)
	check.Near(t, "conductance", z.g, 2/8.0/(air.Rho*air.C), 1e-18, arithmetic)
}

// A leak by its corner is the leak by its area.
func TestLeakTwoWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		air := airRapid(t, 343.2, 1.2041)
		cabin := Cabin{
			Volume: rapid.Float64Range(1, 100).Draw(t, "volume"),
			Leak:   Leak{Area: rapid.Float64Range(1e-5, 5e-3).Draw(t, "area"), Length: rapid.Float64Range(0, 0.2).Draw(t, "length"), Q: rapid.Float64Range(0.1, 100).Draw(t, "q")},
		}
		a, err := NewZone(cabin, air)
		if err != nil {
			t.Fatal(err)
		}
		if a.LeakCorner() < 0.1 {
			t.Skip("below the range of a corner")
		}
		cabin.Leak = Leak{Corner: a.LeakCorner(), Q: cabin.Leak.Q}
		b, err := NewZone(cabin, air)
		if err != nil {
			t.Fatal(err)
		}
		f := math.Pow(10, rapid.Float64Range(-3, 3).Draw(t, "log f"))
		if off := cmplx.Abs(a.Lumped(f)/b.Lumped(f) - 1); !(off < 1e-12*100) { // rounding of ω0², times the Q at a resonance
			t.Fatalf("differ by %g", off)
		}
	})
}

// A zone takes energy and gives none: the pressure lags behind the far field by
// 0 to 180°. Everything is finite, at every frequency; the fade has no step
// and ends at 1.
func TestZoneProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cabin := Cabin{
			Volume:   math.Pow(10, rapid.Float64Range(-1, 4).Draw(t, "log volume")),
			Distance: rapid.Float64Range(0.1, 100).Draw(t, "distance"),
			Q:        rapid.Float64Range(0.1, 1000).Draw(t, "q"),
		}
		if rapid.Bool().Draw(t, "leak") {
			cabin.Leak = Leak{Area: math.Pow(10, rapid.Float64Range(-6, -3).Draw(t, "log area")), Q: rapid.Float64Range(0.1, 1000).Draw(t, "leak q")}
		}
		z, err := NewZone(cabin, airRapid(t, 343.2, 1.2041))
		if err != nil {
			t.Skip(err)
		}
		f := drawFrequency(t)
		for _, h := range []complex128{z.Lumped(f), z.Transfer(f)} {
			if !isFinite(real(h), imag(h)) || h == 0 {
				t.Fatalf("%g Hz: %v", f, h)
			}
			if imag(h) > 0 {
				t.Fatalf("%g Hz: %v leads the far field", f, h)
			}
		}
		if f >= 2*z.FirstMode() && z.Transfer(f) != 1 {
			t.Fatalf("%g Hz, above twice the mode: %v", f, z.Transfer(f))
		}
		x := z.FirstMode() * rapid.Float64Range(0.9, 2.2).Draw(t, "near")
		const step = 1e-6
		// The level, a few ten dB at most, fades over an octave with a slope of 15/8 at
		// most; the zone's own resonance is below the mode, and may be as sharp as Q 1000.
		if off := cmplx.Abs(z.Transfer(x*(1+step))/z.Transfer(x) - 1); !(off < 1e5*step) {
			t.Fatalf("a step of %g at %g Hz", off, x)
		}
	})
}

// airRapid is airOf inside a property.
func airRapid(t *rapid.T, c, rho float64) (air phys.Air) {
	air, err := phys.AirOf(c, rho)
	if err != nil {
		t.Fatal(err)
	}
	return air
}

// The fade has neither a step nor a kink nor a jump of its curvature: third
// differences at both its ends stay as small as those beside them.
func TestFadeIsSmooth(t *testing.T) {
	z := newZone(t, Cabin{Volume: 3, Length: 2.5, Q: 5}, tableAir(t))
	level := func(octaves float64) float64 { return dB(z.Transfer(z.FirstMode() * math.Exp2(octaves))) }
	const h = 1e-3
	for _, end := range []float64{0, 1} {
		for _, d := range []struct {
			what string
			of   func(x float64) float64
			most float64 // dB per octave^n, across the end: of a fade of about 15 dB
		}{
			{"level", level, 0.1},
			{"slope", func(x float64) float64 { return (level(x+h) - level(x-h)) / (2 * h) }, 1},
			{"curvature", func(x float64) float64 { return (level(x+h) - 2*level(x) + level(x-h)) / (h * h) }, 10},
		} {
			if jump := math.Abs(d.of(end+2*h) - d.of(end-2*h)); !(jump < d.most) {
				t.Errorf("at %g octaves the %s jumps by %g", end, d.what, jump)
			}
		}
	}
	if got := z.Transfer(2 * z.FirstMode()); got != 1 {
		t.Errorf("an octave above the mode: %v", got)
	}
}

func TestCabinRefused(t *testing.T) {
	air := tableAir(t)
	nan := math.NaN()
	for _, c := range []struct {
		cabin        Cabin
		about, words string
	}{
		{Cabin{}, "volume", "0\u2009m³ lies outside"},
		{Cabin{Volume: nan}, "volume", "lies outside"},
		{Cabin{Volume: math.Inf(1)}, "volume", "lies outside"},
		{Cabin{Volume: -3}, "volume", "lies outside"},
		{Cabin{Volume: 3, Length: 0.1}, "length", "lies outside"},
		{Cabin{Volume: 3, Length: nan}, "length", "lies outside"},
		{Cabin{Volume: 3, Length: 1.4}, "length", "longer than"},
		{Cabin{Volume: 3, Distance: 1e-4}, "distance", "lies outside"},
		{Cabin{Volume: 3, Leak: Leak{Area: -1}}, "leak", "an area"},
		{Cabin{Volume: 3, Leak: Leak{Area: 0.01, Length: nan}}, "leak", "a length"},
		{Cabin{Volume: 3, Leak: Leak{Corner: 300}}, "leak", "a corner"},
		{Cabin{Volume: 3, Leak: Leak{Corner: 8, Q: 1e9}}, "leak", "a Q of"},
		{Cabin{Volume: 3, Leak: Leak{Corner: 8, Area: 0.1}}, "leak", "its size too"},
		{Cabin{Volume: 3, Leak: Leak{Length: 0.1}}, "leak", "neither"},
		{Cabin{Volume: 3, Leak: Leak{Q: 7}}, "leak", "neither"},
		{Cabin{Volume: 3, Leak: Leak{Corner: 150, Q: 7}}, "leak", "first mode"},
		{Cabin{Volume: 3, Leak: Leak{Corner: 8}}, "leak", "nothing damps"},
		{Cabin{Volume: 3, Q: 0.01}, "damping", "a Q of"},
		{Cabin{Volume: 3, Absorption: 1e6}, "damping", "an absorption area"},
		{Cabin{Volume: 3, Absorption: 1, Q: 7}, "damping", "absorption area too"},
	} {
		z, err := NewZone(c.cabin, air)
		refuses(t, err, c.about, c.words)
		if z != nil {
			t.Errorf("%+v made a zone", c.cabin)
		}
	}
	if _, err := NewZone(Cabin{Volume: 8, Length: 2}, air); err != nil {
		t.Errorf("a cube is a cabin: %v", err)
	}
	check.Panics(t, "the air has no", func() { _, _ = NewZone(Cabin{Volume: 3}, phys.Air{}) })
	check.Panics(t, "not a number", func() { newZone(t, Cabin{Volume: 3}, air).Transfer(nan) })
}

func TestCabinFindings(t *testing.T) {
	air := tableAir(t)
	check.Golden(t, "testdata/cabin.txt",
		told(newZone(t, Cabin{Volume: 3}, air).Findings("cabin"))+
			told(newZone(t, Cabin{Volume: 3, Length: 2.5}, air).Findings("cabin")))
}
