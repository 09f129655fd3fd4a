package study

import (
	"math"

	"basswright/internal/enclosure"
)

// bound is one limit of a kind, place by place (the cones, the ports): the share
// of it that a sine of 1 V at the source uses, read where the meter's solver
// stands. A place without a limit uses none.
type bound struct {
	id     BoundID
	places int
	at     func(place int) float64
}

// share is that of the worst place.
func (b *bound) share() float64 {
	most := 0.0
	for i := range b.places {
		most = max(most, b.at(i))
	}
	return most
}

// bounds lists the limits that are known of a system.
func (m *meter) bounds() []bound {
	var out []bound
	sys := m.sys
	add := func(id BoundID, places int, at func(place int) float64) { out = append(out, bound{id, places, at}) }
	moving := func(id BoundID, cones []enclosure.Cone, own func(c *enclosure.Cone) float64) {
		limits, known := make([]float64, len(cones)), false
		for i := range cones {
			limits[i] = own(&cones[i])
			known = known || limits[i] > 0
		}
		if known {
			add(id, len(cones), func(i int) float64 {
				if limits[i] > 0 {
					return sys.Excursion(m.sol, &cones[i]) / limits[i]
				}
				return 0
			})
		}
	}
	moving(BoundExcursion, sys.Cones, m.coneLimit)
	moving(BoundStop, sys.Cones, m.coneStop)
	moving(BoundRadiator, sys.Radiators, func(c *enclosure.Cone) float64 { return c.Xmax })
	m.heatBound(add)
	m.airBounds(add)
	if a := m.st.Amplifier; a != nil {
		volts, amps := a.MaxVoltage(), a.MaxCurrent()
		add(BoundVoltage, 1, func(int) float64 { return 1 / volts })
		add(BoundCurrent, 1, func(int) float64 { return sys.LargestCurrent(m.sol) / amps })
	}
	return out
}

// coneLimit is how far a cone may go, m: as the brief says, else its xmax; 0 where
// neither is known.
func (m *meter) coneLimit(c *enclosure.Cone) float64 {
	if l := m.excursionLimit(); l > 0 {
		return l
	}
	return c.Xmax
}

// coneStop is where a cone meets its mechanical stop, m; 0: not known.
func (m *meter) coneStop(c *enclosure.Cone) float64 {
	return m.sys.Group.Positions[c.Position][c.Depth].Driver.Data.Xmech
}

// adds takes a bound into the list.
type adds func(id BoundID, places int, at func(place int) float64)

// heatBound is each driver's rated power: heat goes with the square of the
// voltage, and its share of the limit as a voltage with the root.
func (m *meter) heatBound(add adds) {
	rated, known := make([]float64, len(m.sys.Cones)), false
	for i := range rated {
		rated[i] = m.rated(i)
		known = known || rated[i] > 0
	}
	if !known {
		return
	}
	add(BoundHeat, len(rated), func(driver int) float64 {
		if rated[driver] == 0 {
			return 0
		}
		w := 0.0
		for i := range m.sys.Coils {
			if c := &m.sys.Coils[i]; c.Driver == driver {
				w += m.sys.CoilPower(m.sol, c)
			}
		}
		return math.Sqrt(w / rated[driver])
	})
}

// airBounds are the peak speed of air in ports, of which the brief or else a
// cautious limit says how much is allowed, and the pressure that the brief allows.
func (m *meter) airBounds(add adds) {
	if m.airLimited() {
		list := m.vents()
		add(BoundPortAir, len(list), func(i int) float64 {
			return m.airUse(&list[i], m.sol.Omega()/(2*math.Pi))
		})
	}
	if l := m.st.Brief.Limits.Pressure; l > 0 && len(m.sys.Chambers) > 0 {
		add(BoundPressure, len(m.sys.Chambers), func(i int) float64 {
			return math.Sqrt2 * m.sys.ChamberPressure(m.sol, &m.sys.Chambers[i]) / l
		})
	}
}
