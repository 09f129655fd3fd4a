package study_test

import (
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/enclosure"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

const twoGroups = `study: Two groups
air: {speed_of_sound: 343.2 m/s, density: 1.2041 kg/m3}
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm, rated_power: 100 W}
candidates:
  apart:
    group: {driver: heron-8, side_by_side: 2, wiring: parallel}
    enclosure:
      kind: network
      front: outside
      rear: small
      parts:
        - {kind: chamber, at: small, volume: 12 L}
        - {kind: chamber, at: large, volume: 60 L}
        - {kind: drivers, position: 2, between: [outside, large]}
  small:
    group: {driver: heron-8}
    enclosure: {kind: sealed, volume: 12 L}
  large:
    group: {driver: heron-8}
    enclosure: {kind: sealed, volume: 60 L}
`

// Two positions that look into boxes of their own, in parallel at one voltage, are two
// candidates: the pressures add, the currents add, and each cone goes as far as alone.
func TestPositionsThatLookElsewhere(t *testing.T) {
	st, err := studyfile.Parse([]byte(twoGroups), "two.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var sys [3]*enclosure.System
	for i := range sys {
		if sys[i], _, err = st.Build(i); err != nil {
			t.Fatal(err)
		}
	}
	for _, f := range []float64{12, 40, 55, 90, 300} {
		var p, y [3]complex128
		var x [4]float64
		for i := range sys {
			s := sys[i].Program.NewSolver()
			if err := s.Solve(2 * math.Pi * f); err != nil {
				t.Fatal(err)
			}
			p[i], y[i] = sys[i].Pressure(s), 1/sys[i].Impedance(s)
			if i == 0 {
				x[0], x[1] = sys[0].Excursion(s, &sys[0].Cones[0]), sys[0].Excursion(s, &sys[0].Cones[1])
			} else {
				x[1+i] = sys[i].Excursion(s, &sys[i].Cones[0])
			}
		}
		const equal = 1e-12 // the same equations, solved in two parts
		if cmplx.Abs(p[0]-p[1]-p[2]) > equal*cmplx.Abs(p[0]) || cmplx.Abs(y[0]-y[1]-y[2]) > equal*cmplx.Abs(y[0]) {
			t.Errorf("%g Hz: pressure %v of %v and %v, admittance %v of %v and %v", f, p[0], p[1], p[2], y[0], y[1], y[2])
		}
		if math.Abs(x[0]/x[2]-1) > equal || math.Abs(x[1]/x[3]-1) > equal {
			t.Errorf("%g Hz: excursions %v", f, x)
		}
	}
}

// So do their coils, each of which takes a power of its own: neither stands for the
// other, as positions that look alike do.
func TestPositionsThatLookElsewhereTakePowersOfTheirOwn(t *testing.T) {
	st, err := studyfile.Parse([]byte(twoGroups), "two.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(t.Context(), st, study.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f := r.Candidates[0].Figures
	if n := len(f.CoilPowers); n != 2 || f.CoilPowers[0] == f.CoilPowers[1] {
		t.Errorf("coil powers %v of two cones in boxes of their own", f.CoilPowers)
	}
	if r.Candidates[0].System.Spec.Net.LookAlike() {
		t.Error("positions that look elsewhere are said to look alike")
	}
}

// A duct may be closed at both of its ends, as long as places lie along it: it is the
// same as one that goes on from its last place as a branch that is closed.
func TestADuctClosedAtBothEnds(t *testing.T) {
	const text = `study: Closed
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm}
candidates:
  whole: {group: {driver: heron-8}, enclosure: {kind: network, front: outside, rear: r, parts: [{kind: duct, between: [closed, closed], duct: {length: 2 m, area: 400 cm2}, taps: [{at: 0.5 m, place: r}, {at: 1.5 m, place: o}]}, {kind: opening, at: o, area: 200 cm2}]}}
  branch: {group: {driver: heron-8}, enclosure: {kind: network, front: outside, rear: r, parts: [{kind: duct, between: [closed, o], duct: {length: 1.5 m, area: 400 cm2}, taps: [{at: 0.5 m, place: r}]}, {kind: duct, name: branch, at: o, duct: {length: 0.5 m, area: 400 cm2}}, {kind: opening, at: o, area: 200 cm2}]}}
`
	st := parsed(t, text)
	for f := 11.0; f < 900; f *= 1.4 {
		var p [2]complex128
		for i := range p {
			sys, _, err := st.Build(i)
			if err != nil {
				t.Fatal(err)
			}
			s := sys.Program.NewSolver()
			if err := s.Solve(2 * math.Pi * f); err != nil {
				t.Fatal(err)
			}
			p[i] = sys.Pressure(s)
		}
		if cmplx.Abs(p[0]-p[1]) > 1e-10*cmplx.Abs(p[1]) { // the same two-ports, in another order
			t.Errorf("%g Hz: %v and %v", f, p[0], p[1])
		}
	}
}

// A port that says both its tuning and its length tunes to what its size gives, and the
// losses of its chamber hold there: as in a vented box.
func TestLossesOfANetworkHoldAtTheTuningOfItsPort(t *testing.T) {
	st := parsed(t, `study: Losses
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm}
candidates:
  kind: {group: {driver: heron-8}, enclosure: {kind: vented, volume: 31 L, tuning: 61.8 Hz, port: {diameter: 90 mm, length: 93.4 mm}, losses: {leakage: 7}}}
  net: {group: {driver: heron-8}, enclosure: {kind: network, front: outside, rear: r, parts: [{kind: chamber, at: r, volume: 31 L, losses: {leakage: 7}}, {kind: port, name: slot, at: r, tuning: 61.8 Hz, port: {diameter: 90 mm, length: 93.4 mm}}]}}
`)
	var at [2]float64
	for i := range at {
		sys, _, err := st.Build(i)
		if err != nil {
			t.Fatal(err)
		}
		if at[i] = sys.Spec.Rear.Losses.At; i == 1 {
			at[i] = sys.Spec.Net.Parts[0].Chamber.Losses.At
		}
	}
	if at[0] != at[1] || at[0] == 61.8 {
		t.Errorf("they hold at %g Hz in a vented box, and at %g Hz in the same box as a network", at[0], at[1])
	}
}
