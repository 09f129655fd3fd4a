package enclosure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"basswright/internal/driver"
	"basswright/internal/network"
)

// group adds the drivers. Where all positions are alike, one stands for all:
// its moving parts, faces and coupling air count as often as there are
// positions, and its coils are scaled so that the group's voltage and current
// are right. With m positions of which q are in series, the group has V = q·v
// and I = (m/q)·i; a motor of Bl·q and blocked impedance times q²/m on a mass
// times m is that group.
func (b *builder) group() error {
	b.Net.AddSource("source")
	begin := make([]network.Node, b.Group.ChannelCount())
	for k := range begin {
		begin[k] = b.channel(k)
	}
	sym, ok := b.symmetry()
	if ok && !b.Setting.Unreduced {
		m, q := float64(b.Group.SideBySide()), float64(sym.PositionsInSeries)
		motors, err := b.position(0, m, q, q*q/m)
		if err != nil {
			return err
		}
		for i, s := range sym.Strings {
			b.string(fmt.Sprintf("coils %d", i+1), 0, begin[0], s, motors, q*q/m)
		}
		b.coils(sym.Strings, 1/sym.CurrentFactor)
		b.sortPushes()
		return nil
	}
	var motors []network.Motor
	for p := range b.Group.Positions {
		ms, err := b.position(p, 1, 1, 1)
		if err != nil {
			return err
		}
		motors = append(motors, ms...)
	}
	strings := b.Group.Strings()
	for k, at := range begin {
		for _, s := range b.Group.ChannelStrings(k) {
			b.string(fmt.Sprintf("coils %d", len(b.strings)+1), k, at, s, motors, 1)
		}
	}
	b.coils(strings, 1)
	b.sortPushes()
	return nil
}

// coneName is a driver's place in the study.
func (b *builder) coneName(p, k int) string {
	if b.Group.Count() == 1 {
		return "driver"
	}
	return fmt.Sprintf("driver.%d.%d", p+1, k+1)
}

// position adds the stack at one position, counted m times, and returns its
// motors from the listener inward.
func (b *builder) position(p int, m, bl, blocked float64) ([]network.Motor, error) {
	stack := b.Group.Positions[p]
	rigid := len(b.Group.Coupling) == 0
	motors := make([]network.Motor, len(stack))
	var node network.Node
	for k, mem := range stack {
		name, ratio := b.coneName(p, k), 1.0
		if k == 0 || !rigid {
			node = b.Net.AddNode(network.Mechanical, name+" cone")
		} else {
			ratio = stack[0].Driver.Sd / mem.Driver.Sd // rigid air between unlike cones: equal volume velocities
		}
		if err := b.suspension(name, mem.Driver, node, m*ratio*ratio, b.gapMass(mem.Driver.Sd, k)+b.faceMass(p, k, len(stack), mem.Driver), b.faceLoads(p, k, len(stack))-b.heardFaces(p, k, len(stack))); err != nil {
			return nil, err
		}
		value, law := coilImpedance(mem.Driver.Coil, blocked)
		motors[k] = b.Net.AddMotor(network.MotorData{Name: name + " motor", Mech: node, Bl: mem.Driver.Bl * bl * ratio, Value: value, Law: law})
		b.closed = append(b.closed, b.undriven(name, mem.Driver, motors[k], blocked))
		cones := b.addCones(p, k, mem.Driver, node, ratio)
		b.Motors = append(b.Motors, Motor{
			ID: motors[k], Driver: mem.Driver, Facing: mem.Facing, Cones: cones, Node: node, Ratio: ratio,
			Current: bl / m, Voltage: bl, Times: m,
		})
	}
	b.faces(p, stack, rigid, m)
	return motors, nil
}

// addCones records the driver, and its twins at the positions it stands for,
// and says which cones they are.
func (b *builder) addCones(p, k int, d *driver.Driver, node network.Node, ratio float64) []int {
	want := b.Group.Count()
	if len(b.Cones) == 0 {
		b.Cones = make([]Cone, want)
	}
	depth := b.Group.Depth()
	positions := []int{p}
	if _, ok := b.symmetry(); ok && !b.Setting.Unreduced {
		positions = positions[:0]
		for q := range b.Group.Positions {
			positions = append(positions, q)
		}
	}
	var cones []int
	for _, q := range positions {
		b.Cones[q*depth+k] = Cone{Name: b.coneName(q, k), Position: q, Depth: k, Sd: d.Sd, Xmax: b.Group.Positions[q][k].Driver.Data.Xmax, Node: node, Ratio: ratio}
		cones = append(cones, q*depth+k)
	}
	return cones
}

