package study

import (
	"fmt"
	"math"

	"basswright/internal/airflow"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// room says whether a least port has room, and what else can be done: each was
// worked out, and what would not fit either is not told.
func (m *meter) room(o *Outcome, v *vent, n airflow.Need, fit airflow.Fit, out *LeastPort) {
	built, why := m.fitted(v, out.Port)
	out.Fits, out.Why = built && len(fit.Troubles) == 0, why
	if out.Fits {
		return
	}
	if out.Why == "" {
		switch fit.Troubles[0] {
		case airflow.TooLong:
			out.Why = "it is longer than the box is deep"
		case airflow.TooBig:
			out.Why = "it takes more room than there is"
		case airflow.PipeModeNear:
			out.Why = "its own resonance lies below twice the tuning"
		}
	}
	widest, bears, less := m.widest(v, n, fit)
	for _, r := range fit.Remedies {
		if r.Kind == airflow.LessPower && less { // else a straight port is no limit: the one that is there has room
			continue
		}
		if s := m.remedyWords(v, out.Port, r); s != "" {
			out.Instead = append(out.Instead, s)
		}
	}
	if less && (bears < nearlyAll || len(out.Instead) == 0) { // else what is told already is that port
		out.Instead = append(out.Instead, m.lessWords(widest, bears))
	}
	out.Instead = append(out.Instead, m.radiatorWords(n.Flow/(2*math.Pi*n.Frequency)))
}

// remedyWords tells a port in place of a least one that has no room; "" for one
// that has none either, and for what is no port.
func (m *meter) remedyWords(v *vent, least enclosure.Port, r airflow.Remedy) string {
	if r.Kind == airflow.Radiator {
		return ""
	}
	p := portOf(least, r.Section, r.Length)
	if r.Kind == airflow.Flare {
		p.Flare = r.Edge
	}
	if ok, _ := m.fitted(v, p); !ok {
		return ""
	}
	size := m.portWords(p)
	switch r.Kind {
	case airflow.Flare:
		return fmt.Sprintf("with its ends rounded to %s it is %s and fits", phys.Show(r.Edge, phys.Length, m.st.Units), size)
	case airflow.Fold:
		return "led around a corner it has room"
	case airflow.ToSlot:
		return size + " along a wall fits"
	}
	return m.lessWords(p, r.Power)
}

// mostRadiator is how far passive radiators go one way, m (common practice, no
// source).
const mostRadiator = 30e-3

// radiatorWords tells a passive radiator in a port's place that moves a volume of
// air, m³, to either side, by how far one of the area of the cones would travel.
func (m *meter) radiatorWords(moved float64) string {
	area, cones := 0.0, 0
	for i := range m.sys.Cones {
		if m.sys.Cones[i].Depth == 0 {
			area, cones = area+m.sys.Cones[i].Sd, cones+1
		}
	}
	whose := "the cone"
	if cones > 1 {
		whose = "the " + Count(cones) + " cones"
	}
	show := func(x float64, k phys.Kind) string { return phys.Show(x, k, m.st.Units) }
	travel := moved / area
	s := fmt.Sprintf("a passive radiator in its place moves %s to either side: with the area of %s, %s, that is a travel of %s one way", show(moved, phys.Volume), whose, show(area, phys.Area), show(travel, phys.Length))
	if travel > mostRadiator {
		s += fmt.Sprintf(", more than the %s that radiators go, so that it has to be larger", phys.Brief(mostRadiator, phys.Length, m.st.Units))
	}
	return s
}

// nearlyAll is the share of the power from which a port that bears it is as good as
// one that bears all: 0.1 dB.
const nearlyAll = 0.977

func (m *meter) lessWords(p enclosure.Port, power float64) string {
	return fmt.Sprintf("the widest that has room, %s, holds with the level turned down by %s\u2009dB", m.portWords(p), phys.Fixed(math.Ceil(-100*math.Log10(power))/10, 1))
}

// widest is the widest port between the one that is there and the least one that
// has room, and the share of the power that it bears.
func (m *meter) widest(v *vent, n airflow.Need, fit airflow.Fit) (enclosure.Port, float64, bool) {
	has, wants := v.facts.Port.Bore(), fit.Section
	// What is told has three digits: the size is cut to them, so that it fits as told.
	size := func(t float64) enclosure.Port {
		mix := func(a, b float64) float64 { return cutDigits(a + t*(b-a)) }
		return portOf(v.facts.Port, airflow.Section{Diameter: mix(has.Diameter, wants.Diameter), Width: mix(has.Width, wants.Width), Height: mix(has.Height, wants.Height)}, 0)
	}
	if ok, _ := m.fitted(v, size(0)); !ok { // the one that is there has no room: begin with next to nothing
		has = airflow.Section{Diameter: wants.Diameter / 100, Width: wants.Width, Height: wants.Height / 100}
		if ok, _ := m.fitted(v, size(0)); !ok {
			return enclosure.Port{}, 0, false
		}
	}
	low, high := 0.0, 1.0
	for range 12 {
		mid := (low + high) / 2
		if ok, _ := m.fitted(v, size(mid)); ok {
			low = mid
		} else {
			high = mid
		}
	}
	p := size(low)
	flow, err := p.Airflow(m.st.Air)
	if err != nil {
		return p, 0, false
	}
	limit := n.Speed
	if limit == 0 {
		limit, _ = flow.Limit(n.Frequency)
	}
	share := limit * flow.Area() * float64(n.Count) / n.Flow
	return p, share * share, share < 1
}

// cutDigits is x without what follows its third digit.
func cutDigits(x float64) float64 {
	if !(x > 0) {
		return x
	}
	unit := math.Pow(10, math.Floor(math.Log10(x))-2)
	return math.Floor(x/unit*(1+1e-12)) * unit
}

// holeLength is the length, m, below which a port has none that could be cut.
const holeLength = 0.5e-3

// portWords is a port's size and length in words: "two of 132 mm, 412 mm long".
func (m *meter) portWords(p enclosure.Port) string {
	show := func(x float64) string { return phys.Show(x, phys.Length, m.st.Units) }
	var s string
	switch p.Shape {
	case enclosure.Slot:
		s = fmt.Sprintf("a slot of %s × %s", show(p.Width), show(p.Height))
		if p.Count > 1 {
			s = fmt.Sprintf("%s slots of %s × %s", Count(p.Count), show(p.Width), show(p.Height))
		}
	case enclosure.AreaOnly:
		s = phys.Show(p.Area, phys.Area, m.st.Units) + " each"
	default:
		s = "a port of " + show(p.Diameter)
		if p.Count > 1 {
			s = fmt.Sprintf("%s ports of %s", Count(p.Count), show(p.Diameter))
		}
	}
	if p.Length > 0 {
		if p.Length < holeLength {
			return s + ", a mere hole"
		}
		s += ", " + show(p.Length) + " long"
	}
	return s
}
