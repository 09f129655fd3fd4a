package web

import (
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

func num(v float64) Num {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
