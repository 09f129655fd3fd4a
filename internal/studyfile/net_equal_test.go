package studyfile

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// equal is how far a candidate and its network may be apart, as a share of the largest
// that a reading has over the band, of the pressure before its parts cancel each other: the same elements, read from the same numbers, in
// another order of elimination. A double holds 1e-16; the conditions of these
// equations leave some thousand times that.
const equal = 1e-12

// readings are what a system answers over a band: response, impedance, the excursion
// of every cone and radiator, and the air’s speed in every opening of known size, by the
// names that the columns of curves have.
func readings(t rapidOr, sys *enclosure.System) map[string][]complex128 {
	t.Helper()
	out := map[string][]complex128{}
	s := sys.Program.NewSolver()
	for k := range 60 {
		f := 8 * math.Pow(100, float64(k)/59)
		if err := s.Solve(2 * math.Pi * f); err != nil {
			t.Fatalf("%g Hz: %v", f, err)
		}
		add := func(name string, z complex128) { out[name] = append(out[name], z) }
		add("pressure", sys.Pressure(s))
		parts := 0.0
		for _, r := range sys.Radiating() {
			parts += cmplx.Abs(s.Flow(r.Element))
		}
		add("pressure of all parts", complex(sys.Setting.PressurePerFlow(s.Omega())*parts, 0))
		add("impedance", sys.Impedance(s))
		for i := range sys.Cones {
			add("cone "+sys.Cones[i].Name, complex(sys.Excursion(s, &sys.Cones[i]), 0))
		}
		for i := range sys.Radiators {
			add("radiator "+sys.Radiators[i].Name, complex(sys.Excursion(s, &sys.Radiators[i]), 0))
		}
		for _, o := range sys.Openings {
			if o.Area > 0 {
				add("air in "+o.Name, s.Flow(o.Element)/complex(o.Area, 0))
			}
		}
	}
	return out
}

// rapidOr is a test of either kind.
type rapidOr interface {
	Helper()
	Fatalf(format string, args ...any)
	Fatal(args ...any)
}

// heldAsNetwork reads a study, writes each candidate as a network, reads that, and
// compares the two.
func heldAsNetwork(t rapidOr, text []byte, beside ...Beside) (worst float64) {
	t.Helper()
	f := Open(text, "one.yaml")
	st, err := f.Study(beside...)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	for i := range st.Candidates {
		worst = max(worst, heldOneAsNetwork(t, f, st, i, beside...))
	}
	return worst
}

func heldOneAsNetwork(t rapidOr, f *File, st *study.Study, i int, beside ...Beside) float64 {
	t.Helper()
	sys, _, err := st.Build(i)
	if err != nil {
		t.Fatalf("%v\n%s", err, f.Text())
	}
	g, err := f.AsNetwork(context.Background(), st, i, sys)
	if err != nil {
		t.Fatalf("%s: %v\n%s", st.Candidates[i].Name, err, f.Text())
	}
	other, err := g.Study(beside...)
	if err != nil {
		t.Fatalf("%v\n%s", err, g.Text())
	}
	if n := len(other.Candidates); n != 1 || other.Candidates[0].Enclosure.Kind != enclosure.Network {
		t.Fatalf("%d candidates, a %s\n%s", n, other.Candidates[0].Enclosure.Kind, g.Text())
	}
	theirs, _, err := other.Build(0)
	if err != nil {
		t.Fatalf("%v\n%s", err, g.Text())
	}
	a, b := readings(t, sys), readings(t, theirs)
	if len(a) != len(b) {
		t.Fatalf("%d readings and %d", len(a), len(b))
	}
	worst := 0.0
	for name, as := range a {
		bs, ok := b[name]
		if !ok {
			t.Fatalf("the network has no %s\n%s", name, g.Text())
		}
		most, scale := 0.0, as
		if name == "pressure" { // two chambers that are nearly alike leave next to nothing of what they send out
			scale = a["pressure of all parts"]
		}
		for k := range scale {
			most = max(most, cmplx.Abs(scale[k]))
		}
		for k := range as {
			if as[k] == bs[k] { // also where both are nothing at all
				continue
			}
			if d := cmplx.Abs(as[k]-bs[k]) / most; !(d <= equal) {
				t.Fatalf("%s at point %d: %v and %v, off by %.2g of %g\n%s", name, k, as[k], bs[k], d, most, g.Text())
			} else {
				worst = max(worst, d)
			}
		}
	}
	return worst
}

// drawn are random sizes in a study’s words.
type drawn struct{ t *rapid.T }

func (d drawn) num(name string, lo, hi float64) string {
	return fmt.Sprintf("%.5g", lo*math.Pow(hi/lo, rapid.Float64Range(0, 1).Draw(d.t, name)))
}

