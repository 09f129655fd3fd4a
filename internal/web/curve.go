package web

import (
	"encoding/binary"
	"math"
	"strconv"

	"github.com/danielgtaylor/huma/v2"
)

// Curve is a list of numbers, NaN where there is none.
type Curve []float64

// curveDigits are what a curve is sent with: finer than any screen.
const curveDigits = 6

// MarshalJSON writes null where there is no number.
func (c Curve) MarshalJSON() ([]byte, error) {
	out := make([]byte, 0, 2+9*len(c))
	out = append(out, '[')
	for i, v := range c {
		if i > 0 {
			out = append(out, ',')
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			out = append(out, "null"...)
			continue
		}
		out = strconv.AppendFloat(out, v, 'g', curveDigits, 64)
	}
	return append(out, ']'), nil
}

// Schema tells the description of the interface what a curve looks like.
func (Curve) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeArray, Items: &huma.Schema{Type: huma.TypeNumber, Nullable: true}}
}

// Packed is a curve as the page gets it while a number is dragged, many times a
// second: little-endian numbers of 32 bits, of which base64 makes text at the price
// of a copy, NaN where there is none.
type Packed []byte

// packed is a curve in that form; seven digits are left of it.
func packed(c []float64) Packed {
	out := make([]byte, 0, 4*len(c))
	for _, v := range c {
		if math.IsInf(v, 0) {
			v = math.NaN() // silence has no level
		}
		out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(v)))
	}
	return out
}

// Schema tells the description of the interface what it looks like.
func (Packed) Schema(huma.Registry) *huma.Schema {
	return &huma.Schema{Type: huma.TypeString, ContentEncoding: "base64", Description: "numbers of 32 bits (IEEE 754, little-endian), NaN where there is none"}
}

func num(v float64) Num {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
