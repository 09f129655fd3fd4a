package studyfile

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/heat"
	"basswright/internal/phys"
	"basswright/internal/study"
)

func readFile(t testing.TB, file string) []byte {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func mustParse(t testing.TB, text []byte, beside ...Beside) *study.Study {
	t.Helper()
	st, err := Parse(text, "good.yaml", beside...)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// near allows for the rounding of unit factors in float64.
func near(t *testing.T, what string, have, want float64) {
	t.Helper()
	if math.Abs(have-want) > 1e-12*math.Abs(want) {
		t.Errorf("%s is %.15g, want %.15g", what, have, want)
	}
}

const (
	inch  = 0.0254     // m, international yard and pound agreement 1959
	pound = 0.45359237 // kg, the same
)

func TestEverythingOfTheStudy(t *testing.T) {
	text := readFile(t, "testdata/good/everything.yaml")
	st := mustParse(t, text)
	sum := sha256.Sum256(text)
	if st.Name != "Everything at once" || st.Note != "Text of more than one line:\nas in a letter." || st.Digest != hex.EncodeToString(sum[:]) || st.File != "good.yaml" {
		t.Errorf("name %q, note %q, digest %s, file %q", st.Name, st.Note, st.Digest, st.File)
	}
	air, err := phys.NewAir(23, 0.45, 98500)
	if err != nil || st.Air != air {
		t.Errorf("air %+v", st.Air)
	}
	if st.Units != phys.Imperial || st.Listening.Space != study.QuarterSpace || !st.Model.FullRadiation {
		t.Errorf("units %v, space %v, model %v", st.Units, st.Listening.Space, st.Model)
	}
	near(t, "distance", st.Listening.Distance, 13*12*inch)
	if st.Drive != (study.Drive{Kind: study.DrivePowerPerDriver, Value: 2.5}) {
		t.Errorf("drive %+v", st.Drive)
	}
	near(t, "source", st.Source, 0.08)
	if d := cmp.Diff([]study.Rating{{Load: 4, Power: 800}, {Load: 8, Power: 500}}, st.Amplifier.Rated); d != "" {
		t.Error(d)
	}
	sp := st.Space
	near(t, "width", sp.Width, 48*inch)
	near(t, "height", sp.Height, 15*inch)
	near(t, "depth", sp.Depth, 26*inch)
	near(t, "panel", sp.Panel, 0.75*inch)
	if sp.Material != "birch plywood" || *st.Reference != (study.Band{From: 60, To: 120}) {
		t.Errorf("material %q, reference %v", sp.Material, st.Reference)
	}
	b := st.Brief
	if b.Extension != (study.Extension{F3: 40, F6: 34, F10: 28}) || b.LevelAt != 50 || b.Level != 112 {
		t.Errorf("brief %+v", b)
	}
	near(t, "port speed", b.Limits.PortSpeed, 80*12*inch)
	near(t, "mass", b.Limits.Mass, 200*pound)
	near(t, "group delay", b.Limits.GroupDelay, 0.03)
	near(t, "excursion", b.Limits.Excursion, 0.009)
	if b.Limits.From != 30 || b.Limits.ExcursionXmax || b.Limits.Price != 1500 || b.Limits.Currency != "USD" {
		t.Errorf("limits %+v", b.Limits)
	}
}

func TestEverythingOfTheDrivers(t *testing.T) {
	st := mustParse(t, readFile(t, "testdata/good/everything.yaml"))
	var names []string
	for _, d := range st.Drivers {
		names = append(names, d.Driver.Name)
	}
	if d := cmp.Diff([]string{"heron-8", "plover_12", "wren-6", "merlin-10"}, names); d != "" {
		t.Fatal(d)
	}
	h := st.Drivers[0].Driver
	// two coils measured in series: each has half of re and bl, a quarter of le
	near(t, "re", h.Re, 2.8)
	near(t, "bl", h.Bl, 5.1)
	near(t, "le", h.Coil.Le, 0.9e-3/4)
	near(t, "mms", h.Mms, 0.0385)
	near(t, "cms", h.Cms, 780e-6)
	near(t, "rms", h.Rms, 1.9)
	near(t, "sd", h.Sd, math.Pi/4*(6.59*inch)*(6.59*inch))
	if want := (driver.Coils{Count: 2, Quoted: driver.QuotedSeries, Driven: 1, Other: driver.OtherLoaded, Load: 4}); h.Coils != want {
		t.Errorf("coils %+v", h.Coils)
	}
	want := driver.Data{
		RatedImpedance: 8, RatedPower: 250, Xmax: 0.008, Xmech: 0.015, MountingDepth: 3.9 * inch, Cutout: 7.25 * inch, Flange: 8.2 * inch,
		FlangeThickness: 0.007, MagnetDiameter: 5 * inch, CoilDiameter: 2 * inch, WindingHeight: 0.024, GapHeight: 0.008,
		Displacement: 0.0014, Weight: 6.4 * pound, Price: 84, Currency: "USD",
	}
	same := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) })
	if d := cmp.Diff(want, h.Data, same); d != "" {
		t.Error(d)
	}
	p := st.Drivers[1].Driver
	if p.Coil.Model != driver.CoilLR2 || p.Creep != (driver.Creep{Lambda: 0.1}) {
		t.Errorf("coil %+v, creep %+v", p.Coil, p.Creep)
	}
	near(t, "l2", p.Coil.L2, 1.3e-3)
	near(t, "le", p.Coil.Le, 0.6e-3)
	near(t, "r2", p.Coil.R2, 4.5)
	// trust: [qts, fs] leads: it is kept, and the sheet's own air made cms of vas
	near(t, "qts", p.Qts(), 0.36)
	near(t, "fs", p.Fs(), 27)
	near(t, "cms", p.Cms, 4.1*math.Pow(12*inch, 3)/(1.19*345*345*p.Sd*p.Sd))
	w := st.Drivers[2].Driver
	if w.Coil != (driver.VoiceCoil{Model: driver.CoilPowerLaw, K: 0.05, N: 0.7}) {
		t.Errorf("coil %+v", w.Coil)
	}
	near(t, "le", st.Drivers[3].Driver.Coil.Le, 1.1e-3)
}

