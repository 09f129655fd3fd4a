package studyfile

import (
	"slices"
	"strings"
)

// remove takes an entry away, and with it what would be left empty.
func (e *editor) remove() (*doc, *EditError) {
	if e.target.value() == nil {
		return nil, e.refuse("is not there", "read the file again")
	}
	t := e.emptied()
	h, i := t.holder(), t.at[len(t.at)-1]
	var cuts []cut
	switch {
	case len(h.parts) == 1 && len(t.at) == 1:
		return nil, e.refuse("is the last key of the study", "remove the file instead")
	case len(h.parts) == 1:
		cuts = e.replace(&t.chain[len(t.chain)-2].parts[t.at[len(t.at)-2]], draft{means: &spot{shape: h.shape}, line: map[shape]string{shapeMap: "{}", shapeList: "[]"}[h.shape]})
	case h.style == styleFlow:
		cuts = e.removeInBrackets(h, i)
	default:
		cuts = e.removeLines(h, i)
	}
	return e.finish(cuts, without(e.root, t.at))
}

// emptied is the place to remove: the one that is named, or what holds it and
// nothing else, if that may be left out.
func (e *editor) emptied() *target {
	t := *e.target
	for n := len(t.at); n > 1 && len(t.chain[n-1].parts) == 1; n-- {
		item := t.chain[n-2].shape == shapeList
		if k := t.keys[n-2]; !item && (k == nil || k.required) {
			break
		}
		t.chain, t.at, t.forms, t.keys = t.chain[:n-1], t.at[:n-1], t.forms[:n], t.keys[:n-1]
	}
	return &t
}

// removeInBrackets takes an entry out of braces or brackets, with its comma.
func (e *editor) removeInBrackets(h *spot, i int) []cut {
	p := &h.parts[i]
	comma := e.comma(p)
	end := p.end()
	if comma >= 0 {
		end = comma + 1
	}
	from := e.lineStart(p.start)
	if rest := strings.TrimLeft(string(e.data[end:e.lineEnd(end)]), " \t"); strings.TrimLeft(string(e.data[from:p.start]), " ") == "" &&
		(rest == "" || rest[0] == '#') && from > e.lineStart(h.start) {
		return []cut{{from, e.nextLine(end), ""}} // on a line of its own
	}
	if i+1 < len(h.parts) {
		for end < len(e.data) && e.data[end] == ' ' {
			end++
		}
		return []cut{{p.start, end, ""}}
	}
	before := e.comma(&h.parts[i-1])
	if comma >= 0 || before < 0 {
		end, before = p.end(), h.parts[i-1].end()
		return []cut{{before, end, ""}}
	}
	if strings.TrimLeft(string(e.data[before+1:p.start]), " ") == "" {
		return []cut{{h.parts[i-1].end(), p.end(), ""}}
	}
	return []cut{{before, before + 1, ""}, {p.start, p.end(), ""}} // a comment stands between
}

// removeLines takes the lines of an entry away.
func (e *editor) removeLines(h *spot, i int) []cut {
	p := &h.parts[i]
	from, end := e.lineStart(p.start), e.extent(p)
	if strings.TrimLeft(string(e.data[from:p.start]), " ") != "" { // "- key: value"
		next := h.parts[i+1].start
		if strings.TrimSpace(string(e.data[end:next])) == "" {
			return []cut{{p.start, next, ""}}
		}
		return []cut{{len(strings.TrimRight(string(e.data[:p.start]), " ")), end, ""}}
	}
	if next := e.nextLine(end); next > end {
		return []cut{{from, next, ""}}
	}
	// the last line of a file that does not end its last line
	back := from
	for n := 0; back > 0 && n < 2 && (e.data[back-1] == '\n' && n == 0 || e.data[back-1] == '\r'); n++ {
		back--
	}
	return []cut{{back, end, ""}}
}

// rename changes a key; that of a driver wherever it is named.
func (e *editor) rename() (*doc, *EditError) {
	t, name := e.target, e.change.Name
	p := t.part()
	if err := e.newName(); err != nil {
		return nil, err
	}
	w := wording{inFlow: t.holder().style == styleFlow}
	if p.keyQuoted {
		w.style = styleDouble
		if e.data[p.start] == '\'' {
			w.style = styleSingle
		}
	}
	cuts := []cut{{p.start, p.keyEnd, w.written(name)}}
	want := changed(e.root, t.at, func(h *spot, i int) { h.parts[i].key = name })
	if old, ok := t.driver(); ok {
		names := map[*spot]*spot{}
		for _, r := range references(e.root, old) {
			in := wording{style: r.name.style, inFlow: r.flow}
			cuts = append(cuts, cut{r.name.start, r.name.end, in.written(name)})
			names[r.name] = &spot{shape: shapeScalar, text: name}
		}
		want = swapped(want, names)
	}
	return e.finish(cuts, want)
}

