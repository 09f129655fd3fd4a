package draw

import (
	"testing"

	"pgregory.net/rapid"
)

// How many figures a path consists of is the same whether they are counted or drawn.
func TestRunsAreThoseThatFlattenGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := new(Path)
		at := func() float64 { return rapid.Float64Range(-9, 9).Draw(t, "at") }
		for _, v := range rapid.SliceOf(rapid.ByteMax(byte(closePath))).Draw(t, "verbs") {
			switch verb(v) {
			case moveTo:
				p.M(at(), at())
			case lineTo:
				p.L(at(), at())
			case quadTo:
				p.Q(at(), at(), at(), at())
			case cubicTo:
				p.C(at(), at(), at(), at(), at(), at())
			default:
				p.Z()
			}
		}
		if got, want := p.runs(), len(p.flatten(1)); got != want {
			t.Fatalf("%d runs, and %d are drawn: %v", got, want, p.seg)
		}
	})
}
