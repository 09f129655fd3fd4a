package variant

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// scaleBox makes the box's volumes k times as large and its openings as large
// in area as the radiating area has become. Tunings stay. What the box takes
// from an intent (a total Q, an alignment) follows by itself.
func (d *draft) scaleBox(k, area float64) {
	s := &d.box
	for _, c := range d.chambers() {
		if c.Volume > 0 && k != 1 {
			c.Volume = d.quantity(c.key+"volume", c.Volume*k, phys.Volume)
		}
		if k != 1 {
			d.keepTuning(c)
		}
		d.scalePort(c, area)
	}
	if s.Kind.Distributed() {
		d.scaleLine(k)
	}
	if s.Kind != enclosure.PassiveRadiator || k == 1 && area == 1 {
		return
	}
	r := &s.Radiator
	if r.AddedMass > 0 && s.Rear.Tuning == 0 {
		r.AddedMass = 0
		d.remove("enclosure.radiator.added_mass")
		s.Rear.Tuning = d.quantity("enclosure.tuning", d.sys.Spec.Rear.Tuning, phys.Frequency)
	}
	if n := float64(max(r.Count, 1)) * area; n >= 1 && n == math.Trunc(n) && area != 1 && n <= mostAlike {
		r.Count = int(n)
		d.set("enclosure.radiator.count", fmt.Sprint(r.Count))
	}
}

// mostAlike is the most ports or radiators that a study may ask for.
const mostAlike = 64

// chamber is one of the draft's chambers with the key that leads to it.
type chamber struct {
	*enclosure.Chamber
	key  string             // "enclosure.front."
	made *enclosure.Chamber // before any change, with everything settled
}

// chambers are the draft's chambers.
func (d *draft) chambers() []chamber {
	s, made := &d.box, &d.sys.Spec
	switch s.Kind {
	case enclosure.InfiniteBaffle, enclosure.TransmissionLine, enclosure.TappedWaveguide, enclosure.Network:
		return nil
	case enclosure.FrontLoadedHorn, enclosure.BackLoadedHorn:
		return d.hornChambers()
	case enclosure.Bandpass, enclosure.BandpassParallel, enclosure.BandpassSeries:
		return []chamber{{&s.Rear, "enclosure.rear.", &made.Rear}, {&s.Front, "enclosure.front.", &made.Front}}
	}
	return []chamber{{&s.Rear, "enclosure.", &made.Rear}}
}

// keepTuning words a port by its tuning instead of its length, so that the
// length follows when the chamber changes.
func (d *draft) keepTuning(c chamber) {
	if c.Port.Shape == enclosure.NoPort || c.Port.Length == 0 {
		return
	}
	c.Port.Length = 0
	d.remove(c.key + "port.length")
	if c.Tuning == 0 {
		c.Tuning = d.quantity(c.key+"tuning", c.made.Tuning, phys.Frequency)
	}
}

// scalePort makes a chamber's ports k times as large in area: in number where
// that comes out even, else in size.
func (d *draft) scalePort(c chamber, k float64) {
	if c.Port.Shape == enclosure.NoPort || k == 1 {
		return
	}
	if n := float64(max(c.Port.Count, 1)) * k; n >= 1 && n == math.Trunc(n) && n <= mostAlike {
		c.Port.Count = int(n)
		d.set(c.key+"port.count", fmt.Sprint(c.Port.Count))
		return
	}
	d.resizePort(c, k)
}

// resizePort makes each port k times as large in area.
func (d *draft) resizePort(c chamber, k float64) {
	p := &c.Port
	switch p.Shape {
	case enclosure.Round:
		p.Diameter = d.quantity(c.key+"port.diameter", p.Diameter*math.Sqrt(k), phys.Length)
	case enclosure.Slot:
		p.Width = d.quantity(c.key+"port.width", p.Width*k, phys.Length)
	case enclosure.AreaOnly:
		p.Area = d.quantity(c.key+"port.area", p.Area*k, phys.Area)
	}
}

// dropPort leaves a chamber with a tuning that no port has been sized for.
func (d *draft) dropPort(c chamber) {
	if c.Port.Shape == enclosure.NoPort {
		return
	}
	c.Port = enclosure.Port{}
	d.remove(c.key + "port")
	if c.Tuning == 0 {
		c.Tuning = d.quantity(c.key+"tuning", c.made.Tuning, phys.Frequency)
	}
}

// fitPorts makes ports narrower where the box has become too small for them,
// and leaves them out where even narrow ones do not fit. The draft that comes
// back can be built; false if none can.
func (d draft) fitPorts() (draft, *enclosure.System, bool) {
	for _, k := range []float64{1, 0.5, 0.25, 0.125, 0} {
		e := d.fresh()
		for _, c := range e.chambers() {
			switch {
			case c.Port.Shape == enclosure.NoPort || k == 1:
			case k > 0:
				e.keepTuning(c)
				e.resizePort(c, k)
			case e.box.Alignment.Family == "":
				e.dropPort(c)
			}
		}
		if sys, ok := e.build(); ok {
			return e, sys, true
		}
	}
	return d, nil, false
}