func TestEverythingOfTheCandidates(t *testing.T) {
	st := mustParse(t, readFile(t, "testdata/good/everything.yaml"))
	c := map[string]study.Candidate{}
	var names []string
	for _, x := range st.Candidates {
		c[x.Name] = x
		names = append(names, x.Name)
	}
	if d := cmp.Diff([]string{"wall", "closed", "slot", "aligned", "radiator", "three", "both-out", "one-out"}, names); d != "" {
		t.Fatal(d)
	}
	if g := c["wall"].Group; g.SideBySide() != 2 || g.Depth() != 1 || g.InSeries != 2 || c["wall"].Note != "no box" {
		t.Errorf("wall: %+v", g)
	}
	closed := c["closed"].Group
	if closed.Arrangement != driver.Clamshell || closed.Positions[0][0].Polarity != -1 || closed.Positions[0][1].Polarity != 1 {
		t.Errorf("closed: %+v", closed)
	}
	near(t, "coupling volume", closed.Coupling[0].Volume, 0.005)
	near(t, "coupling length", closed.Coupling[0].Length, 0.22)
	three := c["three"].Group
	if three.Depth() != 3 || three.Positions[0][1].Facing != driver.Rear || three.InSeries != 3 || len(three.Coupling) != 2 || three.Coupling[1] != (driver.Coupling{Volume: 0.0012}) {
		t.Errorf("three: %+v", three)
	}
	both := c["both-out"].Group
	if !both.Unlike || both.Positions[1][1].Driver.Name != "wren-6" || both.Coupling != nil {
		t.Errorf("both-out: %+v", both)
	}
	given := func(q float64) enclosure.Loss { return enclosure.Loss{State: enclosure.LossGiven, Q: q} }
	none := enclosure.Loss{State: enclosure.LossNone}
	round := func(d, l float64) enclosure.Port {
		return enclosure.Port{Shape: enclosure.Round, Diameter: d, Length: l, Count: 1}
	}
	want := map[string]enclosure.Spec{
		"wall":   {Kind: enclosure.InfiniteBaffle},
		"closed": {Kind: enclosure.Sealed, Rear: enclosure.Chamber{SystemQ: 0.9}, Losses: enclosure.Losses{Leakage: given(20), Absorption: given(60), At: 45}},
		"slot": {
			Kind: enclosure.Vented, Losses: enclosure.Losses{Leakage: none, Absorption: given(80), Port: given(30), At: 30},
			Rear: enclosure.Chamber{Volume: 3 * math.Pow(12*inch, 3), Tuning: 30, Port: enclosure.Port{
				Shape: enclosure.Slot, Width: 0.244, Height: 0.032, Count: 2, Inner: enclosure.EndFlanged, Outer: enclosure.EndFree, Flare: 0.01}},
		},
		"aligned": {Kind: enclosure.Vented, Rear: enclosure.Chamber{Port: round(5*inch, 0)}, Alignment: enclosure.Alignment{Family: "qb3"}},
		"radiator": {
			Kind: enclosure.PassiveRadiator, Losses: enclosure.Losses{Leakage: given(10)}, Rear: enclosure.Chamber{Volume: 0.04, Tuning: 24},
			Radiator: enclosure.Radiator{Sd: 0.0515, Mms: 0.11, Cms: 0.55e-3, Rms: 2, Count: 2, Xmax: 0.018, Depth: 0.06},
		},
		"three": {
			Kind: enclosure.Bandpass, Losses: enclosure.Losses{Leakage: given(50)},
			Rear:  enclosure.Chamber{Volume: 0.009, Losses: enclosure.Losses{Absorption: given(80)}},
			Front: enclosure.Chamber{Volume: 0.008, Tuning: 60, Port: enclosure.Port{Shape: enclosure.AreaOnly, Area: 0.004, Count: 1}, Losses: enclosure.Losses{Port: none}},
		},
		"both-out": {Kind: enclosure.BandpassParallel, Losses: enclosure.Losses{Port: given(25)}, Rear: enclosure.Chamber{Volume: 0.03, Tuning: 30}, Front: enclosure.Chamber{Volume: 0.014, Port: round(0.08, 0.15)}},
		"one-out": {
			Kind: enclosure.BandpassSeries, Losses: enclosure.Losses{Port: none}, Rear: enclosure.Chamber{Volume: 0.013, Tuning: 40, Port: round(0.05, 0)},
			Front: enclosure.Chamber{Volume: 0.009, Tuning: 70, Port: round(0.06, 0)},
		},
	}
	same := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) })
	for name, spec := range want {
		if d := cmp.Diff(spec, c[name].Enclosure, same); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestAnother(t *testing.T) {
	st := mustParse(t, readFile(t, "testdata/good/another.yaml"))
	if st.Drive.Kind != study.DriveAmplifierFull || st.Amplifier.LowestLoad() != 2 || st.Amplifier.Rated[0].Load != 2 {
		t.Errorf("drive %+v, amplifier %+v", st.Drive, st.Amplifier)
	}
	if !st.Air.Stated || st.Air.C != 343.2 || st.Air.Rho != 1.2041 || st.Listening.Distance != 1 || st.Listening.Space != study.HalfSpace {
		t.Errorf("air %+v, listening %+v", st.Air, st.Listening)
	}
	l := st.Brief.Limits
	if !l.ExcursionXmax || l.Excursion != 0 || l.Currency != "EUR" {
		t.Errorf("limits %+v", l)
	}
	// an alias stands for the sheet that it names
	a, b := *st.Drivers[0].Driver, *st.Drivers[1].Driver
	if a.Coils.Other != driver.OtherShorted || b.Name != "wren-6-again" {
		t.Errorf("coils %+v, name %s", a.Coils, b.Name)
	}
	if a.Name = b.Name; a != b {
		t.Errorf("%+v is not %+v", a, b)
	}
	if !st.Drivers[2].Driver.Creep.Real {
		t.Error("creep is not real")
	}
	want := enclosure.Radiator{Sd: 0.0136, Mms: 0.04, Vas: 0.012, Qms: 7, AddedMass: 0.02}
	same := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) })
	if d := cmp.Diff(want, st.Candidates[0].Enclosure.Radiator, same); d != "" {
		t.Error(d)
	}
	if fs := st.Candidates[1].Enclosure.Radiator.Fs; fs != 18 {
		t.Errorf("fs %g", fs)
	}
}

