package study

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// check holds a candidate against the brief and its limits and says what it
// misses, each with the mend where mends are wanted.
func (st *Study) check(o *Outcome, m *meter, mends bool) {
	c := checker{st: st, o: o, m: m, f: &o.Figures, mends: mends}
	c.sound()
	c.extension()
	c.levelAsked()
	c.cones()
	c.stops()
	c.fullMovement()
	c.heat()
	c.load()
	c.portAir()
	c.pressure()
	c.delay()
	c.fit()
	c.ductFrame()
	c.bill()
}

// checker is one run of check.
type checker struct {
	st *Study
	o  *Outcome
	m  *meter
	f  *Figures

	mends  bool // are looked for
	behind bool // the high-pass has been told, with what is left behind it
}

func (c *checker) show(v float64, k phys.Kind) string { return phys.Show(v, k, c.st.Units) }

// past is a figure beside the limit that it passed, with enough digits to see that
// it did.
func (c *checker) past(v phys.Maybe, limit float64, k phys.Kind) string {
	return phys.ShowApart(float64(v), limit, k, c.st.Units)
}

// asked is a value that someone asked for.
func (c *checker) asked(v float64, k phys.Kind) string { return c.st.Asked(v, k) }

// Asked is a value that someone asked for, in words: as it was written, but of
// a kind that is told in other units elsewhere with no more digits than the
// figures that are held against it, and a level to the tenth like every other.
func (st *Study) Asked(v float64, k phys.Kind) string {
	brief, shown := phys.Brief(v, k, st.Units), phys.Show(v, k, st.Units)
	if k == phys.Level {
		return shown
	}
	if k.Unit(phys.Metric) != k.Unit(phys.Imperial) && len(brief) > len(shown) {
		return shown
	}
	return brief
}

// add records a check; short, text and mend are told if it is not passed.
// The mend is looked for only then: it costs a search.
func (c *checker) add(k Check, short, text string, mend func() string) {
	k.Passed = !(float64(k.Fill) > 1+1e-9)
	c.o.Checks = append(c.o.Checks, k)
	if !k.Passed {
		miss := Miss{Check: k.ID, Short: short, Text: text}
		switch {
		case !c.mends:
		case c.o.WrongPolarity(): // no box mends that
			miss.Mend = "mend the polarity first: " + Silence(c.m.sys).Mend
		default:
			miss.Mend = mend()
		}
		c.o.Misses = append(c.o.Misses, miss)
	}
}

func plainly(s string) func() string { return func() string { return s } }

// extension checks F3, F6 and F10 where they are asked for.
func (c *checker) extension() {
	e := c.st.Brief.Extension
	for _, x := range []struct {
		id    CheckID
		name  string
		asked float64
		got   phys.Maybe
		of    func(*Figures) phys.Maybe
	}{
		{CheckF3, "F3", e.F3, c.f.F3, func(f *Figures) phys.Maybe { return f.F3 }},
		{CheckF6, "F6", e.F6, c.f.F6, func(f *Figures) phys.Maybe { return f.F6 }},
		{CheckF10, "F10", e.F10, c.f.F10, func(f *Figures) phys.Maybe { return f.F10 }},
	} {
		if x.asked == 0 {
			continue
		}
		if c.o.silent() {
			c.unheard(x.id, "extension "+x.name, phys.Frequency, x.asked)
			continue
		}
		got := x.got
		if !got.OK() { // it never falls that far: it reaches below all that is computed
			got = lowest
		}
		fill := got / phys.Maybe(x.asked)
		c.add(Check{ID: x.id, Name: "extension " + x.name, Kind: phys.Frequency, Value: x.got, Limit: x.asked, Fill: fill, At: x.got, Asked: true},
			"short of extension",
			fmt.Sprintf("short of extension: %s %s, asked: %s", x.name, c.past(got, x.asked, phys.Frequency), c.asked(x.asked, phys.Frequency)),
			func() string { return c.extensionMend(x.asked, x.of) })
	}
}

func (c *checker) levelAsked() {
	b := c.st.Brief
	if b.LevelAt == 0 || b.Level == 0 {
		return
	}
	name := "level at " + c.asked(b.LevelAt, phys.Frequency)
	if c.o.silent() {
		c.unheard(CheckLevel, name, phys.Level, b.Level)
		return
	}
	got := c.f.LevelAsked
	fill := phys.Maybe(math.Pow(10, (b.Level-float64(got))/20))
	c.add(Check{ID: CheckLevel, Name: name, Kind: phys.Level, Value: got, Limit: b.Level, Fill: fill, At: phys.Maybe(b.LevelAt), Asked: true},
		"short of level",
		fmt.Sprintf("short of level: %s at %s, asked: %s", c.past(got, b.Level, phys.Level), c.asked(b.LevelAt, phys.Frequency), c.asked(b.Level, phys.Level)), func() string { return c.levelMend(float64(fill)) })
}

