package studyfile

import (
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/enclosure"
	"basswright/internal/network"
)

// The distributed cases of testdata/reference, worded as studies: what a designer
// writes gives what independent solvers found.

// worded is a study of the reference’s driver in one enclosure.
func worded(kind string) string {
	return `study: Reference
air: {speed_of_sound: 343.2 m/s, density: 1.2041 kg/m3}
model: {wall_loss: false}
drivers:
  heron-8: {re: 5.6 ohm, le: 0.9 mH, bl: 10.2 T m, mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, sd: 220 cm2}
candidates:
  one: {group: {driver: heron-8}, enclosure: {` + kind + `}}
`
}

// answers is a study’s one candidate with its solver.
type answers struct {
	t   *testing.T
	sys *enclosure.System
	sol *network.Solver
}

func answering(t *testing.T, kind string) answers {
	t.Helper()
	st := mustParse(t, []byte(worded(kind)))
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	return answers{t, sys, sys.Program.NewSolver()}
}

func (a answers) solve(f float64) {
	a.t.Helper()
	if err := a.sol.Solve(2 * math.Pi * f); err != nil {
		a.t.Fatal(err)
	}
}

// table is a case’s curves.
type table struct {
	t       *testing.T
	columns map[string]int
	rows    [][]float64
}

func readTable(t *testing.T, id string) table {
	t.Helper()
	columns, rows := check.CSV(t, "../../testdata/reference/"+id+".csv")
	out := table{t: t, columns: columns}
	for _, r := range rows {
		v, err := check.Floats(strings.Join(r, ","), ",")
		if err != nil {
			t.Fatal(err)
		}
		out.rows = append(out.rows, v)
	}
	if len(out.rows) < 40 {
		t.Fatalf("%s has %d rows", id, len(out.rows))
	}
	return out
}

func (c table) at(row int, name string) float64 {
	i, ok := c.columns[name]
	if !ok {
		c.t.Fatalf("no column %q", name)
	}
	return c.rows[row][i]
}

func (c table) complex(row int, name string) complex128 {
	return complex(c.at(row, name+"_re"), c.at(row, name+"_im"))
}

const (
	lineVolts  = 2.83
	lineWithin = 1e-4 // dB
	lineWhy    = "the suggested tolerance of the reference, and its printed digits"
)

// hold compares level, excursion and impedance with the columns of these names.
func (a answers) hold(c table, row int, level, excursion, impedance string) {
	t := a.t
	t.Helper()
	f := c.at(row, "frequency_hz")
	a.solve(f)
	what := func(name string) string { return fmt.Sprintf("%s at %g Hz", name, f) }
	p := a.sys.Pressure(a.sol) * lineVolts
	check.Near(t, what(level), 20*math.Log10(cmplx.Abs(p)/20e-6), c.at(row, level), lineWithin, lineWhy)
	x := a.sys.Excursion(a.sol, &a.sys.Cones[0]) * lineVolts * 1e3
	check.Near(t, what(excursion), x/c.at(row, excursion), 1, lineWithin/8, lineWhy)
	check.Near(t, what(impedance), cmplx.Abs(a.sys.Impedance(a.sol))/c.at(row, impedance), 1, lineWithin/8, lineWhy)
}

// ratio is the flow out of the mouth over that into the duct.
func (a answers) ratio() complex128 {
	var mouth network.ElementID
	for _, o := range a.sys.Openings {
		if o.Name == "mouth" {
			mouth = o.Element
		}
	}
	c := &a.sys.Cones[0]
	return a.sol.Flow(mouth) / (complex(-c.Sd, 0) * a.sol.Potential(c.Node))
}

const quarterWavePipe = "kind: transmission_line, duct: {length: 1.5 m, area: 113.09733552923255 cm2, bodies: left_out}"

func TestReferenceLinesAsStudies(t *testing.T) {
	c := readTable(t, "B2_quarter_wave_pipe")
	end := answering(t, quarterWavePipe+", mouth: {end: flanged, load: piston}")
	offset := answering(t, quarterWavePipe+", driver_at: 0.5 m, mouth: {end: flanged, load: piston}")
	for i := range c.rows {
		end.hold(c, i, "spl_db", "cone_excursion_mm_peak", "impedance_ohm")
		offset.hold(c, i, "offset_spl_db", "offset_cone_excursion_mm_peak", "offset_impedance_ohm")
	}
}

