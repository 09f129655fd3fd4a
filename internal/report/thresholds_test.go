package report_test

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"basswright/internal/report"
	"basswright/internal/study"
)

// The table in the manual is the one that the code makes, and every threshold has
// its figure and says where it is from.
func TestThresholdsInTheManual(t *testing.T) {
	page, err := os.ReadFile("../../docs/limits.md")
	if err != nil {
		t.Fatal(err)
	}
	want, err := report.WithThresholds(page)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(page, want) {
		t.Error("docs/limits.md is stale: run go generate ./internal/report")
	}
	memory := 0
	for _, k := range study.Thresholds() {
		if k.About == "" || k.What == "" || k.Figure == "" || k.Source == "" && k.Provenance != study.Own || strings.Contains(k.Figure, "NaN") {
			t.Errorf("incomplete: %+v", k)
		}
		if k.Provenance == study.FromMemory {
			memory++
		}
	}
	if n := strings.Count(string(page), "| **from memory** |"); n != memory || memory == 0 {
		t.Errorf("%d figures are from memory, and the page says so of %d", memory, n)
	}
}

// The figures of the table are those by which is judged: what the program says of a
// level, a port and a driver carries the same numbers.
func TestThresholdsAreThoseInUse(t *testing.T) {
	figures := map[string]string{}
	for _, k := range study.Thresholds() {
		figures[k.About+": "+k.What] = k.Figure
	}
	for what, want := range map[string]string{
		"Hearing: level for 8\u2009h of a working day; half the time for each 3\u2009dB": "85\u2009dBA",
		"Hearing: level for 40\u2009h a week, adults":                                    "80\u2009dBA",
		"Hearing: level for 40\u2009h a week, children and the sensitive":                "75\u2009dBA",
		"Hearing: peak, even for a moment":                                               "140\u2009dB(C)",
		"Air in ports, peak speed: little compression past sharp edges":                  "10\u2009m/s",
		"Air in ports, peak speed: old guide":                                            "5\u2009% of the speed of sound",
		"Air in ports, peak speed: the same: half of each cycle is turbulent":            "550",
		"Excursion: force factor: Bl(x) over Bl(0), at the least":                        "82\u2009%",
		"Excursion: compliance: Cms(x) over Cms(0), at the least":                        "75\u2009%",
		"Excursion: inductance: change of |Z| of the blocked coil, at the most":          "10\u2009%",
		"Excursion: Doppler: side tones over the tone, at the most":                      "10\u2009%",
		"Amplifier and cable: lowest |Z| over the rated load, at the least":              "80\u2009%",
		"Amplifier and cable: current density in a copper cable that deserves a look":    "4\u2009A/mm²",
		"Heat: copper’s resistance, per kelvin from 20 °C":                               "0.393\u2009%",
	} {
		if got, ok := figures[what]; !ok || got != want {
			t.Errorf("%s is %q, published is %q", what, got, want)
		}
	}
}

// A page without a place for it is refused.
func TestThresholdsNeedAPlace(t *testing.T) {
	for _, page := range []string{"", "# Limits\n", "<!-- end of thresholds -->\n"} {
		if _, err := report.WithThresholds([]byte(page)); err == nil {
			t.Errorf("%q was taken", page)
		}
	}
}
