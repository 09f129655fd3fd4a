package studyfile

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// What lies between the signal and the coils, in SI units and in its order.
func TestChain(t *testing.T) {
	st := mustParse(t, readFile(t, "testdata/good/chain.yaml"))
	a := &study.Amplifier{Rated: []study.Rating{{Load: 2, Power: 450}, {Load: 4, Power: 260}}, Channels: 4, Bridged: true, Output: 0.02}
	if d := cmp.Diff(a, st.Amplifier); d != "" {
		t.Error(d)
	}
	near(t, "the cable", st.Cable.Length*st.Cable.Area, 6*2.5e-6)
	if st.Cable.Gauge != -1 {
		t.Errorf("AWG %d", st.Cable.Gauge)
	}
	want := []study.Part{
		{Kind: "inductor", Part: enclosure.Part{Name: "choke", L: 2e-3, R: 0.3}},
		{Kind: "capacitor", Part: enclosure.Part{Name: "shunt", Across: true, C: 100e-6, R: 0.1}},
		{Kind: "resistor", Part: enclosure.Part{Name: "pad", R: 0.5}},
		{Kind: "series_resonant", Part: enclosure.Part{Name: "trap", Across: true, L: 12e-3, C: 820e-6, R: 8}},
		{Kind: "parallel_resonant", Part: enclosure.Part{Name: "stop", Parallel: true, L: 3e-3, C: 47e-6, R: 12}},
	}
	if len(st.Parts) != len(want) {
		t.Fatalf("%d parts", len(st.Parts))
	}
	for i, w := range want {
		p := st.Parts[i]
		near(t, w.Name+": L", p.L+1, w.L+1)
		near(t, w.Name+": C", p.C+1, w.C+1)
		near(t, w.Name+": R", p.R+1, w.R+1)
		p.L, p.C, p.R, w.L, w.C, w.R = 0, 0, 0, 0, 0, 0
		if p != w {
			t.Errorf("%+v, want %+v", p, w)
		}
	}
	for i, w := range []struct {
		split               driver.Split
		channels, a, string int
	}{{driver.Whole, 1, 2, 1}, {driver.ByDriver, 2, 2, 2}, {driver.ByCoil, 2, 2, 1}} {
		g := st.Candidates[i].Group
		if g.Split != w.split || g.ChannelCount() != w.channels || g.CoilsAChannel() != w.a || g.InSeries != w.string {
			t.Errorf("%s: %v over %d channels of %d coils, %d a string", st.Candidates[i].Name, g.Split, g.ChannelCount(), g.CoilsAChannel(), g.InSeries)
		}
	}
	gauge := mustParse(t, readFile(t, "testdata/good/gauge.yaml"))
	near(t, "AWG 12", gauge.Cable.Area, 3.3087728761114765e-6) // π/4·(0.127 mm·92^(24/39))², worked out by other means
	near(t, "20 ft", gauge.Cable.Length, 6.096)
}

// A bridged amplifier without a word of its channels has two, and that is told.
func TestBridgedChannelsAreTold(t *testing.T) {
	text := readFile(t, "testdata/good/gauge.yaml")
	st := mustParse(t, []byte(strings.ReplaceAll(string(text), "channels: 2", "channels: 4, bridged: true")))
	if st.Amplifier.Outputs() != 2 {
		t.Errorf("%d outputs", st.Amplifier.Outputs())
	}
	text2 := strings.ReplaceAll(string(text), ", channels: 2", ", bridged: true")
	st = mustParse(t, []byte(strings.ReplaceAll(text2, ", split: driver", "")))
	if st.Amplifier.Channels != 2 {
		t.Errorf("%d channels", st.Amplifier.Channels)
	}
	for _, f := range st.Findings {
		if f.ID == "default-channels" && f.At.Line == 3 {
			return
		}
	}
	t.Error("nobody tells that there are two")
}

// What is set to true stands without quotes, so that other readers of YAML take
// it for what it is.
func TestEditWritesATruthPlainly(t *testing.T) {
	text, err := Edit(readFile(t, "testdata/good/gauge.yaml"), []Change{{Do: "set", Path: "amplifier.bridged", Value: "false"}})
	if err != nil || !strings.Contains(string(text), "channels: 2, bridged: false}") {
		t.Errorf("%v: %s", err, text)
	}
}