// cones checks the excursion of drivers and radiators.
func (c *checker) cones() {
	limit := c.m.excursionLimit()
	asked := c.st.Brief.Limits.Excursion > 0 || c.st.Brief.Limits.ExcursionXmax
	if s := c.f.ExcursionShare; s.Value.OK() {
		x, own, who := c.m.worst(float64(s.At), c.m.sys.Cones, limit)
		c.add(Check{ID: CheckExcursion, Name: c.named("excursion of "+c.asked(own, phys.Length), who), Kind: phys.Length, Value: phys.Maybe(x), Limit: own, Fill: s.Value, At: s.At, Asked: asked},
			"excursion too far",
			fmt.Sprintf("excursion %s%s at %s, limit %s", c.ofWhom(who), c.past(phys.Maybe(x), own, phys.Length), c.show(float64(s.At), phys.Frequency), c.asked(own, phys.Length)),
			func() string {
				return c.limitMend(float64(s.Value), func(f float64) float64 { return c.m.coneShare(f, limit) })
			})
	}
	for i := range c.m.sys.Radiators {
		r := &c.m.sys.Radiators[i]
		if r.Xmax == 0 {
			continue
		}
		x := c.f.RadiatorExcursion
		c.add(Check{ID: CheckRadiator, Name: "radiator of " + c.asked(r.Xmax, phys.Length), Kind: phys.Length, Value: x.Value, Limit: r.Xmax, Fill: x.Value / phys.Maybe(r.Xmax), At: x.At, Asked: asked},
			"radiator too far",
			fmt.Sprintf("radiator’s excursion %s at %s, limit %s", c.past(x.Value, r.Xmax, phys.Length), c.show(float64(x.At), phys.Frequency), c.asked(r.Xmax, phys.Length)),
			func() string {
				return c.limitMend(float64(x.Value)/r.Xmax, func(f float64) float64 { return c.m.share(f, c.m.sys.Radiators, 0) })
			})
	}
	c.unlimited()
}

// heat checks each driver's rated power.
func (c *checker) heat() {
	if !c.f.PowerShare.OK() {
		return
	}
	rated, who := float64(c.f.RatedPower), c.hottest()
	c.add(Check{ID: CheckHeat, Name: c.named("heat of "+c.asked(rated, phys.Power), who), Kind: phys.Power, Value: c.f.Power.Value, Limit: rated, Fill: c.f.PowerShare, At: c.f.Power.At},
		"too hot",
		fmt.Sprintf("%s in the coils of %s at %s, rated for %s", c.past(c.f.Power.Value, rated, phys.Power), c.whose(who), c.show(float64(c.f.Power.At), phys.Frequency), c.asked(rated, phys.Power)),
		func() string { return c.powerMend(math.Sqrt(float64(c.f.PowerShare))) })
}

// load checks the lowest impedance against the amplifier's rating.
func (c *checker) load() {
	a := c.st.Amplifier
	if a == nil {
		return
	}
	z, rated := c.f.LowestZ, a.LowestLoad()
	c.add(Check{ID: CheckLoad, Name: "load, " + c.asked(loadShare*rated, phys.Resistance) + " or more", Kind: phys.Resistance, Value: z.Value, Limit: loadShare * rated, Fill: phys.Maybe(loadShare*rated) / z.Value, At: z.At, Asked: true},
		"load too low",
		fmt.Sprintf("loads %s with %s at %s%s; rated for %s, it takes %s at the least", c.m.loadWords(float64(z.At)), c.past(z.Value, loadShare*rated, phys.Resistance), c.show(float64(z.At), phys.Frequency), c.halved(float64(z.Value)), c.asked(rated, phys.Resistance), c.asked(loadShare*rated, phys.Resistance)),
		func() string { return c.wiringMend(loadShare * rated) })
}

func (c *checker) portAir() {
	limit := c.st.Brief.Limits.PortSpeed
	if limit == 0 {
		c.cautiousAir()
		c.fullAir()
		if c.st.Amplifier != nil {
			c.unsizedPort(0)
		}
		return
	}
	defer c.unsizedPort(limit)
	defer c.fullAir()
	if !c.f.PortSpeed.Value.OK() {
		return
	}
	v := c.f.PortSpeed
	mend := func() string {
		return c.limitMend(float64(v.Value)/limit, func(f float64) float64 { return c.m.portSpeed(f) / limit })
	}
	c.add(Check{ID: CheckPortSpeed, Name: "port air of " + c.asked(limit, phys.Speed), Kind: phys.Speed, Value: v.Value, Limit: limit, Fill: v.Value / phys.Maybe(limit), At: v.At, Asked: true},
		"port air too fast",
		fmt.Sprintf("port air %s at %s, limit %s", c.past(v.Value, limit, phys.Speed), c.show(float64(v.At), phys.Frequency), c.asked(limit, phys.Speed)), mend)
}

