package studyfile

import (
	"strings"
)

// draft is a value on its way into the file.
type draft struct {
	means *spot
	line  string   // on one line
	head  string   // of lines: what stands behind the colon: "", " |-"
	lines []string // below the key, without its indentation; nil: the one line
}

// draft reads the value of a change.
func (e *editor) draft(careful bool) (draft, *EditError) {
	f, text := e.target.form(), e.change.Value
	if f == nil || f.structured() {
		v, ok, err := e.structure(text)
		if ok || err != nil {
			return v, err
		}
		if f != nil && !f.single() {
			return v, e.refuse("takes "+f.asked()+", and "+shown(text)+" is none", "write it as in "+e.example(f))
		}
	}
	free := f != nil && f.what == aText
	if !free {
		text = strings.TrimSpace(text)
	}
	if inner, ok := unquoted(text); ok {
		text = inner
	} else if !free && !oneLine(text) {
		return draft{}, e.refuse("takes a value of one line", "write it as in "+e.example(f))
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	return e.scalar(text, careful), nil
}

func (e *editor) example(f *form) string {
	if k := e.target.keys[len(e.target.keys)-1]; k != nil && k.example != "" {
		return k.name + ": " + k.example
	}
	if f == nil {
		return "28 L"
	}
	return f.asked()
}

// structured tells whether a list or keys may stand for the form.
func (f *form) structured() bool {
	switch f.what {
	case anObject, aVariant, aList, aRegister, aRating:
		return true
	}
	for _, g := range f.of {
		if g.structured() {
			return true
		}
	}
	return false
}

// single tells whether a single value may stand for the form.
func (f *form) single() bool {
	if f.what != anEither {
		return !f.structured()
	}
	for _, g := range f.of {
		if g.single() {
			return true
		}
	}
	return false
}

// structure reads a list or keys; ok tells whether the text is such.
func (e *editor) structure(text string) (v draft, ok bool, err *EditError) {
	// a tab or the end of the first value in mid-text is the reader's to refuse
	d, f := open([]byte(text))
	if d == nil {
		if form := e.target.form(); form != nil && !form.single() || strings.HasPrefix(strings.TrimSpace(text), "{") || strings.HasPrefix(strings.TrimSpace(text), "[") {
			return v, false, e.refuse("is given a value that cannot be read: "+f.list[0].Text, f.list[0].Mend)
		}
		return v, false, nil
	}
	if d.root.shape != shapeMap && d.root.shape != shapeList {
		return v, false, nil
	}
	if len(d.names) > 0 {
		return v, false, e.refuse("is given a value with an anchor", "write the value itself in its place")
	}
	v = draft{means: d.root, line: flowText(d.root)}
	if d.root.style == styleLines && d.root.shape == shapeMap {
		v.lines = d.bodyLines()
	}
	return v, true, nil
}

// bodyLines is the text of a map of lines, without what stands around it and
// without its own indentation. nil: its lines cannot be shifted.
func (d *doc) bodyLines() []string {
	from := d.lineStart(d.root.start)
	indent := strings.Repeat(" ", d.root.start-from)
	if string(d.data[from:d.root.start]) != indent {
		return nil
	}
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(d.data[from:d.lineEnd(d.root.end)]))
	var out []string
	for l := range strings.SplitSeq(text, "\n") {
		l, ok := strings.CutPrefix(l, indent)
		if !ok {
			if strings.TrimSpace(l) != "" && !strings.HasPrefix(strings.TrimSpace(l), "#") {
				return nil
			}
			l = strings.TrimSpace(l)
		}
		out = append(out, l)
	}
	return out
}

// unquoted reads a text that is a scalar in quotes from end to end.
func unquoted(text string) (string, bool) {
	text = strings.TrimSpace(text)
	if len(text) < 2 || text[0] != text[len(text)-1] || text[0] != '"' && text[0] != '\'' {
		return "", false
	}
	d, _ := open([]byte(text))
	if d == nil || d.root.shape != shapeScalar || d.root.end != len(text) || d.root.style != styleDouble && d.root.style != styleSingle {
		return "", false
	}
	return d.root.text, true
}

// scalar is a single value in the style of what it replaces.
func (e *editor) scalar(text string, careful bool) draft {
	w := wording{inFlow: e.target.holder().style == styleFlow, careful: careful, numeric: e.numeric()}
	v := draft{means: &spot{shape: shapeScalar, text: text}}
	old := e.target.value()
	if old != nil && old.shape == shapeScalar && old.target == nil {
		w.style = old.style
	}
	v.line = w.written(text)
	if wantsLines := strings.Contains(text, "\n") || w.style == styleBlock; wantsLines && !w.inFlow && !careful && !quotedStyle(w.style) {
		if head, lines, ok := lettered(text); ok {
			v.head, v.lines = " "+head, lines
		}
	}
	return v
}

func quotedStyle(s style) bool { return s == styleSingle || s == styleDouble }

// numeric tells whether a number, or a yes or no, may stand without quotes: where
// the form is one, or where one stood so already.
func (e *editor) numeric() bool {
	f := e.target.form()
	if f != nil {
		switch f.what {
		case aQuantity, aCount:
			return true
		case aChoice:
			return f.yesOrNo()
		case anEither:
			for _, g := range f.of {
				if g.what == aQuantity {
					return true
				}
			}
		}
	}
	old := e.target.value()
	return old != nil && old.style == stylePlain && other(old.text)
}

// keyLines is each key of a value on a line of its own.
func (v draft) keyLines() []string {
	var out []string
	for _, p := range v.means.parts {
		out = append(out, keyText(p.key, false)+": "+flowText(p.value))
	}
	return out
}

// inside puts a value into the keys and lists that the file lacks, the
// innermost of them in brackets, those around it on lines; a driver or a candidate on
// lines with its keys, as more of them will follow. forms are what the first of the
// keys is in, and so on.
func (v draft) inside(rest []step, forms []*form) draft {
	for i := len(rest) - 1; i >= 0; i-- {
		key := ""
		if rest[i].item < 0 {
			key = keyText(rest[i].key, true)
		}
		out := draft{means: wrapped(rest[i:i+1], v.means)}
		if f := forms[i]; f != nil && f.what == aRegister && v.means.shape == shapeMap && v.lines == nil {
			v.lines = v.keyLines()
		}
		switch {
		case rest[i].item >= 0:
			out.line = "[" + v.line + "]"
		default:
			out.line = "{" + key + ": " + v.line + "}"
			if i < len(rest)-1 && rest[i+1].item < 0 || v.lines != nil {
				out.lines = append([]string{keyText(rest[i].key, false) + ":" + v.behind()}, v.indented("  ")...)
			}
		}
		v = out
	}
	return v
}

// behind is what stands behind the colon.
func (v draft) behind() string {
	if v.lines == nil {
		return " " + v.line
	}
	return v.head
}

func (v draft) indented(by string) []string {
	out := make([]string, len(v.lines))
	for i, l := range v.lines {
		if l != "" {
			out[i] = by + l
		}
	}
	return out
}

// keyText is a key as it is written.
func keyText(key string, inFlow bool) string {
	if strings.ContainsAny(key, "?") { // a lone ? is a sign of its own
		return doubleQuoted(key)
	}
	return wording{inFlow: inFlow}.written(key)
}
