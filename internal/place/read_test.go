package place

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"

	"basswright/internal/check"

	"pgregory.net/rapid"
)

func read(t testing.TB, text string) *Measured {
	t.Helper()
	m, err := ReadMeasured("m.csv", text)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	return m
}

// The same three points in every way of writing them that is read.
func TestReadWays(t *testing.T) {
	for name, text := range map[string]string{
		"commas":                "20.5,12.25,-90\n40,6,-45\n80,-3.5,0\n",
		"commas and spaces":     "20.5, 12.25, -90\n40, 6, -45\n80, -3.5, 0",
		"semicolons":            "20.5;12.25;-90\n40;6;-45\n80;-3.5;0\n",
		"semicolons at the end": "20.5;12.25;-90;\n40;6;-45;\n80;-3.5;0;\n",
		"decimal commas":        "20,5;12,25;-90\n40;6;-45\n80;-3,5;0\n",
		"tabs":                  "20.5\t12.25\t-90\n40\t6\t-45\n80\t-3.5\t0\n",
		"tabs, decimal commas":  "20,5\t12,25\t-90\n40\t6\t-45\n80\t-3,5\t0\n",
		"spaces":                "  20.5   12.25 -90\n 40 \t 6 -45\n80 -3.5 0\n",
		"spaces, commas":        "20,5 12,25 -90\n40 6 -45\n80 -3,5 0\n",
		"lines of elsewhere":    "20.5,12.25,-90\r\n40,6,-45\r\n80,-3.5,0\r\n",
		"old lines":             "20.5,12.25,-90\r40,6,-45\r80,-3.5,0",
		"a mark in front":       "\ufeff20.5,12.25,-90\n40,6,-45\n80,-3.5,0\n",
		"print’s minus":         "20.5,12.25,−90\n40,6,−45\n80,−3.5,0\n",
		"quotes":                "\"Frequency\",\"Level\",\"Phase\"\n\"20.5\",\"12.25\",\"-90\"\n\"40\",\"6\",\"-45\"\n\"80\",\"-3.5\",\"0\"\n",
		"powers of ten":         "2.05e1,1225E-2,-9e+1\n40,6,-45\n80,-3.5,0\n",
		"comments":              "# cabin\n* seat\n! left\n% note\n// more\n; and\n\nFrequency (Hz);Level (dB);Phase (deg)\n20.5;12.25;-90 # first\n\n40;6;-45\n# between\n80;-3.5;0\n# end",
		"a heading in Latin-1":  "Freq;dB;\xb0\n20,5;12,25;-90\n40;6;-45\n80;-3,5;0\n",
	} {
		t.Run(name, func(t *testing.T) {
			m := read(t, text)
			if low, high := m.Band(); low != 20.5 || high != 80 || !m.HasPhase() || len(m.octave) != 3 {
				t.Fatalf("%g to %g Hz, %d points, phase %v", low, high, len(m.octave), m.HasPhase())
			}
			for i, want := range [][3]float64{{20.5, 12.25, -90}, {40, 6, -45}, {80, -3.5, 0}} {
				got := [3]float64{math.Exp2(m.octave[i]), m.level[i], m.phase[i] * 180 / math.Pi}
				for k := range got {
					check.Near(t, fmt.Sprintf("point %d, column %d", i, k), got[k], want[k], 1e-12, arithmetic)
				}
			}
		})
	}
}

// What can be read in one way only is; what can be read in two is an error.
func TestReadDoubt(t *testing.T) {
	one := read(t, "frequency,level,phase\n20,6,90\n40,3,45\n")
	if !one.HasPhase() {
		t.Error("three named columns are three")
	}
	if m := read(t, "20,6\n40,3\n"); m.HasPhase() || m.level[0] != 6 {
		t.Errorf("two columns of whole numbers: %+v", m)
	}
	// read as thousands the level would be 70 125 dB: the comma is a decimal one
	if m := read(t, "20,125;70,125\n31,500;69,250\n"); m.low != 20.125 || m.level[0] != 70.125 {
		t.Errorf("three decimals: %+v", m)
	}
	if m := read(t, "0,125;3\n1,125;2\n"); m.low != 0.125 {
		t.Errorf("0,125 is no thousand: %+v", m)
	}
}

