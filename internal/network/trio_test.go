package network

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A trio gives what three solvers give one by one, to the rounding of operations that a
// compiler may join otherwise, also where answers are remembered.
func TestTrioSolvesAsThree(t *testing.T) {
	const rounding = 1e-9 // of networks whose answers may be a millionth of what they are made from
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
			for i, w := range ws {
				if failed := one.Solve(w); failed != nil {
					if err == nil {
						t.Fatalf("%v, and the trio tells nothing", failed)
					}
					break
				} else if err != nil {
					continue // another's
				}
				solved++
				if trio[i].Omega() != w {
					t.Fatalf("%d stands at %g, not %g", i, trio[i].Omega(), w)
				}
				for id := range one.p.net.elements {
					if a, b := one.Flow(ElementID(id)), trio[i].Flow(ElementID(id)); !near(b, a, rounding) {
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
	kinds := []opKind{opRecip, opMul, opMulR, opFms, opFmsR, opFmsNeg, opNegR, opCopy, opRecipFms, opMulNegR}
	for _, kind := range kinds {
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
