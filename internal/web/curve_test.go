package web

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// unpacked is what was packed.
func unpacked(p Packed) []float64 {
	var out []float64
	for ; len(p) >= 4; p = p[4:] {
		out = append(out, float64(math.Float32frombits(binary.LittleEndian.Uint32(p))))
	}
	return out
}

// A packed curve comes out of the answer as it went in, to half a unit of the last
// of 24 bits, and what is no number as none.
func TestPacked(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := rapid.SliceOf(rapid.OneOf(rapid.Float64Range(-1e6, 1e6), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1)}))).Draw(rt, "curve")
		data, err := json.Marshal(packed(in))
		if err != nil {
			rt.Fatal(err)
		}
		var sent Packed
		if err := json.Unmarshal(data, &sent); err != nil {
			rt.Fatal(err)
		}
		out := unpacked(sent)
		if len(out) != len(in) {
			rt.Fatalf("%d numbers of %d", len(out), len(in))
		}
		for i, v := range in {
			if none := math.IsNaN(v) || math.IsInf(v, 0); none != math.IsNaN(out[i]) || !none && math.Abs(out[i]-v) > 6e-8*math.Abs(v)+1e-44 {
				rt.Fatalf("%g came out as %g", v, out[i])
			}
		}
	})
}
