package study

import (
	"errors"
	"fmt"
	"slices"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// silent says that a candidate gives no sound, so that nothing that is told
// against its level exists.
func (o *Outcome) silent() bool { return !o.Figures.Reference.OK() }

// sound records a candidate that gives none, and one whose cones work against
// each other: neither can meet a brief, whatever its figures say.
func (c *checker) sound() {
	why := Silence(c.m.sys)
	switch {
	case c.o.silent():
		c.o.Misses = append(c.o.Misses, Miss{Check: CheckSound, Short: "no sound", Text: why.text(), Mend: why.Mend})
	case c.o.WrongPolarity():
		c.o.Misses = append(c.o.Misses, Miss{Check: CheckSound, Short: "wrong polarity", Text: "wired with a wrong polarity: its cones work against each other", Mend: why.Mend})
	}
}

// SilentError is a candidate that gives no sound.
type SilentError struct{ Reason, Mend string }

func (e *SilentError) text() string { return "gives no sound: " + e.Reason }

// Error is the reason and the mend.
func (e *SilentError) Error() string { return e.text() + "; " + e.Mend }

// Silence is why a system that gives no sound gives none.
func Silence(sys *enclosure.System) *SilentError {
	var fights *driver.CompositeError
	if _, err := sys.Group.Composite(); errors.As(err, &fights) && !sys.Group.MovesTogether() {
		return &SilentError{fights.Reason + " and cancel each other", fights.Mend}
	}
	if net := sys.Spec.Net; net != nil && !slices.ContainsFunc(net.Parts, func(p enclosure.NetPart) bool { return p.Kind == enclosure.NetChamber || p.Kind == enclosure.NetDuct }) {
		return &SilentError{"all that the one side of its cones moves goes straight outside, and cancels what the other moves", "put a chamber or a duct where they look, or let them look behind, which the listener does not hear"}
	}
	return &SilentError{"what its openings and cones move cancels", "tune the chambers apart, or give them unlike volumes"}
}

// unheard is a check that a silent candidate cannot be held to: its miss is the
// silence.
func (c *checker) unheard(id CheckID, name string, kind phys.Kind, limit float64) {
	c.o.Checks = append(c.o.Checks, Check{ID: id, Name: name, Kind: kind, Value: phys.None(), Limit: limit, Fill: phys.None(), At: phys.None(), Asked: true})
}

// unjudged records what the brief asks and the study does not say enough to
// judge: it counts as a miss, because nobody can promise it.
func (c *checker) unjudged(k Check, what, lacks, mend string) {
	if _, ok := c.o.check(k.ID); !ok {
		k.Value, k.Fill, k.At, k.Asked = phys.None(), phys.None(), phys.None(), true
		c.o.Checks = append(c.o.Checks, k)
	}
	c.o.Misses = append(c.o.Misses, Miss{Check: k.ID, Short: what + " not known", Text: what + " not judged: " + lacks, Mend: mend})
}

func (o *Outcome) check(id CheckID) (Check, bool) {
	for _, k := range o.Checks {
		if k.ID == id {
			return k, true
		}
	}
	return Check{}, false
}

// drivers names those of the group of which the sheet says too little, each once.
func (c *checker) drivers(lacks func(*driver.Driver) bool) string {
	var names []string
	seen := map[string]bool{}
	for _, stack := range c.m.sys.Group.Positions {
		for _, m := range stack {
			if lacks(m.Driver) && !seen[m.Driver.Name] {
				seen[m.Driver.Name] = true
				names = append(names, "drivers."+m.Driver.Name)
			}
		}
	}
	return list(names, "and")
}

// unlimited records cones whose xmax is asked for and not known; and cones that a
// tuned opening lets go below its tuning, where an amplifier is there to drive them
// and neither xmax nor a stop says how far they may.
func (c *checker) unlimited() {
	free := c.st.Amplifier != nil && c.m.sys.Spec.Kind > enclosure.Sealed && c.st.Brief.Limits.Excursion == 0
	if free && !c.st.Brief.Limits.ExcursionXmax {
		if who := c.drivers(func(d *driver.Driver) bool { return d.Data.Xmax == 0 && d.Data.Xmech == 0 }); who != "" {
			c.unjudged(Check{ID: CheckExcursion, Name: "excursion", Kind: phys.Length}, "excursion", "neither xmax nor xmech is given in "+who, "give the xmax of "+who+", or a length as limits.excursion")
		}
	}
	if !c.st.Brief.Limits.ExcursionXmax {
		return
	}
	if who := c.drivers(func(d *driver.Driver) bool { return d.Data.Xmax == 0 }); who != "" {
		c.unjudged(Check{ID: CheckExcursion, Name: "excursion", Kind: phys.Length}, "excursion", "no xmax is given in "+who, "give the xmax of "+who+", or a length as limits.excursion")
	}
	for i := range c.m.sys.Radiators {
		if c.m.sys.Radiators[i].Xmax == 0 {
			c.unjudged(Check{ID: CheckRadiator, Name: "radiator", Kind: phys.Length}, "radiator’s excursion", "the radiator has no xmax", "give the radiator’s xmax")
		}
	}
}

// unsizedPort records ports whose size is not known and whose air is limited, by
// the brief or (limit 0) by what the amplifier gives.
func (c *checker) unsizedPort(limit float64) {
	for i := range c.m.sys.Openings {
		if o := &c.m.sys.Openings[i]; o.Area == 0 {
			name := "port air"
			if limit > 0 {
				name += " of " + c.asked(limit, phys.Speed)
			}
			c.unjudged(Check{ID: CheckPortSpeed, Name: name, Kind: phys.Speed, Limit: limit}, "port air", o.Name+" has no size", "give "+o.Name+" a diameter, a width and height, or an area")
			return
		}
	}
}

// unweighed says what is missing for the weight.
func (c *checker) unweighed(k Check) {
	if who := c.drivers(func(d *driver.Driver) bool { return d.Data.Weight == 0 }); who != "" {
		c.unjudged(k, "weight", "no weight is given in "+who, "give the weight of "+who)
		return
	}
	if c.m.sys.Spec.Net != nil {
		c.unjudged(k, "weight", "where the parts of a network stand, and so what boards they take, is not laid out", "leave mass out of the limits, and weigh the boards of your own layout")
		return
	}
	switch f := c.o.Body.Fold; {
	case c.m.sys.Facts.Line == nil || f != nil && f.Wood > 0:
	case f != nil:
		c.unjudged(k, "weight", "the duct is round, and is not made of boards", "write its width or aspect in duct, or leave mass out of the limits")
		return
	case c.st.Space != nil:
		c.unjudged(k, "weight", "how the duct is folded, and so what boards it takes, is not laid out", "leave mass out of the limits, and weigh the boards of your own folding")
		return
	}
	c.unjudged(k, "weight", "the study does not say what the boards are", "give space with its panel and a material such as plywood, mdf or chipboard")
}

// unpriced says whose price is missing.
func (c *checker) unpriced(k Check) {
	who := c.drivers(func(d *driver.Driver) bool { return d.Data.Price == 0 })
	c.unjudged(k, "price", "no price is given in "+who, "give the price of "+who)
}

// walled says that a candidate has no box of its own.
func (m *meter) walled() bool { return m.sys.Spec.Kind == enclosure.InfiniteBaffle }

// shareWords is a share of a limit in words: "1.07 times".
func shareWords(x float64) string { return fmt.Sprintf("%s times", phys.Digits(x, 3)) }