func TestReadRefused(t *testing.T) {
	long := strings.Repeat("#", mostBytes) + "\n20,1\n40,1\n"
	var many strings.Builder
	for i := range mostPoints + 1 {
		fmt.Fprintf(&many, "%d,1\n", i+1)
	}
	for _, c := range []struct{ text, want string }{
		{"", `m.csv:1:1: the table has 0 points; give at least two, each a frequency in Hz and a level in dB on a line of its own`},
		{"# nothing\n", `m.csv:2:1: the table has 0 points; give at least two`},
		{"20,1", `m.csv:1:1: the table has 1 point; give at least two`},
		{"20 1\n40\n", `m.csv:2:1: the line has 1 column; give frequency, level and, if known, phase, in that order, parted by`},
		{"20\n40\n", `m.csv:1:1: the line has 1 column; give`},
		{"20;1\n40;1;90\n", `m.csv:2:6: the line has 3 columns; give 2 on every line, as on line 1`},
		{"20;1;90;0.9\n", `m.csv:1:9: the line has 4 columns; give frequency`},
		{"20,5,80,1\n21,5,80,2\n", `m.csv:1:9: the line has 4 columns; give frequency, level and, if known, phase, in that order; with decimal commas, part the columns by semicolons`},
		{"20;1\n20;2\n", "m.csv:2:1: 20\u2009Hz is not above the 20\u2009Hz of line 1; sort the lines by frequency, each frequency once"},
		{"20;1\n  19.5;2\n", "m.csv:2:3: 19.5\u2009Hz is not above the 20\u2009Hz of line 1"},
		{"20;1\n40;x\n", `m.csv:2:4: "x" is no number; write a level as a plain number; begin lines that hold no point with #`},
		{"20;1\n40;\n60;2", `m.csv:2:1: the line has 1 column; give`},
		{"20;1;5\n40;;5\n", `m.csv:2:4: the cell is empty; write a level into it`},
		{"20;1\n40;nan\n", `m.csv:2:4: "nan" is no number`},
		{"20;1\n40;-inf\n", `m.csv:2:4: "-inf" is no number`},
		{"20;1\n40;0x1p3\n", `m.csv:2:4: "0x1p3" is no number`},
		{"20;1\n40;1_0\n", `m.csv:2:4: "1_0" is no number`},
		{"20;1\n40;1e999\n", `m.csv:2:4: "1e999" is no number`},
		{"20;1\n40;400\n", "m.csv:2:4: a level of 400\u2009dB is beyond ±80\u2009dB"},
		{"20;1;1\n40;1;2e6\n", `m.csv:2:6: a phase of 2e6° is beyond`},
		{"0;1\n40;1\n", "m.csv:1:1: a frequency of 0\u2009Hz is no tone; leave the line out"},
		{"20;1\n -0.0 ;1\n", "m.csv:2:2: a frequency of 0\u2009Hz is no tone; leave the line out"},
		{"# Hz;dB\n0,001;1\n2,00;02\n", "m.csv:2:1: a frequency of 0,001\u2009Hz lies outside 0.1\u2009Hz to 1\u2009MHz; write frequencies in Hz, or leave the line out"},
		{"1e-400;1\n40;1\n", "m.csv:1:1: a frequency of 0\u2009Hz is no tone"},
		{"4e-5\t1\n40\t1\n", "m.csv:1:1: a frequency of 4e-5\u2009Hz lies outside 0.1\u2009Hz to 1\u2009MHz"},
		{"0.02;1\n0.04;1\n", "m.csv:1:1: a frequency of 0.02\u2009Hz lies outside 0.1\u2009Hz"},
		{"20;1.5\n40,5;1\n", `m.csv:2:1: "40,5" has another decimal mark than "1.5" on line 1; use one decimal mark in all of the table`},
		{"20;1\n40\t1\n", `m.csv:2:1: the line has 1 column; give frequency, level and, if known, phase, in that order, parted by semicolons`},
		{"20\t1\n40;1\n", `m.csv:2:1: the line has 1 column; give`},
		{"-5;1\n40;1\n", "m.csv:1:1: a frequency of -5\u2009Hz lies outside"},
		{"2024-11-05 14:20\n20;1\n", `m.csv:1:1: "2024-11-05" is no number`},
		{"é;\n20;1\nüü 40;1\n", `m.csv:3:1: "üü 40" is no number`},
		{"20;1,5\n40;2.5\n", `m.csv:2:4: "2.5" has another decimal mark than "1,5" on line 1; use one decimal mark in all of the table`},
		{"20.5;1\n40;2,5\n", `m.csv:2:4: "2,5" has another decimal mark than "20.5" on line 1`},
		{"1,000.5;1\n4,000.5;1\n", `m.csv:1:1: "1,000.5" has marks between thousands; write it without them`},
		{"1,000,000;1\n", `m.csv:1:1: "1,000,000" has marks between thousands`},
		{"900;1\n1,000;2\n", "m.csv:2:1: 1,000\u2009Hz is not above the 900\u2009Hz of line 1"},
		{"1,000;1\n2,000;2\n", `m.csv:1:1: the comma of "1,000" may be a decimal one or part thousands; write frequencies with a decimal point, or without thousands`},
		{"20,5,80\n21,6,81\n", `m.csv:1:1: the commas may part three columns, or be decimal ones; part the columns by semicolons, or add a heading`},
		{"Frequency [kHz];dB\n0.02;1\n", `m.csv:1:12: the heading speaks of kHz, and frequencies are read in Hz; write frequencies in Hz`},
		{"2\x000\x00;\x001\x00", `m.csv: the table is no plain text; save it as CSV in UTF-8`},
		{long, `m.csv: the table has 1048587 bytes, more than 1048576; leave out`},
		{many.String(), `m.csv:20001:1: the table has more than 20000 points; leave out`},
		{"20;1\n40;" + strings.Repeat("z", 50), `m.csv:2:4: "zzzzzzzzzzzzzzzzzzzzzzzz…" is no number`},
	} {
		m, err := ReadMeasured("m.csv", c.text)
		var e *TableError
		if !errors.As(err, &e) || m != nil || e.Reason == "" || e.Mend == "" {
			t.Errorf("%.60q: %v, %v", c.text, m, err)
			continue
		}
		if !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%.60q:\n%s, want\n%s", c.text, err, c.want)
		}
	}
}

