package variant

import (
	"strings"
	"testing"
)

// A box so small that its volume loses digits when it is written has the total Q
// that is said of it.
func TestSmallBoxHasTheTotalQThatIsSaid(t *testing.T) {
	const small = `study: Small
units: imperial
drivers:
  wren-3: {fs: 95 Hz, qms: 4.1, qes: 0.38, vas: VAS, sd: 32 cm2, re: 3.6 ohm, xmax: 3 mm}
candidates:
  one: {group: {driver: wren-3}, enclosure: {kind: vented, volume: 1 L, tuning: 80 Hz}}
`
	n := 0
	for _, vas := range []string{"0.21 L", "0.33 L", "0.4 L", "0.52 L", "0.61 L", "0.77 L", "0.93 L"} {
		n += checkOf(t, []byte(strings.Replace(small, "VAS", vas, 1)))
	}
	if n < 20 {
		t.Errorf("only %d variants were looked at", n)
	}
}