// newName checks the name that rename and copy give.
func (e *editor) newName() *EditError {
	t, name := e.target, e.change.Name
	if t.value() == nil {
		return e.refuse("is not there", "read the file again")
	}
	h := t.holder()
	if h.shape != shapeMap {
		return e.refuse("is an item of a list, which has no name", "set it instead")
	}
	if f := t.forms[len(t.chain)-1]; f != nil && f.what == aRegister {
		if err := e.badEntry(name, f.noun); err != nil {
			return err
		}
	}
	if name == "" || !oneLine(name) {
		return e.refuse("is given no name", "name it")
	}
	if n := h.find(name); n >= 0 {
		return e.refuse("cannot be named so: "+shown(name)+" stands beside it already", "take another name")
	}
	return nil
}

// copy adds an entry behind the one named, with all its lines. A candidate's
// colour and dash are those of its place, so a copy of one goes behind all: no
// other changes its looks.
func (e *editor) copy() (*doc, *EditError) {
	t, name := e.target, e.change.Name
	if err := e.newName(); err != nil {
		return nil, err
	}
	h, last, p := t.holder(), t.at[len(t.at)-1], t.part()
	if _, ok := t.candidate(); ok {
		last = len(h.parts) - 1
	}
	behind := h.parts[last]
	var cuts []cut
	if h.style == styleFlow {
		text := ", " + keyText(name, true) + string(e.data[p.keyEnd:p.end()])
		cuts = []cut{{behind.end(), behind.end(), text}}
	} else {
		end := e.extent(&behind)
		text := e.eol + strings.Repeat(" ", e.column(p.start)) + keyText(name, false) + string(e.data[p.keyEnd:e.extent(p)])
		cuts = []cut{{end, end, text}}
	}
	return e.finish(cuts, changed(e.root, t.at, func(h *spot, _ int) {
		h.parts = slices.Insert(h.parts, last+1, part{key: name, value: p.value})
	}))
}

// move puts an entry at another index among its siblings. Each entry has a
// slot: its lines with the comments directly above, or its text in brackets.
// What stands between the slots stays.
func (e *editor) move() (*doc, *EditError) {
	t := e.target
	if t.value() == nil {
		return nil, e.refuse("is not there", "read the file again")
	}
	h, from, to := t.holder(), t.at[len(t.at)-1], e.change.To
	if to < 0 || to >= len(h.parts) {
		return nil, e.refuse("cannot be moved there", "give an index among its siblings, counted from 0")
	}
	order := make([]int, len(h.parts))
	for i := range order {
		order[i] = i
	}
	order = slices.Insert(slices.Delete(order, from, from+1), to, from)
	slots := e.slots(h, len(t.at) == 1)
	var cuts []cut
	for i, k := range order {
		if i != k {
			cuts = append(cuts, cut{slots[i][0], slots[i][1], string(e.data[slots[k][0]:slots[k][1]])})
		}
	}
	return e.finish(cuts, changed(e.root, t.at, func(h *spot, _ int) {
		parts := make([]part, len(order))
		for i, k := range order {
			parts[i] = h.parts[k]
		}
		h.parts = parts
	}))
}

// slots is where each entry stands. The comment at the top of the file is
// about the file and stays there.
func (e *editor) slots(h *spot, top bool) [][2]int {
	out := make([][2]int, len(h.parts))
	for i := range h.parts {
		p := &h.parts[i]
		if h.style == styleFlow {
			out[i] = [2]int{p.start, p.end()}
			continue
		}
		from, indent := p.start, e.column(p.start)
		for line := e.lineStart(p.start); line > e.lines[0] && !(top && i == 0); {
			if strings.Trim(string(e.data[line:line+indent]), " ") != "" { // "- key: value"
				break
			}
			line = e.lineStart(line - 1)
			if !strings.HasPrefix(string(e.data[line:e.lineEnd(line)]), strings.Repeat(" ", indent)+"#") {
				break
			}
			from = line + indent
		}
		out[i] = [2]int{from, e.extent(p)}
	}
	return out
}
