package radiation

// FlangedPipe is the load, over ρc/S, of a round pipe that ends in an infinite
// flange, at ka ≥ 0: the fit of Silva, Guillemain, Kergomard, Mallaroni & Norris,
// J. Sound Vib. 322 (2009), 255, eqs. 21 and 22, to the exact solution of Norris &
// Sheng 1989. Its reflection and its end correction, 0.8216 radii at ka = 0, are
// within 2 % up to ka = 3. Beyond it stays passive and goes towards ρc.
//
// The air in a pipe’s mouth moves faster at the rim than a piston does; the piston’s
// end correction of 0.8488 radii puts the peaks of a plain pipe elsewhere by up to
// 0.8 dB.
func FlangedPipe(ka float64) complex128 {
	const (
		eta, beta      = 0.8216, 1
		a1, a2, a3     = 0.730, 0.372, 0.0231
		b1, b2, b3, b4 = 0.244, 0.723, -0.0198, 0.00366
	)
	q := ka * ka
	// 1 − |R|, without what cancels in it
	num := q * (beta + q*(a2+q*a3))
	den := 1 + q*((beta+a1)+q*(a2+q*a3))
	end := eta * (1 + b1*q) / (1 + q*(b2+q*(b3+q*b4)))
	return reflected(num/den, ka*end)
}
