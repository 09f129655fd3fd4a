package variant

import (
	"fmt"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// The bandpass boxes of sixth order that are begun with: chambers in units of 2·Qts²·Vas,
// the front chamber of the fourth order, tuned to four fifths and to twice the resonance of
// the cone. Of the sizes and tunings tried on the woofers of the examples these leave the
// least ripple over some octave and a half, 2 dB to 4 dB.
const (
	sixthLow, sixthHigh = 0.8, 2.0
	parallelRear        = 2.0
)

func (d draft) startParallel() (draft, string, bool) {
	return d.startSixth(enclosure.BandpassParallel, parallelRear)
}

func (d draft) startSeries() (draft, string, bool) {
	return d.startSixth(enclosure.BandpassSeries, 1)
}

func (d draft) startSixth(kind enclosure.Kind, rear float64) (draft, string, bool) {
	front := d.frontChamber()
	fs := lead(d.sys.Group).Fs()
	low, high := d.ports(sixthLow*fs), d.ports(sixthHigh*fs)
	for i := range low {
		box := enclosure.Spec{Kind: kind}
		k := words{u: d.st.Units}
		e := d.fresh()
		k.word("rear", "{"+e.tunedChamber(&box.Rear, rear*front, sixthLow*fs, low[i])+"}")
		k.word("front", "{"+e.tunedChamber(&box.Front, front, sixthHigh*fs, high[i])+"}")
		e = d.boxed(box, k)
		if sys, ok := e.build(); ok && roomFor(sys) {
			return e, fmt.Sprintf("chambers of %s and 2 times Qts²·Vas, tuned to four fifths and to twice the cone’s resonance", phys.Digits(2*rear, 1)), true
		}
	}
	return d, "", false
}

// frontChamber is 2·Qts²·Vas of the group behind its source, m³: the front chamber of the
// symmetrical fourth-order box without ripple (Geddes 1989, for S = 1/√2). Of unlike
// drivers it is that of each by itself, added.
func (d draft) frontChamber() float64 {
	g := d.sys.Group
	c, err := g.Composite()
	if err != nil {
		sum := 0.0
		for _, stack := range g.Positions {
			one := stack[0].Driver
			sum += 2 * one.Qts() * one.Qts() * one.Vas(d.st.Air) / float64(len(stack))
		}
		return sum
	}
	qes := c.Qes() * (c.Re + d.sys.SizingSource()) / c.Re
	qts := qes * c.Qms() / (qes + c.Qms())
	return 2 * qts * qts * c.Vas(d.st.Air)
}
