package export

import (
	"fmt"
	"strings"

	"basswright/internal/curve"
)

// formula writes a curve, or its slope, as an expression of ngspice in x. Powers
// are products, because its a^b is |a|^b, and a table is its cubics, chosen by
// halving, so that the simulator makes few comparisons.
func formula(f curve.Form, x string, slope bool) string {
	value := pieces(f.Pieces, x, false)
	switch {
	case !slope && !f.Reciprocal:
		return value
	case !slope:
		return "(1/" + value + ")"
	case !f.Reciprocal:
		return pieces(f.Pieces, x, true)
	}
	return fmt.Sprintf("(-%s/(%s*%s))", pieces(f.Pieces, x, true), value, value)
}

func pieces(p []curve.Piece, x string, slope bool) string {
	if len(p) == 1 {
		return piece(p[0], x, slope)
	}
	half := len(p) / 2
	return fmt.Sprintf("(%s < %s ?\n+ %s :\n+ %s)", x, signed(p[half-1].To), pieces(p[:half], x, slope), pieces(p[half:], x, slope))
}

func piece(p curve.Piece, x string, slope bool) string {
	t := x
	if p.At != 0 {
		t = fmt.Sprintf("(%s-%s)", x, signed(p.At))
	}
	switch {
	case p.Reach != 0 && slope:
		return fmt.Sprintf("(%s*exp(-%s/%s))", signed(p.C[1]), t, signed(p.Reach))
	case p.Reach != 0:
		return fmt.Sprintf("(%s+%s*(1-exp(-%s/%s)))", signed(p.C[0]), signed(p.C[1]*p.Reach), t, signed(p.Reach))
	case slope:
		if len(p.C) == 1 {
			return "0"
		}
		d := make([]float64, len(p.C)-1)
		for k := range d {
			d[k] = float64(k+1) * p.C[k+1]
		}
		return horner(d, t)
	}
	return horner(p.C, t)
}

// horner writes Σ c[k]·t^k.
func horner(c []float64, t string) string {
	var b strings.Builder
	for _, v := range c[:len(c)-1] {
		fmt.Fprintf(&b, "(%s+%s*", signed(v), t)
	}
	b.WriteString(signed(c[len(c)-1]))
	b.WriteString(strings.Repeat(")", len(c)-1))
	return b.String()
}

// signed writes a number so that it may stand behind any sign.
func signed(v float64) string {
	if v < 0 {
		return "(" + num(v) + ")"
	}
	return num(v)
}

// times writes a factor before an expression that may stand behind one.
func times(v float64, expression string) string {
	if v == 1 {
		return expression
	}
	return signed(v) + "*" + expression
}
