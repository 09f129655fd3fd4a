package studyfile

import (
	"fmt"
	"slices"

	"basswright/internal/note"
)

// object checks the keys of an object. tag is the key that chose it, "" for
// an object that none chose.
func (w walker) object(v *value, o *object, path, tag string) {
	if v.keys == nil {
		v.keys = map[string]*value{}
	}
	meant := map[string]bool{} // by keys that were mistyped
	for _, e := range v.node.entries {
		if e.key == tag {
			continue
		}
		k := o.find(e.key)
		if k == nil {
			meant[w.unknownKey(e, o, path, tag)] = true
			continue
		}
		inner := w
		inner.key = k
		if c := inner.value(e.value, k.form, under(path, k.name)); c != nil {
			v.keys[k.name] = c
		}
	}
	if v.node.partly { // what was dropped may be what is missing
		return
	}
	for _, k := range o.keys {
		if _, ok := v.node.find(k.name); k.required && !ok && !meant[k.name] {
			w.add(v.node, "missing-key", under(path, k.name), "add "+k.name+", such as "+k.name+": "+k.example, "%s lacks %s", subject(path), k.name)
		}
	}
	for _, r := range o.rules {
		w.rule(v.node, r, path, meant)
	}
}

// subject names an object by its place.
func subject(path string) string {
	if path == "" {
		return "the study"
	}
	return path
}

// unknownKey tells of a key that is none, and returns the one that is most
// likely meant.
func (w walker) unknownKey(e entry, o *object, path, tag string) string {
	where := under(path, e.key)
	known := o.names()
	if tag != "" {
		known = append([]string{tag}, known...)
	}
	mend := "leave it out"
	if len(known) > 0 {
		mend = "the keys here are " + joined(known, "and")
	}
	near := note.Nearest(e.key, known)
	var instead []string
	if near != "" {
		mend, instead = "did you mean "+near+"?", []string{near}
	}
	if hint, ok := o.elsewhere[e.key]; ok {
		mend, instead = hint, nil
	}
	if e.value.shape == shapeNone && e.key != "" && e.key[0] >= '0' && e.key[0] <= '9' {
		instead = nil
		mend = "a comma inside braces ends the value before it: write a decimal point, or put that value in quotes"
	}
	w.at(e.pos, "unknown-key", where, mend, "%s has no key %s", o.noun, shown(e.key)).Instead = instead
	return near
}

// rule checks which keys go together.
func (w walker) rule(n *node, r rule, path string, meant map[string]bool) {
	var given, absent []string
	var second entry
	for _, k := range r.keys {
		if e, ok := n.find(k); ok {
			given = append(given, k)
			if len(given) == 2 {
				second = e
			}
		} else {
			absent = append(absent, k)
		}
		if meant[k] {
			return
		}
	}
	_, first := n.find(r.keys[0])
	switch r.sort {
	case exactlyOne, atLeastOne:
		if len(given) == 0 {
			w.add(n, "missing-key", path, r.mend, "%s has %s", subject(path), noneOf(r.keys))
		}
		if len(given) > 1 && r.sort == exactlyOne {
			w.at(second.pos, "said-twice", under(path, second.key), r.mend, "%s say one thing in two ways", joined(given, "and"))
		}
	case atMostOne:
		if len(given) > 1 {
			w.at(second.pos, "said-twice", under(path, second.key), r.mend, "%s say one thing in two ways", joined(given, "and"))
		}
	case firstBarred:
		if first && len(given) > 1 {
			w.at(second.pos, "said-twice", under(path, second.key), r.mend, "%s and %s say one thing in two ways", r.keys[0], joined(given[1:], "and"))
		}
	case together, firstNeeds:
		if len(given) > 0 && len(absent) > 0 && (r.sort == together || first) {
			e, _ := n.find(given[0])
			w.at(e.pos, "missing-key", under(path, absent[0]), r.mend, "%s needs %s beside it", given[0], joined(absent, "and"))
		}
	}
}

// noneOf is "neither a nor b", "none of a, b and c".
func noneOf(keys []string) string {
	if len(keys) == 2 {
		return "neither " + keys[0] + " nor " + keys[1]
	}
	return "none of " + joined(keys, "and")
}

// variant checks an object whose keys depend on the word of one of them.
func (w walker) variant(v *value, path string) bool {
	vt := v.form.variant
	var all []string
	for _, c := range vt.cases {
		all = append(all, c.word)
	}
	e, ok := v.node.find(vt.tag)
	if !ok {
		w.add(v.node, "missing-key", under(path, vt.tag), fmt.Sprintf("add %s: and one of %s", vt.tag, joined(all, "and")), "%s lacks %s", subject(path), vt.tag)
		return false
	}
	tag := w.value(e.value, choice(all...), under(path, vt.tag))
	if tag == nil {
		return false
	}
	v.text = tag.text
	w.object(v, vt.cases[slices.Index(all, tag.text)].object, path, vt.tag)
	return true
}

// register checks names with a value of one form each.
func (w walker) register(v *value, path string) bool {
	f := v.form
	if n := len(v.node.entries); n < f.least || n > f.most {
		id := "bad-count"
		if n == 0 { // as if it were left out
			id = "missing-key"
		}
		w.add(v.node, id, path, fmt.Sprintf("give %d to %d", f.least, f.most), "the study names %d %ss", n, f.noun)
		return false
	}
	for _, e := range v.node.entries {
		if why := badName(e.key, f.noun); why != "" {
			w.at(e.pos, "bad-name", path, "use lower-case letters, digits, - and _, such as "+nameFrom(e.key, f.noun), "the name %s %s", shown(e.key), why)
			continue
		}
		v.named = append(v.named, namedValue{e.key, e.pos, w.value(e.value, f.of[0], under(path, e.key))})
	}
	return true
}

// pointed is the one noun whose names may have points within: what a part of a network
// is called is the name of an element, such as the front.port of a bandpass box.
const pointed = "part"

// badName says what is wrong with a name of the study’s own.
func badName(s, noun string) string {
	if n := len([]rune(s)); n > longestKey {
		return fmt.Sprintf("has %d letters, more than the %d that fit a table", n, longestKey)
	}
	for i, c := range s {
		low := c >= 'a' && c <= 'z' || c >= '0' && c <= '9'
		switch {
		case i == 0 && !low:
			return "does not begin with a lower-case letter or a digit"
		case c == '.' && noun == pointed && i+1 < len(s) && s[i-1] != '.' && s[i+1] != '.':
		case !low && c != '-' && c != '_':
			return fmt.Sprintf("contains %s", shown(string(c)))
		}
	}
	if s == "" {
		return "is empty"
	}
	return ""
}