// boxWords are the volumes of a box as they follow a group's words: ", in
// 28 L".
func boxWords(sys *enclosure.System, u phys.System) string {
	s := &sys.Spec
	show := func(v float64) string { return phys.Show(v, phys.Volume, u) }
	switch {
	case s.Kind == enclosure.InfiniteBaffle:
		return ""
	case s.Kind.Distributed():
		return lineWords(*s, u)
	case s.Net != nil:
		return ", in the same network of " + show(sys.Facts.NetVolume)
	case s.Front.Volume > 0:
		return fmt.Sprintf(", with %s behind and %s in front", show(s.Rear.Volume), show(s.Front.Volume))
	}
	return ", in " + show(s.Rear.Volume)
}

// roomWords are the box of a group that was mounted otherwise, as they follow its words:
// of a duct also how its section has changed, which is what a stack is for.
func roomWords(sys *enclosure.System, was *driver.Group, u phys.System) string {
	share := ""
	if sys.Spec.Kind.Distributed() {
		g := sys.Group
		switch k := float64(g.SideBySide()*was.Depth()) / float64(was.SideBySide()*g.Depth()); k {
		case 0.5:
			share = ", in half the section"
		case 2:
			share = ", in twice the section"
		}
	}
	return share + boxWords(sys, u)
}

// kindWords is a box in words: "vented, 38 L at 29 Hz".
func kindWords(sys *enclosure.System, u phys.System) string {
	s := &sys.Spec
	show := func(c enclosure.Chamber, tuned bool) string {
		w := phys.Show(c.Volume, phys.Volume, u)
		if tuned {
			w += " at " + phys.Show(c.Tuning, phys.Frequency, u)
		}
		return w
	}
	kind := study.KindWords(s.Kind)
	sixth := s.Kind == enclosure.BandpassParallel || s.Kind == enclosure.BandpassSeries
	switch s.Kind {
	case enclosure.InfiniteBaffle:
		return kind
	case enclosure.Network:
		kind += ", " + phys.Show(sys.Facts.NetVolume, phys.Volume, u)
		if p := s.Net.Voice(); p != nil {
			kind += " at " + phys.Show(p.Chamber.Tuning, phys.Frequency, u)
		}
		return kind
	case enclosure.TransmissionLine, enclosure.TappedWaveguide, enclosure.FrontLoadedHorn, enclosure.BackLoadedHorn:
		return kind + lineWords(*s, u)
	case enclosure.Bandpass, enclosure.BandpassParallel, enclosure.BandpassSeries:
		return kind + ", " + show(s.Rear, sixth) + " behind and " + show(s.Front, true) + " in front"
	}
	return kind + ", " + show(s.Rear, s.Kind != enclosure.Sealed)
}

// boxes are the enclosures of some kinds that the group may work in, each with a size to
// start from: those of chambers before those with a duct, and the candidate's own among
// them or behind them.
func (d draft) boxes(kinds []enclosure.Kind) []Variant {
	var chambers, ducts []Variant
	own := false
	for _, kind := range kinds {
		v, ok := d.ownBox(), true
		if kind == d.box.Kind {
			own = true
		} else if v, ok = d.begun(kind); !ok {
			continue
		}
		if kind.Distributed() {
			ducts = append(ducts, v)
		} else {
			chambers = append(chambers, v)
		}
	}
	out := append(chambers, ducts...)
	if !own {
		out = append(out, d.ownBox())
	}
	return out
}

// ownBox is the box that the candidate is in.
func (d draft) ownBox() Variant {
	return current("box-"+d.box.Kind.String(), Box, kindWords(d.sys, d.st.Units))
}

// begun is the group in a box of another kind, of a size to start from.
func (d draft) begun(kind enclosure.Kind) (Variant, bool) {
	e, why, ok := d.starts()[kind]()
	if !ok {
		return Variant{}, false
	}
	sys, ok := e.build()
	if !ok {
		return Variant{}, false
	}
	id, words := "box-"+kind.String(), kindWords(sys, d.st.Units)
	larger := ""
	if unfit := d.st.Unfit(sys); kind != enclosure.Network && unfit != "" {
		larger = "; " + unfit
	}
	if inOneClause(kind) {
		return e.variant(id, Box, strings.TrimSuffix(words+", "+why, ", ")+larger), true
	}
	v := e.variant(id, Box, words)
	v.Why = why + larger
	return v, true
}

// inOneClause says that how a kind was sized is told within its words: what is sized by
// an alignment takes no more.
func inOneClause(k enclosure.Kind) bool {
	switch k {
	case enclosure.InfiniteBaffle, enclosure.Sealed, enclosure.Vented, enclosure.PassiveRadiator, enclosure.Bandpass:
		return true
	}
	return false
}

// starts are where each kind of box begins, with how it was sized.
func (d draft) starts() map[enclosure.Kind]func() (draft, string, bool) {
	return map[enclosure.Kind]func() (draft, string, bool){
		enclosure.InfiniteBaffle: d.startBaffle, enclosure.Sealed: d.startSealed, enclosure.Vented: d.startVented,
		enclosure.PassiveRadiator: d.startRadiator, enclosure.Bandpass: d.startBandpass,
		enclosure.BandpassParallel: d.startParallel, enclosure.BandpassSeries: d.startSeries,
		enclosure.TransmissionLine: d.startLine, enclosure.TappedWaveguide: d.startTapped,
		enclosure.FrontLoadedHorn: d.startFrontHorn, enclosure.BackLoadedHorn: d.startBackHorn,
		enclosure.Network: d.startNetwork,
	}
}
