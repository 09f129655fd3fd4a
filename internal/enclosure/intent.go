package enclosure

import (
	"errors"
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/network"
)

// sizeSealed finds the volume of a sealed box from the total Q asked for.
func (b *builder) sizeSealed() error {
	c := &b.Spec.Rear
	if c.Volume > 0 {
		b.closedReference(c)
		return nil
	}
	if !(c.SystemQ > 0) {
		return fault("volume", "give volume or system_q", "neither a volume nor a total Q is given")
	}
	one, err := b.equivalent("system_q", "give a volume", "a total Q")
	if err != nil {
		return err
	}
	q := func(volume float64) (float64, error) {
		_, q, err := b.closedBox(one, volume)
		return q, err
	}
	const smallest, largest = 1e-5, 1e3 // m³
	low, err := q(largest)
	if err != nil {
		return err
	}
	if c.SystemQ <= low {
		return fault("system_q", fmt.Sprintf("ask for more than %.3g, or take a stronger motor", low), "no box is large enough: this group has a total Q of %.3g even without one", low)
	}
	high, err := q(smallest)
	if err != nil {
		return err
	}
	if c.SystemQ >= high {
		return fault("system_q", "ask for less", "a total Q of %.3g needs a box of less than %s", c.SystemQ, litres(smallest))
	}
	lo, hi := math.Log(smallest), math.Log(largest)
	for range 52 { // to the last bit of the volume
		mid := (lo + hi) / 2
		v, err := q(math.Exp(mid))
		if err != nil {
			return err
		}
		if v > c.SystemQ {
			lo = mid
		} else {
			hi = mid
		}
	}
	c.Volume = math.Exp((lo + hi) / 2)
	b.closedReference(c)
	return nil
}

// equivalent is the single driver that the group acts as, for an intent that
// speaks of one; the fault names the key of the intent.
func (b *builder) equivalent(key, mend, intent string) (driver.Composite, error) {
	c, err := b.Group.Composite()
	var none *driver.CompositeError
	if errors.As(err, &none) {
		return c, fault(key, mend, "%s needs a group that acts as a single driver, and this one does not: %s", intent, none.Reason)
	}
	return c, err
}

// closedBox measures the resonance and total Q of the group, which acts as the
// single driver c, on a closed chamber, on its network with rigid coupling and without inductance or creep:
// where the cones move in phase with the voltage the box is in resonance, and
// the force per speed there is all of the losses. The chamber has the losses
// of the rear chamber.
func (b *builder) closedBox(c driver.Composite, volume float64) (fc, q float64, err error) {
	set := b.Setting
	set.FullRadiation, set.Unreduced = false, false
	set.Source, set.Parts = set.wire(), nil
	probe := &builder{System: &System{Net: network.New(), Setting: set, Group: plain(b.Group)}, rigid: b.rigid}
	probe.Spec = Spec{Kind: Sealed, Rear: Chamber{Volume: volume, Losses: b.Spec.Rear.Losses, Fill: b.Spec.Rear.Fill}}
	probe.closedReference(&probe.Spec.Rear)
	probe.recipe()
	if err := probe.group(); err != nil {
		return 0, 0, err
	}
	p, err := probe.Net.Compile()
	if err != nil {
		return 0, 0, err
	}
	s := p.NewSolver()
	cone := probe.Cones[0].Node
	outward := complex(float64(b.Group.Positions[0][0].Direction()), 0) // −1: the whole group is wired to move inward
	velocity := func(f float64) (complex128, error) {
		err := s.Solve(2 * math.Pi * f)
		return outward * s.Potential(cone), err
	}
	f0 := b.closedResonance(volume)
	lo, hi := f0/4, f0*4
	for range 52 { // to the last bit of fc
		mid := math.Sqrt(lo * hi)
		v, err := velocity(mid)
		if err != nil {
			return 0, 0, err
		}
		if imag(v) > 0 { // below resonance the cone leads
			lo = mid
		} else {
			hi = mid
		}
	}
	fc = math.Sqrt(lo * hi)
	v, err := velocity(fc)
	if err != nil {
		return 0, 0, err
	}
	force := c.Bl / (c.Re + b.SizingSource()) // N at the composite's cone for 1 V, cone held
	return fc, 2 * math.Pi * fc * c.Mms * real(v) / force, nil
}

// plain is the group with rigid coupling, no inductance and no creep.
func plain(g *driver.Group) *driver.Group {
	out := *g
	out.Coupling = nil
	made := map[*driver.Driver]*driver.Driver{}
	out.Positions = make([][]driver.Member, len(g.Positions))
	for p, stack := range g.Positions {
		for _, m := range stack {
			if made[m.Driver] == nil {
				d := *m.Driver
				d.Coil, d.Creep = driver.VoiceCoil{}, driver.Creep{}
				made[m.Driver] = &d
			}
			m.Driver = made[m.Driver]
			out.Positions[p] = append(out.Positions[p], m)
		}
	}
	return &out
}

// reference notes the resonance and total Q of the closed rear chamber, where
// there is one and the group has an equivalent driver.
func (b *builder) reference() error {
	if b.Spec.Kind != Sealed && b.Spec.Kind != Bandpass {
		return nil
	}
	c, err := b.Group.Composite()
	if err != nil {
		return nil // told by its absence: such a group has no total Q
	}
	b.Facts.SealedFc, b.Facts.SealedQtc, err = b.closedBox(c, b.Spec.Rear.Volume)
	return err
}
