package studyfile

import (
	"maps"
	"slices"

	"basswright/internal/phys"
	listener "basswright/internal/place"
)

// A reading is what a file has been found to be, for files that share most of its nodes: they
// may be read by others at once, so that nothing in it changes. Studies share what they take
// from it, and nobody writes to that. It knows nothing of what its file was itself tried from,
// so that tries of tries keep no more than the last.
type reading struct {
	values map[*node]*value // what its nodes are; none where the walk tells a fault
	made   *builder         // what was made of them alone; nil where that tells a fault
}

// reading is that of the file, made once.
func (f *File) reading() *reading {
	if f.found == nil {
		f.found = &reading{values: map[*node]*value{}}
		if root, said := f.tree(), f.said.copy(); root != nil {
			v := walker{faults: said, keep: f.found.values}.value(root, studyForm, "")
			if len(said.list) > 0 {
				clear(f.found.values)
				return f.found
			}
			b := newBuilder(said, v)
			b.alone = true
			if b.build(); said.count() == 0 {
				f.found.made = b
			}
		}
	}
	return f.found
}

// again reports whether a name of a register was in the file that this one was tried from,
// at the same place and with all that stands below it: values that are one are of one node,
// and a node that moves is another. There are as many as before, as a try puts one scalar in
// place of another. Only what is sound so far rests on what was.
func (b *builder) again(register string, k int) bool {
	return b.was != nil && b.count() == 0 && b.root.get(register).named[k] == b.was.root.get(register).named[k]
}

// readBy is what a sheet is read by, beside its own keys.
type readBy struct {
	units   phys.System
	climate listener.Climate // zero: none is stated
}

func (b *builder) readBy() readBy {
	by := readBy{units: b.study.Units}
	if at := b.study.Listening.At; at != nil && at.Climate != nil {
		by.climate = *at.Climate
	}
	return by
}

// driverAgain takes a driver as it was, with all that making it leaves behind.
func (b *builder) driverAgain(k int, n namedValue) bool {
	if !b.again("drivers", k) || b.readBy() != b.was.readBy() {
		return false
	}
	d := b.was.study.Drivers[k] // no fault: all are there
	b.drivers[n.name] = d.Driver
	b.study.Drivers = append(b.study.Drivers, d)
	b.prices.take(n.value.get("price"), "drivers."+n.name+".price")
	return true
}

// A making is what making a candidate has left behind.
type making struct {
	walls    [2]bool // whether their loss had been told, before and after
	from, to int     // its findings among those of the study
	own      ownDigests
}

// groupsAgain reports whether candidates are worded by what they were worded by, beside their
// own keys. The key of the model has a part in it, as a finding may stand there.
func (b *builder) groupsAgain() bool {
	if b.was == nil || b.study.Units != b.was.study.Units || b.outputs() != b.was.outputs() || !maps.Equal(b.drivers, b.was.drivers) {
		return false
	}
	model, _ := b.root.node.find("model")
	was, _ := b.was.root.node.find("model")
	return model == was
}

// candidateAgain takes a candidate as it was, but for what surrounds it.
func (b *builder) candidateAgain(k int) bool {
	if !b.again("candidates", k) || b.was.made[k].walls[0] != b.wallsTold {
		return false
	}
	m, c := b.was.made[k], b.was.study.Candidates[k]
	b.study.Findings = append(b.study.Findings, b.was.study.Findings[m.from:m.to]...)
	b.wallsTold = m.walls[1]
	if b.around != b.was.around {
		b.around.digests(&c, m.own)
	}
	b.study.Candidates = append(b.study.Candidates, c)
	return true
}

// aroundAgain reports whether nothing but candidates has changed.
func (b *builder) aroundAgain() bool {
	return b.was != nil && b.measured == "" && slices.EqualFunc(b.root.node.entries, b.was.root.node.entries, func(e, was entry) bool {
		return e == was || e.key == "candidates" && was.key == e.key
	})
}
