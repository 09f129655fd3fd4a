package study

import (
	"basswright/internal/filter"
)

// SectionNames name the filter that each section of a chain, made digital, is part
// of: of the study's filters and of one added behind them. All of their gain and
// polarity is one section in front, which has the names of all that have a part in it.
func (st *Study) SectionNames(c *filter.Chain, added string) []string {
	out := []string{}
	if c.Gain != 0 || c.Reversed {
		var of []string
		for _, f := range st.Filters {
			if f.Chain.Gain != 0 || f.Chain.Reversed {
				of = append(of, f.Name)
			}
		}
		out = append(out, list(of, "and"))
	}
	first := len(out)
	for _, f := range st.Filters {
		for range f.Chain.Sections {
			out = append(out, f.Name)
		}
	}
	for len(out)-first < len(c.Sections) {
		out = append(out, added)
	}
	return out
}
