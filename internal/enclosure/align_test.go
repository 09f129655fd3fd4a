package enclosure

import (
	"errors"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"basswright/internal/driver"
)

// C4 ends where its parameter k is one, at the Qts of B4: below it, however
// near, it is refused, and the family that does fit is named; from there up it
// leaves B4 steadily.
func TestC4EndsAtB4(t *testing.T) {
	for _, ql := range []float64{math.Inf(1), 20, 7, 3} {
		qb := b4Qt(ql)
		b4, err := alignFamily(Alignment{Family: "b4"}, qb, ql)
		if err != nil {
			t.Fatal(err)
		}
		for below, mend := range map[float64]string{1e-6: "b4", 0.01: "b4", 0.019: "b4", 0.021: "qb3", 0.3: "qb3"} {
			_, err := alignFamily(Alignment{Family: "c4"}, qb*(1-below), ql)
			var e *Error
			if !errors.As(err, &e) || e.Key != "alignment" || e.Mend != "choose family: "+mend || !strings.Contains(e.Reason, "c4 needs a Qts of") {
				t.Errorf("QL %g, %g below B4: %v", ql, below, err)
				continue
			}
			if _, err := alignFamily(Alignment{Family: mend}, qb*(1-below), ql); err != nil {
				t.Errorf("QL %g, %g below B4: the mend fails: %v", ql, below, err)
			}
		}
		// near k = 1 h and α part from B4 in proportion to Qts: by less than 30
		// times its change here, and by rounding, to which bisection leaves the
		// square root, at the end itself
		for _, above := range []float64{0, 1e-12, 1e-6, 1e-4, 1e-3} {
			c, err := alignFamily(Alignment{Family: "c4"}, qb*(1+above), ql)
			if err != nil {
				t.Errorf("QL %g, %g above B4: %v", ql, above, err)
				continue
			}
			if far := math.Max(math.Abs(c.h/b4.h-1), math.Abs(c.alpha/b4.alpha-1)); far > 30*above+1e-7 {
				t.Errorf("QL %g, %g above B4: h %.9f and α %.9f, B4 has %.9f and %.9f", ql, above, c.h, c.alpha, b4.h, b4.alpha)
			}
		}
	}
}

// The resistance before the group counts in the Qts that an alignment goes by:
// the box is that of a driver whose coil has so much more, and its response is
// the named one, here Butterworth's 1/√(1 + (fb/f)⁸), with the source.
func TestAlignmentCountsTheSource(t *testing.T) {
	const source, ql = 0.4, 7
	d := of(t, 30, b4Qt(ql), 80, 5)
	d.Coil = driver.VoiceCoil{}
	d.Bl *= math.Sqrt((d.Re + source) / d.Re) // so that Qes is the sheet's behind the source
	set := Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1, Source: source}
	spec := Spec{Kind: Vented, Alignment: Alignment{Family: "b4"}, Losses: Losses{Leakage: Loss{LossGiven, ql}}}
	sys, _, err := Build(oneOf(t, d), spec, set)
	if err != nil {
		t.Fatal(err)
	}
	if fb := sys.Facts.Ports[0].Tuning; math.Abs(fb/d.Fs()-1) > 1e-12 {
		t.Errorf("B4 tunes to fs: %g Hz for %g Hz", fb, d.Fs())
	}
	top, _, _ := reading(t, sys, 1e5*d.Fs())
	for _, x := range []float64{0.2, 0.5, 0.9, 1, 1.1, 2, 7} {
		p, _, _ := reading(t, sys, x*d.Fs())
		want := 1 / math.Sqrt(1+math.Pow(x, -8))
		if got := cmplx.Abs(p) / cmplx.Abs(top); math.Abs(got/want-1) > 1e-9 { // rounding; of() meets Qts to that
			t.Errorf("at %g fb: %.9f of the passband, Butterworth %.9f", x, got, want)
		}
	}
	more := *d
	more.Re += source
	set.Source = 0
	other, _, err := Build(oneOf(t, &more), spec, set)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := sys.Spec.Rear.Volume, other.Spec.Rear.Volume; math.Abs(a/b-1) > 1e-12 {
		t.Errorf("%g m³ with the source, %g m³ with the same resistance in the coil", a, b)
	}
}

