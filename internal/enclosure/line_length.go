package enclosure

import (
	"math"

	"basswright/internal/duct"
	"basswright/internal/phys"
)

// sized finds a length by the tuning that is asked for, if any is, and the place of a
// cone that is to be quiet. What stands in the duct moves with the cone, and moves both.
func (b *builder) sized(shape duct.Shape, asked float64, making duct.Making) (duct.Shape, error) {
	l := &b.Spec.Line
	tuned := func() (err error) {
		if asked > 0 {
			if err := b.lengthOf(asked, making); err != nil {
				return err
			}
			if shape, err = l.Run.Shape(); err != nil {
				return ductFault(err, "duct")
			}
		}
		l.Run.Length = shape.Length()
		return nil
	}
	quiet := l.Quiet
	if quiet {
		l.Driver = 0
	}
	if err := tuned(); err != nil {
		return shape, err
	}
	if quiet {
		place, err := settle(shape.Length(), func(at float64) (float64, error) {
			l.Driver = at
			if err := tuned(); err != nil {
				return 0, err
			}
			if err := fillPlaces(l.Fills, l.Run.Length); err != nil {
				return 0, err
			}
			return b.quiet(l.Run.Length, making)
		})
		if err != nil {
			return shape, err
		}
		l.Driver = place
		if err := tuned(); err != nil {
			return shape, err
		}
	}
	l.Run.Tuning, l.Quiet = 0, false
	return shape, nil
}

// A function that settle is asked about may leap over its own place, where what stands in
// the duct comes to lie otherwise, or the duct is cut otherwise. A leap of quietEnough of
// the length is let be: a cone so far from its quiet place excites the three-quarter wave
// by a hundredth (3π/2 · 0.002) of what one at the closed end does.
const (
	mostHalves  = 60
	quietEnough = 0.002
)

// settle finds the place of a cone that is what a function makes of it, between 0 and a
// length, by secants, and by halves of what is left where these leave it.
func settle(length float64, of func(at float64) (float64, error)) (float64, error) {
	lo, hi := 0.0, length
	at, before, missed := length/3, 0.0, 0.0
	for round := range mostHalves {
		next, err := of(at)
		if err != nil {
			return 0, err
		}
		miss := next - at
		switch {
		case math.Abs(miss) < 1e-7*length:
			return next, nil
		case hi-lo < 1e-9*length && math.Abs(miss) < quietEnough*length:
			return at, nil
		}
		if miss > 0 {
			lo = at
		} else {
			hi = at
		}
		if round > 0 && miss != missed {
			next = at - miss*(at-before)/(miss-missed)
		}
		if round%3 == 2 || !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		at, before, missed = next, at, miss
	}
	return 0, fault("driver_at", "give a place, such as "+metres(length/3)+", or write bodies: left_out in duct", "no place of the cone is its own quiet one: what stands in the duct moves with it, and a cone at %s has its quiet place %s from there", metres(at), metres(math.Abs(missed)))
}

// lengthOf finds the length at which the duct’s quarter wave is the tuning that is asked
// for, with its mouth’s load, its fill and what stands in it.
func (b *builder) lengthOf(tuning float64, making duct.Making) error {
	l := &b.Spec.Line
	if b.Spec.Kind != TransmissionLine && b.Spec.Kind != TappedWaveguide {
		return fault("duct.tuning", "give its length", "a horn has a cut-off and no quarter wave that it is tuned to")
	}
	quarter := func(length float64) (float64, error) {
		run := l.Run
		run.Length = length
		shape, err := run.tried()
		if err != nil {
			return 0, ductFault(err, "duct")
		}
		// A cone beyond the mouth counts as one at the mouth: left out, the quarter wave would
		// jump where the duct becomes long enough to hold it.
		if shape, _, err = b.narrowed(shape); err != nil {
			return 0, err
		}
		m := making
		m.Fills = nil
		for _, f := range making.Fills {
			if f.To > length {
				f.To = length
			}
			if f.From < length*(1-1e-9) {
				m.Fills = append(m.Fills, f)
			}
		}
		whole, err := duct.New(shape, m)
		if err != nil {
			return 0, ductFault(err, "duct")
		}
		return b.quarterOf(whole, length), nil
	}
	// A quarter wave of plain air would be c/4f long; fill makes it shorter, and so does a
	// duct that narrows, which may be a small part of that.
	straight := b.Setting.Air.C / (4 * tuning)
	lo, hi := straight/resonanceMost, straight*resonanceMost/4
	above, err := quarter(lo)
	if err != nil {
		return err
	}
	below, err := quarter(hi)
	if err != nil {
		return err
	}
	if !(above > tuning) || !(below < tuning && below > 0) {
		return fault("duct.tuning", "give its length", "no length from %s to %s tunes this duct to %s", metres(lo), metres(hi), hz(tuning))
	}
	for range 44 { // to the twelfth digit
		mid := math.Sqrt(lo * hi)
		f, err := quarter(mid)
		if err != nil {
			return err
		}
		if f > tuning || f == 0 {
			lo, above = mid, f
		} else {
			hi, below = mid, f
		}
	}
	// What stands in the duct ends it, or a bit of the duct is left behind it, in which the
	// air flows apart again: there the quarter wave leaps.
	if above-below > 1e-6*tuning {
		return fault("duct.tuning", "give its length, or put what stands near its mouth elsewhere", "no length tunes this duct to %s: at %s, where what stands in it comes to its mouth, the quarter wave goes from %s to %s", hz(tuning), metres(hi), phys.ShowApart(above, below, phys.Frequency, phys.Metric), phys.ShowApart(below, above, phys.Frequency, phys.Metric))
	}
	l.Run.Length = (lo + hi) / 2
	return nil
}

// quarterOf is the first resonance of a closed duct with the mouth’s load.
func (b *builder) quarterOf(whole *duct.Duct, length float64) float64 {
	unit := b.Setting.Air.C / (4 * length)
	return firstCrossing(b.lag(whole), unit/resonanceSteps, unit*resonanceMost, unit/resonanceSteps)
}

// lag is the real part of U into the start over U out of the mouth, D + C·Z.
func (b *builder) lag(whole *duct.Duct) func(float64) float64 {
	return func(hz float64) float64 {
		w := 2 * math.Pi * hz
		c := whole.Chain(w)
		return real(c.D + c.C*b.line.load.At(w))
	}
}

// quiet is the place that excites the three-quarter wave through losses alone, with what
// stands in the duct where it stands.
func (b *builder) quiet(length float64, making duct.Making) (float64, error) {
	l := &b.Spec.Line
	course, err := l.Run.Course()
	if err != nil {
		return 0, ductFault(err, "duct")
	}
	shape, _, err := b.narrowed(course)
	if err != nil {
		return 0, err
	}
	whole, err := duct.New(shape, making)
	if err != nil {
		return 0, ductFault(err, "duct")
	}
	unit := b.Setting.Air.C / (4 * length)
	three := 0.0
	if q := b.quarterOf(whole, length); q > 0 {
		three = firstCrossing(b.lag(whole), q*1.01, unit*resonanceMost, unit/resonanceSteps)
	}
	f := &LineFacts{Length: length, shape: shape, making: making}
	place := f.Quiet(three)
	if place == 0 {
		return 0, fault("driver_at", "give a place, such as "+metres(length/3), "no place was found at which the cone does not excite the three-quarter wave of this duct")
	}
	return place, nil
}