// A mark of byte order and line ends of another system change nothing but the
// digest.
func TestLineEnds(t *testing.T) {
	plain := readFile(t, "testdata/good/everything.yaml")
	text := append([]byte("\ufeff"), bytes.ReplaceAll(plain, []byte("\n"), []byte("\r\n"))...)
	have, want := mustParse(t, text), mustParse(t, plain)
	have.Digest = want.Digest
	same := cmp.Comparer(func(a, b phys.Maybe) bool { return a == b || !a.OK() && !b.OK() })
	if d := cmp.Diff(want, have, same); d != "" {
		t.Error(d)
	}
}

func TestFindings(t *testing.T) {
	st := mustParse(t, []byte(`study: Findings
drivers:
  wren-6:
    fs: 38 Hz
    qms: 4.2
    qes: 0.41
    qts: 0.5
    vas: 12.5 L
    sd: 136 cm2
    re: 3.4 ohm
    coils: {count: 2, quoted: series, other: shorted}
candidates:
  fight:
    group:
      driver: wren-6
      stack: 2
      polarity: [normal, reversed]
    enclosure: {kind: sealed, volume: 9 L}
`))
	var have []string
	for _, f := range slices.Concat(st.Drivers[0].Findings, st.Findings) {
		have = append(have, f.ID+" "+f.At.String()+" "+f.Severity.String())
	}
	want := []string{
		"sheet-disagrees good.yaml:7:10 warning",
		"no-other-coil good.yaml:11:46 warning",
		"default-sheet-air good.yaml:3:3 default",
		"default-driven good.yaml:11:5 default",
		"default-drive good.yaml:1:1 default",
		"default-air good.yaml:1:1 default",
		"default-distance good.yaml:1:1 default",
		"default-space good.yaml:1:1 default",
		"default-radiation good.yaml:1:1 default",
		"default-from good.yaml:1:1 default",
		"default-arrangement good.yaml:14:5 default",
		"default-coupling good.yaml:14:5 default",
		"default-wiring good.yaml:14:5 default",
		"polarity-fights good.yaml:17:7 warning",
	}
	if d := cmp.Diff(want, have); d != "" {
		t.Error(d)
	}
	if at := st.Candidates[0].At.String(); at != "good.yaml:13:3" {
		t.Errorf("the candidate is at %s", at)
	}
}

