package studyfile

import (
	"strings"
	"testing"
)

// A polynomial that changes its sign before the driver is at its end is doubtful,
// at its own place; one that does so beyond is not.
func TestCurveThatTurnsNegative(t *testing.T) {
	for poly, where := range map[string]string{
		"kms: {poly_si: [1996, 0, -2e8]}":    "3.159",
		"bl: {poly_si: [8.45, 0, -6e5]}":     "3.753",
		"kms: {poly_si: [1996, 0, -2e7]}":    "", // 9.99 mm
		"bl: {poly_si: [8.45, 2000, 0, 0]}":  "4.225",
		"bl: {poly_si: [8.45, 1000, 0, -1]}": "",
	} {
		st := mustParse(t, []byte(`study: Signs
drivers:
  wren-6: {fs: 35 Hz, qms: 4.5, qes: 0.42, vas: 12 L, sd: 130 cm2, re: 3.3 ohm, xmax: 6 mm, curves: {`+poly+`}}
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 6 L}}
`))
		text := ""
		for _, f := range st.Drivers[0].Findings {
			if f.ID == "curve-turns-negative" {
				text += f.Text
				if f.At.Line != 3 {
					t.Errorf("%s: told at %v", poly, f.At)
				}
			}
		}
		if (text != "") != (where != "") || !strings.Contains(text, where) {
			t.Errorf("%s: %q, want %q in it", poly, text, where)
		}
	}
}
