package duct

import (
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/network"
	"basswright/internal/phys"
	"basswright/internal/radiation"
)

// reference is a case of testdata/reference with a duct: see the README there.
type reference struct {
	Length float64 `json:"length_m"`
	Area   float64 `json:"area_m2"`
	Driver struct {
		Re  float64 `json:"Re_ohm"`
		Le  float64 `json:"Le_h"`
		Bl  float64 `json:"Bl_t_m"`
		Mms float64 `json:"Mms_kg"`
		Cms float64 `json:"Cms_m_per_n"`
		Rms float64 `json:"Rms_kg_per_s"`
		Sd  float64 `json:"Sd_m2"`
	}
	Throat float64 `json:"throat_area_m2"`
	Mouth  float64 `json:"mouth_area_m2"`
	Closed float64 `json:"area_closed_end_m2"`
	Open   float64 `json:"area_mouth_m2"`
	Front  float64 `json:"driver_front_x_m"`
	Rear   float64 `json:"driver_rear_x_m"`
	Offset float64 `json:"offset_from_closed_end_m"`
}

const folder = "../../testdata/reference/"

func readReference(t *testing.T, id string) (c reference) {
	t.Helper()
	text, err := os.ReadFile(folder + id + ".json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &c); err != nil {
		t.Fatal(err)
	}
	return c
}

// curves are the columns of a case’s table.
type curves struct {
	columns map[string]int
	rows    [][]float64
}

func readCurves(t *testing.T, id string) curves {
	t.Helper()
	columns, rows := check.CSV(t, folder+id+".csv")
	out := curves{columns: columns}
	for _, r := range rows {
		var v []float64
		for _, text := range r {
			x, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, x)
		}
		out.rows = append(out.rows, v)
	}
	return out
}

func (c curves) at(row int, name string) float64 {
	i, ok := c.columns[name]
	if !ok {
		panic("no column " + name)
	}
	return c.rows[row][i]
}

func (c curves) complex(row int, name string) complex128 {
	return complex(c.at(row, name+"_re"), c.at(row, name+"_im"))
}

// built is a driver and what it is joined to, in the model of the product.
type built struct {
	net         *network.Network
	cone        network.Node
	coil, face  network.ElementID
	front, rear network.Node
	mouth       network.ElementID // -1: none
	outside     bool              // the cone’s front radiates
	solver      *network.Solver
}

const volts = 2.83

// driver begins a network with the case’s driver; a face that looks at no place of
// its own looks outside.
func (c reference) driver(front, rear bool) *built {
	n := network.New()
	b := &built{net: n, mouth: -1, outside: !front}
	src := n.AddSource("source")
	b.cone = n.AddNode(network.Mechanical, "cone")
	if front {
		b.front = n.AddNode(network.Acoustic, "front")
	} else {
		b.front = network.Outside
	}
	if rear {
		b.rear = n.AddNode(network.Acoustic, "rear")
	} else {
		b.rear = network.Outside
	}
	n.AddAdmittance("suspension", b.cone, network.Frame, network.Triple{G: c.Driver.Rms, C: c.Driver.Mms, L: 1 / c.Driver.Cms}, nil)
	m := n.AddMotor(network.MotorData{Name: "motor", Mech: b.cone, Bl: c.Driver.Bl, Value: network.Triple{C: c.Driver.Le}})
	b.coil = n.AddString("coil", src, network.Earth, network.Triple{G: c.Driver.Re}, network.Turn{Motor: m, N: 1})
	b.face = n.AddPiston("face", b.cone, c.Driver.Sd, b.front, b.rear)
	return b
}

// open ends a place with the load of a piston in a baffle.
func (b *built) open(at network.Node, area float64) {
	b.mouth = b.net.AddImpedance("mouth", at, network.Outside, network.Triple{}, network.PistonLoad{
		Radius: math.Sqrt(area / math.Pi), C: plainAir.C, Rho: plainAir.Rho, By: 1, Images: 1,
	})
}

func (b *built) ready(t testing.TB) *built {
	t.Helper()
	p, err := b.net.Compile()
	if err != nil {
		t.Fatal(err)
	}
	b.solver = p.NewSolver()
	return b
}

func (b *built) solve(t *testing.T, f float64) {
	t.Helper()
	if err := b.solver.Solve(omega(f)); err != nil {
		t.Fatal(err)
	}
}

func (b *built) outflow() complex128 {
	var u complex128
	if b.outside {
		u += b.solver.Flow(b.face)
	}
	if b.mouth >= 0 {
		u += b.solver.Flow(b.mouth)
	}
	return u * volts
}

