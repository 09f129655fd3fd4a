package export

import (
	"fmt"
	"math"
	"slices"

	"basswright/internal/large"
)

// How a sine comes to rest. The drive is turned up slowly, because what a switch
// stirs up has to die away again.
const (
	rampPeriods = 10.0
	restless    = 1e-6 // of the largest movement: what may be left of the start
	mostPeriods = 1000
	blind       = 200 // periods, where the model cannot be followed in time beforehand
)

// settling is after how many periods a model has come to rest. It is found by
// following the model in the same steps, without its leaks, which take their own
// time; the error says that there is no following it.
func settling(m *large.Model, o TransientOptions) (periods int, unsettled bool, err error) {
	c, err := m.Tight().NewCourse(1 / o.Frequency / float64(o.Steps))
	if err != nil { // creep and the power law are ladders here, and no course has them
		return blind, false, nil
	}
	cones := len(m.Sys.Moving())
	last := make([]float64, o.Steps*(cones+1)) // of the period before
	most := make([]float64, cones+1)
	var changes []float64 // by period
	for period := range mostPeriods {
		change := 0.0
		for k := range o.Steps {
			t := float64(period*o.Steps+k+1) / float64(o.Steps)
			if err := c.Step(min(1, t/rampPeriods) * math.Sqrt2 * o.Volts * math.Sin(2*math.Pi*t)); err != nil {
				return 0, false, fmt.Errorf("a sine of %.4g Hz at %.4g V cannot be followed: %w; ask for less voltage", o.Frequency, o.Volts, err)
			}
			for j := range cones + 1 {
				v := c.VolumeVelocity()
				if j < cones {
					v = c.Cone(j)
				}
				most[j] = max(most[j], math.Abs(v))
				l := &last[k*(cones+1)+j]
				if most[j] > 0 {
					change = max(change, math.Abs(v-*l)/most[j])
				}
				*l = v
			}
		}
		changes = append(changes, change)
		if period > rampPeriods+6 && left(changes) < restless {
			return period + 2, false, nil // one to print, and the one before it
		}
	}
	return mostPeriods, true, nil
}

// left is what is left of the start after some periods, of which each changed
// so much: what is left dies away as it did from three periods to the next
// three. Of each three the largest counts, because beats come and go.
func left(changes []float64) float64 {
	n := len(changes)
	now, before := slices.Max(changes[n-3:]), slices.Max(changes[n-6:n-3])
	if now >= before {
		return math.Inf(1)
	}
	return 3 * now * now / (before - now)
}

// How the static pressure of chambers leaks away: the leak resonates with its
// chamber at leakBelow of the frequency, and takes that squared of what the
// chamber's spring takes.
const (
	leakBelow = 1.0 / 50
	leakFolds = 8 // e-folds of a critical decay, (1 + 8)·e^−8 = 3e-3 of the static shift
)

// leaks writes what lets the static pressure of chambers leak away, where
// nothing else does, and says how many periods it takes at f, Hz.
func (n *netlist) leaks(list []large.Leak, f float64) (periods int) {
	for k, l := range list {
		to := l.Through(leakBelow * f)
		n.line("* the static pressure of %s leaks away, so slowly that sound passes by: %.2g of what its spring takes goes there", n.net.NodeName(l.Node), leakBelow*leakBelow)
		n.line("llk%d %s lk%d %s", k, n.node(l.Node), k, num(to.M))
		n.line("rlk%d lk%d 0 %s", k, k, num(to.R))
		periods = max(periods, int(math.Ceil(leakFolds*f*math.Sqrt(to.M*l.Whole))))
	}
	return periods
}
