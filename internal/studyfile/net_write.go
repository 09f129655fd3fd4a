package studyfile

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"basswright/internal/duct"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// AsNetwork is the study with one of its candidates alone, whose enclosure is worded
// as a network. sys is the candidate as it was built: every size that it was worded
// by a tuning, an alignment or a total Q is in the network as a number. Numbers are
// written so that a reader makes the same of them, to the last bit.
func (f *File) AsNetwork(ctx context.Context, st *study.Study, i int, sys *enclosure.System) (*File, error) {
	var changes []Change
	for k, c := range st.Candidates {
		if k != i {
			changes = append(changes, Change{Do: "remove", Path: "candidates." + c.Name})
		}
	}
	changes = append(changes, Change{Do: "set", Path: "candidates." + st.Candidates[i].Name + ".enclosure", Value: NetworkWords(sys)})
	return f.Edit(ctx, changes)
}

// NetworkWords is a candidate’s enclosure worded as a network: what [File.AsNetwork] sets.
func NetworkWords(sys *enclosure.System) string {
	return netYAML(sys.AsNet()) + baffleYAML(sys.NetBaffle())
}

// netYAML is a network as it stands in a file.
func netYAML(n *enclosure.Net) string {
	var b strings.Builder
	fmt.Fprintf(&b, "kind: network\nfront: %s\nrear: %s\n", n.Front, n.Rear)
	if len(n.Parts) > 0 {
		b.WriteString("parts:\n")
	}
	for i := range n.Parts {
		fmt.Fprintf(&b, "  - %s\n", netPartYAML(&n.Parts[i]))
	}
	return b.String()
}

// baffleYAML is a baffle as it stands in a file.
func baffleYAML(f *enclosure.Baffle) string {
	if f == nil {
		return ""
	}
	var out pairs
	if len(f.Cones) > 0 {
		var cones []string
		for _, c := range f.Cones {
			cones = append(cones, spotYAML(c))
		}
		out.word("cones", "["+strings.Join(cones, ", ")+"]")
	}
	var parts pairs
	for _, name := range slices.Sorted(maps.Keys(f.At)) {
		parts.word(name, spotYAML(f.At[name]))
	}
	out.inside("parts", parts)
	return "baffle: " + out.braces() + "\n"
}

func spotYAML(s enclosure.Spot) string {
	return pairs{"x: " + exactly(s.X, phys.Distance), "y: " + exactly(s.Y, phys.Distance)}.braces()
}

// pairs are keys with values on one line.
type pairs []string

func (p *pairs) word(key, value string) {
	if value != "" {
		*p = append(*p, key+": "+value)
	}
}

func (p *pairs) size(key string, v float64, k phys.Kind) {
	if v != 0 {
		p.word(key, exactly(v, k))
	}
}

func (p pairs) braces() string { return "{" + strings.Join(p, ", ") + "}" }

func (p *pairs) inside(key string, inner pairs) {
	if len(inner) > 0 {
		p.word(key, inner.braces())
	}
}