// pressure is that at 1 m in half space, Pa.
func pressure(u complex128, f float64) complex128 {
	w := omega(f)
	return complex(0, w*plainAir.Rho/(2*math.Pi)) * u * cmplx.Exp(complex(0, -w/plainAir.C))
}

// holds compares the solver’s answer with the columns that begin with a prefix:
// level, phase, excursion and impedance, each to the table’s printed digits and
// within, in dB.
func (b *built) holds(t *testing.T, c curves, row int, prefix string, within float64) {
	t.Helper()
	f := c.at(row, "frequency_hz")
	what := func(name string) string { return fmt.Sprintf("%s%s at %g Hz", prefix, name, f) }
	p := pressure(b.outflow(), f)
	level := "spl_db"
	if _, ok := c.columns[prefix+level]; !ok {
		level = "total_spl_db"
	}
	const why = "the suggested tolerance of the reference, and its printed digits"
	check.Near(t, what(level), 20*math.Log10(cmplx.Abs(p)/20e-6), c.at(row, prefix+level), within, why)
	phase := c.at(row, prefix+strings.TrimSuffix(level, "_db")+"_phase_deg")
	check.Near(t, what("phase"), math.Remainder(cmplx.Phase(p)*180/math.Pi-phase, 360), 0, within*10, why)
	name := "cone_excursion_mm_peak"
	if _, ok := c.columns[prefix+name]; !ok {
		name = "excursion_mm_peak"
	}
	x := cmplx.Abs(b.solver.Potential(b.cone)) * volts * math.Sqrt2 / omega(f) * 1000
	check.Near(t, what(name), x/c.at(row, prefix+name), 1, within/8, why)
	z := 1 / b.solver.Flow(b.coil)
	check.Near(t, what("impedance"), cmplx.Abs(z)/c.at(row, prefix+"impedance_ohm"), 1, within/8, why)
	check.Near(t, what("impedance’s phase"), cmplx.Phase(z)*180/math.Pi, c.at(row, prefix+"impedance_phase_deg"), within*10, why)
}

// within is the tolerance that the reference suggests for cases of one dimension, dB.
const within = 1e-4

// relative is that as a ratio.
const relative = within / 8.686

func TestReferenceClosedTube(t *testing.T) {
	c, table := readReference(t, "B1_closed_tube"), readCurves(t, "B1_closed_tube")
	tube := must(Cylinder(c.Length, c.Area))
	lossy, lossless := must(New(tube, Making{Gas: plainAir, Walls: true})), must(New(tube, Making{Gas: plainAir}))
	b := c.driver(false, true)
	end := b.net.AddNode(network.Acoustic, "closed end")
	b.net.AddTwoPort("tube", b.rear, end, lossy)
	b.ready(t)
	for i := range table.rows {
		f := table.at(i, "frequency_hz")
		m := lossy.Chain(omega(f))
		near(t, fmt.Sprintf("lossy at %g Hz", f), m.A/m.C, table.complex(i, "z_in_lossy"), relative, "the suggested tolerance")
		m = lossless.Chain(omega(f))
		near(t, fmt.Sprintf("lossless at %g Hz", f), m.A/m.C, table.complex(i, "z_in_lossless"), relative, "the suggested tolerance")
		b.solve(t, f)
		b.holds(t, table, i, "", within)
	}
}