// Positions are right: what stands there in the file is the key or the value.
func TestPositions(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no examples", err)
	}
	more, err := filepath.Glob("testdata/good/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range append(files, more...) {
		f := &faults{}
		text, _ := clean(readFile(t, file), f)
		lines := strings.Split(string(text), "\n")
		seen := 0
		at := func(p place, want string) {
			seen++
			rest := string([]rune(lines[p.line-1])[p.column-1:])
			if !strings.HasPrefix(strings.Trim(rest, `"`), want) {
				t.Errorf("%s:%d:%d holds %q, want %q", file, p.line, p.column, rest, want)
			}
		}
		var walk func(n *node)
		walk = func(n *node) {
			if n.shape == shapeScalar && !strings.Contains(n.text, "\n") {
				at(n.pos, n.text)
			}
			for _, c := range n.items {
				walk(c)
			}
			for _, e := range n.entries {
				at(e.pos, e.key)
				walk(e.value)
			}
		}
		walk(parse(text, f))
		if seen < 20 {
			t.Errorf("%s has only %d values", file, seen)
		}
	}
}

func BenchmarkParse(b *testing.B) {
	text := readFile(b, "../../examples/camper-bench.yaml")
	for b.Loop() {
		if _, err := Parse(text, "camper-bench.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}

func TestBench(t *testing.T) {
	st := mustParse(t, readFile(t, "testdata/good/bench.yaml"))
	if st.Drive != (study.Drive{Kind: study.DriveVoltage, Value: 2.83}) || st.Air != phys.StandardAir() || len(st.Findings) != 2 || st.Findings[0].ID != "default-radiation" || st.Findings[1].ID != "default-polarity" {
		t.Errorf("drive %+v, air %+v, findings %v", st.Drive, st.Air, st.Findings)
	}
	d := st.Drivers[0].Driver
	near(t, "fs", d.Fs(), 30.5)
	near(t, "qms", d.Qms(), 4.9)
	near(t, "qes", d.Qes(), 0.49)
	near(t, "vas", d.Vas(st.Air), 0.044)
	near(t, "sd", d.Sd, 0.0345)
	near(t, "le", d.Coil.Le, 1.1e-3)
	near(t, "xmax", d.Data.Xmax, 0.012)
	if len(st.Drivers[0].Steps) == 0 {
		t.Error("the driver has no account of its completion")
	}
	compound := st.Candidates[1]
	if compound.GroupSpec.Stack != 2 || compound.GroupSpec.Arrangement != driver.Clamshell || compound.Group.InSeries != 1 {
		t.Errorf("%+v", compound.GroupSpec)
	}
}

// Curves hold what the study says, a compliance as the stiffness that it is.
func TestCurves(t *testing.T) {
	st := mustParse(t, readFile(t, "testdata/good/curves.yaml"))
	if !st.Model.LinearAir || !st.Model.AdiabaticAir {
		t.Errorf("model %+v", st.Model)
	}
	if m := st.Model.Mismatch; m == nil || *m != (study.Mismatch{Bl: 0.03, Kms: -0.08, Offset: 0.3e-3}) {
		t.Errorf("mismatch %+v", m)
	}
	if got := st.Drivers[0].Driver.Data.Thermal; got != (heat.Circuit{Rtv: 1.2, Ctv: 30, Rtm: 0.6, Ctm: 2500}) {
		t.Errorf("thermal %+v", got)
	}
	c := st.Drivers[0].Driver.Curves
	v, d, _ := c.Bl.At(0.001)
	near(t, "bl at 1 mm", v, 10.2+122.4e-3-22440e-6-204e3*1e-9+15.3e6*1e-12)
	near(t, "its slope", d, 122.4-2*22440e-3-3*204e3*1e-6+4*15.3e6*1e-9)
	c = st.Drivers[1].Driver.Curves
	v, _, _ = c.Kms.At(-0.010)
	near(t, "kms at −10 mm", v, 1900)
	v, _, _ = c.Le.At(0.010)
	near(t, "le at 10 mm", v, 0.7e-3)
	c = st.Drivers[2].Driver.Curves
	v, _, _ = c.Kms.At(0.010)
	near(t, "the stiffness at 10 mm", v, 1/0.6e-3)
	if c.Bl != nil || c.Le != nil {
		t.Error("curves that the study does not give")
	}
	c = st.Drivers[3].Driver.Curves
	v, _, _ = c.Kms.At(0.010)
	near(t, "the stiffness at 10 mm", v, 1/(0.78e-3-2e-4))
	c = st.Drivers[4].Driver.Curves
	v, _, _ = c.L2.At(-0.010)
	near(t, "l2 at −10 mm", v, 1.1e-3)
	plain := mustParse(t, []byte(strings.Replace(string(readFile(t, "testdata/good/curves.yaml")), "voice_coil: {model: lr2, le: 0.6 mH, l2: 0.9 mH, r2: 4 ohm}", "le: 0.6 mH", 1)))
	told := false
	for _, f := range plain.Drivers[4].Findings {
		told = told || f.ID == "curve-without-part" && f.Where == "drivers.by-eddies.curves.l2" && f.At.Line > 0
	}
	if !told {
		t.Errorf("a curve of l2 without an l2: %v", plain.Drivers[4].Findings)
	}
}

// The filters of a study are one chain in their order, each as it is worded.
func TestFilters(t *testing.T) {
	st := mustParse(t, readFile(t, "testdata/good/filters.yaml"))
	if len(st.Filters) != 16 || st.Filters[0].Name != "subsonic" || st.Filters[15].Kind != "pole_zero" {
		t.Fatalf("%+v", st.Filters)
	}
	w := 2 * math.Pi * 30.0
	product := complex(1, 0)
	for i := range st.Filters {
		product *= st.Filters[i].Chain.At(w)
	}
	if d := cmplx.Abs(st.Chain.At(w)/product - 1); d > 1e-12 {
		t.Errorf("the chain is off by %g", d)
	}
	// Butterworth of order 4 at 24 Hz is −10·log10(1 + (24/30)^8) at 30 Hz.
	near(t, "the high-pass", 20*math.Log10(cmplx.Abs(st.Filters[0].Chain.At(w))), -10*math.Log10(1+math.Pow(0.8, 8)))
	// The bell is its gain at its middle, Linkwitz-Riley 6.0206 dB down at its corner.
	near(t, "the bell", 20*math.Log10(cmplx.Abs(st.Filters[2].Chain.At(2*math.Pi*35))), 3)
	near(t, "the low-pass", cmplx.Abs(st.Filters[1].Chain.At(2*math.Pi*90)), 0.5)
	at := func(name string, f float64) complex128 {
		for i := range st.Filters {
			if st.Filters[i].Name == name {
				return st.Filters[i].Chain.At(2 * math.Pi * f)
			}
		}
		t.Fatalf("no filter %s", name)
		return 0
	}
	db := func(h complex128) float64 { return 20 * math.Log10(cmplx.Abs(h)) }
	near(t, "the high-pass by Q, at its poles", cmplx.Abs(at("boost", 26)), 1.9)
	near(t, "the low-pass by Q, at its poles", cmplx.Abs(at("ceiling", 200)), 0.6)
	near(t, "the bell by its width, at its lower edge", db(at("dip", 60*math.Exp2(-0.25))), -2)
	near(t, "the bell by its width, at its upper edge", db(at("dip", 60*math.Exp2(0.25))), -2)
	near(t, "the shelf by its slope, at its middle", db(at("step", 40)), 1)
	near(t, "the steepest shelf, as by its Q", cmplx.Abs(at("roof", 100)), cmplx.Abs(must(filter.HighShelf(150, math.Sqrt2/2, -3))(t).At(2*math.Pi*100)))
	near(t, "the all-pass of first order, at its corner", cmplx.Phase(at("quarter", 60)), -math.Pi/2)
	near(t, "the all-pass of second order, at its corner", math.Abs(cmplx.Phase(at("half", 80))), math.Pi)
	near(t, "the all-pass, far from it", cmplx.Abs(at("half", 11)), 1)
	near(t, "the gain", db(at("down", 33)), -6)
	near(t, "the delay", cmplx.Phase(at("late", 20)), -2*math.Pi*20*2.5e-3)
	near(t, "the polarity", real(at("turned", 33)), -1)
}

// must is a chain that has to be.
func must(c filter.Chain, err error) func(t *testing.T) *filter.Chain {
	return func(t *testing.T) *filter.Chain {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return &c
	}
}

// parse is the tree of a text, nil if it has none.
func parse(data []byte, f *faults) *node {
	body, _ := parsed(data, f)
	return grown(body, f)
}
