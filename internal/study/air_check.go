package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/phys"
)

// cautiousAir holds the ports' air at the drive against the cautious limit that
// applies where the brief states none. It is told for safety: nobody asked.
func (c *checker) cautiousAir() {
	if !c.m.airLimited() {
		return
	}
	share := func(f float64) float64 {
		e, ok := c.m.solve(f)
		if !ok {
			return math.NaN()
		}
		return e * c.m.airShare(f)
	}
	worst := c.m.largest(c.st.LimitsFrom(), c.st.limitsTo(), share)
	speed, limit := c.m.worstAir(worst)
	c.add(Check{ID: CheckPortSpeed, Name: "port air of " + c.show(limit, phys.Speed) + ", cautious", Kind: phys.Speed, Value: phys.Maybe(speed), Limit: limit, Fill: worst.Value, At: worst.At, Varies: true},
		"port air too fast",
		fmt.Sprintf("port air %s at %s, cautious limit there %s", c.show(speed, phys.Speed), c.show(float64(worst.At), phys.Frequency), c.show(limit, phys.Speed)),
		func() string { return c.limitMend(float64(worst.Value), share) })
}

// worstAir is the speed and the limit of the vent with the largest share at its
// frequency.
func (m *meter) worstAir(worst Peak) (speed, limit float64) {
	f := float64(worst.At)
	if _, ok := m.solve(f); !ok {
		return math.NaN(), math.NaN()
	}
	most := math.Inf(-1)
	for i := range m.vents() {
		v := &m.vents()[i]
		l := m.allowed(v, f)
		if s := m.airPerVolt(v) / l; s > most {
			most, limit = s, l
		}
	}
	return float64(worst.Value) * limit, limit
}

// fullAir holds the ports' air at all that the amplifier gives against its limit:
// a port that is too small for the amplifier is a miss whatever the drive is.
func (c *checker) fullAir() {
	if c.st.Amplifier == nil || c.st.Drive.Kind == DriveAmplifierFull {
		return
	}
	a := c.o.hardestPort()
	if a == nil {
		return
	}
	limit, kind := c.asked(float64(a.Limit), phys.Speed), "limit"
	if !a.Stated {
		limit, kind = c.show(float64(a.Limit), phys.Speed), "cautious limit there"
	}
	c.add(Check{ID: CheckPortFull, Name: "at full power, port air of " + limit, Kind: phys.Speed, Value: a.Speed, Limit: float64(a.Limit), Fill: a.Share.Value, At: a.Share.At, Asked: a.Stated, Varies: !a.Stated},
		"port too small for the amplifier",
		fmt.Sprintf("port too small for the amplifier: at all that it gives, air of %s at %s, %s %s", c.show(float64(a.Speed), phys.Speed), c.show(float64(a.Share.At), phys.Frequency), kind, limit),
		func() string { return c.portMend(a) })
}

// hardestPort is the opening whose air uses most of its limit at the most that it
// is fed; nil where none has a limit.
func (o *Outcome) hardestPort() (a *PortAir) {
	for i := range o.Air {
		if x := &o.Air[i]; x.Share.Value.OK() && (a == nil || x.Share.Value > a.Share.Value) {
			a = x
		}
	}
	return a
}

// portMend is what to do about a port that is too small for the amplifier: each
// was worked out.
func (c *checker) portMend(a *PortAir) string {
	s := c.fullMend(float64(a.Share.Value))
	for i := range a.Least {
		l := &a.Least[i]
		switch {
		case l.Asked || l.Area == 0:
		case l.Fits && l.Anywhere:
			return s + ", or with " + c.m.portWords(l.Port)
		case l.Fits:
			return s + ", or with " + c.m.portWords(l.Port) + ", which fits"
		case len(l.Instead) > 0:
			return s + "; the least port for it, " + c.m.portWords(l.Port) + ", does not fit; instead: " + strings.Join(l.Instead, "; or ")
		}
	}
	return s
}