// A quarter-wave pipe whose driver sits at its closed end or away from it.
func TestReferenceQuarterWavePipe(t *testing.T) {
	c, table := readReference(t, "B2_quarter_wave_pipe"), readCurves(t, "B2_quarter_wave_pipe")
	pipe := must(Cylinder(c.Length, c.Area))
	end := c.driver(false, true)
	m1 := end.net.AddNode(network.Acoustic, "inside the mouth")
	whole := must(New(pipe, Making{Gas: plainAir}))
	end.net.AddTwoPort("pipe", end.rear, m1, whole)
	end.open(m1, c.Area)
	end.ready(t)

	offset := c.driver(false, true)
	m2 := offset.net.AddNode(network.Acoustic, "inside the mouth")
	closed := offset.net.AddNode(network.Acoustic, "closed end")
	offset.net.AddTwoPort("behind the cone", closed, offset.rear, must(New(pipe.Between(0, c.Offset), Making{Gas: plainAir})))
	offset.net.AddTwoPort("pipe", offset.rear, m2, must(New(pipe.Between(c.Offset, c.Length), Making{Gas: plainAir})))
	offset.open(m2, c.Area)
	offset.ready(t)
	for i := range table.rows {
		f := table.at(i, "frequency_hz")
		w := omega(f)
		m := whole.Chain(w)
		near(t, fmt.Sprintf("mouth over source at %g Hz", f), m.pass(piston(plainAir, c.Area, w)), table.complex(i, "ratio_end"), relative, "the suggested tolerance")
		near(t, fmt.Sprintf("impedance at %g Hz", f), m.load(piston(plainAir, c.Area, w)), table.complex(i, "z_in_end"), relative, "the suggested tolerance")
		end.solve(t, f)
		end.holds(t, table, i, "", within)
		offset.solve(t, f)
		offset.holds(t, table, i, "offset_", within)
		near(t, fmt.Sprintf("offset: mouth over source at %g Hz", f), offset.solver.Flow(offset.mouth)/-offset.solver.Flow(offset.face), table.complex(i, "ratio_offset"), relative, "the suggested tolerance")
		near(t, fmt.Sprintf("offset: impedance at %g Hz", f), offset.solver.Potential(offset.rear)/-offset.solver.Flow(offset.face), table.complex(i, "z_at_offset"), relative, "the suggested tolerance")
	}
}

// Horns: against Webster’s equation to its digits, against finite elements to what
// the case itself says theory in one dimension is off by.
func TestReferenceHorns(t *testing.T) {
	for id, flare := range map[string]func(length, from, to float64) (Shape, error){"B3_horn_cone": Cone, "B3_horn_exp": Exponential} {
		c, table := readReference(t, id), readCurves(t, id)
		horn := must(New(must(flare(c.Length, c.Throat, c.Mouth)), Making{Gas: plainAir}))
		for i := range table.rows {
			f := table.at(i, "frequency_hz")
			w := omega(f)
			m := horn.Chain(w)
			z := piston(plainAir, c.Mouth, w)
			what := fmt.Sprintf("%s at %g Hz", id, f)
			near(t, what+": throat", m.load(z), table.complex(i, "z_1d"), relative, "the suggested tolerance")
			near(t, what+": mouth over throat", m.pass(z), table.complex(i, "mouth_ratio_1d"), relative, "the suggested tolerance")
			check.Near(t, what+": throat off finite elements, dB", db(m.load(z), table.complex(i, "z_fem")), math.Abs(table.at(i, "dev_z_db")), 2*within, "what the case states for one dimension")
			check.Near(t, what+": mouth off finite elements, dB", db(m.pass(z), table.complex(i, "mouth_ratio_fem")), math.Abs(table.at(i, "dev_mouth_ratio_db")), 2*within, "what the case states for one dimension")
		}
	}
}

// Front and rear of the cone look into one duct at two places; the mouth alone
// radiates.
func TestReferenceTappedLine(t *testing.T) {
	c, table := readReference(t, "B4_tapped_line"), readCurves(t, "B4_tapped_line")
	b := tappedLine(c, must(Cone(c.Length, c.Closed, c.Open)), Making{Gas: plainAir}).ready(t)
	for i := range table.rows {
		f := table.at(i, "frequency_hz")
		b.solve(t, f)
		b.holds(t, table, i, "", within)
		near(t, fmt.Sprintf("mouth over cone at %g Hz", f), b.solver.Flow(b.mouth)/b.solver.Flow(b.face), table.complex(i, "mouth_over_cone_volume_velocity"), relative, "the suggested tolerance")
	}
}

// tappedLine joins the case’s driver to a duct at its two places.
func tappedLine(c reference, s Shape, m Making) *built {
	b := c.driver(true, true)
	closed := b.net.AddNode(network.Acoustic, "closed end")
	mouth := b.net.AddNode(network.Acoustic, "inside the mouth")
	b.net.AddTwoPort("before", closed, b.front, must(New(s.Between(0, c.Front), m)))
	b.net.AddTwoPort("between", b.front, b.rear, must(New(s.Between(c.Front, c.Rear), m)))
	b.net.AddTwoPort("behind", b.rear, mouth, must(New(s.Between(c.Rear, c.Length), m)))
	b.open(mouth, s.Area(c.Length))
	return b
}

