package study

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/heat"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/place"
)

const rounding = "rounding of a few operations on levels of about 100 dB"

func seated(t testing.TB, st *Study, c place.Cabin) *Study {
	t.Helper()
	c.Distance = st.Listening.HalfSpaceDistance()
	z, err := place.NewZone(c, st.Air)
	if err != nil {
		t.Fatal(err)
	}
	st.Listening.At = &Listener{Zone: z, Volume: c.Volume}
	return st
}

func built(t testing.TB, st *Study, i int) *enclosure.System {
	t.Helper()
	sys, _, err := st.Build(i)
	if err != nil {
		t.Fatal(err)
	}
	return sys
}

func curvesAt(t testing.TB, st *Study, i int, f ...float64) *Curves {
	t.Helper()
	c, err := st.CurvesAt(context.Background(), built(t, st, i), f, 1)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The level in a cabin over that in the plain space is what is published for a
// rigid closed one, for every candidate and whatever the drive.
func TestCabinGainOfCurves(t *testing.T) {
	asserted := 0
	for _, r := range check.Rows(t, "../place/testdata/room-cabin.csv") {
		if r.Quantity != "sealed-volume gain re half-space 1 m level" {
			continue
		}
		var volume, f float64
		if _, err := fmt.Sscanf(r.Conditions, "V=%f m3 rigid, sealed, adiabatic; f=%f Hz", &volume, &f); err != nil {
			t.Fatal(err)
		}
		st := camper(t)
		st.Air, _ = phys.AirOf(345, 1.18)
		seated(t, st, place.Cabin{Volume: volume, Length: math.Cbrt(volume)})
		if f > st.Listening.At.Zone.FirstMode() {
			continue // above the first mode of even a cube: the row is the formula's, and no cabin's
		}
		asserted++
		for i := range st.Candidates {
			c := curvesAt(t, st, i, f)
			check.Near(t, r.ID+" "+st.Candidates[i].Name, c.SPL[0]-c.Plain[0], r.Values(t)[0], 0.5e-7, "half a unit of the last printed digit")
		}
	}
	if asserted != 19 {
		t.Errorf("%d rows were asserted, want 19 of 20", asserted)
	}
}

// A second way to the same level: in a rigid closed cabin the pressure is the
// air's stiffness times the volume that the cone of a closed box moves,
// ρc²·Sd·x/V, whatever the frequency.
func TestCabinPressureIsTheConesVolume(t *testing.T) {
	st := only(t, grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 2, Stack: 1}), closed28)
	seated(t, st, place.Cabin{Volume: 3, Length: 2.2})
	c := curvesAt(t, st, 0, 1, 5, 12, 30, 60)
	for k, f := range c.Frequency {
		x := c.Excursion[0].Y[k] / math.Sqrt2
		p := st.Air.Rho * st.Air.C * st.Air.C * 2 * merlin(t).Sd * x / 3
		check.Near(t, fmt.Sprintf("level at %g Hz", f), c.SPL[k], level(p), 1e-9, rounding)
	}
}

// Below its first mode a cabin has one pressure, which knows neither distance
// nor space.
func TestCabinForgetsDistance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		volume := rapid.Float64Range(1.5, 20).Draw(rt, "volume")
		f := rapid.Float64Range(2, 55).Draw(rt, "f") // a cube of 20 m³ has its first mode at 63 Hz
		at := func(distance float64, space Surroundings) float64 {
			st := camper(t)
			st.Listening = Listening{Distance: distance, Space: space}
			seated(t, st, place.Cabin{Volume: volume, Length: math.Cbrt(volume), Leak: place.Leak{Corner: 7, Q: 2}})
			return curvesAt(t, st, 2, f).SPL[0]
		}
		want := at(1, HalfSpace)
		got := at(rapid.Float64Range(0.3, 30).Draw(rt, "distance"), Surroundings(rapid.IntRange(0, 3).Draw(rt, "space")))
		if !(math.Abs(got-want) < 1e-9) { // rounding
			rt.Fatalf("%.12g dB, want %.12g", got, want)
		}
	})
}

