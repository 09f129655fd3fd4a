package studyfile

import (
	"fmt"
	"slices"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// source is what lies between each channel and the parts.
func (b *builder) source(v *value) {
	b.study.Source = v.get("resistance").si()
	c := v.get("cable")
	if c == nil {
		return
	}
	cable := &study.Cable{Length: c.get("length").si(), Area: c.get("area").si(), Gauge: c.get("gauge").number(-1)}
	if cable.Gauge >= 0 {
		cable.Area = phys.GaugeArea(cable.Gauge)
	}
	if cable.Area > 0 { // else faulty, and told
		b.study.Cable = cable
	}
}

func (b *builder) amplifier(v *value) {
	rated := v.get("rated")
	if rated == nil {
		return
	}
	a := &study.Amplifier{
		Channels: v.get("channels").number(0), Bridged: v.get("bridged").word() == "true",
		Output: v.get("output_resistance").si(),
	}
	for _, r := range rated.rated {
		a.Rated = append(a.Rated, study.Rating{Load: r[0], Power: r[1]})
	}
	slices.SortFunc(a.Rated, func(p, q study.Rating) int {
		if p.Load < q.Load {
			return -1
		}
		return 1
	})
	b.study.Amplifier = a
	if o, r := v.get("output_resistance"), b.root.get("source").get("resistance"); o != nil && r != nil {
		b.add(o.node, "said-twice", "amplifier.output_resistance", "keep one of them, or write source: {cable: {length: 6 m, area: 2.5 mm2}} in place of its resistance",
			"output_resistance and the source’s resistance, which is that of cable and output together, say one thing in two ways")
	}
	if !a.Bridged {
		return
	}
	n := v.get("channels")
	if n == nil {
		b.fill("channels", "amplifier.channels", "the bridged amplifier has two channels", "write channels in amplifier to replace it")
		a.Channels = 2
	} else if n.n%2 != 0 {
		are := fmt.Sprintf("%d channels are no bridged pairs", n.n)
		if n.n == 1 {
			are = "1 channel is no bridged pair"
		}
		b.add(n.node, "out-of-range", "amplifier.channels", fmt.Sprintf("write channels: %d, or leave bridged out", n.n+1), "%s", are)
	}
}

// parts are the passive parts, in the order of the file.
func (b *builder) parts(v *value) {
	if v == nil {
		return
	}
	for _, n := range v.named {
		if n.value == nil || !b.sound("parts."+n.name) {
			continue
		}
		b.study.Parts = append(b.study.Parts, study.Part{Kind: n.value.word(), Part: enclosure.Part{
			Name: n.name, Across: n.value.get("in").word() == "across", Parallel: n.value.word() == "parallel_resonant",
			R: n.value.get("resistance").si(), L: n.value.get("inductance").si(), C: n.value.get("capacitance").si(),
		}})
	}
}

// outputs is how many loads the amplifier drives at once; 0: there is none.
func (b *builder) outputs() int {
	if b.study.Amplifier == nil {
		return 0
	}
	return b.study.Amplifier.Outputs()
}