// A plain mouth: flanged is, by default, that of a pipe. Against finite elements of
// pipe and half space its flow is within 0.15 dB at all frequencies (the reference’s
// own figure for a load of this kind), where a piston’s is 0.8 dB off.
func TestDefaultMouthAgainstFiniteElements(t *testing.T) {
	c := readTable(t, "B2_quarter_wave_pipe_fem")
	off := func(mouth, at, column string) float64 {
		a, worst := answering(t, quarterWavePipe+at+mouth), 0.0
		for i := range c.rows {
			a.solve(c.at(i, "frequency_hz"))
			worst = max(worst, math.Abs(20*math.Log10(cmplx.Abs(a.ratio()/c.complex(i, column)))))
		}
		return worst
	}
	for at, column := range map[string]string{"": "ratio_end", ", driver_at: 0.5 m": "ratio_offset"} {
		if pipe, piston := off("", at, column), off(", mouth: {end: flanged, load: piston}", at, column); pipe > 0.15 || piston < 0.7 {
			t.Errorf("%s: %.3f dB off, with a piston %.3f dB", column, pipe, piston)
		}
	}
}

func TestReferenceTappedWaveguideAsAStudy(t *testing.T) {
	c := readTable(t, "B4_tapped_line")
	a := answering(t, "kind: tapped_waveguide, duct: {length: 1.8 m, start: 120 cm2, end: 400 cm2, flare: cone, bodies: left_out}, front_at: 0.15 m, rear_at: 1.65 m, mouth: {end: flanged, load: piston}")
	for i := range c.rows {
		a.hold(c, i, "spl_db", "cone_excursion_mm_peak", "impedance_ohm")
	}
}

func TestReferenceFilledLinesAsStudies(t *testing.T) {
	c := readTable(t, "B5_fibre_line")
	for prefix, fill := range map[string]string{
		"empty_":      "",
		"sigma2000_":  ", fill: {resistivity: 2000 Pa s/m2, model: miki}",
		"sigma5000_":  ", fill: {resistivity: 5000 Pa s/m2, model: miki, from: 0 m, to: 1.2 m}",
		"sigma10000_": ", fill: [{resistivity: 10 kPa s/m2, model: miki, to: 0.5 m}, {resistivity: 10000 rayl/m, model: miki, from: 0.5 m}]",
	} {
		a := answering(t, "kind: transmission_line, duct: {length: 1.2 m, area: 200 cm2, bodies: left_out}, mouth: {end: flanged, load: piston}"+fill)
		for i := range c.rows {
			a.hold(c, i, prefix+"total_spl_db", prefix+"excursion_mm_peak", prefix+"impedance_ohm")
		}
	}
}

// Horns: the reference tells the throat’s impedance and the mouth’s flow over the
// throat’s. With a closed chamber behind the cone, the driver’s own equations say
// what a front-loaded horn gives.
func TestReferenceHornsAsStudies(t *testing.T) {
	const (
		re, le, bl, mms, cms, rms, sd = 5.6, 0.9e-3, 10.2, 38.5e-3, 0.78e-3, 1.9, 0.022
		rho, c0, rear                 = 1.2041, 343.2, 0.018
	)
	for id, flare := range map[string]string{"B3_horn_cone": "", "B3_horn_exp": ", flare: exponential"} {
		c := readTable(t, id)
		var sizes struct {
			Length float64 `json:"length_m"`
			Throat float64 `json:"throat_area_m2"`
			Mouth  float64 `json:"mouth_area_m2"`
		}
		if err := json.Unmarshal(readFile(t, "../../testdata/reference/"+id+".json"), &sizes); err != nil {
			t.Fatal(err)
		}
		a := answering(t, fmt.Sprintf("kind: front_loaded_horn, duct: {length: %g m, start: %g m2, end: %g m2%s}, rear: {volume: 18 L}", sizes.Length, sizes.Throat, sizes.Mouth, flare))
		for i := range c.rows {
			f := c.at(i, "frequency_hz")
			jw := complex(0, 2*math.Pi*f)
			zm := rms + jw*mms + 1/(jw*cms) + sd*sd*(c.complex(i, "z_1d")+rho*c0*c0/(jw*rear))
			ze := re + jw*le
			v := bl / (ze*zm + bl*bl)
			a.solve(f)
			want := jw * rho / (2 * math.Pi) * c.complex(i, "mouth_ratio_1d") * sd * v
			check.Near(t, fmt.Sprintf("%s: level at %g Hz", id, f), 20*math.Log10(cmplx.Abs(a.sys.Pressure(a.sol)/want)), 0, lineWithin, lineWhy)
			check.Near(t, fmt.Sprintf("%s: impedance at %g Hz", id, f), cmplx.Abs(a.sys.Impedance(a.sol)/(ze+bl*bl/zm)), 1, lineWithin/8, lineWhy)
		}
	}
}
