package enclosure

import "strings"

// EndSources is where the end corrections of a port are from, one clause for its
// two ends: "inner end free: …; outer end flanged: …".
func (p Port) EndSources() string {
	var out []string
	for _, e := range [...]struct {
		name string
		end  End
	}{{"inner", p.Inner}, {"outer", p.Outer}} {
		if e.end == EndFlanged {
			out = append(out, e.name+" end flanged: "+p.endSource(e.end))
		} else {
			out = append(out, e.name+" end free: "+p.endSource(e.end))
		}
	}
	return strings.Join(out, "; ")
}

// endSource names the formula of endCorrection.
func (p Port) endSource(e End) string {
	switch {
	case p.Shape == Slot && e == EndFlanged:
		return "the rectangular piston of Ingard 1953"
	case p.Shape == Slot:
		return "the rectangular piston of Ingard 1953 times 0.6133/0.8217, for want of a published value"
	case e == EndFlanged:
		return "0.8217 a, Nomura, Yamamura & Inawashiro 1960"
	}
	return "0.6133 a, Levine & Schwinger 1948"
}
