package curve

import "math"

// Form is a curve written out, for who has to write it down elsewhere: pieces
// in the order of x, and whether the curve is 1 over what they describe.
type Form struct {
	Pieces     []Piece
	Reciprocal bool
}

// Piece is the curve from where the piece before it ends up to To: Σ C[k]·t^k
// with t = x − At; with a Reach d that is not 0, C[0] + C[1]·d·(1 − e^(−t/d)).
type Piece struct {
	To    float64 // m, +Inf for the last
	At    float64 // m
	C     []float64
	Reach float64 // m, below 0 where it settles towards negative x
}

// Form writes the curve out. At gives the same values.
func (c *Curve) Form() Form {
	if c.poly != nil {
		return Form{[]Piece{{To: math.Inf(1), C: c.poly}}, c.recip}
	}
	n := len(c.x)
	f := Form{Reciprocal: c.recip}
	f.Pieces = append(f.Pieces, c.tail(0, -1))
	for i := range n - 1 {
		b, k := c.cubic(i)
		f.Pieces = append(f.Pieces, Piece{To: c.x[i+1], At: c.x[i], C: []float64{c.v[i], c.slope[i], b, k}})
	}
	return Form{append(f.Pieces, c.tail(n-1, 1)), c.recip}
}

// tail is the curve beyond end knot i, towards the side of sign.
func (c *Curve) tail(i int, sign float64) Piece {
	p := Piece{To: c.x[i], At: c.x[i], C: []float64{c.v[i], c.slope[i]}}
	if sign > 0 {
		p.To = math.Inf(1)
	}
	if c.reach != 0 {
		p.Reach = c.settling(i, sign)
	}
	return p
}