// On its points the transfer is what was written; between them level and phase
// lie half way at the geometric middle; outside it stays, and says so.
func TestMeasuredTransfer(t *testing.T) {
	m := read(t, "20;12;-90\n80;-6;-180\n160;0;170\n")
	polar := func(level, degrees float64) complex128 {
		return cmplx.Rect(math.Pow(10, level/20), degrees*math.Pi/180)
	}
	for _, c := range []struct {
		f      float64
		want   complex128
		inside bool
	}{
		{20, polar(12, -90), true},
		{40, polar(3, -135), true},
		{80, polar(-6, -180), true},
		{80 * math.Sqrt2, polar(-3, -185), true}, // 170° is 10° on, not 350° back
		{160, polar(0, 170), true},
		{19.99, polar(12, -90), false},
		{0, polar(12, -90), false},
		{1e-9, polar(12, -90), false},
		{-3, polar(12, -90), false},
		{160.01, polar(0, 170), false},
		{math.Inf(1), polar(0, 170), false},
	} {
		h, inside := m.Transfer(c.f)
		if cmplx.Abs(h-c.want) > 1e-13*cmplx.Abs(c.want) || inside != c.inside {
			t.Errorf("%g Hz: %v, %v; want %v, %v", c.f, h, inside, c.want, c.inside)
		}
	}
	level := read(t, "20;12\n80;-6\n")
	if h, _ := level.Transfer(40); imag(h) != 0 || math.Abs(real(h)-math.Pow(10, 3.0/20)) > 1e-14 {
		t.Errorf("without a phase: %v", h)
	}
	check.Panics(t, "not a number", func() { level.Transfer(math.NaN()) })
}

