package network

import (
	"math/cmplx"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Joining pairs of operations must not change what any later operation reads:
// lists of any operations leave the same in every slot that is still read, or
// that nothing elided. A result of which the join keeps no copy may only be one
// that nothing else reads.
func TestFuseKeepsWhatIsRead(t *testing.T) {
	const slots = 5
	kinds := []opKind{opRecip, opMul, opMulR, opFms, opFmsR, opFmsNeg, opNegR, opCopy}
	joined := 0
	rapid.Check(t, func(t *rapid.T) {
		// an elimination writes a slot first by one that does not read it, so each
		// operation here makes a slot of its own or changes an older one
		var ops []op
		n := uint16(slots)
		for range rapid.IntRange(2, 40).Draw(t, "operations") {
			o := op{kind: rapid.SampledFrom(kinds).Draw(t, "kind"), b: uint16(rapid.IntRange(0, int(n)-1).Draw(t, "b")), c: uint16(rapid.IntRange(0, int(n)-1).Draw(t, "c")), k: 0.7}
			if len(ops) > 0 && rapid.Bool().Draw(t, "takes the last result") {
				o.b = ops[len(ops)-1].a
			}
			switch o.kind {
			case opFms, opFmsR:
				o.a = uint16(rapid.IntRange(0, int(n)-1).Draw(t, "a"))
			default:
				o.a = n
				n++
			}
			ops = append(ops, o)
		}
		// the answer reads every slot that was made and not read since
		read := map[uint16]bool{}
		for _, o := range ops {
			read[o.b] = true
			read[o.c] = read[o.c] || slices.Contains([]opKind{opMul, opFms, opFmsNeg}, o.kind)
			read[o.a] = read[o.a] || o.kind == opFms || o.kind == opFmsR
		}
		fused := fuse(ops)
		joined += len(ops) - len(fused)
		kept := map[uint16]bool{}
		for _, o := range fused {
			kept[o.a] = true
			if o.kind == opRecipFms {
				kept[o.c] = true
			}
		}
		plain, short := make([]complex128, n), make([]complex128, n)
		for i := range slots {
			plain[i] = complex(1.3+0.4*float64(i), 0.9-0.35*float64(i))
			short[i] = plain[i]
		}
		run(ops, plain)
		run(fused, short)
		for i := range plain {
			if read[uint16(i)] && i >= slots && !kept[uint16(i)] {
				continue // elided: what it went into is compared
			}
			if plain[i] != short[i] && cmplx.Abs(plain[i]-short[i]) > 1e-12*cmplx.Abs(plain[i]) {
				t.Fatalf("slot %d holds %v, and %v after joining\n%v\n%v", i, plain[i], short[i], ops, fused)
			}
		}
	})
	t.Logf("%d pairs were joined", joined)
	if joined < 10 {
		t.Errorf("only %d pairs were joined", joined)
	}
}