// A cabin changes nothing above an octave beyond its first mode, so that a large
// one is none; and nothing at all is changed by no cabin and by a measurement of 0 dB.
func TestLargeCabinIsNone(t *testing.T) {
	f := Frequencies(10, 400, 60)
	plain := curvesAt(t, camper(t), 2, f...)
	if plain.Plain != nil {
		t.Error("the plain space has a second level")
	}
	large := seated(t, camper(t), place.Cabin{Volume: 9000, Length: 40}) // first mode 4.3 Hz
	flat := camper(t)
	m, err := place.ReadMeasured("", "1;0\n1000;0\n")
	if err != nil {
		t.Fatal(err)
	}
	flat.Listening.At = &Listener{Measured: m, File: "flat.csv"}
	for name, st := range map[string]*Study{"large": large, "flat": flat} {
		c := curvesAt(t, st, 2, f...)
		for k := range f {
			if c.SPL[k] != plain.SPL[k] || c.Phase[k] != plain.Phase[k] || c.Plain[k] != plain.SPL[k] || c.GroupDelay[k] != plain.GroupDelay[k] {
				t.Errorf("%s at %g Hz: %v dB, %v°, plain %v dB; want %v dB, %v°", name, f[k], c.SPL[k], c.Phase[k], c.Plain[k], plain.SPL[k], plain.Phase[k])
			}
		}
	}
}

// Towards the lowest frequencies a closed box in a rigid cabin ends level, one
// behind a resistive damping falls 6 dB an octave, and one behind a leak that is
// a mass 12.
func TestCabinTowardsZero(t *testing.T) {
	for _, c := range []struct {
		cabin place.Cabin
		slope float64
	}{
		{place.Cabin{Volume: 3, Length: 2.6}, 0},
		{place.Cabin{Volume: 3, Length: 2.6, Absorption: 40}, 6.0206},
		{place.Cabin{Volume: 3, Length: 2.6, Leak: place.Leak{Corner: 60, Q: 1000}}, 12.0412},
	} {
		st := seated(t, only(t, grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 1}), closed28), c.cabin)
		v := curvesAt(t, st, 0, 1, 2)
		// at 1 Hz the next term is (f/fc)² of the box, 48.9 Hz, and of the leak: 0.1 %, or f over the damping's corner
		check.Near(t, fmt.Sprintf("slope of %+v", c.cabin), v.SPL[1]-v.SPL[0], c.slope, 0.06, "the next term of the expansion at 1 Hz")
	}
}

// Greatest output at the listener's place is the plain one and the transfer, with
// the same volts, watts and limits; so are the level that is asked and the side
// of the brief that is told; extension and reference level stay.
func TestGreatestAtThePlace(t *testing.T) {
	opt := Options{Points: 60}
	plain := evaluate(t, camper(t), opt)
	st := seated(t, camper(t), place.Cabin{Volume: 3.5, Length: 2.4, Leak: place.Leak{Area: 50e-4, Q: 2}, Q: 4})
	r := evaluate(t, st, opt)
	for i, o := range r.Candidates {
		p := plain.Candidates[i]
		for k, f := range o.Greatest.Frequency {
			check.Near(t, fmt.Sprintf("greatest level at %g Hz", f), o.Greatest.Level[k]-p.Greatest.Level[k], 20*math.Log10(st.Listening.At.gain(f)), 1e-9, rounding)
			if o.Greatest.By[k] != p.Greatest.By[k] || o.Greatest.Volts[k] != p.Greatest.Volts[k] || o.Greatest.Watts[k] != p.Greatest.Watts[k] {
				t.Errorf("at %g Hz %s at %g V ends it, want %s at %g V", f, o.Greatest.By[k], o.Greatest.Volts[k], p.Greatest.By[k], p.Greatest.Volts[k])
			}
		}
		check.Near(t, "level asked", float64(o.Figures.LevelAsked-p.Figures.LevelAsked), 20*math.Log10(st.Listening.At.gain(32)), 1e-9, rounding)
		if o.Figures.F3 != p.Figures.F3 || o.Figures.Reference != p.Figures.Reference || o.Figures.GroupDelay != p.Figures.GroupDelay {
			t.Errorf("%s: extension, reference level or group delay have moved", o.Candidate.Name)
		}
		for _, words := range []string{"in a cabin of 3.5\u2009m³", "outside the cabin"} {
			if !strings.Contains(o.Summary[2], words) {
				t.Errorf("the summary does not say %q: %s", words, o.Summary[2])
			}
		}
	}
	missed := func(r *Result) bool {
		for _, m := range r.Candidates[0].Misses {
			if m.Check == CheckLevel {
				return true
			}
		}
		return false
	}
	if !missed(plain) {
		t.Error("the yardstick reaches 105 dB at 32 Hz without a cabin: nothing is to be seen of it")
	} else if missed(r) {
		t.Error("the cabin’s gain does not count for the level that is asked")
	}
	for _, where := range []string{st.Terms(), st.BriefWords()} {
		if !strings.Contains(where, "in a cabin of 3.5\u2009m³") {
			t.Errorf("the place is not told: %s", where)
		}
	}
	if v := r.Candidates[1].Verdict; !strings.Contains(strings.Join(v, "; "), "in a cabin") {
		t.Errorf("the verdict is not told for the place: %s", v)
	}
}

