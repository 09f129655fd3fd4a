package studyfile

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/network"
)

// What is known of ducts in closed form, of ducts as a designer writes them.

// peak is the frequency of the largest flow out of the mouth over the cone’s, near one.
func (a answers) peak(near float64) float64 {
	lo, hi := near*0.93, near*1.07
	at := func(f float64) float64 {
		a.solve(f)
		return cmplx.Abs(a.ratio())
	}
	for range 60 { // golden section
		x, y := hi-(hi-lo)/math.Phi, lo+(hi-lo)/math.Phi
		if at(x) > at(y) {
			hi = y
		} else {
			lo = x
		}
	}
	return (lo + hi) / 2
}

// A closed pipe without loss resonates where it and its end are one, three, five … quarters
// of a wave long: 0.8216 radii more in a flange, 0.6127 without (Silva et al. 2009; Levine &
// Schwinger 1948).
func TestClosedPipesResonate(t *testing.T) {
	const c = 343.2
	radius := math.Sqrt(10e-4 / math.Pi)
	for mouth, end := range map[string]float64{"flanged": 0.8216, "free": 0.6127} {
		a := answering(t, "kind: transmission_line, duct: {length: 1.5 m, area: 10 cm2, bodies: left_out}, mouth: "+mouth)
		for n := 1.0; n <= 7; n += 2 {
			want := n * c / (4 * (1.5 + end*radius))
			// the end’s correction and the resistance of a mouth change with (ka)², and so the peaks
			ka := 2 * math.Pi * want / c * radius
			check.Near(t, fmt.Sprintf("%s, %g quarters, Hz", mouth, n), a.peak(want), want, want*(1e-5+0.02*ka*ka), "the end’s correction is that of ka = 0")
		}
	}
}

// An exponential horn with its mouth’s load is Olson’s closed form, with b = √(k² − κ²), which
// turns imaginary below the cut-off (Olson, Elements of Acoustical Engineering, 1940):
//
//	z1 = ρc/S1·(S2·z2·cos(bl + θ) + jρc·sin bl)/(jS2·z2·sin bl + ρc·cos(bl − θ)),  tan θ = κ/b
//
// and carries next to nothing below it.
func TestExponentialCutOff(t *testing.T) {
	const c, rho, fc, throat, end = 343.2, 1.2041, 60.0, 50e-4, 1.2
	kappa := 2 * math.Pi * fc / c
	length := math.Log(end/throat) / (2 * kappa)
	a := answering(t, fmt.Sprintf("kind: front_loaded_horn, duct: {length: %.17g m, start: 50 cm2, end: 1.2 m2, flare: exponential}, rear: {volume: 18 L}", length))
	check.Near(t, "cut-off, Hz", a.sys.Facts.Line.Cutoff, fc, 1e-9, "rounding")
	var mouth network.Law
	for _, e := range a.sys.Net.Elements() {
		if e.Name == "mouth" {
			mouth = e.Law
		}
	}
	for f := 12.0; f < 500; f *= 1.07 {
		a.solve(f)
		w := 2 * math.Pi * f
		var got complex128
		for _, p := range a.sys.Chambers {
			if p.Name == "throat" {
				got = a.sol.Potential(p.Node) / (complex(a.sys.Cones[0].Sd, 0) * a.sol.Potential(a.sys.Cones[0].Node)) * (throat / (rho * c))
			}
		}
		b := cmplx.Sqrt(complex(w*w/(c*c)-kappa*kappa, 0))
		sin, cos := cmplx.Sin(b*complex(length, 0)), cmplx.Cos(b*complex(length, 0))
		down, up := b*complex(c/w, 0), complex(kappa*c/w, 0) // cos θ and sin θ
		z2 := mouth.At(w) * end / (rho * c)
		want := (z2*(cos*down-sin*up) + 1i*sin) / (1i*z2*sin + cos*down + sin*up)
		check.Near(t, fmt.Sprintf("throat at %g Hz, as a share", f), cmplx.Abs(got/want-1), 0, 1e-8, "what cancels in the closed form next to the cut-off")
		if r := real(got); f < fc/1.5 && !(r >= 0 && r < 0.05) {
			t.Errorf("at %g Hz, below the cut-off, the throat has a resistance of %.3g ρc/S", f, r)
		}
	}
}