func (d drawn) one(name string, of ...string) string { return rapid.SampledFrom(of).Draw(d.t, name) }

// fill is fibre in few or many words, or none.
func (d drawn) fill(more ...string) string {
	if d.one("filled", "yes", "no") == "no" {
		return ""
	}
	out := "{resistivity: " + d.num("sigma", 300, 20000) + " Pa s/m2"
	if d.one("frame", "rigid", "limp") == "limp" {
		out = "{resistivity: " + d.num("sigma", 300, 20000) + " Pa s/m2, frame: limp, packing: " + d.num("packing", 5, 60) + " kg/m3"
	}
	return ", fill: " + out + d.one("more", append(more, "")...) + "}"
}

func (d drawn) losses(port bool) string {
	out := []string{}
	if d.one("leak", "y", "n") == "y" {
		out = append(out, "leakage: "+d.one("ql", "none", "7", d.num("ql", 2, 40)))
	}
	if port && d.one("portloss", "y", "n") == "y" {
		out = append(out, "port: "+d.num("qp", 5, 90))
	}
	if d.one("at", "y", "n") == "y" {
		out = append(out, "at: "+d.num("lossat", 15, 90)+" Hz")
	}
	if len(out) == 0 {
		return ""
	}
	return ", losses: {" + strings.Join(out, ", ") + "}"
}

// tuned is a chamber’s volume with a port in one of its wordings.
func (d drawn) tuned() string {
	volume, tuning := d.num("volume", 15, 120)+" L", d.num("tuning", 22, 60)+" Hz"
	size := d.one("size", "diameter: "+d.num("bore", 50, 90)+" mm", "width: 220 mm, height: "+d.num("slot", 12, 28)+" mm", "area: "+d.num("area", 20, 60)+" cm2")
	switch d.one("port", "ideal", "tuned", "long") {
	case "tuned":
		return "volume: " + volume + ", tuning: " + tuning + ", port: {" + size + d.one("ends", "", ", inner_end: flanged", ", outer_end: free, count: 2") + "}"
	case "long":
		return "volume: " + volume + ", port: {" + size + ", length: " + d.num("length", 60, 200) + " mm" + d.one("flare", "", ", flare: 5 mm") + "}"
	}
	return "volume: " + volume + ", tuning: " + tuning
}

// duct is a duct in one of its wordings; of a line with words about what stands in it,
// and perhaps by its tuning.
func (d drawn) duct(line bool) string {
	long := "length: " + d.num("long", 1.2, 3) + " m"
	more := ""
	if line {
		more = d.one("bodies", "", ", bodies: counted", ", bodies: left_out")
		if d.one("worded by", "length", "length", "tuning") == "tuning" {
			long = "tuning: " + d.num("quarter", 24, 60) + " Hz"
		}
	}
	course := d.course(long)
	return course[:len(course)-1] + more + "}"
}