// suspension adds a driver's moving parts, counted times, with the given extra
// air mass and radiation loads on the faces that look outside.
func (b *builder) suspension(name string, d *driver.Driver, node network.Node, times, extra float64, loads int) error {
	y := network.Triple{G: d.Rms, C: d.Mms + extra, L: 1 / d.Cms}
	var law network.Law
	if d.Creep.Lambda != 0 {
		rms, err := d.CreepRms()
		if err != nil {
			return err
		}
		y.G, y.L = rms, 0
		law = network.Scaled{Law: network.Creep{Cms: d.Cms, Lambda: d.Creep.Lambda, Ws: 2 * math.Pi * d.Fs(), Real: d.Creep.Real}, By: times}
	}
	if d.Mms+extra <= 0 {
		return fault("group", "give the driver’s mms with its air load, or use model: {radiation: classical}", "%s: the moving mass of %s is less than the air load that full radiation takes out of it", name, d.Name)
	}
	y = network.Triple{G: y.G * times, C: y.C * times, L: y.L * times}
	b.Net.AddAdmittance(name+" suspension", node, network.Frame, y, law)
	if loads > 0 {
		b.Net.AddAdmittance(name+" air load", node, network.Frame, network.Triple{}, b.coneLoad(d.Sd, float64(loads)*times))
	}
	return nil
}

// faceLoads counts the faces of the cone at depth k of a position that look outside.
func (b *builder) faceLoads(p, k, depth int) int {
	if !b.Setting.FullRadiation {
		return 0
	}
	n, at := 0, b.looks(p)
	if k == 0 && at.front.node == network.Outside {
		n++
	}
	if k == depth-1 && at.rear.node == network.Outside {
		n++
	}
	return n
}

// faceMass takes the free-air load of the faces that carry a load of their own
// out of the moving mass.
func (b *builder) faceMass(p, k, depth int, d *driver.Driver) float64 {
	return -float64(b.faceLoads(p, k, depth)) * b.heldMass(d.Sd)
}

// gapMass is the mass of coupling air that moves with a cone: half of the air
// in the gap on either side of it. Air of length l and volume V moves with
// speed Sd·v·l/V, so a cone carries (ρV/2)·(Sd·l/V)².
func (b *builder) gapMass(sd float64, k int) float64 {
	var kg float64
	for _, gap := range []int{k - 1, k} {
		if gap >= 0 && gap < len(b.Group.Coupling) {
			kg += b.airMass(b.Group.Coupling[gap], sd) / 2
		}
	}
	return kg
}

func (b *builder) airMass(c driver.Coupling, sd float64) float64 {
	if c.Length == 0 || c.Volume == 0 {
		return 0
	}
	r := sd * c.Length / c.Volume
	return b.Setting.Air.Rho * c.Volume * r * r
}

// faces joins the cones of a stack to the air in front, between and behind.
func (b *builder) faces(p int, stack []driver.Member, rigid bool, m float64) {
	depth := len(stack)
	cone := func(k int) Cone { return b.Cones[p*b.Group.Depth()+k] }
	at := b.looks(p)
	radiates := func(k int, id network.ElementID) {
		front, rear := k == 0 && at.front.heard, k == depth-1 && at.rear.heard
		if front {
			b.radiating = append(b.radiating, Radiating{cone(k).Name, id, 1, nil})
		}
		if rear {
			b.radiating = append(b.radiating, Radiating{cone(k).Name + " rear", id, -1, nil})
		}
	}
	outer, inner := at.front.node, at.rear.node
	if b.listens(at.front) {
		outer = b.heardFace(p, b.coneName(p, 0), stack[0].Driver.Sd, !at.front.heard)
	}
	if b.listens(at.rear) {
		inner = b.heardFace(p, b.coneName(p, depth-1)+" rear", stack[depth-1].Driver.Sd, !at.rear.heard)
	}
	if rigid {
		id := b.Net.AddPiston(cone(0).Name+" face", cone(0).Node, m*stack[0].Driver.Sd, outer, inner)
		for k := range depth {
			b.Facts.CouplingMass = appendGap(b.Facts.CouplingMass, p, k, depth, math.NaN())
		}
		radiates(0, id)
		return
	}
	from := outer
	for k := range depth {
		to := inner
		if k < depth-1 {
			c := b.Group.Coupling[k]
			name := fmt.Sprintf("coupling.%d.%d", p+1, k+1)
			to = b.Net.AddNode(network.Acoustic, name)
			ca := m * b.compliance(c.Volume)
			b.Net.AddAdmittance(name+" air", to, network.Outside, network.Triple{C: ca}, nil)
			b.Airs = append(b.Airs, Air{Name: name, Node: to, Volume: m * c.Volume, Compliance: ca})
			b.Chambers = append(b.Chambers, Place{name, to})
			b.Facts.CouplingVolume += m * c.Volume
			mass := math.NaN()
			if c.Length > 0 {
				mass = (b.airMass(c, stack[k].Driver.Sd) + b.airMass(c, stack[k+1].Driver.Sd)) / 2
			}
			b.Facts.CouplingMass = appendGap(b.Facts.CouplingMass, p, k, depth, mass)
		}
		id := b.Net.AddPiston(cone(k).Name+" face", cone(k).Node, m*stack[k].Driver.Sd, from, to)
		radiates(k, id)
		from = to
	}
}

