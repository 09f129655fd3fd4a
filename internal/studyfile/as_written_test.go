package studyfile

import (
	"strings"
	"testing"
)

// What is told of a printed sensitivity is told at its key of the file, and in its words.
func TestSensitivityToldWhereItStands(t *testing.T) {
	for _, at := range []string{"1 W", "2.83 V"} {
		st := mustParse(t, []byte(`study: Loud
drivers:
  wren-6:
    fs: 45 Hz
    qms: 4
    qes: 0.5
    vas: 12 L
    sd: 130 cm2
    re: 5.6 ohm
    sensitivity:
      level: 95 dB
      at: `+at+`
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 6 L}}
`))
		found := 0
		for _, f := range st.Drivers[0].Findings {
			if f.ID != "sheet-disagrees" {
				continue
			}
			found++
			if f.Where != "drivers.wren-6.sensitivity.level" || f.At.Line != 11 || f.Apart.Key != "sensitivity.level" ||
				!strings.HasPrefix(f.Text, "sensitivity.level 95 dB disagrees with ") || !strings.Contains(f.Mend, "leave sensitivity out") {
				t.Errorf("at %s: %+v", at, f)
			}
		}
		if found != 1 {
			t.Errorf("at %s: told %d times", at, found)
		}
	}
}
