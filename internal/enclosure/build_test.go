package enclosure

import (
	"errors"
	"math"
	"strings"
	"testing"

	"basswright/internal/driver"
)

// Boxes that cannot be: each names the key and the mend.
func TestBoxesThatCannotBe(t *testing.T) {
	d := of(t, 30, 0.35, 80, 5)
	round := func(bore, length float64) Port { return Port{Shape: Round, Diameter: bore, Length: length} }
	radiator := Radiator{Sd: 0.03, Mms: 0.1, Cms: 5e-4, Rms: 2}
	for name, c := range map[string]struct {
		spec      Spec
		key, says string
	}{
		"no kind":               {Spec{}, "kind", "no such kind"},
		"no volume":             {Spec{Kind: Vented, Rear: Chamber{Tuning: 30}}, "volume", "missing"},
		"no intent":             {Spec{Kind: Sealed}, "volume", "neither a volume nor a total Q"},
		"Q below the driver's":  {Spec{Kind: Sealed, Rear: Chamber{SystemQ: 0.3}}, "system_q", "no box is large enough"},
		"no tuning":             {Spec{Kind: Vented, Rear: Chamber{Volume: 0.05}}, "tuning", "neither a tuning nor a port"},
		"no length":             {Spec{Kind: Vented, Rear: Chamber{Volume: 0.05, Port: round(0.1, 0)}}, "port", "neither a length nor a tuning"},
		"port and tuning":       {Spec{Kind: Vented, Rear: Chamber{Volume: 0.05, Tuning: 40, Port: round(0.1, 0.3)}}, "tuning", "tunes to"},
		"too wide for its note": {Spec{Kind: Vented, Rear: Chamber{Volume: 0.002, Tuning: 700, Port: round(0.05, 0)}}, "port", "cannot be short enough"},
		"longer than a wave":    {Spec{Kind: Vented, Rear: Chamber{Volume: 0.05, Tuning: 20, Port: round(0.3, 0)}}, "port", "pipe mode"},
		"fuller than the box":   {Spec{Kind: Vented, Rear: Chamber{Volume: 0.02, Tuning: 25, Port: round(0.12, 0)}}, "port", "cannot fit"},
		"closed rear tuned":     {Spec{Kind: Bandpass, Rear: Chamber{Volume: 0.03, Tuning: 30}, Front: Chamber{Volume: 0.02, Tuning: 60}}, "rear", "closed"},
		"radiator without mass": {Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: 0.05}, Radiator: Radiator{Sd: 0.03}}, "radiator.mms", "missing"},
		"radiator too heavy":    {Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: 0.05, Tuning: 200}, Radiator: radiator}, "tuning", "too heavy"},
		"b4 of another Q":       {Spec{Kind: Vented, Alignment: Alignment{Family: "b4"}}, "alignment", "b4 needs a Qts"},
		"no such family":        {Spec{Kind: Vented, Alignment: Alignment{Family: "b5"}}, "alignment.family", "b5"},
		"two intents":           {Spec{Kind: Vented, Rear: Chamber{Volume: 0.05}, Alignment: Alignment{Family: "qb3"}}, "alignment", "chooses volume and tuning itself"},
	} {
		_, _, err := Build(oneOf(t, d), c.spec, Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1})
		var e *Error
		if !errors.As(err, &e) || e.Key != c.key || !strings.Contains(e.Reason, c.says) || e.Mend == "" {
			t.Errorf("%s: got %v, want %s: …%s…", name, err, c.key, c.says)
		}
	}
}

// A group that is wired as a whole to move inward is the same to its box.
func TestInwardGroupHasTheSameBox(t *testing.T) {
	d := of(t, 30, 0.35, 80, 5)
	build := func(polarity int, spec Spec) *System {
		g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 2, Arrangement: driver.BackToBack, Polarity: []int{polarity, -polarity}})
		if err != nil {
			t.Fatal(err)
		}
		sys, _, err := Build(g, spec, Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1})
		if err != nil {
			t.Fatal(err)
		}
		return sys
	}
	for _, spec := range []Spec{{Kind: Sealed, Rear: Chamber{SystemQ: 0.7}}, {Kind: Sealed, Rear: Chamber{Volume: 0.03}}} {
		out, in := build(1, spec), build(-1, spec)
		if out.Spec.Rear.Volume != in.Spec.Rear.Volume || out.Facts.SealedFc != in.Facts.SealedFc || out.Facts.SealedQtc != in.Facts.SealedQtc {
			t.Errorf("outward %+v %+v, inward %+v %+v", out.Spec.Rear, out.Facts, in.Spec.Rear, in.Facts)
		}
	}
}

