package enclosure

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"

	"basswright/internal/driver"
)

// modes finds the resonances of a stack in which its cones move against each
// other on the springs of the coupling air: the natural frequencies of the
// moving masses on their suspensions, the coupling air and the chambers behind
// and in front as closed springs, undamped, coils open; all but the lowest.
// Positions that are not alike have none of their own.
func (b *builder) modes() {
	stack, gaps := b.Group.Positions[0], b.Group.Coupling
	n := len(stack)
	_, alike := b.symmetry()
	if b.Group.ChannelCount() > 1 { // what drives the positions is nothing to their modes
		alike = b.Group.PositionsAlike() && b.lookAlike()
	}
	if !alike && b.Group.SideBySide() > 1 {
		return // unlike positions have no modes of one stack
	}
	if len(gaps) == 0 || n < 2 {
		return
	}
	for _, g := range gaps {
		if g.Volume == 0 {
			return // two cones of the stack are one: it has fewer modes, and they are not told
		}
	}
	k := b.stackStiffness(stack)
	var eig mat.EigenSym
	if !eig.Factorize(k, false) {
		return
	}
	values := eig.Values(nil)
	sort.Float64s(values)
	for _, v := range values[1:] {
		b.Facts.CouplingModes = append(b.Facts.CouplingModes, math.Sqrt(v)/(2*math.Pi))
	}
}

// stackStiffness is the stiffness between the cones of a stack over their masses,
// K(i, j)/√(m(i)·m(j)), 1/s²: of their suspensions, the air of the gaps, and each
// position's share of the chambers behind and in front.
func (b *builder) stackStiffness(stack []driver.Member) *mat.SymDense {
	n := len(stack)
	k := mat.NewSymDense(n, nil)
	mass := make([]float64, n)
	for i, mem := range stack {
		d := mem.Driver
		mass[i] = d.Mms + b.gapMass(d.Sd, i)
		k.SetSym(i, i, 1/d.Cms)
	}
	wall := func(i int, volume float64) { // a volume between a cone and a wall
		k.SetSym(i, i, k.At(i, i)+sq(stack[i].Driver.Sd)/b.compliance(volume))
	}
	for i, g := range b.Group.Coupling {
		wall(i, g.Volume)
		wall(i+1, g.Volume)
		k.SetSym(i, i+1, k.At(i, i+1)-stack[i].Driver.Sd*stack[i+1].Driver.Sd/b.compliance(g.Volume))
	}
	m := float64(b.Group.SideBySide())
	if net := b.Spec.Net; net != nil {
		for _, end := range []struct {
			cone  int
			place string
		}{{0, net.Front}, {n - 1, net.Rear}} {
			if c := net.Air(end.place); c != nil {
				wall(end.cone, c.Volume/m)
			}
		}
	}
	if v := b.Spec.Rear.Volume; v > 0 && b.Spec.Kind != InfiniteBaffle {
		wall(n-1, v/m)
	}
	if v := b.Spec.Front.Volume; v > 0 && b.Spec.Kind.TwoChambers() {
		wall(0, v/m)
	}
	for i := range n {
		for j := i; j < n; j++ {
			k.SetSym(i, j, k.At(i, j)/math.Sqrt(mass[i]*mass[j]))
		}
	}
	return k
}