func netPartYAML(p *enclosure.NetPart) string {
	var out pairs
	out.word("kind", p.Kind.String())
	if p.Kind != enclosure.NetDrivers {
		out.word("name", p.Name)
	}
	if p.B == "" {
		out.word("at", p.A)
	} else if p.Kind != enclosure.NetDrivers {
		out.word("between", "["+p.A+", "+p.B+"]")
	}
	switch p.Kind {
	case enclosure.NetChamber:
		out.size("volume", p.Chamber.Volume, phys.Volume)
		out.inside("losses", lossPairs(&p.Chamber.Losses))
		if f := p.Chamber.Fill; f.Share > 0 {
			out.inside("fill", append(fillPairs(&f.Fill), "share: "+exactly(f.Share, phys.Ratio)))
		}
	case enclosure.NetPort:
		out.inside("port", portPairs(&p.Chamber.Port))
		if p.Chamber.Port.Shape == enclosure.NoPort || p.Chamber.Port.Length == 0 {
			out.size("tuning", p.Chamber.Tuning, phys.Frequency)
		}
		out.inside("losses", lossPairs(&p.Chamber.Losses))
	case enclosure.NetDuct:
		out.inside("duct", runPairs(&p.Run))
		var taps []string
		for _, t := range p.Taps {
			taps = append(taps, pairs{"at: " + exactly(t.At, phys.Length), "place: " + t.Place}.braces())
		}
		if len(taps) > 0 {
			out.word("taps", "["+strings.Join(taps, ", ")+"]")
		}
		var fills []string
		for i := range p.Fills {
			f := &p.Fills[i]
			one := fillPairs(&f.Fill)
			one.size("from", f.From, phys.Length)
			one.size("to", f.To, phys.Length)
			fills = append(fills, one.braces())
		}
		if len(fills) > 0 {
			out.word("fill", "["+strings.Join(fills, ", ")+"]")
		}
	case enclosure.NetOpening:
		out.size("area", p.Area, phys.Area)
		out.size("width", p.Width, phys.Length)
		out.word("mouth", mouthPairs(p.Mouth))
	case enclosure.NetDiaphragm:
		out.inside("radiator", radiatorPairs(&p.Radiator))
	case enclosure.NetLeak, enclosure.NetAbsorber:
		if s := p.Sheet; s.Area > 0 {
			out.size("resistivity", s.Resistivity, phys.FlowResistivity)
			out.size("thickness", s.Thickness, phys.Length)
			out.size("area", s.Area, phys.Area)
		} else {
			out.size("resistance", p.Resist, phys.AcousticResistance)
		}
		out.size("volume", p.Chamber.Volume, phys.Volume)
	case enclosure.NetDrivers:
		out.word("position", strconv.Itoa(p.Position))
		out.word("between", "["+p.A+", "+p.B+"]")
	}
	return out.braces()
}

// lossPairs are the losses that there are, with where they hold.
func lossPairs(l *enclosure.Losses) (out pairs) {
	for _, one := range []struct {
		key  string
		loss enclosure.Loss
	}{{"leakage", l.Leakage}, {"absorption", l.Absorption}, {"port", l.Port}} {
		if one.loss.State == enclosure.LossGiven {
			out.size(one.key, one.loss.Q, phys.Number)
		}
	}
	if len(out) > 0 {
		out.size("at", l.At, phys.Frequency)
	}
	return out
}

func fillPairs(f *duct.Fill) (out pairs) {
	out.size("resistivity", f.Resistivity, phys.FlowResistivity)
	if f.Density > 0 {
		out.size("packing", f.Density, phys.Density)
		out.word("frame", "limp")
	}
	if f.Model == duct.Miki {
		out.word("model", "miki")
	}
	return out
}

func portPairs(p *enclosure.Port) (out pairs) {
	switch p.Shape {
	case enclosure.NoPort:
		return nil
	case enclosure.Round:
		out.size("diameter", p.Diameter, phys.Length)
	case enclosure.Slot:
		out.size("width", p.Width, phys.Length)
		out.size("height", p.Height, phys.Length)
	case enclosure.AreaOnly:
		out.size("area", p.Area, phys.Area)
	}
	out.size("length", p.Length, phys.Length)
	if p.Count > 1 {
		out.word("count", strconv.Itoa(p.Count))
	}
	out.word("inner_end", endWord(p.Inner))
	out.word("outer_end", endWord(p.Outer))
	out.size("flare", p.Flare, phys.Length)
	return out
}

func endWord(e enclosure.End) string {
	return [...]string{"", "flanged", "free"}[e]
}

func mouthPairs(m enclosure.Mouth) string {
	if m.End == enclosure.EndUnset {
		return ""
	}
	out := pairs{"end: " + endWord(m.End)}
	out.word("load", [...]string{"", "pipe", "piston"}[m.Load])
	return out.braces()
}

