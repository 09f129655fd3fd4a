package study

import (
	"fmt"

	"basswright/internal/phys"
)

// CoilWatts is what the hottest coil of a driver takes.
type CoilWatts struct {
	Driver string
	Watts  float64
}

// UnlikeWatts is the most that a coil of each of the group's drivers takes on the
// drive, each driver once, in the order of the group; nil where all are alike.
func (o *Outcome) UnlikeWatts() []CoilWatts {
	if !o.System.Group.Unlike {
		return nil
	}
	var out []CoilWatts
	at := map[string]int{}
	for i, w := range o.Figures.CoilPowers {
		c := &o.System.Cones[o.System.Coils[i].Driver]
		name := o.System.Group.Positions[c.Position][c.Depth].Driver.Name
		if k, ok := at[name]; ok {
			out[k].Watts = max(out[k].Watts, w)
			continue
		}
		at[name] = len(out)
		out = append(out, CoilWatts{name, w})
	}
	if len(out) < 2 { // members that were given one by one, and are alike
		return nil
	}
	return out
}

// HottestDriver is whose coil is the hottest; "" where all drivers are alike.
func (o *Outcome) HottestDriver() string {
	hot := CoilWatts{}
	for _, c := range o.UnlikeWatts() {
		if c.Watts > hot.Watts {
			hot = c
		}
	}
	return hot.Driver
}

// unlikeWatts are those watts in words: "wren-6 270 W, heron-8 171 W".
func unlikeWatts(o *Outcome, u phys.System) string {
	s := ""
	for i, c := range o.UnlikeWatts() {
		if i > 0 {
			s += ", "
		}
		s += fmt.Sprintf("%s %s", c.Driver, phys.Show(c.Watts, phys.Power, u))
	}
	return s
}

// named is the name of a check with the driver that it holds for, where the group
// has several.
func (c *checker) named(check string, cone int) string {
	if name := c.unlike(cone); name != "" {
		return check + " (" + name + ")"
	}
	return check
}