// The air to move for a level is less by the cabin's gain.
func TestDemandAtThePlace(t *testing.T) {
	plain := camper(t).Demands()[0]
	st := seated(t, camper(t), place.Cabin{Volume: 3.5, Length: 2.4})
	d := st.Demands()[0]
	check.Near(t, "air to move", float64(d.Value), float64(plain.Value)/st.Listening.At.gain(32), 1e-15, "rounding of a few operations")
	if !strings.Contains(d.Why, "in a cabin") || !strings.Contains(d.Formula, "ρ g") || !strings.Contains(d.Numbers, phys.Digits(st.Listening.At.gain(32), 3)) {
		t.Errorf("%q, %q, %q", d.Why, d.Formula, d.Numbers)
	}
}

// Harmonics are brought to the listener's place each at its own frequency, and
// what the fundamental loses is the candidate's own.
func TestDistortionAtThePlace(t *testing.T) {
	plain, err := camper(t).Distort(context.Background(), 2, []float64{32}, []float64{20})
	if err != nil {
		t.Fatal(err)
	}
	st := seated(t, camper(t), place.Cabin{Volume: 3.5, Length: 2.4, Q: 5})
	here, err := st.Distort(context.Background(), 2, []float64{32}, []float64{20})
	if err != nil {
		t.Fatal(err)
	}
	a, b := plain.Points[0], here.Points[0]
	for n := range b.Pressure.Of {
		if want := a.Pressure.Of[n] * st.Listening.At.Transfer(32*float64(n+1)); b.Pressure.Of[n] != want {
			t.Errorf("harmonic %d: %v, want %v", n+1, b.Pressure.Of[n], want)
		}
	}
	if a.Compression != b.Compression {
		t.Errorf("compression %g dB, want %g", b.Compression, a.Compression)
	}
}