// The defaults of losses are applied and told; `none` switches them off.
func TestDefaultLosses(t *testing.T) {
	d := of(t, 30, 0.4, 80, 5)
	for name, c := range map[string]struct {
		spec Spec
		ids  string
	}{
		"vented":      {Spec{Kind: Vented, Rear: Chamber{Volume: 0.05, Tuning: 30}}, "default-leakage"},
		"off":         {Spec{Kind: Vented, Rear: Chamber{Volume: 0.05, Tuning: 30}, Losses: Losses{Leakage: Loss{State: LossNone}}}, ""},
		"sealed":      {Spec{Kind: Sealed, Rear: Chamber{Volume: 0.05}}, ""},
		"bandpass":    {Spec{Kind: Bandpass, Rear: Chamber{Volume: 0.03}, Front: Chamber{Volume: 0.02, Tuning: 60}}, "default-port"},
		"sixth order": {Spec{Kind: BandpassSeries, Rear: Chamber{Volume: 0.03, Tuning: 35}, Front: Chamber{Volume: 0.02, Tuning: 60}}, "default-port default-port"},
	} {
		sys, found, err := Build(oneOf(t, d), c.spec, Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1})
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, f := range found {
			ids = append(ids, f.ID)
		}
		if got := strings.Join(ids, " "); got != c.ids {
			t.Errorf("%s: told %q, want %q", name, got, c.ids)
		}
		if leaks := sys.Spec.Rear.Losses.Leakage; name == "vented" && leaks != (Loss{LossGiven, 7}) {
			t.Errorf("a vented box leaks with %v", leaks)
		}
	}
}

// Full radiation counts the reactive load once: at low frequency a face in a
// baffle carries (8/3)ρa³, of which Mms held half, so the resonance of a
// driver in a wall falls from fs by the mass of two halves, 2·(4/3)ρa³. In
// another space it says up to where its images hold.
func TestFullRadiation(t *testing.T) {
	d := of(t, 30, 0.4, 80, 5)
	d.Coil = driver.VoiceCoil{}
	peak := func(full bool, space float64) (float64, int) {
		sys, found, err := Build(oneOf(t, d), Spec{Kind: InfiniteBaffle}, Setting{Air: referenceAir(t), Space: space, Distance: 1, FullRadiation: full})
		if err != nil {
			t.Fatal(err)
		}
		s := sys.Program.NewSolver()
		lo, hi := 20.0, 40.0
		for range 60 {
			mid := (lo + hi) / 2
			if err := s.Solve(2 * math.Pi * mid); err != nil {
				t.Fatal(err)
			}
			if imag(sys.Impedance(s)) > 0 { // inductive below the resonance
				lo = mid
			} else {
				hi = mid
			}
		}
		return lo, len(found)
	}
	if f, _ := peak(false, 2*math.Pi); math.Abs(f-30) > 1e-6 {
		t.Errorf("classical: resonance at %.6f Hz, the sheet says 30 Hz", f)
	}
	a := math.Sqrt(d.Sd / math.Pi)
	extra := 2 * 4. / 3 * referenceAir(t).Rho * a * a * a
	want := 30 * math.Sqrt(d.Mms/(d.Mms+extra))
	f, found := peak(true, 2*math.Pi)
	if math.Abs(f-want) > 2e-3*want { // the load's mass falls by about (ka)²/5, its resistance shifts the zero
		t.Errorf("full: resonance at %.4f Hz, theory %.4f Hz", f, want)
	}
	if _, other := peak(true, math.Pi); found != 0 || other != 1 {
		t.Errorf("%d findings in a half space and %d in a quarter, want 0 and 1", found, other)
	}
}
