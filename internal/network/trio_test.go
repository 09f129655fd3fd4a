package network

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

// A trio gives what three solvers give one by one, to the rounding of operations that a
// compiler may join otherwise, also where answers are remembered.
func TestTrioSolvesAsThree(t *testing.T) {
	// Of networks whose answers may be a millionth of what they are made from, or its rounding
	// where two coils cancel: none where no operations are joined.
	const rounding, still = 1e-7, 1e-12
	solved := 0
	rapid.Check(t, func(t *rapid.T) {
		p, err := randomNetwork(t).Compile()
		if singular := (*SingularError)(nil); errors.As(err, &singular) {
			return
		} else if err != nil {
			t.Fatal(err)
		}
		one, sol := p.NewSolver(), p.NewSolver()
		if rapid.Bool().Draw(t, "remembers") {
			sol.Remember(20)
		}
		trio := sol.Trio()
		for range 20 {
			var ws [3]float64
			for i := range ws {
				ws[i] = 2 * math.Pi * float64(rapid.IntRange(5, 25).Draw(t, "frequency"))
			}
			err := trio.Solve(ws)
			var first error
			for _, w := range ws {
				if failed := one.Solve(w); failed != nil && first == nil {
					first = failed
				}
			}
			if fmt.Sprint(err) != fmt.Sprint(first) {
				t.Fatalf("the trio tells %v, one by one %v", err, first)
			}
			if err != nil {
				continue
			}
			for i, w := range ws {
				if err := one.Solve(w); err != nil {
					t.Fatal(err)
				}
				solved++
				if trio[i].Omega() != w {
					t.Fatalf("%d stands at %g, not %g", i, trio[i].Omega(), w)
				}
				most := 0.0
				for id := range one.p.net.elements {
					most = max(most, cmplx.Abs(one.Flow(ElementID(id))))
				}
				for id := range one.p.net.elements {
					if a, b := one.Flow(ElementID(id)), trio[i].Flow(ElementID(id)); !near(b, a, rounding) && cmplx.Abs(b-a) > still*most {
						t.Fatalf("the flow through element %d is %v, by the trio %v", id, a, b)
					}
				}
			}
		}
	})
	if solved < 1000 {
		t.Errorf("only %d answers", solved)
	}
}

// It reads each kind of operation as run does.
func TestTrioRunsAsOne(t *testing.T) {
	for kind := range opKinds {
		ops := []op{{kind: kind, a: 0, b: 1, c: 2, k: 0.7}}
		var want, got [3][]complex128
		for lane := range want {
			for i := range 3 {
				want[lane] = append(want[lane], complex(1.3+float64(lane), 0.9-0.4*float64(i*i)+float64(lane)))
			}
			got[lane] = append(got[lane], want[lane]...)
			run(ops, want[lane])
		}
		run3(ops, got[0], got[1], got[2])
		for lane := range want {
			for i := range want[lane] {
				if !near(got[lane][i], want[lane][i], 1e-15) {
					t.Errorf("operation %d leaves %v in slot %d of %d, three at once %v", kind, want[lane][i], i, lane, got[lane][i])
				}
			}
		}
	}
}

func BenchmarkTrio(b *testing.B) {
	n, port := ventedBox()
	p, err := n.Compile()
	if err != nil {
		b.Fatal(err)
	}
	trio := p.NewSolver().Trio()
	b.ReportAllocs()
	k := 0
	for b.Loop() {
		k++
		w := 2 * math.Pi * (20 + float64(k%400))
		if err := trio.Solve([3]float64{w, 1.01 * w, 1.02 * w}); err != nil {
			b.Fatal(err)
		}
		sink = trio[2].Flow(port)
	}
}
