package export

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/study"
)

// sample is two points of a candidate with a stack, a radiator and two
// openings, one of them without an area; what does not exist is NaN.
func sample() *study.Curves {
	none := math.NaN()
	return &study.Curves{
		Frequency: []float64{20, 31.5}, Voltage: []float64{2.83, 2.83},
		SPL: []float64{81.25, math.Inf(-1)}, Phase: []float64{-170.5, none}, GroupDelay: []float64{0.0215, none},
		Impedance: []float64{7.123456789012, 3.5}, ImpedancePhase: []float64{-41, 180},
		Excursion: []study.Trace{
			{Name: "driver.1.1", Y: []float64{0.0042, 0.001}},
			{Name: "driver.1.2", Y: []float64{0.004, 0.0011}},
			{Name: `radiator "big", left`, Y: []float64{0.012, 0.002}},
		},
		Speed: []study.Trace{
			{Name: "rear.port", Y: []float64{none, none}},
			{Name: "front.port", Y: []float64{3.25, 1e-7}},
		},
		ExcursionMax: []float64{0.0042, 0.0011}, SpeedMax: []float64{3.25, 1e-7},
	}
}

// The columns that the study's manual promises, with the units in the names,
// and an empty cell for what does not exist.
func TestSweepCSV(t *testing.T) {
	var b bytes.Buffer
	if err := SweepCSV(&b, sample()); err != nil {
		t.Fatal(err)
	}
	want := `frequency_hz,spl_db,spl_phase_deg,group_delay_ms,impedance_ohm,impedance_phase_deg,excursion_peak_mm,port_speed_rms_m_s,` +
		`excursion_peak_mm.driver.1.1,excursion_peak_mm.driver.1.2,"excursion_peak_mm.radiator ""big"", left",speed_rms_m_s.rear.port,speed_rms_m_s.front.port
20,81.25,-170.5,21.5,7.12345679,-41,4.2,3.25,4.2,4,12,,3.25
31.5,,,,3.5,180,1.1,1e-07,1,1.1,2,,1e-07
`
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

// Where there is no port the column of the contract is still there.
func TestSweepCSVWithoutOpenings(t *testing.T) {
	c := sample()
	c.Speed, c.SpeedMax = nil, []float64{math.NaN(), math.NaN()}
	var b bytes.Buffer
	if err := SweepCSV(&b, c); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 3 || rows[0][7] != "port_speed_rms_m_s" || rows[1][7] != "" || rows[2][7] != "" || len(rows[0]) != 11 {
		t.Errorf("%q, %v", rows, err)
	}
}

// JSON carries the same columns and values, with null for an empty cell.
func TestSweepJSON(t *testing.T) {
	var b, text bytes.Buffer
	greatest := &study.Greatest{Level: []float64{100, 101}, Volts: []float64{1, 2}, Watts: []float64{3, 4}, Bounds: []study.Bound{{ID: study.BoundHeat, Level: []float64{102, math.NaN()}, Volts: []float64{5, math.NaN()}, Watts: []float64{6, math.NaN()}}}}
	if err := SweepJSON(&b, "two \"tuned\"", sample(), greatest); err != nil {
		t.Fatal(err)
	}
	if err := SweepCSV(&text, sample()); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Candidate string
		Curves    []struct {
			Name   string
			Values []*float64
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&text).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if got.Candidate != "two \"tuned\"" || len(got.Curves) <= len(rows[0]) {
		t.Fatalf("%q with %d curves, CSV has %d", got.Candidate, len(got.Curves), len(rows[0]))
	}
	more := got.Curves[len(rows[0]):] // beyond the CSV: the drive, and by place flows, pressures and watts
	if more[0].Name != "drive_v" || len(more[0].Values) != len(rows)-1 {
		t.Errorf("after the columns of the CSV comes %q with %d values", more[0].Name, len(more[0].Values))
	}
	last := more[len(more)-3:]
	if last[0].Name != "greatest_db.heat" || *last[0].Values[0] != 102 || last[0].Values[1] != nil || last[1].Name != "greatest_drive_v.heat" || *last[1].Values[0] != 5 || last[2].Name != "greatest_power_w.heat" || *last[2].Values[0] != 6 {
		t.Errorf("the greatest output ends with %v", last)
	}
	for i, c := range got.Curves[:len(rows[0])] {
		if c.Name != rows[0][i] || len(c.Values) != len(rows)-1 {
			t.Fatalf("curve %d is %q with %d values", i, c.Name, len(c.Values))
		}
		for k, v := range c.Values {
			cell := rows[k+1][i]
			if v == nil || cell == "" {
				if v != nil || cell != "" {
					t.Errorf("%s, row %d: %v in JSON, %q in CSV", c.Name, k, v, cell)
				}
				continue
			}
			if x, err := strconv.ParseFloat(cell, 64); err != nil || math.Abs(x-*v) > 5e-9*math.Abs(*v) {
				t.Errorf("%s, row %d: %g in JSON, %q in CSV", c.Name, k, *v, cell)
			}
		}
	}
}

// formats is testdata/file-formats.csv by id; use takes a row out.
type formats map[string]check.Row

func readFormats(t *testing.T) formats {
	t.Helper()
	out := formats{}
	for _, r := range check.Rows(t, "testdata/file-formats.csv") {
		out[r.ID] = r
	}
	return out
}

func (f formats) use(t *testing.T, number string) (value, conditions string) {
	t.Helper()
	r, ok := f["file-formats-"+number]
	if !ok {
		t.Fatalf("row %s is not there, or used twice", number)
	}
	delete(f, r.ID)
	return r.Value, r.Conditions
}

func floats(t *testing.T, list, separator string) []float64 {
	t.Helper()
	out, err := check.Floats(list, separator)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Every row of file-formats.csv: Touchstone Z data of version 1 and the bytes
// of a WAV header.
func TestFileFormats(t *testing.T) {
	rows := readFormats(t)
	option, _ := rows.use(t, "047")
	comment, _ := rows.use(t, "016")
	t.Run("example 9", func(t *testing.T) {
		c := &study.Curves{}
		var want [][]float64
		value, _ := rows.use(t, "003")
		for _, p := range strings.Split(value, ";") {
			v := floats(t, p, ",") // MHz, |z| normalised to 75 Ω, degrees
			c.Frequency = append(c.Frequency, 1e6*v[0])
			c.Impedance = append(c.Impedance, 75*v[1])
			c.ImpedancePhase = append(c.ImpedancePhase, v[2])
		}
		for _, number := range []string{"004", "005", "006", "007", "008"} {
			value, _ := rows.use(t, number)
			want = append(want, floats(t, value, ";")) // re, im, |Z|
		}
		touchstoneIs(t, c, strings.Trim(option, `"`), comment, want)
	})
	for _, number := range []string{"018", "023", "028", "033", "038", "043"} {
		t.Run(number, func(t *testing.T) {
			value, conditions := rows.use(t, number)
			if !strings.HasSuffix(conditions, "R 50") {
				t.Fatalf("conditions %q", conditions)
			}
			forms := strings.Split(value, " | ")
			ri, ma := floats(t, strings.TrimPrefix(forms[0], "RI "), ";"), floats(t, strings.TrimPrefix(forms[1], "MA "), ";")
			c := &study.Curves{Frequency: []float64{20}, Impedance: []float64{50 * ma[0]}, ImpedancePhase: []float64{ma[1]}}
			touchstoneIs(t, c, strings.Trim(option, `"`), comment, [][]float64{{50 * ri[0], 50 * ri[1]}})
		})
	}
	t.Run("WAV header", func(t *testing.T) {
		value, _ := rows.use(t, "068")
		want, err := hex.DecodeString(value)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if _, err := WAV(&b, &study.TimeCurve{T: []float64{0, 1. / 96000}, Y: []float64{1, 0.5}}); err != nil {
			t.Fatal(err)
		}
		if !bytes.HasPrefix(b.Bytes(), want) || b.Len() != 66 {
			t.Errorf("%d bytes\n% x\nwant\n% x", b.Len(), b.Bytes(), want)
		}
	})
	for id := range rows {
		t.Errorf("%s is not used", id)
	}
}

// touchstoneIs reads back what Touchstone writes. It prints nine digits.
func touchstoneIs(t *testing.T, c *study.Curves, option, comment string, want [][]float64) {
	t.Helper()
	if comment != "! to end of line" {
		t.Fatalf("row 016 says %q", comment)
	}
	var b bytes.Buffer
	if err := Touchstone(&b, "van\r\n2 Hz bench, 4 Ω", c); err != nil {
		t.Fatal(err)
	}
	var data [][]float64
	options := 0
	for _, line := range strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n") {
		switch {
		case line[0] == '!':
		case line[0] == '#':
			if options++; line != option {
				t.Errorf("option line %q, want %q", line, option)
			}
		default:
			if options != 1 {
				t.Fatalf("%q stands before the option line", line)
			}
			data = append(data, floats(t, line, " "))
		}
	}
	for _, r := range b.String() {
		if r > '~' {
			t.Fatalf("%q is not ASCII", r)
		}
	}
	if len(data) != len(want) {
		t.Fatalf("%d points, want %d:\n%s", len(data), len(want), b.String())
	}
	for k, d := range data {
		if d[0] != c.Frequency[k] {
			t.Errorf("%g Hz, want %g", d[0], c.Frequency[k])
		}
		for i := range 2 {
			if math.Abs(d[1+i]-want[k][i]) > 5e-9*math.Abs(want[k][i])+1e-12 {
				t.Errorf("point %d: %g, want %g", k, d[1+i], want[k][i])
			}
		}
	}
}

func TestTouchstoneWithoutImpedance(t *testing.T) {
	c := &study.Curves{Frequency: []float64{20}, Impedance: []float64{math.NaN()}, ImpedancePhase: []float64{0}}
	if err := Touchstone(io.Discard, "one", c); err == nil || !strings.Contains(err.Error(), "20 Hz") {
		t.Errorf("%v", err)
	}
}

// Any response comes back from the file: at its rate, from t = 0 on, its
// largest value 1, each sample within the 2^-24 of single precision.
func TestWAVReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom([]float64{8000, 44100, 48000, 96000}).Draw(t, "rate")
		lead := rapid.IntRange(0, 9).Draw(t, "samples before 0")
		n := rapid.IntRange(1, 50).Draw(t, "samples from 0 on")
		c := &study.TimeCurve{}
		for k := -lead; k < max(n, 2); k++ {
			c.T = append(c.T, float64(k)/rate)
			c.Y = append(c.Y, rapid.Float64Range(-1e4, 1e4).Draw(t, "y"))
		}
		c.Y[len(c.Y)-1] = 3 // not silence
		y := c.Y            // all of it: what lies before 0 belongs to the response
		var b bytes.Buffer
		scale, err := WAV(&b, c)
		if err != nil {
			t.Fatal(err)
		}
		d := b.Bytes()
		u32 := func(at int) uint32 { return binary.LittleEndian.Uint32(d[at:]) }
		if u32(4) != uint32(len(d)-8) || u32(24) != uint32(rate) || u32(46) != uint32(len(y)) || u32(54) != uint32(4*len(y)) || len(d) != 58+4*len(y) {
			t.Fatalf("% x", d[:58])
		}
		most := 0.0
		for k, v := range y {
			x := float64(math.Float32frombits(u32(58 + 4*k)))
			most = math.Max(most, math.Abs(x))
			if math.Abs(x*scale-v) > math.Ldexp(scale, -24) {
				t.Fatalf("sample %d: %g, want %g", k, x*scale, v)
			}
		}
		if most != 1 {
			t.Fatalf("the largest sample is %g", most)
		}
	})
}

func TestWAVRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		curve study.TimeCurve
		want  string
	}{
		"one sample": {study.TimeCurve{T: []float64{0}, Y: []float64{1}}, "two samples"},
		"silence":    {study.TimeCurve{T: []float64{0, 1e-3}, Y: []float64{0, 0}}, "silence"},
		"uneven":     {study.TimeCurve{T: []float64{0, 1e-3, 3e-3}, Y: []float64{1, 0, 0}}, "evenly"},
		"no step":    {study.TimeCurve{T: []float64{0, 0}, Y: []float64{1, 0}}, "no sampling rate"},
		"not finite": {study.TimeCurve{T: []float64{0, 1e-3}, Y: []float64{1, math.NaN()}}, "not finite"},
	} {
		var b bytes.Buffer
		if _, err := WAV(&b, &c.curve); err == nil || !strings.Contains(err.Error(), c.want) || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, b.Len())
		}
	}
}