func radiatorPairs(r *enclosure.Radiator) (out pairs) {
	out.size("sd", r.Sd, phys.Area)
	out.size("mms", r.Mms, phys.Mass)
	out.size("cms", r.Cms, phys.Compliance)
	out.size("rms", r.Rms, phys.MechanicalResistance)
	out.size("added_mass", r.AddedMass, phys.Mass)
	if r.Count > 1 {
		out.word("count", strconv.Itoa(r.Count))
	}
	out.size("xmax", r.Xmax, phys.Length)
	out.size("mounting_depth", r.Depth, phys.Length)
	return out
}

func runPairs(r *enclosure.Run) (out pairs) {
	switch {
	case len(r.Points) > 0:
		var points []string
		for _, p := range r.Points {
			points = append(points, pairs{"at: " + exactly(p.X, phys.Length), "area: " + exactly(p.Area, phys.Area)}.braces())
		}
		out.word("profile", "["+strings.Join(points, ", ")+"]")
		if r.Flare != enclosure.FlareCone {
			out.word("between", r.Flare.String())
		}
	case r.Start > 0:
		if r.Flare != enclosure.FlareTractrix {
			out.size("length", r.Length, phys.Length)
		}
		out.size("start", r.Start, phys.Area)
		out.size("end", r.End, phys.Area)
		out.word("flare", r.Flare.String())
		if r.Flare == enclosure.FlareHyperbolic {
			out.word("t", exactly(r.T, phys.Number))
		}
	default:
		out.size("length", r.Length, phys.Length)
		out.size("area", r.Area, phys.Area)
	}
	out.size("width", r.Section.Width, phys.Length)
	out.size("aspect", r.Section.Aspect, phys.Number)
	if r.BareJumps {
		out.word("jumps", "plain")
	}
	var taken []string
	for _, t := range r.Taken {
		taken = append(taken, pairs{"from: " + exactly(t.From, phys.Length), "to: " + exactly(t.To, phys.Length), "volume: " + exactly(t.Volume, phys.Volume)}.braces())
	}
	if len(taken) > 0 {
		out.word("taken", "["+strings.Join(taken, ", ")+"]")
	}
	return out
}

// siUnit is the unit in which any number can be written exactly: its factor is 1.
var siUnit = map[phys.Kind]string{
	phys.Number: "", phys.Volume: "m3", phys.Area: "m2", phys.Length: "m", phys.Mass: "kg", phys.Frequency: "Hz",
	phys.Compliance: "m/N", phys.MechanicalResistance: "kg/s", phys.FlowResistivity: "Pa s/m2", phys.AcousticResistance: "Pa s/m3",
	phys.Density: "kg/m3", phys.Ratio: "%", phys.Distance: "m",
}

// usual is the unit in which a person would write it.
var usual = map[phys.Kind]struct {
	name string
	per  float64
}{
	phys.Volume: {"L", 1e3}, phys.Area: {"cm2", 1e4}, phys.Length: {"mm", 1e3}, phys.Mass: {"g", 1e3},
	phys.Compliance: {"mm/N", 1e3}, phys.Ratio: {"%", 1e2}, phys.Distance: {"cm", 1e2},
}

// exactly writes a size so that it is read as the same number: in the usual unit
// where that can be, in few digits where they do.
func exactly(v float64, k phys.Kind) string {
	try := func(x float64, digits int, unit string) (string, bool) {
		text := strconv.FormatFloat(x, 'g', digits, 64)
		if x, err := strconv.ParseFloat(text, 64); err == nil { // without a power of ten
			text = strconv.FormatFloat(x, 'f', -1, 64)
		}
		if unit != "" {
			text += " " + unit
		}
		q, err := phys.Parse(text, k)
		return text, err == nil && math.Float64bits(q.SI) == math.Float64bits(v)
	}
	if u, ok := usual[k]; ok {
		for _, digits := range []int{12, 17} {
			if text, ok := try(v*u.per, digits, u.name); ok {
				return text
			}
		}
	}
	for _, digits := range []int{12, 15} {
		if text, ok := try(v, digits, siUnit[k]); ok {
			return text
		}
	}
	if k == phys.Ratio { // no unit of it has a factor of 1: the nearest that is read
		text, _ := try(100*v, 17, "%")
		return text
	}
	text, _ := try(v, -1, siUnit[k])
	return text
}