// baffle is where a kind’s cones, at n positions, and its openings stand; none are
// outside where n is 0.
func (d drawn) baffle(n int, openings ...string) string {
	if d.one("baffled", "yes", "no") == "no" {
		return ""
	}
	var out []string
	if n > 1 || n == 1 && (len(openings) == 0 || d.one("cone placed", "y", "n") == "y") {
		var cones []string
		for p := range n {
			cones = append(cones, fmt.Sprintf("{x: %s cm, y: %s cm}", d.num("x", 20+60*float64(p), 50+60*float64(p)), d.num("y", 1, 20)))
		}
		out = append(out, "cones: ["+strings.Join(cones, ", ")+"]")
	}
	for i, name := range openings {
		if i == 0 && len(out) == 0 || d.one("placed", "y", "n") == "y" {
			out = append(out, fmt.Sprintf("%s: {x: -%s cm, y: -%s cm}", name, d.num("x", 30+float64(100*i), 60+float64(100*i)), d.num("y", 20, 200)))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return ", baffle: {" + strings.Join(out, ", ") + "}"
}

func (d drawn) course(long string) string {
	from, to := d.num("from", 60, 400)+" cm2", d.num("to", 60, 900)+" cm2"
	section := d.one("section", "", ", width: 240 mm", ", aspect: 1.6")
	switch d.one("course", "straight", "cone", "exponential", "parabolic", "hyperbolic", "points") {
	case "straight":
		return "{" + long + ", area: " + from + section + "}"
	case "points":
		return "{profile: [{at: 0 m, area: " + from + "}, {at: 0.7 m, area: " + to + "}, {at: 0.7 m, area: " + from + "}, {at: 2.1 m, area: " + to + "}]" + d.one("between", "", ", between: parabolic", ", jumps: plain") + section + "}"
	case "hyperbolic":
		return "{" + long + ", start: 90 cm2, end: " + d.num("wide", 300, 1500) + " cm2, flare: hyperbolic, t: " + d.num("t", 0.4, 3) + section + "}"
	case "cone":
		return "{" + long + ", start: " + from + ", end: " + to + section + "}"
	case "parabolic":
		return "{" + long + ", start: " + from + ", end: " + to + ", flare: parabolic" + section + "}"
	}
	return "{" + long + ", start: 90 cm2, end: " + d.num("wide", 300, 1500) + " cm2, flare: exponential" + section + "}"
}

// enclosure is a box of any kind for a group with n positions.
func (d drawn) enclosure(n int) string {
	mouth := d.one("mouth", "", ", mouth: flanged", ", mouth: free", ", mouth: {end: flanged, load: piston}", ", mouth: {end: flanged, load: pipe}")
	along := d.one("ductfill", "", d.fill(", from: 0.2 m", ", to: 0.9 m", ", from: 0.1 m, to: 1 m"))
	share := ", share: 60 %"
	stuffed := d.fill(share)
	throat := d.one("throat", "", ", throat_chamber: {volume: "+d.num("throat", 0.5, 4)+" L"+d.fill(", share: 37 %")+"}")
	switch kind := d.one("kind", "infinite_baffle", "sealed", "vented", "passive_radiator", "bandpass", "bandpass_parallel", "bandpass_series",
		"transmission_line", "tapped_waveguide", "front_loaded_horn", "back_loaded_horn"); kind {
	case "infinite_baffle":
		return "{kind: infinite_baffle" + d.baffle(n) + "}"
	case "sealed":
		size := "volume: " + d.num("volume", 10, 90) + " L"
		if stuffed == "" {
			return "{kind: sealed, " + size + d.one("absorbs", "", ", losses: {absorption: 30, leakage: 12}") + d.baffle(n) + "}"
		}
		return "{kind: sealed, " + size + stuffed + d.baffle(n) + "}"
	case "vented":
		if d.one("stuffed", "y", "n") == "y" {
			return "{kind: vented, " + d.tuned() + stuffed + d.baffle(n, "port") + "}"
		}
		return "{kind: vented, " + d.tuned() + d.losses(true) + d.baffle(n, "port") + "}"
	case "passive_radiator":
		return "{kind: passive_radiator, volume: " + d.num("volume", 20, 90) + " L, radiator: {sd: 515 cm2, mms: " + d.num("mms", 80, 200) + " g, cms: 0.55 mm/N, " + d.one("r", "qms: 7", "rms: 2 kg/s") +
			d.one("count", "", ", count: 2") + d.one("weight", "", ", added_mass: 60 g") + "}" + d.losses(false) + stuffed + d.baffle(n, "radiator") + "}"
	case "bandpass":
		return "{kind: bandpass, rear: {volume: " + d.num("volume", 10, 60) + " L" + stuffed + "}, front: {" + d.tuned() + d.losses(true) + d.fill(share) + "}}"
	case "bandpass_parallel", "bandpass_series":
		on := ""
		if kind == "bandpass_parallel" {
			on = d.baffle(0, "rear_port", "front_port")
		}
		return "{kind: " + kind + ", rear: {" + d.tuned() + stuffed + "}, front: {" + d.tuned() + d.fill(share) + "}" + d.losses(true) + on + "}"
	case "transmission_line":
		return "{kind: transmission_line, duct: " + d.duct(true) + d.one("driver", "", ", driver_at: "+d.num("driver", 0.05, 0.9)+" m", ", driver_at: quiet") + mouth + along + d.baffle(n, "mouth") + "}"
	case "tapped_waveguide":
		return "{kind: tapped_waveguide, duct: " + d.duct(true) + ", front_at: " + d.one("front", "0 m", d.num("frontat", 0.05, 0.5)+" m") + ", rear_at: " + d.num("rearat", 0.6, 1.1) + " m" + mouth + along + "}"
	case "front_loaded_horn":
		return "{kind: front_loaded_horn, duct: " + d.duct(false) + ", rear: {volume: " + d.num("volume", 10, 60) + " L" + stuffed + "}" + throat + mouth + along + "}"
	}
	return "{kind: back_loaded_horn, duct: " + d.duct(false) + throat + mouth + along + d.baffle(n, "mouth") + "}"
}

// group is one of up to four drivers, and how many positions it has.
func (d drawn) group() (group string, positions int) {
	switch d.one("group", "one", "two", "stack", "air", "deep") {
	case "two":
		return "{driver: merlin-10, side_by_side: 2, wiring: " + d.one("wiring", "series", "parallel") + "}", 2
	case "stack":
		return "{driver: merlin-10, stack: 2, arrangement: " + d.one("arrangement", "tandem", "clamshell", "back_to_back") + "}", 1
	case "air":
		n := rapid.IntRange(1, 2).Draw(d.t, "sides")
		return fmt.Sprintf("{driver: merlin-10, stack: 2, side_by_side: %d, coupling: {volume: %s L, length: 12 cm}}", n, d.num("gap", 2, 8)), n
	case "deep":
		return "{members: [[merlin-10, heron-8], [heron-8, merlin-10]], coupling: " + d.num("gap", 2, 8) + " L, wiring: series}", 2
	}
	return "{driver: merlin-10}", 1
}

const equalDrivers = `drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, voice_coil: {model: lr2, le: 0.6 mH, l2: 0.9 mH, r2: 4 ohm}, suspension: {creep: 0.1}, displacement: 1.3 L, mounting_depth: 118 mm, cutout: 232 mm}
  heron-8: {fs: 36 Hz, qms: 5.2, qes: 0.42, vas: 22 L, sd: 214 cm2, re: 5.6 ohm, le: 0.7 mH}
`

func (d drawn) study() string {
	group, n := d.group()
	return "study: Any\nair: " + d.one("air", "{temperature: 23 C, humidity: 45 %, pressure: 98.5 kPa}", "{speed_of_sound: 343.2 m/s, density: 1.2041 kg/m3}") +
		"\nlistening: {distance: 2 m, space: " + d.one("space", "half", "quarter", "free") + d.one("toward", "", ", aside: 25 deg", ", aside: -40 deg, above: 12 deg") + "}\nmodel: {radiation: " + d.one("radiation", "classical", "full") +
		", wall_loss: " + d.one("walls", "true", "false") + "}\nsource: {resistance: 0.2 ohm}\n" + equalDrivers +
		"candidates:\n  any:\n    group: " + group + "\n    enclosure: " + d.enclosure(n) + "\n"
}

// Every study of a named kind and its network give the same: response, impedance,
// excursions and air speeds, as complex numbers where they are.
func TestNamedKindsAreNetworks(t *testing.T) {
	built, worst := 0, 0.0
	with := map[string]int{"baffle: ": 0, "fill: ": 0, "aside: ": 0, "bodies: ": 0, "quiet": 0, "duct: {tuning": 0, "mouth: {x": 0, "port: {x": 0, "radiator: {x": 0}
	rapid.Check(t, func(t *rapid.T) {
		text := []byte(drawn{t}.study())
		if _, err := Parse(text, "one.yaml"); err != nil {
			return // a box that cannot be: some ports are too long for their chamber, some places lie beyond a duct
		}
		built++
		for word := range with {
			if bytes.Contains(text, []byte(word)) {
				with[word]++
			}
		}
		worst = max(worst, heldAsNetwork(t, text))
	})
	t.Logf("%d networks, worst %.2g, with %v", built, worst, with)
	if built < 40 || with["baffle: "] < 4 || with["fill: "] < 10 || with["aside: "] < 10 {
		t.Errorf("only %d of the studies drawn could be built, with %v", built, with)
	}
}

// Every candidate of every example, and of every good study, is a network too. One
// that is a network already stays what it is.
func TestExamplesAreNetworks(t *testing.T) {
	texts := map[string][]byte{}
	files, err := filepath.Glob("testdata/good/*.yaml")
	others, wrong := filepath.Glob("../../examples/*.yaml")
	if err != nil || wrong != nil || len(files) < 10 || len(others) < 6 {
		t.Fatalf("%d good studies and %d examples, %v, %v", len(files), len(others), err, wrong)
	}
	for _, file := range append(files, others...) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts[file] = text
	}
	beside := func(name string) ([]byte, error) { return os.ReadFile(filepath.Join("testdata/good", name)) }
	for name, text := range texts {
		t.Run(name, func(t *testing.T) { t.Logf("worst %.2g", heldAsNetwork(t, text, beside)) })
	}
}

// A number that is written for another reader comes back to the last bit, but for a
// share in percent, which comes back to the last but one.
func TestNumbersAreWrittenExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := math.Exp(rapid.Float64Range(math.Log(1e-7), math.Log(1e5)).Draw(t, "v"))
		if rapid.Bool().Draw(t, "round") {
			v = math.Round(v*1e3) / 1e3
		}
		for k := range siUnit {
			q, err := phys.Parse(exactly(v, k), k)
			if err != nil {
				t.Fatalf("%s: %v", exactly(v, k), err)
			}
			if off := math.Abs(q.SI/v - 1); v > 0 && (k == phys.Ratio && off > 2.3e-16 || k != phys.Ratio && q.SI != v) {
				t.Fatalf("%v is written %s and read %v", v, exactly(v, k), q.SI)
			}
		}
	})
}
