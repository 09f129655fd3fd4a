package study

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// The volumes of a vented box with two stacks of two, by hand: 60 L net, two
// gaps of 2.1 L, four bodies of 1.6 L and a port of 100 mm by 200 mm.
func TestVolumesByHand(t *testing.T) {
	d := *merlin(t)
	d.Data.Displacement = 1.6e-3
	g := grouped(t, driver.GroupSpec{Driver: &d, SideBySide: 2, Stack: 2, Arrangement: driver.Clamshell, Coupling: []driver.Coupling{{Volume: 2.1e-3}}})
	f := evaluate(t, only(t, g, enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.06, Port: enclosure.Port{Shape: enclosure.Round, Diameter: 0.1, Length: 0.2, Count: 1}}}), Options{}).Candidates[0].Figures
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"coupling", f.CouplingVolume, 4.2e-3},
		{"bodies", f.BodyVolume, 6.4e-3},
		{"port", f.PortVolume, math.Pi / 4 * 0.1 * 0.1 * 0.2},
		{"net", float64(f.NetVolume), 0.06},
		{"per driver", float64(f.VolumePerDriver), 0.015},
		{"occupied", float64(f.OccupiedVolume), 0.06 + 4.2e-3 + 6.4e-3 + math.Pi/4*0.1*0.1*0.2},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s: %g m³, want %g", c.name, c.got, c.want)
		}
	}
}

// The worst group delay in ms and in cycles, the peak, the ripple and the lowest
// impedance against a plain search through a fine curve. The curve's
// own step is the tolerance (1/400 octave, and the grid's 1/48 for the ripple): a
// smooth extreme is missed by its square.
func TestExtremesByPlainSearch(t *testing.T) {
	g := grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 1})
	// a large box tuned low, told up to 100 Hz: a hump and a dip, so two turns
	st := only(t, g, enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.12, Tuning: 25}})
	st.Reference = &Band{50, 100}
	o := evaluate(t, st, Options{From: limitsFrom, To: bandHigh, Points: 2260}).Candidates[0]
	f, c := &o.Figures, o.Curves
	delay, cycles, lowest, top := 0.0, 0.0, math.Inf(1), math.Inf(-1)
	high, low, turns := math.Inf(-1), math.Inf(1), 0
	for k, hz := range c.Frequency {
		delay = max(delay, c.GroupDelay[k])
		cycles = max(cycles, hz*c.GroupDelay[k])
		lowest = min(lowest, c.Impedance[k])
		if hz >= float64(f.F10) {
			top = max(top, c.SPL[k])
		}
		if k > 0 && k+1 < len(c.SPL) && hz > float64(f.F3) && hz < f.ReferenceBand.To && (c.SPL[k]-c.SPL[k-1])*(c.SPL[k]-c.SPL[k+1]) > 0 {
			high, low, turns = max(high, c.SPL[k]), min(low, c.SPL[k]), turns+1
		}
	}
	if turns != 2 {
		t.Fatalf("%d turns: the case is not the one meant", turns)
	}
	for _, x := range []struct {
		name      string
		got, want float64
	}{
		{"delay", float64(f.GroupDelay.Value), delay}, {"cycles", float64(f.DelayCycles.Value), cycles},
		{"impedance", float64(f.LowestZ.Value), lowest}, {"peak", float64(f.PeakLevel.Value + f.Reference), top},
		{"ripple", float64(f.Ripple), high - low},
	} {
		if math.Abs(x.got/x.want-1) > 2e-3 {
			t.Errorf("%s: %g, by plain search %g", x.name, x.got, x.want)
		}
	}
}

// Differences are called equal up to the bounds that are promised, and told
// from there on.
func TestVerdictBounds(t *testing.T) {
	st := camper(t)
	base := blank()
	base.Re, base.Reference, base.F3 = 4, 100, 50
	base.PeakLevel.Value, base.GroupDelay.Value = 0, 0.01
	for _, c := range []struct {
		name   string
		change func(f *Figures, by float64)
		bound  float64
		word   string
	}{
		{"F3", func(f *Figures, by float64) { f.F3 += phys.Maybe(by) }, 0.5, "F3 is 0.5\u2009Hz higher"},
		{"level", func(f *Figures, by float64) { f.Reference += phys.Maybe(by) }, 0.2, "reference level 0.2\u2009dB higher"},
		{"delay", func(f *Figures, by float64) { f.GroupDelay.Value += phys.Maybe(by) }, 1e-3, "group delay 1.0"},
		{"peak", func(f *Figures, by float64) { f.PeakLevel.Value += phys.Maybe(by) }, 0.5, "there is a peak of 0.5\u2009dB"},
	} {
		for _, k := range []float64{0.99, 1.01} {
			f := base
			c.change(&f, c.bound*k)
			got := strings.Join(st.against(&Outcome{Figures: f}, &Outcome{Figures: base}), "; ")
			if strings.Contains(got, c.word) != (k > 1) {
				t.Errorf("%s by %g: %q", c.name, c.bound*k, got)
			}
		}
	}
}
