package study

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// extent is what a seat takes along the axis, m.
func extent(s Seat) (from, to float64) {
	return math.Min(s.Front(), s.Back()), math.Max(s.Front(), s.Back())
}

// Nothing of a stack touches its neighbour, whichever way its drivers look,
// and all of it lies within what the row says it takes. Between two cones that
// face each other is a ring, and a tube holds at least the coupling air.
func TestNothingInAStackTouches(t *testing.T) {
	d := merlin(t)
	own, _ := driver.BodyVolume(d)
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 5).Draw(rt, "drivers")
		var stack []driver.Member
		var air []driver.Coupling
		for k := range n {
			f := driver.Front
			if n > 1 && rapid.Bool().Draw(rt, "turned") {
				f = driver.Rear
			}
			stack = append(stack, driver.Member{Driver: d, Facing: f, Polarity: int(f)})
			if k > 0 {
				air = append(air, driver.Coupling{Volume: rapid.Float64Range(0, 0.03).Draw(rt, "coupling")})
			}
		}
		r := driver.LayRow(stack, air, 0.018, rapid.Float64Range(0.25, 0.35).Draw(rt, "height"))
		last := math.Inf(-1)
		for k, s := range r.Seats {
			from, to := extent(s)
			if to > r.Reach+1e-12 || from < -r.Ahead-1e-12 {
				rt.Fatalf("driver %d lies from %.4f to %.4f, the row from %.4f to %.4f", k, from, to, -r.Ahead, r.Reach)
			}
			ring := k > 0 && stack[k-1].Facing == driver.Rear && s.Facing == driver.Front
			least := driver.Apart
			if ring {
				least = driver.LeastRing
			}
			if k > 0 && from-last < least-1e-12 {
				rt.Fatalf("driver %d begins at %.4f, the one before it ends at %.4f", k, from, last)
			}
			if (k+1 < n && s.Facing == driver.Rear && stack[k+1].Facing == driver.Front) != (s.Ring >= driver.LeastRing) {
				rt.Fatalf("driver %d of %v has a ring of %g", k, stack, s.Ring)
			}
			last = to
			if !s.Tube {
				continue
			}
			near, far := s.Shelf()
			length, before, behind := near-s.From, own, 0.0
			if s.Facing == driver.Front {
				behind = driver.Hollow(d)
			} else {
				behind = -own
			}
			if stack[k-1].Facing == driver.Rear {
				before = -driver.Hollow(d)
			}
			if held := length*r.Tube*r.High - before + behind; held < air[k-1].Volume-1e-9 {
				rt.Fatalf("the tube before driver %d holds %.5f m³ of %.5f", k, held, air[k-1].Volume)
			}
			if far < near || length < 0 {
				rt.Fatalf("shelf from %g to %g behind a tube that begins at %g", near, far, s.From)
			}
		}
	})
}

// kinds are the boxes that the properties below are tried with.
func kinds(rt *rapid.T) enclosure.Spec {
	v := rapid.Float64Range(0.01, 0.12)
	port := func() enclosure.Port {
		if rapid.Bool().Draw(rt, "slot") {
			return enclosure.Port{Shape: enclosure.Slot, Width: 0.2, Height: 0.02, Length: 0.25}
		}
		return enclosure.Port{Shape: enclosure.Round, Diameter: 0.05, Length: 0.15, Count: rapid.IntRange(1, 3).Draw(rt, "ports")}
	}
	rear, front := enclosure.Chamber{Volume: v.Draw(rt, "rear")}, enclosure.Chamber{Volume: v.Draw(rt, "front")}
	k := enclosure.Kind(rapid.IntRange(int(enclosure.Sealed), int(enclosure.BandpassSeries)).Draw(rt, "kind"))
	s := enclosure.Spec{Kind: k, Rear: rear}
	switch k {
	case enclosure.Vented:
		s.Rear.Port = port()
	case enclosure.PassiveRadiator:
		s.Radiator = enclosure.Radiator{Sd: 0.0215, Mms: 0.15, Cms: 0.5e-3, Qms: 8, Count: rapid.IntRange(1, 4).Draw(rt, "radiators")}
	case enclosure.Bandpass, enclosure.BandpassParallel, enclosure.BandpassSeries:
		front.Port = port()
		s.Front = front
		if k != enclosure.Bandpass {
			s.Rear.Port = port()
		}
	}
	return s
}

// group is a group of merlins, of any arrangement.
func someGroup(rt *rapid.T) driver.GroupSpec {
	s := driver.GroupSpec{SideBySide: rapid.IntRange(1, 3).Draw(rt, "side by side"), Stack: rapid.IntRange(1, 3).Draw(rt, "stack")}
	switch s.Stack {
	case 2:
		s.Arrangement = rapid.SampledFrom([]driver.Arrangement{driver.Tandem, driver.Clamshell, driver.BackToBack}).Draw(rt, "arrangement")
	case 3:
		s.Arrangement = driver.Tandem
	}
	if s.Stack > 1 {
		s.Coupling, s.AllGaps = []driver.Coupling{{Volume: rapid.Float64Range(1e-3, 12e-3).Draw(rt, "coupling")}}, true
	}
	return s
}