// What is written by any table is read again, point by point; the level between
// two points is between theirs, and the phase of a pure delay is followed.
func TestReadWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fs := rapid.SliceOfNDistinct(rapid.IntRange(100, 999_999), 2, 40, rapid.ID[int]).Draw(t, "mHz")
		slices.Sort(fs)
		separator := rapid.SampledFrom([]string{";", "\t", ",", " "}).Draw(t, "separator")
		comma := separator != "," && rapid.Bool().Draw(t, "decimal comma")
		delay := rapid.Float64Range(0, 5e-4).Draw(t, "delay") // half a turn at 1 kHz: never more between points
		var b strings.Builder
		levels := make([]float64, len(fs))
		for i, f := range fs {
			levels[i] = float64(rapid.IntRange(-800, 800).Draw(t, "cB")) / 10
			phase := math.Remainder(-360*delay*float64(f)/1000, 360)
			line := fmt.Sprintf("%d.%03d%s%.1f%s%.6f\n", f/1000, f%1000, separator, levels[i], separator, phase)
			if comma {
				line = strings.ReplaceAll(line, ".", ",")
			}
			b.WriteString(line)
		}
		m, err := ReadMeasured("m.csv", b.String())
		if err != nil {
			t.Fatalf("%v\n%s", err, b.String())
		}
		for i, f := range fs {
			h, inside := m.Transfer(float64(f) / 1000)
			if !inside || math.Abs(dB(h)-levels[i]) > 1e-9 {
				t.Fatalf("%d mHz: %v dB, want %v", f, dB(h), levels[i])
			}
			turns := m.phase[i] - m.phase[0] + 2*math.Pi*delay*float64(f-fs[0])/1000
			if math.Abs(turns) > 1e-6 { // six printed decimals of a degree
				t.Fatalf("%d mHz: the phase is off by %g rad", f, turns)
			}
		}
		f := drawFrequency(t)
		if h, _ := m.Transfer(f); dB(h) < slices.Min(levels)-1e-9 || dB(h) > slices.Max(levels)+1e-9 || !isFinite(real(h), imag(h)) {
			t.Fatalf("%g Hz: %v", f, h)
		}
	})
}

// Whatever the text, there is a measurement without a fault or an error with a place and a mend.
func FuzzReadMeasured(f *testing.F) {
	for _, s := range []string{
		"20,5;12,25;-90\n40;6;-45\n", "20.5,1\n40,2\n", "f\tdB\n20\t1\n30\t2\n", "20 1\n30 2 # x\n", "\ufeff\"20\",\"1\"\r\n",
		"1,000;1\n2,000;2\n", "0,001;1\n2,00;02\n", "0,1;1\n2,00;02\n", "20,6,90\n40,3,45\n", "kHz", "é;\n;;;", "20;1\n40;−3", "\x00", "1e3;1\n2e3;1", ",,,", "20;\t1\n30;\t2",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ReadMeasured("m.csv", text)
		if err != nil {
			var e *TableError
			if m != nil || !errors.As(err, &e) || e.At.File != "m.csv" || e.Reason == "" || e.Mend == "" || e.At.Line < 0 || (e.At.Line == 0) != (e.At.Column == 0) {
				t.Fatalf("%q: %v, %#v", text, m, err)
			}
			if lines := strings.Count(text, "\n") + strings.Count(text, "\r") + 1; e.At.Line > lines {
				t.Fatalf("%q: line %d of %d", text, e.At.Line, lines)
			}
			return
		}
		n := len(m.octave)
		if n < 2 || n > mostPoints || len(m.level) != n || m.phase != nil && len(m.phase) != n || !slices.IsSorted(m.octave) {
			t.Fatalf("%q: %+v", text, m)
		}
		low, high := m.Band()
		for _, at := range []float64{0, low, math.Sqrt(low * high), high, 1e9} {
			if h, inside := m.Transfer(at); !isFinite(real(h), imag(h)) || inside != (at >= low && at <= high) {
				t.Fatalf("%q: %g Hz has %v, %v", text, at, h, inside)
			}
		}
		again, err := ReadMeasured("m.csv", strings.ReplaceAll(text, "\n", "\r\n"))
		if !strings.Contains(text, "\r") && (err != nil || !slices.Equal(again.level, m.level)) {
			t.Fatalf("%q: other ends of lines change it: %v", text, err)
		}
	})
}
