package phys

import "math"

// Square is |z|², and Abs |z|: without the care that cmplx.Abs takes of numbers beyond 1e150
// or under 1e-150, which no quantity of a loudspeaker is, and several times as fast.
func Square(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// Abs is |z|, of 1e-150 to 1e150 in size; 0 of what is far smaller.
func Abs(z complex128) float64 { return math.Sqrt(Square(z)) }
