package study

import (
	"math"

	"basswright/internal/duct"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// asWorded is a box with a duct, or a network, as the candidate words it, so that what is
// told of a change of it can be entered word for word. Only what was looked for is as it
// was found: the length of a duct that is tuned, a quiet place, and the tuning of a port
// that has a length, which is then told in its place.
func (c *checker) asWorded() enclosure.Spec {
	s, made := c.o.Candidate.Enclosure.Apart(), &c.m.sys.Spec
	if s.Net == nil {
		if s.Line.Run.Tuning > 0 {
			s.Line.Run.Length, s.Line.Run.Tuning = made.Line.Run.Length, 0
		}
		if s.Line.Quiet {
			s.Line.Driver, s.Line.Quiet = made.Line.Driver, false
		}
		return s
	}
	for i := range s.Net.Parts {
		t := made.Net.Parts[i].Chamber.Tuning
		if p := &s.Net.Parts[i]; p.Kind == enclosure.NetPort && p.Chamber.Tuning == 0 && t > 0 {
			p.Chamber.Tuning, p.Chamber.Port.Length = t, 0
		}
	}
	return s
}

// changed is a box with k times the volumes and t times the tunings, and all that it
// changes in words; "" for what has nothing to change. Of ducts and networks every size
// is rounded to its words: the box that is tried is the one that is told.
func (c *checker) changed(s enclosure.Spec, k, t float64) (enclosure.Spec, string) {
	out := scaledBox(s, k, t)
	switch {
	case s.Kind.Distributed():
		return out, c.toldLine(&out, &s, 1/t, k*t)
	case s.Net != nil:
		return out, c.toldNet(out.Net, s.Net, 1/t, k*t)
	}
	return out, c.boxWords(out)
}

// size names a size and rounds it to that.
func (c *checker) size(v *float64, k phys.Kind) string {
	text := c.show(*v, k)
	if q, err := phys.Parse(text, k); err == nil {
		*v = q.SI
	}
	return text
}

// toldLine tells the duct of a kind and what belongs to it.
func (c *checker) toldLine(s, was *enclosure.Spec, long, wide float64) string {
	l, before := &s.Line, &was.Line
	words := []string{"a duct " + c.toldRun(&l.Run, &before.Run, long, wide)}
	if v := &l.Throat.Volume; *v != before.Throat.Volume {
		words = append(words, "a throat chamber of "+c.size(v, phys.Volume))
	}
	if v := &s.Rear.Volume; *v != was.Rear.Volume {
		words = append(words, "a rear chamber of "+c.size(v, phys.Volume))
	}
	switch {
	case s.Kind == enclosure.TappedWaveguide && long != 1:
		words = append(words, "front_at "+c.size(&l.Front, phys.Distance), "rear_at "+c.size(&l.Rear, phys.Distance))
	case s.Kind == enclosure.TransmissionLine && l.Driver != c.o.Candidate.Enclosure.Line.Driver:
		words = append(words, "driver_at "+c.size(&l.Driver, phys.Distance))
	}
	return list(append(words, c.toldFills(l.Fills, long)...), "and")
}

// toldRun tells the course of a duct. Of a profile it tells by how much its points are
// multiplied, which are too many to be told.
func (c *checker) toldRun(r, was *enclosure.Run, long, wide float64) string {
	switch {
	case len(r.Points) > 0:
		words := "with its profile’s"
		if long != 1 {
			words += " places times " + rounded(&long)
		}
		if wide != 1 {
			if long != 1 {
				words += " and"
			}
			words += " areas times " + rounded(&wide)
		}
		for i, p := range was.Points {
			r.Points[i] = duct.Point{X: p.X * long, Area: p.Area * wide}
		}
		return words
	case r.Flare == enclosure.FlareTractrix:
		return "from " + c.size(&r.Start, phys.Area) + " to " + c.size(&r.End, phys.Area) // its length follows
	case r.Start > 0:
		return "of " + c.size(&r.Length, phys.Distance) + " with " + c.size(&r.Start, phys.Area) + " to " + c.size(&r.End, phys.Area)
	}
	return "of " + c.size(&r.Length, phys.Distance) + " with " + c.size(&r.Area, phys.Area)
}

// rounded names a factor and rounds it to that.
func rounded(v *float64) string {
	step := math.Pow(10, math.Floor(math.Log10(*v))-2)
	*v = math.Round(*v/step) * step
	return phys.Digits(*v, 3)
}

// toldFills tells where fill lies that is not all along.
func (c *checker) toldFills(fills []duct.Filling, long float64) []string {
	var words []string
	for i := range fills {
		f := &fills[i]
		if long == 1 || f.From == 0 && f.To == 0 {
			continue
		}
		w := "fill"
		if f.From > 0 {
			w += " from " + c.size(&f.From, phys.Distance)
		}
		if f.To > 0 {
			w += " to " + c.size(&f.To, phys.Distance)
		}
		words = append(words, w)
	}
	return words
}

// toldNet tells the sizes of a network that are other than its candidate words them; ""
// for one of which nothing has changed.
func (c *checker) toldNet(net, was *enclosure.Net, long, wide float64) string {
	var words []string
	add := func(w string) { words = append(words, w) }
	worded := c.o.Candidate.Enclosure.Net
	for i := range net.Parts {
		p, before := &net.Parts[i], &worded.Parts[i]
		switch ch := &p.Chamber; p.Kind {
		case enclosure.NetChamber, enclosure.NetAbsorber:
			if ch.Volume != before.Chamber.Volume {
				add(p.Name + " " + c.size(&ch.Volume, phys.Volume))
			}
		case enclosure.NetPort:
			if ch.Tuning != before.Chamber.Tuning {
				add(p.Name + " at " + c.size(&ch.Tuning, phys.Frequency))
			}
		case enclosure.NetDuct:
			if long == 1 && wide == 1 {
				continue
			}
			add(p.Name + " " + c.toldRun(&p.Run, &was.Parts[i].Run, long, wide))
			for k := range p.Taps {
				if t := &p.Taps[k]; long != 1 {
					add(t.Place + " at " + c.size(&t.At, phys.Distance) + " along it")
				}
			}
			for _, w := range c.toldFills(p.Fills, long) {
				add("its " + w)
			}
		case enclosure.NetOpening:
			if p.Area != before.Area {
				add(p.Name + " " + c.size(&p.Area, phys.Area))
			}
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "this network with " + list(words, "and")
}
