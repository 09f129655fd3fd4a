package variant

import (
	"basswright/internal/enclosure"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// startNetwork is the candidate as it is, in the parts of a network.
func (d draft) startNetwork() (draft, string, bool) {
	e := d.fresh()
	e.box = enclosure.Spec{Kind: enclosure.Network, Net: d.sys.AsNet(), Baffle: d.sys.NetBaffle()}
	e.set("enclosure", studyfile.NetworkWords(d.sys))
	n := len(e.box.Net.Parts)
	parts := study.Count(n) + " parts between named places"
	switch n {
	case 0:
		parts = "no parts: the cone looks before the wall and behind it"
	case 1:
		parts = "one part"
	}
	return e, "the enclosure as it is, in " + parts, true
}
