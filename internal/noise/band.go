package noise

import "math"

// A Band is a third of an octave, or rather a tenth of a decade: bands of base
// ten, as IEC 61260-1:2014 has them.
type Band struct {
	Nominal   float64 // Hz, as it is called: a preferred frequency of ISO 266
	Centre    float64 // Hz, exact: 10^(k/10)
	Low, High float64 // Hz, exact: 10^((k ∓ 1/2)/10)
}

// The band numbers that ThirdOctave takes: 1 Hz to 100 kHz.
const firstBand, lastBand = 0, 50

// ThirdOctave is the band of number k, 0 to 50: 10 is that of 10 Hz, 30 that of
// 1 kHz. Other numbers panic.
func ThirdOctave(k int) Band {
	if k < firstBand || k > lastBand {
		panic("noise: no band of that number")
	}
	// The preferred frequencies of a decade (ISO 266: the R10 series, of which
	// 1.25 and 3.15 keep their third digit).
	names := [10]float64{1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8}
	decade := [6]float64{1, 10, 100, 1e3, 1e4, 1e5}
	at := func(n float64) float64 { return math.Pow(10, n/10) }
	n := float64(k)
	return Band{
		// Rounded, so that 1.6·10 is the number that 16 is written as.
		Nominal: math.Round(names[k%10]*decade[k/10]*100) / 100,
		Centre:  at(n), Low: at(n - 0.5), High: at(n + 0.5),
	}
}

// The bands of the programme’s table: 20 Hz to 20 kHz.
const firstProgramme, lastProgramme = 13, 43

// programme is the level of each band of the programme noise, dB re a band of
// pink noise that is not weighted.
func programme() [lastProgramme - firstProgramme + 1]float64 {
	return [...]float64{
		-13.5, -10.2, -7.4, -5.2, -3.5, -2.3, -1.4, -0.9, -0.5, -0.2, // 20 to 160 Hz
		-0.1, 0, 0, 0, 0, 0, 0, -0.1, -0.3, -0.6, // 200 Hz to 1.6 kHz
		-1, -1.6, -2.5, -3.7, -5.1, -7, -9.4, -11.9, -14.8, -18.2, -21.6, // 2 to 20 kHz
	}
}

// Programme is the noise of IEC 60268-1 that simulates a programme, which IEC
// 60268-5 uses for power handling: pink noise through a network. The network is
// not at hand; its levels in 31 third-octaves are those of IEC 60268-1:1985,
// table II, from memory. The standard lets them differ by ±0.5 dB in the middle
// and up to ±3 dB at the ends, so that below 50 Hz two noises that both conform
// may differ by more than anything reckoned here.
//
// Each band holds exactly its power. Within a band, and across its edges, the
// power below a frequency is a monotone cubic over ln f (slopes: Fritsch &
// Butland 1984), so the density has no steps. Below 17.8 Hz and above 22.4 kHz,
// where the table ends, there is nothing.
func Programme() Spectrum {
	levels := programme()
	var power [len(levels)]float64
	total := 0.0
	for i, level := range levels {
		power[i] = math.Pow(10, level/10)
		total += power[i]
	}
	knots := make([]knot, len(levels)+1)
	width := math.Ln10 / 10
	sum := 0.0
	for i := range knots {
		edge := (float64(firstProgramme+i) - 0.5) * width
		knots[i] = knot{x: edge, y: sum / total}
		if i < len(power) {
			sum += power[i]
		}
	}
	knots[len(power)].y = 1
	secant := func(i int) float64 { return power[i] / (total * width) }
	last := len(power)
	for i := 1; i < last; i++ {
		a, b := secant(i-1), secant(i)
		knots[i].slope = 2 * a * b / (a + b)
	}
	knots[0].slope = endSlope(secant(0), secant(1))
	knots[last].slope = endSlope(secant(last-1), secant(last-2))
	return Spectrum{knots: knots}
}

// endSlope is the slope at the end of a cubic over equal steps, from the two
// secants next to it; within these bounds the cubic stays monotone.
func endSlope(near, far float64) float64 { return min(max((3*near-far)/2, 0), 3*near) }
