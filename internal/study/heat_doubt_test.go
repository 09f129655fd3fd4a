package study_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"basswright/internal/heat"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// doubt is the finding of a course with an ID; nil where there is none.
func doubt(list []note.Finding, id string) *note.Finding {
	if k := slices.IndexFunc(list, func(f note.Finding) bool { return f.ID == id }); k >= 0 {
		return &list[k]
	}
	return nil
}

func heated(t *testing.T, st *study.Study, o study.HeatOptions) *study.HeatCourse {
	t.Helper()
	i, err := st.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	h, err := st.Heat(context.Background(), i, o)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// A coil that no coil is any more is a doubtful result, with when it gives way; a
// warm one is not.
func TestCoilThatGivesWay(t *testing.T) {
	st := example(t, "camper-bench")
	if h := heated(t, st, study.HeatOptions{Volts: 30, For: 3600}); doubt(h.Findings, "coil-gives-way") != nil {
		t.Errorf("a coil of %g °C is doubted", h.Steady.Coil[0])
	}
	h := heated(t, st, study.HeatOptions{Volts: 60, For: 3600, Reach: heat.GivesWay})
	f := doubt(h.Findings, "coil-gives-way")
	if f == nil || f.Severity != note.Warning {
		t.Fatalf("%+v", h.Findings)
	}
	if want := "here after " + study.Lasting(h.Reached); !strings.Contains(f.Text, want) || strings.Contains(f.Text, "melts") {
		t.Errorf("it says %q, want %q", f.Text, want)
	}
	if f := doubt(heated(t, st, study.HeatOptions{Volts: 300, For: 3600}).Findings, "coil-gives-way"); f == nil || !strings.Contains(f.Text, "copper melts at 1085\u2009°C") {
		t.Errorf("%+v", f)
	}
	// Followed for a second it is still cool, and where it leads is no better.
	h = heated(t, st, study.HeatOptions{Volts: 60, For: 1})
	if f := doubt(h.Findings, "coil-gives-way"); f == nil || !strings.Contains(f.Text, "after the time that is followed") {
		t.Errorf("%+v", f)
	}
	// With long rests there is no steady state, and only the hottest moment counts.
	h = heated(t, st, study.HeatOptions{Volts: 60, On: 1, Off: 60, For: 600})
	if f := doubt(h.Findings, "coil-gives-way"); f != nil || slices.Max(h.Hottest) > heat.GivesWay {
		t.Errorf("at %v °C it says %+v", h.Hottest, f)
	}
}

// What the amplifier cannot give is told, with how much it can: that much is not
// doubted, a little more is. Filters take away what does not reach it, and what the
// study's own drive is by definition is not doubted.
func TestHeatBeyondTheAmplifier(t *testing.T) {
	st := example(t, "camper-bench")
	most := st.Amplifier.MaxVoltage()
	for _, c := range []struct {
		volts float64
		told  bool
	}{{most * 0.999, false}, {most * 1.001, true}, {60, true}} {
		f := doubt(heated(t, st, study.HeatOptions{Volts: c.volts, For: 1}).Findings, "beyond-amplifier")
		if (f != nil) != c.told {
			t.Errorf("%g V of %g V: %+v", c.volts, most, f)
		}
	}
	f := doubt(heated(t, st, study.HeatOptions{Volts: 60, For: 1}).Findings, "beyond-amplifier")
	if want := "takes " + phys.Digits(60/most, 3) + " times the " + phys.Show(most, phys.Voltage, st.Units); !strings.Contains(f.Text, want) {
		t.Errorf("it says %q, want %q", f.Text, want)
	}
	rest, ok := strings.CutPrefix(f.Mend, "take at most ")
	q, err := phys.Parse(strings.ReplaceAll(rest, "\u2009", " "), phys.Voltage)
	if !ok || err != nil || math.Abs(q.SI/most-1) > 0.01 || q.SI > most {
		t.Errorf("the mend is %q, and it has %g V", f.Mend, most)
	}
	if f := doubt(heated(t, st, study.HeatOptions{Volts: q.SI, For: 1}).Findings, "beyond-amplifier"); f != nil {
		t.Errorf("what is told to hold does not: %s", f.Text)
	}
	st.Drive = study.Drive{Kind: study.DriveAmplifierFull}
	if f := doubt(heated(t, st, study.HeatOptions{For: 1}).Findings, "beyond-amplifier"); f != nil {
		t.Errorf("all that it gives is doubted: %s", f.Text)
	}
	// A low load is a matter of amperes.
	st.Amplifier.Rated = []study.Rating{{Load: 8, Power: 100}}
	f = doubt(heated(t, st, study.HeatOptions{Volts: 25, For: 1}).Findings, "beyond-amplifier")
	if f == nil || !strings.Contains(f.Text, phys.Show(st.Amplifier.MaxCurrent(), phys.Current, st.Units)+" rms that it has at most") {
		t.Errorf("%+v", f)
	}
	st.Amplifier = nil
	st.Drive = study.Drive{Kind: study.DriveVoltage, Value: 1}
	if f := doubt(heated(t, st, study.HeatOptions{Volts: 900, For: 1}).Findings, "beyond-amplifier"); f != nil {
		t.Errorf("without an amplifier it says %q", f.Text)
	}
}

// A piece of sound that burns the coil is doubtful too.
func TestPieceThatBurnsTheCoil(t *testing.T) {
	st := example(t, "camper-bench")
	i, err := st.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	st.Amplifier = nil
	const rate = 8000
	sine := make([]float64, 4*rate)
	for k := range sine {
		sine[k] = math.Sin(2 * math.Pi * 150 * float64(k) / rate)
	}
	for _, c := range []struct {
		volts float64
		told  bool
	}{{20, false}, {250, true}} {
		p, err := st.Play(context.Background(), i, sine, rate, study.ProgrammeOptions{Volts: c.volts})
		if err != nil {
			t.Fatal(err)
		}
		if f := doubt(p.Findings, "coil-gives-way"); (f != nil) != c.told || (p.Warmest > heat.GivesWay) != c.told {
			t.Errorf("at %g V the warmest has %g °C, and it says %+v", c.volts, p.Warmest, f)
		}
	}
}