// For every kind: the outside less the boards is what stands in the box, to
// 1e-9 m³; each chamber has its volume and its drivers their depth; the lanes
// lie side by side in it.
func TestEveryBoxHoldsWhatStandsInIt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		spec := kinds(rt)
		var space *Space
		if rapid.Bool().Draw(rt, "space") {
			space = &Space{Width: 0.9, Height: rapid.Float64Range(0.25, 0.6).Draw(rt, "height"), Depth: rapid.Float64Range(0.25, 0.8).Draw(rt, "depth"), Panel: 0.015}
		}
		b, sys := bodyOf(t, space, someGroup(rt), spec)
		w, h, d := b.Width-2*b.Panel, b.Height-2*b.Panel, b.Depth-2*b.Panel
		want := b.Boards + b.Spare + sys.Facts.NetVolume
		for _, p := range sys.Facts.Ports {
			want += p.Volume
		}
		for i, r := range b.Rows {
			bodies := len(r.Seats)
			if r.Ahead > 0 && b.Divider == 0 { // one stands before the box, and the air between the cones with it
				bodies--
			}
			own, _ := driver.BodyVolume(b.Group.Positions[i][0].Driver)
			want += float64(bodies) * own
		}
		if b.Rows[0].Ahead == 0 || b.Divider > 0 {
			want += sys.Facts.CouplingVolume
		}
		if got := w * h * d; math.Abs(got-want) > 1e-9 || b.Spare < -1e-9 {
			rt.Fatalf("%v: the box holds %.9g m³, what stands in it takes %.9g m³, spare %.3g", spec.Kind, got, want, b.Spare)
		}
		holds(rt, b, w, h)
	})
}

// holds checks depths and lanes.
func holds(rt *rapid.T, b Body, w, h float64) {
	behind := b.Depth - 2*b.Panel
	if b.Divider > 0 {
		behind -= b.Divider
		if room := (b.Divider - b.Panel) * w * h; room < b.Spec.Front.Volume-1e-9 {
			rt.Fatalf("the front chamber holds %.5f m³ of %.5f", room, b.Spec.Front.Volume)
		}
		if room := behind * w * h; room < b.Spec.Rear.Volume-1e-9 {
			rt.Fatalf("the rear chamber holds %.5f m³ of %.5f", room, b.Spec.Rear.Volume)
		}
	}
	for _, r := range b.Rows {
		if r.Least > h+1e-9 {
			rt.Fatalf("a tube %.3f m high, %.3f m outside, stands in a box of %.3f m", r.High, r.Least, h)
		}
		if r.Reach-b.Panel > behind-breath+1e-9 {
			rt.Fatalf("drivers reach %.3f m into %.3f m", r.Reach-b.Panel, behind)
		}
		if b.Divider > 0 && r.Ahead > b.Divider-b.Panel-breath+1e-9 {
			rt.Fatalf("drivers stand out %.3f m into %.3f m", r.Ahead, b.Divider-b.Panel)
		}
	}
	at := b.Panel
	for _, l := range b.Lanes {
		if l.Centre-l.Width/2 < at-1e-9 {
			rt.Fatalf("a lane begins at %.4f, the one before it ends at %.4f", l.Centre-l.Width/2, at)
		}
		at = l.Centre + l.Width/2
	}
	if at > b.Width-b.Panel+1e-9 {
		rt.Fatalf("the lanes end at %.4f m in a box of %.4f m", at, b.Width)
	}
}

// In a space, more net air never makes a smaller box, and never makes one fit
// that did not. (Without one the proportions change with the size.)
func TestMoreAirMakesNoSmallerBox(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		gs := someGroup(rt)
		spec := kinds(rt)
		space := &Space{Width: 0.7, Height: rapid.Float64Range(0.25, 0.6).Draw(rt, "height"), Depth: 0.4, Panel: 0.018}
		a, _ := bodyOf(t, space, gs, spec)
		spec.Rear.Volume *= 1.3
		b, _ := bodyOf(t, space, gs, spec)
		if va, vb := a.Width*a.Height*a.Depth, b.Width*b.Height*b.Depth; vb < va*(1-1e-9) {
			rt.Fatalf("%v: %.5f m³ outside became %.5f", spec.Kind, va, vb)
		}
		if !a.Fits && b.Fits {
			rt.Fatalf("%v: %s, but with more air it fits", spec.Kind, a.Why)
		}
	})
}
