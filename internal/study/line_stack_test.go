package study_test

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/study"
)

// What the ledger says of a stack in a duct is so in either wiring: at the voltage that a
// coil gets, a single driver in as many times the section moves as the stack does.
func TestWhatIsSaidOfAStackInADuct(t *testing.T) {
	const text = `study: Stack
model: {wall_loss: false}
drive: {voltage: 8 V}
drivers:
  lark-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}
candidates:
  parallel: {group: {driver: lark-10, stack: 2, wiring: parallel}, enclosure: {kind: transmission_line, duct: {length: 2.4 m, area: 400 cm2, bodies: left_out}}}
  series: {group: {driver: lark-10, stack: 2, wiring: series}, enclosure: {kind: transmission_line, duct: {length: 2.4 m, area: 400 cm2, bodies: left_out}}}
  one: {group: {driver: lark-10}, enclosure: {kind: transmission_line, duct: {length: 2.4 m, area: 800 cm2, bodies: left_out}}}
`
	r := evaluated(t, parsed(t, text))
	said := func(o *study.Outcome) note.Step {
		for _, step := range o.BoxLedger {
			if step.Name == "Like one in a section of" {
				return step
			}
		}
		t.Fatalf("%s: nothing is said of its stack", o.Candidate.Name)
		return note.Step{}
	}
	excursion := func(s *enclosure.System, volts float64) float64 {
		sol := s.Program.NewSolver()
		if err := sol.Solve(2 * math.Pi * 15); err != nil {
			t.Fatal(err)
		}
		return volts * s.Excursion(sol, &s.Cones[0])
	}
	one := excursion(r.Candidates[2].System, 1)
	for i, c := range []struct {
		share float64
		words string
	}{{1, "at the same voltage"}, {2, "1/2 of the whole"}} {
		o := r.Candidates[i]
		if step := said(o); !strings.Contains(step.Why, c.words) || !strings.Contains(step.Why, "near the quarter wave") {
			t.Errorf("%s: %s", o.Candidate.Name, step.Why)
		}
		check.Near(t, o.Candidate.Name+": excursion over that of one", c.share*excursion(o.System, 1)/one, 1, 0.02, "the load of the mouth, which is not in proportion")
	}
}
