package report_test

import (
	"bytes"
	"encoding/json"
	"html"
	"os"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/note"
	"basswright/internal/report"
)

func saltRoad(t *testing.T, change ...string) map[string]string {
	t.Helper()
	text, err := os.ReadFile("../../examples/salt-road.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return written(t, evaluate(t, strings.NewReplacer(change...).Replace(string(text)), "salt-road.yaml"))
}

// What a terminal shows of a study in a cabin, to be read by people when it changes.
func TestCabinInWords(t *testing.T) {
	check.Golden(t, "testdata/salt-road.txt", saltRoad(t)["compare text"])
}

// A caution is made once: the terminal, the page and the data tell it with the
// same words.
func TestCautionsAreToldAlike(t *testing.T) {
	out := saltRoad(t, "power: 200 W", "power: 20 kW")
	var data struct{ Cautions []note.Finding }
	if err := json.Unmarshal([]byte(out["compare json"]), &data); err != nil {
		t.Fatal(err)
	}
	plain := func(s string) string {
		return strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(html.UnescapeString(s), "\u2009", " ")), " "))
	}
	terminal, page := plain(out["compare text"]), plain(out["compare html"])
	seen := map[string]bool{}
	for _, c := range data.Cautions {
		seen[c.ID] = true
		words := plain(c.Text)
		if c.Mend != "" {
			words += "; " + plain(c.Mend)
		}
		if !strings.Contains(terminal, words) {
			t.Errorf("the terminal does not say %q", words)
		}
		if !strings.Contains(page, words) {
			t.Errorf("the page does not say %q", words)
		}
	}
	for _, id := range []string{"hearing-dose", "hearing-peak", "load", "heat", "vehicle", "workshop"} {
		if id == "load" {
			continue // its amplifier takes what it is given
		}
		if !seen[id] {
			t.Errorf("20 kW in a car: no caution %s in %v", id, data.Cautions)
		}
	}
}

// In a cabin the level figure is that of the listener's place and says so; the
// plain one is a figure of its own, with the bars of the extension.
func TestPlainLevelStaysInReach(t *testing.T) {
	draw := func(text, name string) string {
		r := evaluate(t, text, "s.yaml")
		f, err := report.NewFigure(r, name, report.FigureOptions{})
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := f.Write(&b, "svg"); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	raw, err := os.ReadFile("../../examples/salt-road.yaml")
	if err != nil {
		t.Fatal(err)
	}
	cabin := string(raw)
	at, end := strings.Index(cabin, "  cabin:"), strings.Index(cabin, "drive:")
	open := strings.Replace(cabin[:at]+cabin[end:], "air: {humidity: 60 %}", "air: {humidity: 60 %, temperature: 0 C}", 1)
	level, plain := draw(cabin, "level"), draw(cabin, "plain-level")
	if !strings.Contains(level, "in a cabin of 3.83") || strings.Contains(level, "−3 dB") {
		t.Error("the level figure does not say that it is told for the cabin, or has bars of an extension that it does not show")
	}
	if strings.Contains(plain, "in a cabin") || !strings.Contains(plain, "−3 dB") {
		t.Error("the plain figure is told for the cabin, or lacks the bars of the extension")
	}
	if a, b := draw(open, "level"), draw(open, "plain-level"); strings.Count(a, "<path") != strings.Count(b, "<path") {
		t.Error("without a cabin the two figures differ")
	}
	page := saltRoad(t)["compare html"]
	for _, words := range []string{"at the listener’s place", "Level in the plain space"} {
		if !strings.Contains(page, words) {
			t.Errorf("the page does not say %q", words)
		}
	}
}
