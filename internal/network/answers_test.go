package network

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A solver that remembers gives the very answers of one that does not, in whatever
// order frequencies come again, and also beyond what it keeps.
func TestRememberedAnswersAreTheSame(t *testing.T) {
	solved := 0
	rapid.Check(t, func(t *rapid.T) {
		p, err := randomNetwork(t).Compile()
		if singular := (*SingularError)(nil); errors.As(err, &singular) {
			return // there is nothing to remember
		} else if err != nil {
			t.Fatal(err)
		}
		solved++
		fresh, known := p.NewSolver(), p.NewSolver()
		const most = 20
		known.Remember(most)
		for range 200 {
			w := 2 * math.Pi * float64(rapid.IntRange(5, 5+3*most/2).Draw(t, "frequency"))
			a, b := fresh.Solve(w), known.Solve(w)
			if (a == nil) != (b == nil) {
				t.Fatalf("%v, remembering %v", a, b)
			}
			if a != nil {
				continue
			}
			if known.Omega() != w {
				t.Fatalf("it stands at %g, not %g", known.Omega(), w)
			}
			for id := range fresh.p.net.elements {
				e := ElementID(id)
				if a, b := fresh.Flow(e), known.Flow(e); a != b {
					t.Fatalf("the flow through element %d is %v, remembered as %v", id, a, b)
				}
				if a, b := fresh.FlowOut(e), known.FlowOut(e); a != b {
					t.Fatalf("the flow out of element %d is %v, remembered as %v", id, a, b)
				}
			}
			for i := range p.Unknowns() {
				if fresh.unknown(i) != known.unknown(i) {
					t.Fatalf("unknown %d is %v, remembered as %v", i, fresh.unknown(i), known.unknown(i))
				}
			}
		}
		if n := len(known.known.at); n > most {
			t.Fatalf("%d answers are kept of at most %d", n, most)
		}
	})
	if solved < 50 {
		t.Errorf("only %d networks were solved", solved)
	}
}