// appendGap records a gap's air once, at the first position.
func appendGap(list []float64, p, k, depth int, kg float64) []float64 {
	if p == 0 && k < depth-1 {
		return append(list, kg)
	}
	return list
}

// undriven closes the coils of a driver that the group does not drive.
func (b *builder) undriven(name string, d *driver.Driver, m network.Motor, blocked float64) []network.ElementID {
	if d.Coils.Other == driver.OtherOpen {
		return nil
	}
	r := d.Re
	if d.Coils.Other == driver.OtherLoaded {
		r += d.Coils.Load
	}
	ids := make([]network.ElementID, d.Undriven())
	for c := range ids {
		ids[c] = b.Net.AddString(fmt.Sprintf("%s closed coil %d", name, c+1), network.Earth, network.Earth, network.Triple{G: r * blocked}, network.Turn{Motor: m, N: 1})
	}
	return ids
}

// string adds one string of coils that a channel drives from a node on.
func (b *builder) string(name string, channel int, at network.Node, coils []driver.CoilAt, motors []network.Motor, blocked float64) {
	var re float64
	var turns []network.Turn
	for _, c := range coils {
		mem := b.Group.Positions[c.Position][c.Member]
		re += mem.Driver.Re
		motor := motors[c.Position*b.Group.Depth()+c.Member]
		if n := len(turns); n > 0 && turns[n-1].Motor == motor {
			turns[n-1].N += mem.Direction()
			continue
		}
		turns = append(turns, network.Turn{Motor: motor, N: mem.Direction()})
	}
	id := b.Net.AddString(name, at, network.Earth, network.Triple{G: re * blocked}, turns...)
	b.strings = append(b.strings, id)
	if len(b.Setting.Parts) == 0 {
		b.Channels[channel].feeds = append(b.Channels[channel].feeds, id)
	}
	if !b.Group.MovesTogether() && len(b.Group.Coupling) == 0 {
		for _, c := range coils {
			cone := b.Cones[c.Position*b.Group.Depth()+c.Member]
			mem := b.Group.Positions[c.Position][c.Member]
			b.pushes = append(b.pushes, push{cone.Node, id, cone.Ratio * mem.Driver.Bl * float64(mem.Direction())})
		}
	}
}

// sortPushes brings the forces on each cone together.
func (b *builder) sortPushes() {
	slices.SortStableFunc(b.pushes, func(p, q push) int { return cmp.Compare(p.node, q.node) })
}

// coils records every coil that carries a current with its string: the driven
// ones of a driver, then its closed ones. share is a coil's current over that
// of its string element. What was built for position 0 alone stands for the
// same coils at every position.
func (b *builder) coils(strings [][]driver.CoilAt, share float64) {
	driven := map[driver.CoilAt]network.ElementID{}
	for i, s := range strings {
		for _, c := range s {
			driven[c] = b.strings[i]
		}
	}
	depth := b.Group.Depth()
	for p, stack := range b.Group.Positions {
		for k, mem := range stack {
			d, of := mem.Driver, p*depth+k
			var ids []network.ElementID
			for c := range d.Driven() {
				id, ok := driven[driver.CoilAt{Position: p, Member: k, Coil: c}]
				if !ok {
					id = driven[driver.CoilAt{Member: k, Coil: c}]
				}
				ids = append(ids, id)
			}
			ids = append(ids, b.closed[of%len(b.closed)]...)
			for c, id := range ids {
				name := b.coneName(p, k)
				if len(ids) > 1 {
					name = fmt.Sprintf("%s.coil%d", name, c+1)
				}
				b.Coils = append(b.Coils, Coil{Name: name, Driver: of, Re: d.Re, Element: id, Share: share})
			}
		}
	}
}

// coilImpedance is a voice coil's blocked impedance without Re, times by.
func coilImpedance(v driver.VoiceCoil, by float64) (network.Triple, network.Law) {
	switch v.Model {
	case driver.CoilLR2:
		return network.Triple{C: by * v.Le}, network.ParallelRL{L: by * v.L2, R: by * v.R2}
	case driver.CoilPowerLaw:
		return network.Triple{}, network.PowerLaw{K: by * v.K, N: v.N}
	}
	return network.Triple{C: by * v.Le}, nil
}