// A line filled with fibre, by Miki’s formula as the case has it, far below its
// range too.
func TestReferenceFibreLine(t *testing.T) {
	c, table := readReference(t, "B5_fibre_line"), readCurves(t, "B5_fibre_line")
	for name, sigma := range map[string]float64{"empty": 0, "sigma2000": 2000, "sigma5000": 5000, "sigma10000": 10000} {
		m := Making{Gas: plainAir}
		if sigma > 0 {
			m.Fills = []Filling{{Fill: Fill{Resistivity: sigma, Model: Miki}}}
		}
		d := must(New(must(Cylinder(c.Length, c.Area)), m))
		b := c.driver(false, true)
		mouth := b.net.AddNode(network.Acoustic, "inside the mouth")
		b.net.AddTwoPort("line", b.rear, mouth, d)
		b.open(mouth, c.Area)
		b.ready(t)
		for i := range table.rows {
			f := table.at(i, "frequency_hz")
			w := omega(f)
			chain := d.Chain(w)
			z := piston(plainAir, c.Area, w)
			what := fmt.Sprintf("%s at %g Hz", name, f)
			near(t, what+": impedance", chain.load(z), table.complex(i, name+"_z_in"), relative, "the suggested tolerance")
			near(t, what+": mouth over source", chain.pass(z), table.complex(i, name+"_ratio"), relative, "the suggested tolerance")
			b.solve(t, f)
			b.holds(t, table, i, name+"_", within)
			check.Near(t, what+": level of the mouth", 20*math.Log10(cmplx.Abs(pressure(b.solver.Flow(b.mouth)*volts, f))/20e-6), table.at(i, name+"_mouth_spl_db"), within, "the suggested tolerance")
		}
	}
}

// The load of the mouths above, against its own table.
func TestReferencePiston(t *testing.T) {
	table := readCurves(t, "B7_piston_radiation_impedance")
	for i := range table.rows {
		z := phys.PistonLoad(table.at(i, "ka"))
		near(t, fmt.Sprintf("ka = %g", table.at(i, "ka")), z, complex(table.at(i, "r"), table.at(i, "x")), 1e-10, "the printed digits")
		near(t, "finite elements", complex(table.at(i, "r_fem"), table.at(i, "x_fem")), z, 1.2e-4, "what the case states")
	}
}

// The same pipe against finite elements, which know how the air moves in its mouth:
// with the load of a flanged pipe the volume velocity at the mouth is within 0.15 dB
// everywhere, and with a piston’s up to 0.8 dB off, at the sides of its resonances.
func TestQuarterWavePipeAgainstFiniteElements(t *testing.T) {
	c, table := readReference(t, "B2_quarter_wave_pipe"), readCurves(t, "B2_quarter_wave_pipe_fem")
	load, err := radiation.New(radiation.Opening{End: radiation.Flanged, Area: c.Area}, plainAir.C, plainAir.Rho)
	if err != nil {
		t.Fatal(err)
	}
	pipe := must(Cylinder(c.Length, c.Area))
	whole := must(New(pipe, Making{Gas: plainAir}))
	behind := must(New(pipe.Between(0, c.Offset), Making{Gas: plainAir}))
	var flanged, baffled float64
	for i := range table.rows {
		w := omega(table.at(i, "frequency_hz"))
		m := whole.Chain(w)
		// From a closed end the pressure at the offset is 1/A of the behind’s, and by
		// reciprocity so is what comes out for a source there.
		s := behind.Chain(w)
		for _, load := range []struct {
			z     complex128
			worst *float64
		}{{load.At(w), &flanged}, {piston(plainAir, c.Area, w), &baffled}} {
			out := m.pass(load.z)
			*load.worst = max(*load.worst, db(out, table.complex(i, "ratio_end")), db(out*s.D, table.complex(i, "ratio_offset")))
		}
	}
	t.Logf("off by %.3f dB, with a piston by %.3f dB", flanged, baffled)
	if flanged > 0.15 || baffled < 0.5 {
		t.Errorf("off by %.3f dB with the load of a pipe, by %.3f dB with a piston", flanged, baffled)
	}
}

