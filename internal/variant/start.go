package variant

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// Where a kind of box begins: the model's own sizing by intent, written out
// as volumes and tunings, which can then be turned.

// totals are the total Q tried for a closed chamber: the flattest response
// first, then what a group of a weaker motor reaches.
var totals = []float64{math.Sqrt2 / 2, 0.8, 0.9, 1, 1.2, 1.5}

// largestStart is the largest chamber, in volumes of air as compliant as the
// suspension, that is worth beginning with: beyond it the box does nothing.
const largestStart = 4.0

// closed sizes a closed chamber by total Q.
func (d draft) closed() (*enclosure.System, bool) {
	for _, q := range totals {
		e := d.fresh()
		e.box = enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{SystemQ: q}}
		sys, ok := e.build()
		if !ok {
			continue
		}
		if c, err := sys.Group.Composite(); err != nil || sys.Spec.Rear.Volume <= largestStart*c.Vas(d.st.Air) {
			return sys, true
		}
	}
	return nil, false
}

// startBaffle is a wall that has no end.
func (d draft) startBaffle() (draft, string, bool) {
	e := d.fresh()
	e.box = enclosure.Spec{Kind: enclosure.InfiniteBaffle}
	e.set("enclosure", "{kind: infinite_baffle}")
	return e, "", true
}

// startSealed is a closed box with the total Q of the flattest response.
func (d draft) startSealed() (draft, string, bool) {
	sys, ok := d.closed()
	if !ok {
		return d, "", false
	}
	e := d.fresh()
	e.box = enclosure.Spec{Kind: enclosure.Sealed}
	text, volume := written(sys.Spec.Rear.Volume, phys.Volume, d.st.Units)
	e.box.Rear.Volume = volume
	e.set("enclosure", fmt.Sprintf("{kind: sealed, volume: %s}", text))
	why := ""
	if as, ok := e.build(); ok && as.Facts.SealedQtc > 0 { // of the volume as it is written
		why = "total Q " + phys.Digits(as.Facts.SealedQtc, 2)
	}
	return e, why, true
}

// aligned is a vented box sized by the alignment that the group's total Q
// allows.
func (d draft) aligned() (sys *enclosure.System, family string, ok bool) {
	for _, family := range []string{"b4", "qb3", "c4"} {
		e := d.fresh()
		e.box = enclosure.Spec{Kind: enclosure.Vented, Alignment: enclosure.Alignment{Family: family}}
		sys, ok := e.build()
		if !ok {
			continue
		}
		if c, err := sys.Group.Composite(); err == nil && sys.Spec.Rear.Volume <= largestStart*c.Vas(d.st.Air) {
			return sys, family, true
		}
	}
	return nil, "", false
}

// tuned is the volume and tuning that a tuned box begins with.
func (d draft) tuned() (volume, tuning float64, why string, ok bool) {
	if sys, family, ok := d.aligned(); ok {
		return sys.Spec.Rear.Volume, sys.Spec.Rear.Tuning, "the " + strings.ToUpper(family) + " alignment", true
	}
	// no alignment fits, as of a weak motor or of unlike members: the volume
	// that the candidate has, or a closed box's, at the resonance of the cone
	volume = d.sys.Facts.NetVolume
	if volume == 0 {
		sys, ok := d.closed()
		if !ok {
			return 0, 0, "", false
		}
		volume = sys.Facts.NetVolume
	}
	return volume, lead(d.sys.Group).Fs(), "tuned to the cone’s resonance", true
}

// startVented is a box by alignment with a port of the least area that Small
// asks for.
func (d draft) startVented() (draft, string, bool) {
	volume, tuning, why, ok := d.tuned()
	if !ok {
		return d, "", false
	}
	return d.vented(volume, tuning, why)
}

func (d draft) vented(volume, tuning float64, why string) (draft, string, bool) {
	for _, port := range d.ports(tuning) {
		e := d.fresh()
		e.box = enclosure.Spec{Kind: enclosure.Vented}
		e.set("enclosure", "{kind: vented, "+e.tunedChamber(&e.box.Rear, volume, tuning, port)+"}")
		if sys, ok := e.build(); ok && roomFor(sys) {
			return e, why, true
		}
	}
	return d, "", false
}