// pressure checks the sound pressure in the chambers.
func (c *checker) pressure() {
	limit := c.st.Brief.Limits.Pressure
	if limit == 0 || len(c.m.sys.Chambers) == 0 {
		return
	}
	p := c.m.largest(c.st.LimitsFrom(), c.st.limitsTo(), c.m.chamberPressure)
	c.add(Check{ID: CheckPressure, Name: "chamber pressure of " + c.asked(limit, phys.Pressure), Kind: phys.Pressure, Value: p.Value, Limit: limit, Fill: p.Value / phys.Maybe(limit), At: p.At, Asked: true},
		"chamber pressure too high",
		fmt.Sprintf("chamber pressure %s at %s, limit %s", c.past(p.Value, limit, phys.Pressure), c.show(float64(p.At), phys.Frequency), c.asked(limit, phys.Pressure)),
		func() string {
			return c.limitMend(float64(p.Value)/limit, func(f float64) float64 { return c.m.chamberPressure(f) / limit })
		})
}

func (c *checker) delay() {
	limit := c.st.Brief.Limits.GroupDelay
	name := "group delay of " + c.asked(limit, phys.Time)
	switch {
	case limit == 0:
		return
	case !c.f.GroupDelay.Value.OK():
		c.unheard(CheckGroupDelay, name, phys.Time, limit)
		return
	}
	d := c.f.GroupDelay
	c.add(Check{ID: CheckGroupDelay, Name: name, Kind: phys.Time, Value: d.Value, Limit: limit, Fill: d.Value / phys.Maybe(limit), At: d.At, Asked: true},
		"group delay too long",
		fmt.Sprintf("group delay %s at %s, limit %s", c.past(d.Value, limit, phys.Time), c.show(float64(d.At), phys.Frequency), c.asked(limit, phys.Time)),
		func() string { return c.delayMend(limit) })
}

func (c *checker) fit() {
	sp, b := c.st.Space, c.o.Body
	if sp == nil || !b.Known {
		c.lineFit()
		return
	}
	fill := b.Width / sp.Width // the depth and height of the space are used up first
	if !b.Fits {
		fill = max(fill, 1+1e-6)
	} else {
		fill = min(fill, 1)
	}
	c.add(Check{ID: CheckFit, Name: "fit in " + c.asked(sp.Width, phys.Length), Kind: phys.Length, Value: phys.Maybe(b.Width), Limit: sp.Width, Fill: phys.Maybe(fill), At: phys.None(), Asked: true},
		"does not fit", b.Why, c.fitMend)
}

// bill checks weight and price.
func (c *checker) bill() {
	l := c.st.Brief.Limits
	mass := Check{ID: CheckMass, Name: "weight of " + c.asked(l.Mass, phys.Weight), Kind: phys.Weight, Value: c.f.Mass, Limit: l.Mass, Fill: c.f.Mass / phys.Maybe(l.Mass), At: phys.None(), Asked: true}
	switch {
	case l.Mass == 0:
	case !c.f.Mass.OK():
		c.unweighed(mass)
	default:
		c.add(mass,
			"too heavy", fmt.Sprintf("weighs %s, limit %s", c.past(c.f.Mass, l.Mass, phys.Weight), c.asked(l.Mass, phys.Weight)), plainly("fewer drivers or thinner boards weigh less"))
	}
	bill := Check{ID: CheckPrice, Name: "price of " + price(l.Price, l.Currency), Kind: phys.Price, Value: c.f.Price, Limit: l.Price, Fill: c.f.Price / phys.Maybe(l.Price), At: phys.None(), Asked: true}
	switch {
	case l.Price == 0:
	case !c.f.Price.OK():
		c.unpriced(bill)
	default:
		c.add(bill,
			"too dear", fmt.Sprintf("the drivers cost %s, limit %s", price(float64(c.f.Price), l.Currency), price(l.Price, l.Currency)), plainly("fewer drivers cost less"))
	}
}

func price(v float64, currency string) string {
	if currency == "" {
		return phys.Fixed(v, 0)
	}
	return phys.Fixed(v, 0) + "\u2009" + currency
}