// A rule of the trade: a driver at one third of the effective length, from the closed
// end, does not excite the resonance at three quarters of a wave.
func TestOffsetOfOneThird(t *testing.T) {
	const length, area = 2.0, 0.02
	load, err := radiation.New(radiation.Opening{End: radiation.Flanged, Area: area}, plainAir.C, plainAir.Rho)
	if err != nil {
		t.Fatal(err)
	}
	pipe := must(Cylinder(length, area))
	whole := must(New(pipe, Making{Gas: plainAir}))
	effective := length + 0.8216*math.Sqrt(area/math.Pi)
	out := func(offset, f float64) float64 {
		behind := must(New(pipe.Between(0, offset), Making{Gas: plainAir}))
		w := omega(f)
		return 20 * math.Log10(cmplx.Abs(whole.Chain(w).pass(load.At(w))*behind.Chain(w).D))
	}
	peak := func(offset, from, to float64) float64 {
		best := math.Inf(-1)
		for f := from; f < to; f *= 1.002 {
			best = max(best, out(offset, f))
		}
		return best
	}
	quarter := plainAir.C / (4 * effective)
	// Above the quarter wave a pipe without loss has peaks of 1/(R/Zc), 20 dB and more.
	if p := peak(1e-4, 2.5*quarter, 3.5*quarter); p < 20 {
		t.Errorf("from the closed end the three-quarter wave rises to %.1f dB", p)
	}
	if p := peak(effective/3, 2.5*quarter, 3.5*quarter); p > 3 {
		t.Errorf("from a third of the effective length it rises to %.1f dB", p)
	}
	if p := peak(effective/3, 0.8*quarter, 1.2*quarter); p < 20 {
		t.Errorf("the quarter wave itself rises to %.1f dB only", p)
	}
}

// A rule of the trade: a stack of n drivers wired in parallel in a line of 1/n of the
// cross-section moves as the single driver in the whole section at the same voltage.
// Exact without loss, for cones that move as one and a mouth whose load goes with its
// area’s inverse.
func TestStackInAFractionOfTheSection(t *testing.T) {
	c := readReference(t, "B2_quarter_wave_pipe")
	line := func(n int) (*network.Solver, network.Node) {
		net := network.New()
		src := net.AddSource("source")
		cone, rear, mouth := net.AddNode(network.Mechanical, "cones"), net.AddNode(network.Acoustic, "rear"), net.AddNode(network.Acoustic, "inside the mouth")
		by := float64(n)
		net.AddAdmittance("suspension", cone, network.Frame, network.Triple{G: by * c.Driver.Rms, C: by * c.Driver.Mms, L: by / c.Driver.Cms}, nil)
		for i := range n {
			m := net.AddMotor(network.MotorData{Name: fmt.Sprint("motor ", i), Mech: cone, Bl: c.Driver.Bl, Value: network.Triple{C: c.Driver.Le}})
			net.AddString(fmt.Sprint("coil ", i), src, network.Earth, network.Triple{G: c.Driver.Re}, network.Turn{Motor: m, N: 1})
		}
		net.AddPiston("face", cone, c.Driver.Sd, network.Outside, rear)
		net.AddTwoPort("line", rear, mouth, must(New(must(Exponential(c.Length, c.Area/by, 3*c.Area/by)), Making{Gas: plainAir})))
		radius := math.Sqrt(3 * c.Area / math.Pi)
		net.AddImpedance("mouth", mouth, network.Outside, network.Triple{}, network.PistonLoad{Radius: radius, C: plainAir.C, Rho: plainAir.Rho, By: by, Images: 1})
		p, err := net.Compile()
		if err != nil {
			t.Fatal(err)
		}
		return p.NewSolver(), cone
	}
	one, cone := line(1)
	for n := 2; n <= 4; n++ {
		stack, cones := line(n)
		for f := 10.0; f < 1000; f *= 1.07 {
			if err := one.Solve(omega(f)); err != nil {
				t.Fatal(err)
			}
			if err := stack.Solve(omega(f)); err != nil {
				t.Fatal(err)
			}
			near(t, fmt.Sprintf("%d at %g Hz", n, f), stack.Potential(cones), one.Potential(cone), 1e-10, "rounding")
		}
	}
}

// A pipe that is closed at one end and open in free space resonates as one that is
// longer by Levine & Schwinger’s end correction, and is without pressure there.
func TestPipeInFreeSpace(t *testing.T) {
	const length, radius = 1.0, 0.025
	load, err := radiation.New(radiation.Opening{End: radiation.Free, Area: math.Pi * radius * radius}, plainAir.C, plainAir.Rho)
	if err != nil {
		t.Fatal(err)
	}
	d := must(New(must(Cylinder(length, math.Pi*radius*radius)), Making{Gas: plainAir}))
	for n := 1; n <= 3; n++ {
		want := float64(2*n-1) * plainAir.C / (4 * (length + 0.6127*radius))
		// At a resonance the impedance at the closed end is real and large; the phase of
		// its inverse changes sign.
		f := root(want*0.95, want*1.05, func(f float64) float64 { return imag(1 / d.Chain(omega(f)).load(load.At(omega(f)))) })
		check.Near(t, fmt.Sprintf("resonance %d, Hz", n), f, want, want*2e-5*float64(n*n), "the end correction falls with (ka)², by 1e-3 of itself for the first")
	}
}
