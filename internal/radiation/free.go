package radiation

import "math"

// FreePipe is the load, over ρc/S, of a round pipe with a thin wall and no flange,
// at ka ≥ 0: Levine & Schwinger, Phys. Rev. 73 (1948), 383. Its reflection of the
// plane wave and its end correction are Chebyshev series of their integrals, whose
// error is below 1e-7; at ka = 0 the integral has 0.6127 radii, not the 0.6133 that
// is printed everywhere. It holds up to ka = 3.83, where the pipe carries another
// wave; beyond, the load goes on smoothly towards ρc.
func FreePipe(ka float64) complex128 {
	if ka >= freeEnd {
		loss, end := free(1)
		r := freeEnd / ka
		m := math.Exp(-loss*freeEnd*freeEnd) * r * r
		return reflected(1-m, freeEnd*end)
	}
	loss, end := free(math.Asin(math.Sqrt(ka/freeEnd)) * 2 / math.Pi)
	return reflected(-math.Expm1(-loss*ka*ka), ka*end)
}

// reflected is the load of an end that sends the share 1 − less of the pressure
// back, as an opening without pressure would that lies farther out, by the angle
// shift of the wave: (1 + R)/(1 − R) with R = −(1 − less)·e^(−2j·shift).
func reflected(less, shift float64) complex128 {
	m := 1 - less
	sin, cos := math.Sincos(2 * shift)
	d := 1 + m*m + 2*m*cos
	return complex(less*(1+m)/d, 2*m*sin/d)
}

// freeEnd is the ka at which a second wave without nodes on circles’ diameters
// begins to travel: the first zero of J1.
const freeEnd = 3.8317059702075125

// free sums the series at t, 0 to 1, where ka = freeEnd·sin²(πt/2): in t both are
// smooth, where in ka they have a logarithm at 0 and a root at the end.
func free(t float64) (loss, end float64) {
	u := 4*t - 2
	var a1, a2, b1, b2 float64
	for i := freeTerms - 1; i >= 1; i-- {
		c := freeSeries[i]
		a1, a2 = c[0]+u*a1-a2, a1
		b1, b2 = c[1]+u*b1-b2, b1
	}
	c := freeSeries[0]
	return c[0] + u/2*a1 - a2, c[1] + u/2*b1 - b2
}

const freeTerms = 26

// freeSeries are the coefficients of −ln|R|/(ka)² and of the end correction, in
// radii. The test of the package finds them again from the integrals.
var freeSeries = [freeTerms][2]float64{
	{3.1819124349e-01, 4.0668077864e-01},
	{-1.8552728552e-01, -2.5527158467e-01},
	{3.1072710786e-02, -2.7191015500e-02},
	{2.3019911209e-02, 2.0886329930e-02},
	{-1.4076063310e-02, -5.9212383679e-03},
	{2.1684992001e-03, -2.4130165979e-03},
	{2.3459509054e-03, 2.0220823640e-03},
	{-1.9497198587e-03, -7.1979190536e-04},
	{6.1610808624e-04, -8.5185288141e-05},
	{1.0734534210e-04, 2.1817733670e-04},
	{-2.2577969356e-04, -1.1631973841e-04},
	{1.1862657326e-04, 2.0709419209e-05},
	{-2.0020732399e-05, 1.5069877891e-05},
	{-1.6446207997e-05, -1.4581483838e-05},
	{1.5165065596e-05, 5.5327675505e-06},
	{-5.2559292335e-06, 1.0942884065e-07},
	{-6.8113787783e-07, -1.4704537415e-06},
	{1.8918322244e-06, 9.2366280514e-07},
	{-1.0947159657e-06, -2.2224643987e-07},
	{2.3794283423e-07, -9.3704940951e-08},
	{1.2237729419e-07, 1.1835696297e-07},
	{-1.3661471891e-07, -5.1904017450e-08},
	{5.2470273836e-08, 1.5470619768e-09},
	{5.4303636969e-09, 1.4204751946e-08},
	{-2.0135178651e-08, -1.1258480283e-08},
	{1.3541191241e-08, 5.0734856056e-09},
}
