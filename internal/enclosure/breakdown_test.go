package enclosure

import (
	"encoding/json"
	"math"
	"math/cmplx"
	"os"
	"regexp"
	"strconv"
	"testing"

	"basswright/internal/driver"
)

// breakdown is what the reference's own solver says of one stack: how far the
// rule of the rigid link is off, between 5 and 1000 Hz.
type breakdown struct {
	Worst    float64      `json:"max_spl_err_db"`
	At       float64      `json:"at_hz"`
	At5      *float64     `json:"error_at_5hz_db"`
	Apart    *float64     `json:"excursion_outer_minus_inner_db_at_20hz"`
	Mode     *float64     `json:"antiphase_mode_hz"`
	Level01  [][2]float64 `json:"spl_bands_over_0p1dB_5_1000hz"`
	Level1   [][2]float64 `json:"spl_bands_over_1dB"`
	Impede01 [][2]float64 `json:"z_bands_over_0p1dB"`
	Impede1  [][2]float64 `json:"z_bands_over_1dB"`
}

// The reference's frequencies: 8000 from 5 to 1000 Hz, evenly on a log scale
// (its stated maxima stand on them to the last digit).
const breakdownPoints = 8000

func breakdownFrequency(k int) float64 {
	return 5 * math.Pow(200, float64(k)/(breakdownPoints-1))
}

// Where and by how much the rule of the rigid link fails: testdata/reference,
// A08_composite_breakdown, all its stacks. Levels are given to a rounding of
// double precision and asserted to 1e-7 dB; the ends of bands are printed with
// four digits.
func TestRigidRuleBreakdownInFull(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/A08_composite_breakdown.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Results map[string]breakdown }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	if len(file.Results) != 9 {
		t.Errorf("%d stacks, want 9", len(file.Results))
	}
	volume := regexp.MustCompile(`Vc=([0-9.]+)L`)
	for name, want := range file.Results {
		t.Run(name, func(t *testing.T) {
			id := "A06_isobaric_clamshell"
			if name == "stack3" {
				id = "A09_isobaric_stack3"
			}
			c := readCase(t, id)
			g := c.group(t)
			if m := volume.FindStringSubmatch(name); m != nil {
				litres, err := strconv.ParseFloat(m[1], 64)
				if err != nil {
					t.Fatal(err)
				}
				g.Coupling = []driver.Coupling{{Volume: litres * 1e-3}}
			}
			checkBreakdown(t, g, c.spec(t), want)
		})
	}
}

func readCase(t *testing.T, id string) referenceCase {
	t.Helper()
	text, err := os.ReadFile("../../testdata/reference/" + id + ".json")
	if err != nil {
		t.Fatal(err)
	}
	var c referenceCase
	if err := json.Unmarshal(text, &c); err != nil {
		t.Fatal(err)
	}
	return c
}

func checkBreakdown(t *testing.T, g *driver.Group, spec Spec, want breakdown) {
	t.Helper()
	set := Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1}
	assemble := func(g *driver.Group, spec Spec) *System {
		sys, _, err := Build(g, spec, set)
		if err != nil {
			t.Fatal(err)
		}
		return sys
	}
	link := *g
	link.Coupling = nil
	own, rigid := assemble(g, spec), assemble(&link, spec)
	a, b := own.Program.NewSolver(), rigid.Program.NewSolver()
	solve := func(f float64) (level, impedance float64) {
		if a.Solve(2*math.Pi*f) != nil || b.Solve(2*math.Pi*f) != nil {
			t.Fatal("no answer")
		}
		db := func(x, y complex128) float64 { return 20 * math.Log10(cmplx.Abs(x)/cmplx.Abs(y)) }
		return db(own.Pressure(a), rigid.Pressure(b)), db(own.Impedance(a), rigid.Impedance(b))
	}
	var level, impedance []float64
	worst := 0
	for k := range breakdownPoints {
		l, z := solve(breakdownFrequency(k))
		level, impedance = append(level, math.Abs(l)), append(impedance, math.Abs(z))
		if level[k] > level[worst] {
			worst = k
		}
	}
	const tight = 1e-7 // dB
	near := func(what string, got, want, tolerance float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tolerance) {
			t.Errorf("%s: %.9g, reference %.9g", what, got, want)
		}
	}
	near("the largest error in dB", level[worst], math.Abs(want.Worst), tight)
	near("its frequency in Hz", breakdownFrequency(worst), want.At, 1e-9*want.At)
	if want.At5 != nil {
		near("the error at 5 Hz in dB", level[0], math.Abs(*want.At5), tight)
	}
	if want.Apart != nil {
		solve(20)
		last := len(own.Cones) - 1
		near("outer against inner cone in dB", 20*math.Log10(own.Excursion(a, &own.Cones[0])/own.Excursion(a, &own.Cones[last])), *want.Apart, tight)
	}
	if want.Mode != nil { // of the stack without a box
		near("resonance of the cones against each other in Hz", assemble(g, Spec{Kind: InfiniteBaffle}).Facts.CouplingModes[0], *want.Mode, 1e-9**want.Mode)
	}
	for _, c := range []struct {
		what string
		off  []float64
		over float64
		want [][2]float64
	}{{"level", level, 0.1, want.Level01}, {"level", level, 1, want.Level1}, {"impedance", impedance, 0.1, want.Impede01}, {"impedance", impedance, 1, want.Impede1}} {
		got := bandsOver(c.off, c.over)
		if len(got) != len(c.want) {
			t.Errorf("%s is more than %g dB off in %v, reference %v", c.what, c.over, got, c.want)
			continue
		}
		for k := range got {
			for end := range got[k] {
				// four printed digits
				near(c.what+" band", got[k][end], c.want[k][end], 0.51*math.Pow(10, math.Floor(math.Log10(c.want[k][end]))-3))
			}
		}
	}
}

// bandsOver are the runs above a threshold, as the reference prints them: from
// the first frequency above it to the first that is not.
func bandsOver(off []float64, over float64) [][2]float64 {
	var out [][2]float64
	inside := false
	for k, e := range off {
		f := breakdownFrequency(k)
		switch {
		case e > over && !inside:
			out, inside = append(out, [2]float64{f, f}), true
		case inside:
			out[len(out)-1][1] = f
			inside = e > over
		}
	}
	return out
}