// A stated tuning and a sized port are held against each other to the 1 % to
// which lengths and tunings are printed.
func TestTuningAgreesWithThePort(t *testing.T) {
	d := of(t, 30, 0.4, 80, 5)
	set := Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1}
	box := Chamber{Volume: 0.05, Port: Port{Shape: Round, Diameter: 0.08, Length: 0.15}}
	sys, _, err := Build(oneOf(t, d), Spec{Kind: Vented, Rear: box}, set)
	if err != nil {
		t.Fatal(err)
	}
	tuned := sys.Facts.Ports[0].Tuning
	for off, agrees := range map[float64]bool{0: true, 0.0099: true, -0.0099: true, 0.0101: false, -0.0101: false, 0.015: false} {
		box.Tuning = tuned * (1 + off)
		sys, _, err := Build(oneOf(t, d), Spec{Kind: Vented, Rear: box}, set)
		var e *Error
		switch {
		case agrees && (err != nil || sys.Facts.Ports[0].Tuning != tuned):
			t.Errorf("%+.4f off: %v; the port's own tuning must hold", off, err)
		case !agrees && (!errors.As(err, &e) || e.Key != "tuning"):
			t.Errorf("%+.4f off: %v", off, err)
		}
	}
}

// The note of a space's images names the frequency at which the widest face,
// cone or radiator, has ka = 0.3.
func TestImagesAreNotedByTheWidestFace(t *testing.T) {
	d := of(t, 30, 0.4, 80, 5)
	set := Setting{Air: referenceAir(t), Space: math.Pi, Distance: 1, FullRadiation: true}
	limit := func(g *driver.Group, s Spec) string {
		t.Helper()
		_, found, err := Build(g, s, set)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			if f.ID == "radiation-images" {
				return f.Text
			}
		}
		return ""
	}
	at := func(sd float64) string { return "up to about " + hz(0.3*set.Air.C/(2*math.Pi*math.Sqrt(sd/math.Pi))) }
	small := *d
	small.Sd, small.Mms = d.Sd/3, d.Mms/2
	pair, _, err := driver.NewGroup(driver.GroupSpec{Members: [][]*driver.Driver{{&small}, {d}}})
	if err != nil {
		t.Fatal(err)
	}
	box := func(sd float64) Spec {
		return Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: 0.06, Losses: none}, Radiator: Radiator{Sd: sd, Mms: 0.2, Cms: 6e-4, Rms: 1}}
	}
	for name, c := range map[string]struct{ have, want string }{
		"cone":                {limit(oneOf(t, d), Spec{Kind: InfiniteBaffle}), at(d.Sd)},
		"unlike cones":        {limit(pair, Spec{Kind: InfiniteBaffle}), at(d.Sd)},
		"wider radiator":      {limit(oneOf(t, d), box(2*d.Sd)), at(2 * d.Sd)},
		"narrower radiator":   {limit(oneOf(t, d), box(d.Sd/2)), at(d.Sd)},
		"free space is noted": {func() string { set.Space = 4 * math.Pi; return limit(oneOf(t, d), Spec{Kind: InfiniteBaffle}) }(), at(d.Sd)},
	} {
		if !strings.Contains(c.have, c.want) {
			t.Errorf("%s: %q, want %s", name, c.have, c.want)
		}
	}
	set.Space = 2 * math.Pi
	if text := limit(oneOf(t, d), Spec{Kind: InfiniteBaffle}); text != "" {
		t.Errorf("in a half space: %s", text)
	}
	set.Space, set.FullRadiation = math.Pi, false
	if text := limit(oneOf(t, d), Spec{Kind: InfiniteBaffle}); text != "" {
		t.Errorf("with classical radiation: %s", text)
	}
}