// tunedChamber words a chamber with its tuning and a round port; a diameter
// of 0 leaves the port open.
func (d *draft) tunedChamber(c *enclosure.Chamber, volume, tuning, diameter float64) string {
	v, volume := written(volume, phys.Volume, d.st.Units)
	f, tuning := written(tuning, phys.Frequency, d.st.Units)
	*c = enclosure.Chamber{Volume: volume, Tuning: tuning}
	words := "volume: " + v + ", tuning: " + f
	if diameter > 0 {
		text, diameter := written(diameter, phys.Length, d.st.Units)
		c.Port = enclosure.Port{Shape: enclosure.Round, Diameter: diameter, Count: 1}
		words += ", port: {diameter: " + text + "}"
	}
	return words
}

// ports are the diameters to try for a port of that tuning, the widest first,
// then none. The widest is the least that Small asks for, S ≥ 0.8·fb·Sd·xmax
// (Small 1973, vented-box systems, part II; remembered, not looked up); one
// that would be too long for the box is made narrower.
func (d draft) ports(tuning float64) []float64 {
	g := d.sys.Group
	if built, ok := d.built(); ok {
		g = built
	}
	displaced := 0.0
	for _, stack := range g.Positions {
		displaced += stack[0].Driver.VolumeDisplacement()
	}
	var out []float64
	if displaced > 0 {
		widest := 2 * math.Sqrt(0.8*tuning*displaced/math.Pi)
		for _, k := range []float64{1, 0.85, 0.7, 0.6, 0.5, 0.35, 0.25} {
			out = append(out, roundSize(k*widest, d.st.Units))
		}
	}
	return append(out, 0)
}

// roundSize is a length as tubes are sold: in whole millimetres, or
// twentieths of an inch.
func roundSize(v float64, u phys.System) float64 {
	unit, step := phys.Length.Unit(u), 1.0
	if u == phys.Imperial {
		step = 0.05
	}
	return max(math.Round(unit.Of(v)/step), 1) * step * unit.Factor
}

// fullestPort is the share of its chamber that a port to begin with may take.
const fullestPort = 0.2

func roomFor(s *enclosure.System) bool {
	for _, p := range s.Facts.Ports {
		volume := s.Spec.PortChamber(&p).Volume
		if p.Volume > fullestPort*volume {
			return false
		}
	}
	return true
}

// startRadiator is the vented box's volume and tuning with two radiators for
// each position, made of the driver's own cone and suspension: twice the area,
// for radiators have to move more air than the cone.
func (d draft) startRadiator() (draft, string, bool) {
	volume, tuning, _, ok := d.tuned()
	if !ok {
		return d, "", false
	}
	return d.radiators(volume, tuning)
}

func (d draft) radiators(volume, tuning float64) (draft, string, bool) {
	e := d.fresh()
	one := lead(d.sys.Group)
	e.box = enclosure.Spec{Kind: enclosure.PassiveRadiator}
	chamber := e.tunedChamber(&e.box.Rear, volume, tuning, 0)
	r := &e.box.Radiator
	r.Count = min(2*d.sys.Group.SideBySide(), mostAlike)
	var sd, mms, cms string
	sd, r.Sd = written(one.Sd, phys.Area, d.st.Units)
	mms, r.Mms = written(one.Mms, phys.Mass, d.st.Units)
	cms, r.Cms = written(one.Cms, phys.Compliance, d.st.Units)
	qms, loss := written(one.Qms(), phys.Number, d.st.Units)
	r.Qms = loss
	e.set("enclosure", fmt.Sprintf("{kind: passive_radiator, %s, radiator: {sd: %s, mms: %s, cms: %s, qms: %s, count: %d}}",
		chamber, sd, mms, cms, qms, r.Count))
	_, ok := e.build()
	return e, "each radiator the driver’s cone without its motor", ok
}

// startBandpass is the symmetrical fourth-order box without ripple: a rear
// chamber by total Q, the front one tuned to its resonance, with the volume
// 2·Qts²·Vas (Geddes 1989, for S = 1/√2).
func (d draft) startBandpass() (draft, string, bool) {
	rear, ok := d.closed()
	if !ok || rear.Facts.SealedFc == 0 {
		return d, "", false
	}
	front := d.frontChamber()
	tuning := rear.Facts.SealedFc
	for _, port := range d.ports(tuning) {
		e := d.fresh()
		e.box = enclosure.Spec{Kind: enclosure.Bandpass}
		text, volume := written(rear.Spec.Rear.Volume, phys.Volume, d.st.Units)
		e.box.Rear.Volume = volume
		e.set("enclosure", fmt.Sprintf("{kind: bandpass, rear: {volume: %s}, front: {%s}}", text, e.tunedChamber(&e.box.Front, front, tuning, port)))
		if sys, ok := e.build(); ok && roomFor(sys) {
			return e, "tuned to the rear chamber’s resonance", true
		}
	}
	return d, "", false
}
