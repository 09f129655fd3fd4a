package radiation

import "math"

// The integrals of Levine & Schwinger, Phys. Rev. 73 (1948), 383, for a pipe with a
// thin wall and no flange, by quadrature: the second method to the series of free.go,
// and where their coefficients come from.

// tanhSinh integrates f over 0 to b, which may have a logarithmic singularity at
// either end (Takahasi & Mori 1974).
func tanhSinh(b float64, f func(x, fromEnd float64) float64) float64 {
	const h = 1.0 / 64
	sum := 0.0
	for i := -280; i <= 280; i++ {
		t := float64(i) * h
		u := math.Pi / 2 * math.Sinh(t)
		c := math.Cosh(u)
		weight := math.Pi / 2 * math.Cosh(t) / (c * c)
		if weight < 1e-300 {
			continue
		}
		x, e := b/(1+math.Exp(-2*u)), b/(1+math.Exp(2*u))
		sum += weight * f(x, e)
	}
	return sum * h * b / 2
}

// logI1K1 is −ln(2·I1(x)·K1(x)).
func logI1K1(x float64) float64 {
	switch {
	case x < 1e-4:
		return x * x / 2 * (-math.Log(x/2) - 0.5772156649015329 + 0.25)
	case x > 60:
		// 2·I1·K1 = (1 − 3/(8x²) − 45/(128x⁴) − …)/x
		q := 1 / (x * x)
		return math.Log(x) - math.Log1p(-3.0/8*q-45.0/128*q*q)
	}
	// Both as integrals of smooth periodic or vanishing functions, for which the
	// trapezoidal rule is exact: DLMF 10.32.3 and 10.32.9, the exponentials e^x and
	// e^−x taken out.
	const n = 400
	i := 0.0
	for k := range n {
		th := 2 * math.Pi * (float64(k) + 0.5) / n
		i += math.Exp(x*(math.Cos(th)-1)) * math.Cos(th)
	}
	i /= n
	kk := 0.0
	const h = 1.0 / 64
	for k := 0; ; k++ {
		t := float64(k) * h
		v := math.Exp(-x*(math.Cosh(t)-1)) * math.Cosh(t)
		if k == 0 {
			v /= 2
		}
		kk += v
		if v < 1e-18*kk {
			break
		}
	}
	return -math.Log(2 * i * kk * h)
}

// exactFree is −ln|R| and the end correction, in radii, at 0 ≤ ka < 3.83.
func exactFree(ka float64) (loss, end float64) {
	// ∫ over 0 to ∞ of −ln(2·I1·K1)/(x·√(x² + ka²)) dx, with x = e^u
	sum := 0.0
	const h = 1.0 / 16
	for i := -40 * 16; i <= 45*16; i++ {
		x := math.Exp(float64(i) * h)
		sum += logI1K1(x) / math.Hypot(x, ka) * h
	}
	if ka == 0 {
		return 0, sum / math.Pi
	}
	angle := func(small float64, f func(j, y float64) float64) float64 {
		return tanhSinh(math.Pi/2, func(th, fromEnd float64) float64 {
			s := math.Sin(th)
			if th > math.Pi/4 {
				s = math.Cos(fromEnd)
			}
			x := ka * s
			if x < 1e-7 {
				return small * x
			}
			return f(math.J1(x), math.Y1(x)) / x
		})
	}
	phase := angle(math.Pi/4, func(j, y float64) float64 { return math.Atan2(j, -y) })
	size := angle(0, func(j, y float64) float64 { return math.Log(math.Pi * j * math.Hypot(j, y)) })
	return 2 * ka / math.Pi * phase, (sum + size) / math.Pi
}

// fit is the Chebyshev series of what free.go has, from the integrals.
func fit() (loss, end [freeTerms]float64) {
	const n = 96
	var a, b [n]float64
	for i := range n {
		t := (math.Cos(math.Pi*(float64(i)+0.5)/n) + 1) / 2
		s := math.Sin(math.Pi / 2 * t)
		ka := freeEnd * s * s
		l, e := exactFree(ka)
		a[i], b[i] = l/(ka*ka), e
	}
	for k := range freeTerms {
		for i := range n {
			c := math.Cos(math.Pi*float64(k)*(float64(i)+0.5)/n) * 2 / n
			if k == 0 {
				c /= 2
			}
			loss[k] += a[i] * c
			end[k] += b[i] * c
		}
	}
	return loss, end
}
