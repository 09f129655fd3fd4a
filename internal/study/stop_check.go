package study

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// stops holds the cones against their mechanical stops on the drive, where a stop
// is nearer than the limit of excursion or no such limit is known: a brief may
// allow what no driver can do.
func (c *checker) stops() {
	cones := c.m.sys.Cones
	nearer := func(i int) float64 {
		limit, stop := c.m.coneLimit(&cones[i]), c.m.coneStop(&cones[i])
		if stop > 0 && (limit == 0 || stop < limit) {
			return stop
		}
		return 0
	}
	worst, far, known := 0, 0.0, false
	for i := range cones {
		known = known || nearer(i) > 0
	}
	if !known || c.o.silent() {
		return
	}
	share := func(f float64) float64 {
		volts, ok := c.m.solve(f)
		if !ok {
			return math.NaN()
		}
		most := math.Inf(-1)
		for i := range cones {
			if l := nearer(i); l > 0 {
				if x := c.m.sys.Excursion(c.m.sol, &cones[i]) * volts; x/l > most {
					most, worst, far = x/l, i, x
				}
			}
		}
		return most
	}
	p := c.m.largest(c.st.LimitsFrom(), c.st.limitsTo(), share)
	share(float64(p.At)) // leaves the worst cone and its excursion there
	stop := c.asked(nearer(worst), phys.Length)
	c.add(Check{ID: CheckStop, Name: c.named("stop of "+stop, worst), Kind: phys.Length, Value: phys.Maybe(far), Limit: nearer(worst), Fill: p.Value, At: p.At, Asked: c.st.Brief.Limits.Excursion > 0 || c.st.Brief.Limits.ExcursionXmax},
		"cone against its stop",
		fmt.Sprintf("cone %sagainst its stop: %s at %s, stop at %s", c.ofWhom(worst), c.past(phys.Maybe(far), nearer(worst), phys.Length), c.show(float64(p.At), phys.Frequency), stop),
		func() string { return c.limitMend(float64(p.Value), share) })
}

// ofWhom names a cone where the group has unlike drivers: "of wren-6 "; else
// nothing, because any of them is meant.
func (c *checker) ofWhom(cone int) string {
	if name := c.unlike(cone); name != "" {
		return "of " + name + " "
	}
	return ""
}

// unlike is the name of a cone's driver where the group has several; else nothing.
func (c *checker) unlike(cone int) string {
	first := c.m.sys.Group.Positions[0][0].Driver.Name
	for _, stack := range c.m.sys.Group.Positions {
		for _, m := range stack {
			if m.Driver.Name != first {
				at := c.m.sys.Cones[cone]
				return c.m.sys.Group.Positions[at.Position][at.Depth].Driver.Name
			}
		}
	}
	return ""
}

// hottest is the driver whose coils take the largest share of what they are rated
// for.
func (c *checker) hottest() int {
	f, most, who := float64(c.f.Power.At), math.Inf(-1), 0
	volts, ok := c.m.solve(f)
	for i := range c.m.sys.Cones {
		rated := c.m.rated(i)
		if !ok || rated == 0 {
			continue
		}
		w := 0.0
		for k := range c.m.sys.Coils {
			if coil := &c.m.sys.Coils[k]; coil.Driver == i {
				w += c.m.sys.CoilPower(c.m.sol, coil) * volts * volts
			}
		}
		if w/rated > most {
			most, who = w/rated, i
		}
	}
	return who
}

// whose is the driver of a cone in words.
func (c *checker) whose(cone int) string {
	if name := c.unlike(cone); name != "" {
		return name
	}
	return "one driver"
}
