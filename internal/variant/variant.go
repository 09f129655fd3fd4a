// Package variant knows what else a candidate could be: the variations of its
// group and box that are one step away, and the next candidates worth a look.
// It says each as changes of the study's file and builds the network of each
// before it offers it, so that what is offered can be computed.
package variant

import (
	"slices"

	"basswright/internal/enclosure"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A Variant is one way to vary a candidate, or a candidate to add.
type Variant struct {
	ID      string             `json:"id"`                // "wiring-series"; unique in its list, the same for the same study
	Sort    string             `json:"sort"`              // mounting, arrangement, wiring, polarity, box; of a next candidate also size
	Words   string             `json:"words"`             // one short clause, true of what the changes make
	Why     string             `json:"why,omitempty"`     // how it was sized, where that takes more than a clause
	Current bool               `json:"current"`           // the candidate is this already; there are no changes
	Changes []studyfile.Change `json:"changes,omitempty"` // of the study's file, in order
	Name    string             `json:"name,omitempty"`    // of a next candidate: what the changes call it
	From    string             `json:"from,omitempty"`    // of a next candidate: the one that it is a copy of
}

// The sorts of variants, in the order in which they are listed.
const (
	Mounting    = "mounting"
	Arrangement = "arrangement"
	Wiring      = "wiring"
	Polarity    = "polarity"
	Box         = "box"
	Size        = "size"
)

// Of lists the variations of candidate i of a study, sort by sort, the
// candidate's own among them. A sort that has only one is left out.
func Of(st *study.Study, i int) []Variant { return of(st, i, enclosure.Kinds()) }

// Quick lists them without enclosures whose work a duct does, but for the candidate's
// own: to size those takes several times as long as all the others.
func Quick(st *study.Study, i int) []Variant {
	return of(st, i, slices.DeleteFunc(enclosure.Kinds(), enclosure.Kind.Distributed))
}

func of(st *study.Study, i int, kinds []enclosure.Kind) []Variant {
	d, ok := draftOf(st, i)
	if !ok {
		return nil
	}
	return several(append(d.grouped(), d.boxes(kinds)))
}

// grouped are the variations of the group, sort by sort.
func (d draft) grouped() [][]Variant {
	return [][]Variant{d.mountings(), d.arrangements(), d.wirings(), d.polarities()}
}

// several are the lists with more to choose than what is there already.
func several(lists [][]Variant) []Variant {
	var out []Variant
	for _, list := range lists {
		if len(list) > 1 || len(list) == 1 && !list[0].Current {
			out = append(out, list...)
		}
	}
	return out
}
