package studyfile

import (
	"errors"

	"basswright/internal/filter"
	"basswright/internal/study"
)

// filters are the line-level filters, in the order of the file.
func (b *builder) filters(v *value) {
	if v == nil {
		return
	}
	chains := []filter.Chain{}
	for _, n := range v.named {
		path := "filters." + n.name
		if n.value == nil || !b.sound(path) {
			continue
		}
		c, err := chain(n.value)
		if err != nil {
			b.unfiltered(err, n.value, path)
			continue
		}
		chains = append(chains, c)
		b.study.Filters = append(b.study.Filters, study.Filter{Name: n.name, Kind: n.value.word(), Chain: c})
	}
	all, err := filter.Join(chains...)
	if err != nil {
		b.unfiltered(err, v, "filters")
		return
	}
	if err := all.Sensible(); err != nil {
		b.unfiltered(err, v, "filters")
		return
	}
	b.study.Chain = all
}

// unfiltered tells a filter that cannot be.
func (b *builder) unfiltered(err error, v *value, path string) {
	var e *filter.Error
	if errors.As(err, &e) {
		if e.Key == "boost" {
			e = &filter.Error{Key: e.Key, Reason: e.Reason, Mend: "bring to_fc nearer to fc, or lower to_qtc, until it is at most 60 dB"}
		}
		b.add(v.node, "bad-filter", path, e.Mend, "%s: %s", e.Key, e.Reason)
	}
}

// chain is one filter.
func chain(v *value) (filter.Chain, error) {
	at := v.get("at").si()
	families := map[string]filter.Family{"butterworth": filter.Butterworth, "bessel": filter.Bessel, "linkwitz_riley": filter.LinkwitzRiley}
	switch v.word() {
	case "highpass":
		return filter.HighPass(families[v.get("family").word()], v.get("order").number(0), at)
	case "lowpass":
		return filter.LowPass(families[v.get("family").word()], v.get("order").number(0), at)
	case "resonant_highpass":
		return filter.HighPassQ(at, v.get("q").si())
	case "resonant_lowpass":
		return filter.LowPassQ(at, v.get("q").si())
	case "bell", "low_shelf", "high_shelf":
		return equalised(v)
	case "gain":
		return filter.Gain(v.get("gain").si())
	case "allpass":
		if q := v.get("q"); q != nil {
			return filter.AllPassQ(at, q.si())
		}
		return filter.AllPass(at)
	case "delay":
		return filter.Delay(v.get("time").si())
	case "invert":
		return filter.Reverse(), nil
	}
	c, _, err := filter.PoleZero(v.get("fc").si(), v.get("qtc").si(), v.get("to_fc").si(), v.get("to_qtc").si())
	return c, err
}

// equalised is a bell or a shelf.
func equalised(v *value) (filter.Chain, error) {
	at, gain, q := v.get("at").si(), v.get("gain").si(), v.get("q").si()
	var err error
	if w := v.get("bandwidth"); w != nil {
		q, err = filter.BandwidthQ(w.si())
	} else if w := v.get("slope"); w != nil {
		q, err = filter.ShelfQ(gain, w.si())
	}
	if err != nil {
		return filter.Chain{}, err
	}
	switch v.word() {
	case "bell":
		return filter.Peak(at, q, gain)
	case "low_shelf":
		return filter.LowShelf(at, q, gain)
	}
	return filter.HighShelf(at, q, gain)
}
