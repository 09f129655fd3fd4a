package driver

import "fmt"

// WiringWay is how a study words the wiring of a group.
type WiringWay uint8

// The ways of wiring.
const (
	WiringDefault  WiringWay = iota // not said: parallel
	WiringSeries                    // all driven coils in one string
	WiringParallel                  // each coil at the group's terminals
	WiringStrings                   // N coils a string, the strings in parallel
)

// Wiring says how the driven coils of a group are connected.
type Wiring struct {
	Way WiringWay
	N   int // coils a string, with WiringStrings
}

// inSeries is the number of coils in each string of a group with n driven
// coils.
func (w Wiring) inSeries(n int) (int, error) {
	switch w.Way {
	case WiringSeries:
		return n, nil
	case WiringStrings:
	default:
		return 1, nil
	}
	if w.N < 1 {
		return 0, &GroupError{"wiring", fmt.Sprintf("%d coils in series are no string", w.N), "write in_series with 1 or more"}
	}
	if n%w.N != 0 {
		return 0, &GroupError{"wiring", fmt.Sprintf("%d driven coils do not divide into strings of %d", n, w.N), "write in_series: " + divisors(n)}
	}
	return w.N, nil
}

// divisors lists the numbers that divide n: "1, 2 or 4".
func divisors(n int) string {
	var words []string
	for d := 1; d <= n; d++ {
		if n%d == 0 {
			words = append(words, fmt.Sprint(d))
		}
	}
	return listOf(words, "or")
}

// A CoilAt names one driven coil of a group: which coil of which member
// (counted from the listener inward) at which position, all from 0.
type CoilAt struct{ Position, Member, Coil int }

// Coils lists the driven coils position by position, from the listener
// inward, coil by coil.
func (g *Group) Coils() []CoilAt {
	var out []CoilAt
	for p, stack := range g.Positions {
		for k, m := range stack {
			for c := range m.Driver.Driven() {
				out = append(out, CoilAt{p, k, c})
			}
		}
	}
	return out
}

// Strings is the coils in their strings, channel by channel in the order of
// Coils; the strings are in parallel at the terminals of their channel.
func (g *Group) Strings() [][]CoilAt {
	var out [][]CoilAt
	for k := range g.ChannelCount() {
		out = append(out, g.ChannelStrings(k)...)
	}
	return out
}

// Re is the group's resistance in Ω for direct current: at its terminals, or of
// what all channels drive as if it were in parallel.
func (g *Group) Re() float64 { return g.resistance(g.Strings()) }

// Symmetry says how one position stands for all.
type Symmetry struct {
	// PositionsInSeries is the number of positions that each string runs
	// through, 1 or more: the position sees the group's voltage divided by it.
	PositionsInSeries int
	// CurrentFactor is the group's current over that of the position:
	// side_by_side / PositionsInSeries.
	CurrentFactor float64
	// Strings is the coils of the representative position (all with Position
	// 0) in their strings, which are in parallel at the position's share of
	// the voltage.
	Strings [][]CoilAt
}

// PositionsAlike reports whether drivers, facing and polarity agree at all
// positions.
func (g *Group) PositionsAlike() bool {
	first := g.Positions[0]
	for _, stack := range g.Positions[1:] {
		for k, m := range stack {
			if m.Facing != first[k].Facing || m.Polarity != first[k].Polarity || !m.Driver.same(first[k].Driver) {
				return false
			}
		}
	}
	return true
}

// Symmetry reports whether all positions are alike, so that they move alike
// in a load that treats them alike and one may stand for all. They are when
// their drivers, facing and polarity agree, one channel drives them all, and no
// string takes an uneven part of a position.
func (g *Group) Symmetry() (Symmetry, bool) {
	if g.ChannelCount() > 1 || !g.PositionsAlike() {
		return Symmetry{}, false
	}
	var own []CoilAt
	for _, c := range g.Coils() {
		if c.Position == 0 {
			own = append(own, c)
		}
	}
	n, m := len(own), g.InSeries
	switch {
	case n%m == 0:
		s := Symmetry{PositionsInSeries: 1, CurrentFactor: float64(g.SideBySide())}
		for i := 0; i < n; i += m {
			s.Strings = append(s.Strings, own[i:i+m:i+m])
		}
		return s, true
	case m%n == 0:
		q := m / n
		return Symmetry{PositionsInSeries: q, CurrentFactor: float64(g.SideBySide()) / float64(q), Strings: [][]CoilAt{own}}, true
	}
	return Symmetry{}, false
}
