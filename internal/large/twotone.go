package large

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
)

// TwoTone is the steady state under two sines at once: a low one that moves the
// cone and a high one that it modulates.
type TwoTone struct {
	Low, High float64 // Hz
	Level     float64 // Pa peak at the listening distance, of the high tone
	Below     [2]complex128
	Above     [2]complex128 // Pa peak at High ∓ and ± n·Low, n = 1, 2
}

// Share is the sum of the side tones of both sides, of the first and the second
// order, as a root of squares over the high tone: the modulation distortion of
// IEC 60268-5 in one number.
func (t *TwoTone) Share() float64 {
	sum := 0.0
	for n := range t.Below {
		s := cmplx.Abs(t.Below[n]) + cmplx.Abs(t.Above[n])
		sum += s * s
	}
	return math.Sqrt(sum) / t.Level
}

// How a course under two tones is cut and waited for.
const (
	perHighest = 160    // steps a period of the highest side tone: the trapezoidal rule is off by (2π/160)²/12, 1e-4
	settleFor  = 40.0   // s at most
	unchanged  = 1e-6   // change of a tone, of the high one, from one look to the next
	gridHz     = 0.1    // tones are multiples of it, so that they have a common period
	longest    = 400000 // steps a common period
)

// RestlessError says that a course under two tones did not come to repeat itself.
type RestlessError struct{ Low, High float64 } // Hz

func (e *RestlessError) Error() string {
	return fmt.Sprintf("under %.4g\u2009Hz and %.4g\u2009Hz together it did not come to repeat itself within %g\u2009s of sound: the mean of a cone wanders slowly, or no state lasts; ask for less voltage, or for single tones, which say whether their state lasts", e.Low, e.High, settleFor)
}

// Two follows the model under √2·(a·sin 2πf₁t + b·sin 2πf₂t), turned up from nothing,
// until it repeats itself. The frequencies, Hz, are such as FitTones lets pass.
// Progress is told the share of the longest wait that is over. The error is FitTones's,
// a *StateError, a *RestlessError, an *network.InfiniteError or the context's.
func (m *Model) Two(ctx context.Context, low, high, a, b float64, progress func(part float64)) (*TwoTone, error) {
	if err := FitTones(low, high); err != nil {
		return nil, err
	}
	l, h, common, steps := cutTones(low, high)
	period := 1 / (gridHz * float64(common))
	// Leaks resonate as far below the low tone as those of a slow one would, so that what
	// is steady needs no more periods. They begin slowly, and are over after one of their own.
	leak := max(leakAt, low*leakShare)
	c, err := m.newCourse(period/float64(steps), leak)
	if err != nil {
		return nil, err
	}
	look, least := 1, 8/low // common periods from one look to the next; s before the first
	if len(m.closed()) > 0 {
		look, least = int(math.Ceil(1/leak/period)), 8/low+1/leak
	}
	nl, nh := l/common, h/common
	lines := [5]int{nh, nh - nl, nh - 2*nl, nh + nl, nh + 2*nl}
	turn := make([]complex128, steps) // e^(−j2πk/steps)
	for k := range turn {
		s, co := math.Sincos(2 * math.Pi * float64(k) / float64(steps))
		turn[k] = complex(co, -s)
	}
	var last [5]complex128
	for n := 0; float64(n)*period < settleFor; n++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		progress(float64(n) * period / settleFor)
		var sum [5]complex128
		for k := 1; k <= steps; k++ {
			i := k % steps
			e := math.Sqrt2 * (-a*imag(turn[i*nl%steps]) - b*imag(turn[i*nh%steps]))
			e *= math.Min(1, (float64(n)*period+float64(k)/float64(steps)*period)*low/4) // a start of four low periods
			if err := c.Step(e); err != nil {
				return nil, &StateError{Frequency: low, Volts: a}
			}
			u := complex(c.VolumeVelocity()*2/float64(steps), 0)
			for q, line := range lines {
				sum[q] += u * turn[i*line%steps]
			}
		}
		if n%look != 0 {
			continue
		}
		change := 0.0
		for q := range sum {
			change = max(change, cmplx.Abs(sum[q]-last[q]))
		}
		if float64(n)*period > least && change < unchanged*cmplx.Abs(sum[0]) {
			return m.tones(low, high, sum), nil
		}
		last = sum
	}
	return nil, &RestlessError{low, high}
}

// tones turns volume velocities into pressures.
func (m *Model) tones(low, high float64, u [5]complex128) *TwoTone {
	p := func(k int, f float64) complex128 {
		w := 2 * math.Pi * f
		return u[k] * complex(0, m.Sys.Setting.PressurePerFlow(w))
	}
	return &TwoTone{
		Low: low, High: high, Level: cmplx.Abs(p(0, high)),
		Below: [2]complex128{p(1, high-low), p(2, high-2*low)},
		Above: [2]complex128{p(3, high+low), p(4, high+2*low)},
	}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
