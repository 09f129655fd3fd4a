package studyfile

import (
	"slices"
	"strconv"
	"strings"
)

// target is the place that a path names.
type target struct {
	chain []*spot // the lists and maps from the root to where the path ends or leaves the file
	at    []int   // in each of them the part that the path goes through; one fewer where rest is not empty
	forms []*form // of each in chain, then of the value that the path names; nil where the table has none
	keys  []*key  // of the values below the chain, nil where they are none of an object
	rest  []step  // what the file lacks
}

// step is one key or index of a path.
type step struct {
	key  string
	item int // the index of an item, -1 of a key
}

// value is the value that stands at the place, nil if none does.
func (t *target) value() *spot {
	if p := t.part(); p != nil {
		return p.value
	}
	return nil
}

// part is the entry whose value stands at the place, nil if none does.
func (t *target) part() *part {
	if len(t.rest) > 0 || len(t.at) == 0 {
		return nil
	}
	return &t.chain[len(t.at)-1].parts[t.at[len(t.at)-1]]
}

// holder is the list or map that the place is in.
func (t *target) holder() *spot { return t.chain[len(t.chain)-1] }

// form is what the table says of the value, nil if it knows none.
func (t *target) form() *form { return t.forms[len(t.forms)-1] }

// locate finds the place of a path. Keys may hold dots and brackets (of a
// rating: "0.5 ohm"): a key that stands in the file is taken over the dot.
func locate(root *spot, path string) (*target, *EditError) {
	t := &target{chain: []*spot{root}, forms: []*form{studyForm}}
	rest := path
	var s *spot = root
	for rest != "" {
		f := t.form().as(s)
		st, after, ok := nextStep(s, f, rest)
		if !ok {
			return nil, refuse(path, "is no path", "name the keys with dots between, and items of lists as in coupling[0]")
		}
		rest = after
		under, k := f.under(s, st)
		if s != nil && len(t.rest) == 0 {
			if err := t.enter(s.self(), st, path); err != nil {
				return nil, err
			}
			if len(t.rest) == 0 {
				s = t.value()
				if rest != "" && s.self().shape != shapeNone {
					t.chain = append(t.chain, s.self())
				}
			}
		} else {
			t.rest = append(t.rest, st)
		}
		if len(t.rest) > 0 || s.self().shape == shapeNone && rest != "" {
			s = nil
		}
		t.forms, t.keys = append(t.forms, under), append(t.keys, k)
		if len(t.forms) > mostNested {
			return nil, refuse(path, "is too long a path", "a study nests no deeper than 7")
		}
	}
	if len(t.at) == 0 && len(t.rest) == 0 {
		return nil, refuse(path, "names the whole file", "name a key in it")
	}
	return t, nil
}

// enter goes from a value to one of its parts, or finds that it has none such.
func (t *target) enter(s *spot, st step, path string) *EditError {
	switch {
	case st.item >= 0 && s.shape != shapeList, st.item < 0 && s.shape != shapeMap:
		return refuseAt(s.pos, path, map[shape]string{
			shapeScalar: "leads into a single value", shapeList: "names a key of a list", shapeMap: "names an item where keys stand",
		}[s.shape], "set the whole value, or read the file again")
	case st.item > len(s.parts):
		return refuseAt(s.pos, path, "leaves items out between", "the next item is number "+strconv.Itoa(len(s.parts)))
	case st.item >= 0 && st.item < len(s.parts):
		t.at = append(t.at, st.item)
	case st.item < 0 && s.find(st.key) >= 0:
		t.at = append(t.at, s.find(st.key))
	default:
		t.rest = append(t.rest, st)
	}
	return nil
}

// nextStep takes the first step off a path. s is what it goes into, nil where
// the file has nothing.
func nextStep(s *spot, f *form, path string) (st step, rest string, ok bool) {
	if path[0] == '[' {
		number, after, shut := strings.Cut(path[1:], "]")
		n, err := strconv.ParseUint(number, 10, 16)
		if !shut || err != nil {
			return st, "", false
		}
		return step{item: int(n)}, strings.TrimPrefix(after, "."), after == "" || after[0] == '.' && len(after) > 1 || after[0] == '['
	}
	key := ""
	if s != nil && s.self().shape == shapeMap {
		for _, p := range s.self().parts {
			if after, is := strings.CutPrefix(path, p.key); is && len(p.key) > len(key) && (after == "" || after[0] == '.' || after[0] == '[') {
				key = p.key
			}
		}
	}
	if key == "" {
		key = path
		if n := strings.IndexAny(path, ".["); n >= 0 && (f == nil || f.what != aRating) {
			key = path[:n]
		}
	}
	rest = path[len(key):]
	if after, dot := strings.CutPrefix(rest, "."); dot {
		if after == "" {
			return st, "", false
		}
		rest = after
	}
	return step{key: key, item: -1}, rest, key != ""
}

// as is the one of several forms that a value has the shape of; where nothing
// stands, the form itself.
func (f *form) as(s *spot) *form {
	if f == nil || f.what != anEither || s == nil {
		return f
	}
	for _, g := range f.of {
		if g.shape() == s.self().shape && g.shape() != shapeScalar {
			return g
		}
	}
	return f
}

// under is the form of a part, and the key of the table that it belongs to.
func (f *form) under(s *spot, st step) (*form, *key) {
	if f == nil {
		return nil, nil
	}
	if f.what == anEither { // nothing stands there: the step tells which is meant
		for _, g := range f.of {
			if g.shape() == shapeList && st.item >= 0 || g.shape() == shapeMap && st.item < 0 {
				return g.under(s, st)
			}
		}
		return nil, nil
	}
	switch {
	case f.what == aList && st.item >= 0, f.what == aRegister && st.item < 0:
		return f.of[0], nil
	case f.what == aRating && st.item < 0:
		return ratedPower, nil
	case f.what == anObject && st.item < 0:
		if k := f.object.find(st.key); k != nil {
			return k.form, k
		}
	case f.what == aVariant && st.item < 0:
		v := f.variant
		if st.key == v.tag {
			return v.choice(), nil
		}
		if o := v.object(s); o != nil {
			if k := o.find(st.key); k != nil {
				return k.form, k
			}
		}
	}
	return nil, nil
}

// choice is the form of a variant's tag.
func (v *variant) choice() *form {
	f := &form{what: aChoice}
	for _, c := range v.cases {
		f.words = append(f.words, c.word)
	}
	return f
}

// object is the set of keys that goes with the tag that stands in a map, nil
// if none does.
func (v *variant) object(s *spot) *object {
	tag := s.get(v.tag)
	if tag == nil {
		return nil
	}
	i := slices.IndexFunc(v.cases, func(c variantCase) bool { return c.word == tag.self().text })
	if i < 0 {
		return nil
	}
	return v.cases[i].object
}