// Heat counts from the coil at 20 °C, so that a cold car's Re is not counted twice.
func TestHeatInAColdCar(t *testing.T) {
	course := func(change func(st *Study, d *driver.Driver)) *HeatCourse {
		d := *merlin(t)
		st := only(t, nil, closed28)
		st.Air, _ = phys.NewAir(-15, 0, 101325)
		change(st, &d)
		st.Candidates[0].Group = grouped(t, driver.GroupSpec{Driver: &d, SideBySide: 1, Stack: 1})
		c, err := st.Heat(context.Background(), 0, HeatOptions{Volts: 20, For: 60})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	want := course(func(*Study, *driver.Driver) {})
	have := course(func(st *Study, d *driver.Driver) {
		c, err := place.NewClimate(-15, 1)
		if err != nil {
			t.Fatal(err)
		}
		seated(t, st, place.Cabin{Volume: 3, Length: 2.4})
		st.Listening.At.Climate = &c
		d.Re *= heat.Copper.Resistance(c.Temperature)
	})
	last := len(want.Points) - 1
	check.Near(t, "warmest", have.Points[last].Coil[0], want.Points[last].Coil[0], 1e-9, rounding)
	check.Near(t, "watts", have.Points[last].Watts, want.Points[last].Watts, 1e-9, rounding)
}

// The caution tells the loudest tone of all, in dBA by IEC 61672-1 and with the
// times of NIOSH and WHO-ITU; what is too deep for dBA is cautioned of plainly;
// and a quiet study is not.
func TestHearingCaution(t *testing.T) {
	group := grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 1})
	find := func(list []note.Finding, id string) string {
		for _, f := range list {
			if f.ID == id {
				if f.Severity != note.Caution || f.Mend == "" && id != "hearing" {
					t.Errorf("%+v", f)
				}
				return f.Text
			}
		}
		return ""
	}
	cautions := func(volts float64) *Result {
		st := only(t, group, closed28)
		st.Drive.Value = volts
		st.Candidates[0].Group.Positions[0][0].Driver.Data.Xmax = 0
		return evaluate(t, st, Options{WithoutMends: true})
	}
	loud := cautions(45)
	best, at := math.Inf(-1), 0
	for k, f := range loud.Candidates[0].Curves.Frequency {
		if l := loud.Candidates[0].Curves.SPL[k] + place.AWeight(f); f <= 120 && l > best {
			best, at = l, k
		}
	}
	text := find(loud.Cautions, "hearing-dose")
	for _, words := range []string{
		"a: ", phys.Fixed(loud.Candidates[0].Curves.SPL[at], 0) + "\u2009dB at ", phys.Fixed(math.Ceil(best), 0) + "\u2009dBA",
		"NIOSH 1998: 85\u2009dBA for 8\u2009h", "WHO-ITU H.870",
	} {
		if !strings.Contains(text, words) {
			t.Errorf("%q is not told in %q", words, text)
		}
	}
	// with an amplifier, what it can make of the candidate counts too
	st := only(t, group, closed28)
	st.Drive.Value, st.Amplifier = 1, &Amplifier{Rated: []Rating{{4, 400}}}
	if text := find(evaluate(t, st, Options{WithoutMends: true}).Cautions, "hearing-dose"); !strings.HasPrefix(text, "a at its loudest: ") {
		t.Errorf("what the amplifier can do is told as %q", text)
	}
	if q := cautions(1); find(q.Cautions, "hearing-dose")+find(q.Cautions, "hearing-peak")+find(q.Cautions, "hearing") != "" {
		t.Errorf("a volt is cautioned of: %v", q.Cautions)
	}
	// a quiet drive in a small rigid cabin: above 100 dB at 10 Hz, and below 80 dBA up to 120 Hz
	st = only(t, group, closed28)
	st.Drive.Value = 2
	seated(t, st, place.Cabin{Volume: 1, Length: 1})
	if deep := evaluate(t, st, Options{WithoutMends: true}); !strings.Contains(find(deep.Cautions, "hearing"), "too deep to count in dBA") {
		t.Errorf("%v", deep.Cautions)
	}
}

// A cone that points up or down and sags more than a twentieth of its xmax is warned
// of: x = (Mms − (8/3)ρa³)·g·Cms, by hand. A level one never is.
func TestSag(t *testing.T) {
	d := *merlin(t)
	a := math.Sqrt(d.Sd / math.Pi)
	x := (d.Mms - 8.0/3*1.2041*a*a*a) * 9.80665 * d.Cms
	for _, c := range []struct {
		axis Axis
		xmax float64
		id   string
	}{
		{AxisLevel, x / 0.2, ""}, {AxisUp, x / 0.0502, "cone-sags"}, {AxisDown, x / 0.2, "cone-sags"},
		{AxisDown, x / 0.0498, ""}, {AxisUp, 0, "sag-unknown"}, {AxisLevel, 0, ""},
	} {
		e := d
		e.Data.Xmax = c.xmax
		st := only(t, grouped(t, driver.GroupSpec{Driver: &e, SideBySide: 2, Stack: 1}), closed28)
		st.Candidates[0].Axis = c.axis
		var found []note.Finding
		for _, f := range evaluate(t, st, Options{WithoutMends: true}).Candidates[0].Findings {
			if f.ID == "cone-sags" || f.ID == "sag-unknown" {
				found = append(found, f)
			}
		}
		switch {
		case c.id == "" && len(found) == 0:
		case c.id == "" || len(found) != 1 || found[0].ID != c.id || found[0].Severity != note.Warning || found[0].Where != "candidates.a.group.axis":
			t.Errorf("%s, xmax %g m: %+v", c.axis, c.xmax, found)
		case c.id == "cone-sags" && !strings.Contains(found[0].Text, phys.Show(x, phys.Length, phys.Metric)):
			t.Errorf("%s is not told in %q", phys.Show(x, phys.Length, phys.Metric), found[0].Text)
		}
	}
}
