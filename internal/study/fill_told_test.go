package study_test

import (
	"strings"
	"testing"

	"basswright/internal/study"
)

// A model of fill that is asked below its range may give energy, which the ledger does
// not call a loss.
func TestFillThatGivesEnergyIsToldSo(t *testing.T) {
	for model, gives := range map[string]bool{"miki": true, "allard_champoux": false} {
		o := evaluated(t, parsed(t, `study: Fill
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm}
candidates:
  box: {group: {driver: heron-8}, enclosure: {kind: sealed, volume: 20 L, fill: {resistivity: 1000000 Pa s/m2, model: `+model+`}}}
`)).Candidates[0]
		for _, s := range o.BoxLedger {
			if s.Name == "Apparent volume" && (strings.Contains(s.Why, "gives energy") != gives || strings.Contains(s.Why, "takes energy") == gives) {
				t.Errorf("%s: %s", model, s.Why)
			}
		}
		if o.System.Facts.Fills[0].Q < 0 != gives {
			t.Errorf("%s: Q %g", model, o.System.Facts.Fills[0].Q)
		}
	}
}

// A network whose cones’ rear goes straight outside gives no sound, and the mend is not
// to tune chambers that it does not have.
func TestANetworkThatCancelsItself(t *testing.T) {
	for _, part := range []string{"{kind: opening, at: r, area: 10000 cm2}", "{kind: leak, at: r, resistance: 60000 Pa s/m3}"} {
		o := evaluated(t, parsed(t, `study: Silent
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm}
candidates:
  open: {group: {driver: heron-8}, enclosure: {kind: network, front: outside, rear: r, parts: [`+part+`]}}
`)).Candidates[0]
		if m := missOf(o, study.CheckSound); m == nil || !strings.Contains(m.Text, "straight outside") || !strings.Contains(m.Mend, "a chamber or a duct") {
			t.Errorf("%s: %+v", part, m)
		}
	}
}
