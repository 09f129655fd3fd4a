package report

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A course of heat that no coil lives through, at volts that the amplifier does not
// have, is told as doubtful by the text and by the figure; a mild one is not.
func TestHeatIsDoubted(t *testing.T) {
	st, err := studyfile.Parse([]byte(strings.Replace(twoWrens, "drivers:", "amplifier: {rated: {4 ohm: 100 W}}\ndrivers:", 1)), "study.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for volts, doubtful := range map[float64]bool{5: false, 200: true} {
		o := study.HeatOptions{Volts: volts, For: 600, Fine: true}
		h, err := st.Heat(context.Background(), 0, o)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := HeatText(&b, st, "two", h, o, TextOptions{}); err != nil {
			t.Fatal(err)
		}
		fig, err := HeatFigure(st, &st.Candidates[0], h, o, FigureOptions{Size: "slide", Theme: "slide"})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct{ where, text, coil, amplifier string }{
			{"text", b.String(), "doubtful: no coil bears ", "doubtful: the amplifier does not give this"},
			{"figure", fig.scene.Desc, "oubtful: no coil bears so much heat", "oubtful: more than the amplifier gives"},
		} {
			if strings.Contains(c.text, c.coil) != doubtful || strings.Contains(c.text, c.amplifier) != doubtful {
				t.Errorf("at %g V the %s says %s", volts, c.where, c.text)
			}
		}
	}
}