// A duct that is written with more points than it needs is the same duct: cut in k pieces,
// cones and exponentials answer as the whole. (A parabolic flare is made of segments to an
// error that is estimated, and so are its pieces.)
func TestADuctInPiecesIsTheWhole(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		start, end := rapid.Float64Range(50, 400).Draw(rt, "start"), rapid.Float64Range(50, 900).Draw(rt, "end")
		k := rapid.IntRange(2, 12).Draw(rt, "pieces")
		length := rapid.Float64Range(0.5, 4).Draw(rt, "length")
		flare := rapid.SampledFrom([]string{"cone", "exponential"}).Draw(rt, "flare")
		var points []string
		for i := range k + 1 {
			x := float64(i) / float64(k)
			area := math.Pow(math.Sqrt(start)+(math.Sqrt(end)-math.Sqrt(start))*x, 2)
			if flare == "exponential" {
				area = start * math.Pow(end/start, x)
			}
			points = append(points, fmt.Sprintf("{at: %.17g m, area: %.17g cm2}", x*length, area))
		}
		kind := rapid.SampledFrom([]string{"transmission_line, driver_at: 0.2 m", "tapped_waveguide, front_at: 0.1 m, rear_at: 0.45 m", "back_loaded_horn", "front_loaded_horn, rear: {volume: 9 L}"}).Draw(rt, "kind")
		bodies := ", bodies: left_out"
		if strings.Contains(kind, "horn") {
			bodies = ""
		}
		whole := answering(t, fmt.Sprintf("kind: %s, duct: {length: %.17g m, start: %.17g cm2, end: %.17g cm2, flare: %s%s}", kind, length, start, end, flare, bodies))
		pieces := answering(t, fmt.Sprintf("kind: %s, duct: {profile: [%s], between: %s%s}", kind, strings.Join(points, ", "), flare, bodies))
		for f := 11.0; f < 400; f *= 1.37 {
			whole.solve(f)
			pieces.solve(f)
			for name, z := range map[string][2]complex128{
				"impedance": {whole.sys.Impedance(whole.sol), pieces.sys.Impedance(pieces.sol)},
				"flow":      {whole.ratio(), pieces.ratio()},
			} {
				if d := cmplx.Abs(z[0]/z[1] - 1); d > 1e-10*(1+1/cmplx.Abs(z[1])) {
					rt.Fatalf("%s at %g Hz: apart by %g", name, f, d)
				}
			}
		}
	})
}

// A jump that is no jump changes nothing, and one that is small changes little: what is
// found goes on as the areas do, with the mass of a step and without.
func TestJumpsAreContinuous(t *testing.T) {
	for _, jumps := range []string{"corrected", "plain"} {
		of := func(ratio float64) answers {
			return answering(t, fmt.Sprintf("kind: transmission_line, duct: {profile: [{at: 0 m, area: 200 cm2}, {at: 0.7 m, area: 200 cm2}, {at: 0.7 m, area: %.15g cm2}, {at: 1.6 m, area: %.15g cm2}], jumps: %s, bodies: left_out}", 200*ratio, 200*ratio, jumps))
		}
		straight := answering(t, "kind: transmission_line, duct: {length: 1.6 m, area: 200 cm2, bodies: left_out}")
		none, small, smaller := of(1), of(1.02), of(1.002)
		for f := 13.0; f < 350; f *= 1.31 {
			for _, a := range []answers{straight, none, small, smaller} {
				a.solve(f)
			}
			z := straight.sys.Impedance(straight.sol)
			if d := cmplx.Abs(none.sys.Impedance(none.sol)/z - 1); d > 1e-12 { // rounding
				t.Errorf("%s at %g Hz: a jump to the same area changes the load by %g", jumps, f, d)
			}
			a, b := cmplx.Abs(small.sys.Impedance(small.sol)/z-1), cmplx.Abs(smaller.sys.Impedance(smaller.sol)/z-1)
			if a > 0.3 || b > 0.3*a { // a tenth of the jump, a tenth of the change, but next to a narrow peak
				t.Errorf("%s at %g Hz: a jump of 2 %% changes the load by %g, one of 0.2 %% by %g", jumps, f, a, b)
			}
		}
	}
}
