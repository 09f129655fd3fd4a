package studyfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// value is a node that has been found to be what a form asks for. The methods
// of a nil value answer as a key that was left out.
type value struct {
	node  *node
	form  *form // the one of several that fits
	q     phys.Quantity
	text  string // aText, aChoice, aDriver; the tag's word of a variant
	n     int    // aCount
	items []*value
	keys  map[string]*value // anObject, aVariant
	named []namedValue      // aRegister
	rated [][2]float64      // aRating: load and power, SI
}

// namedValue is one name of a register.
type namedValue struct {
	name  string
	pos   place
	value *value // nil: faulty, and told
}

func (v *value) get(key string) *value {
	if v == nil {
		return nil
	}
	return v.keys[key]
}

// si is the quantity in SI units, 0 where the key is left out.
func (v *value) si() float64 {
	if v == nil {
		return 0
	}
	return v.q.SI
}

func (v *value) word() string {
	if v == nil {
		return ""
	}
	return v.text
}

func (v *value) list() []*value {
	if v == nil {
		return nil
	}
	return v.items
}

// number is the count, or another value where the key is left out.
func (v *value) number(otherwise int) int {
	if v == nil {
		return otherwise
	}
	return v.n
}

// walker checks nodes against forms. Its methods return nil where a fault was
// told.
type walker struct {
	*faults
	key   *key             // whose value is walked
	known map[*node]*value // what was found before, of a file without a fault
	keep  map[*node]*value // nil, or takes what is found
}

func (w walker) value(n *node, f *form, path string) *value {
	if n.faulty {
		return nil
	}
	if v := w.known[n]; v != nil && v.form == f {
		return v
	}
	v := w.found(n, f, path)
	if w.keep != nil && v != nil {
		w.keep[n] = v
	}
	return v
}

func (w walker) found(n *node, f *form, path string) *value {
	switch want := f.shape(); {
	case f.what == anEither:
		return w.either(n, f, path)
	case n.shape != want:
		w.wrongShape(n, f, path)
		return nil
	case f.what == aChoice:
		return w.oneOf(n, f, f, path)
	}
	v := &value{node: n, form: f}
	ok := true
	switch f.what {
	case aQuantity:
		ok = w.quantity(v, path)
	case aText:
		ok = w.text(v, path)
	case aCount:
		ok = w.count(v, path)
	case aDriver:
		v.text = n.text
	case anObject:
		w.object(v, f.object, path, "")
	case aVariant:
		ok = w.variant(v, path)
	case aList:
		ok = w.list(v, path)
	case aRegister:
		ok = w.register(v, path)
	case aRating:
		ok = w.rating(v, path)
	}
	if !ok {
		return nil
	}
	return v
}

// shape is the shape of the nodes that a form may fit.
func (f *form) shape() shape {
	switch f.what {
	case anObject, aVariant, aRegister, aRating:
		return shapeMap
	case aList:
		return shapeList
	}
	return shapeScalar
}

// either tries the one form that has the node's shape; of two for scalars the
// first is a choice of words.
func (w walker) either(n *node, f *form, path string) *value {
	var fits []*form
	for _, g := range f.of {
		if g.shape() == n.shape {
			fits = append(fits, g)
		}
	}
	switch len(fits) {
	case 0:
		w.wrongShape(n, f, path)
		return nil
	case 1:
		if fits[0].what == aChoice { // tell all that would do
			return w.oneOf(n, fits[0], f, path)
		}
		return w.value(n, fits[0], path)
	}
	if slices.Contains(fits[0].words, n.text) {
		return w.value(n, fits[0], path)
	}
	if strings.IndexFunc(n.text, func(r rune) bool { return r >= '0' && r <= '9' }) >= 0 {
		return w.value(n, fits[1], path)
	}
	return w.oneOf(n, fits[0], f, path)
}

// oneOf is a choice of words that may stand beside other forms of a value.
func (w walker) oneOf(n *node, words, all *form, path string) *value {
	if slices.Contains(words.words, n.text) {
		return &value{node: n, form: words, text: n.text}
	}
	mend, instead := "write "+all.asked(), words.words
	if all != words { // which is more than words
		instead = nil
	}
	if near := note.Nearest(n.text, words.words); near != "" {
		mend, instead = "did you mean "+near+"?", []string{near}
	}
	w.add(n, "unknown-word", path, mend, "%s cannot be %s", last(path), shown(n.text)).Instead = instead
	return nil
}

func (w walker) wrongShape(n *node, f *form, path string) {
	if path == "" {
		w.add(n, "wrong-type", path, "begin with study: and a name; the manual has a complete example", "%s where the keys of a study belong", n.shape)
		return
	}
	if n.shape == shapeNone {
		w.add(n, "no-value", path, w.mend(f), "%s has no value", last(path))
		return
	}
	if e := f.keyOf(n.text); e != "" {
		w.add(n, "wrong-type", path, "name what is meant, as in "+last(path)+": {"+e+": "+n.text+"}", "%s takes %s, and %s here", last(path), f.asked(), n.shape)
		return
	}
	w.add(n, "wrong-type", path, w.mend(f), "%s takes %s, and %s here", last(path), f.asked(), n.shape)
}

// keyOf is the first of an object's keys that takes a word, if any does.
func (f *form) keyOf(word string) string {
	if f.what != anObject {
		return ""
	}
	for _, k := range f.object.keys {
		if slices.Contains(k.form.words, word) || slices.ContainsFunc(k.form.of, func(g *form) bool { return slices.Contains(g.words, word) }) {
			return k.name
		}
	}
	return ""
}

// mend shows how a value of the form is written.
func (w walker) mend(f *form) string {
	if w.key != nil && w.key.example != "" {
		return "write it as in " + w.key.name + ": " + w.key.example
	}
	if f.what == anObject {
		return "give keys of its own: " + joined(f.object.names(), "and")
	}
	return "write " + f.asked()
}

func (w walker) quantity(v *value, path string) bool {
	f := v.form
	q, err := phys.Parse(v.node.text, f.kind)
	if err != nil {
		p := err.(*phys.ParseError)
		mend := p.Mend
		if mend == "" {
			mend = "write it as in " + f.kind.Example()
		}
		w.add(v.node, "bad-quantity", path, mend, "%s: %s", last(path), p.Reason).Instead = p.Instead
		return false
	}
	v.q = q
	if q.SI >= f.min && q.SI <= f.max && !(f.above && q.SI == f.min) {
		return true
	}
	w.add(v.node, "out-of-range", path, "give "+f.span(), "%s cannot be %s", last(path), v.node.text)
	return false
}

// span is the range of a quantity in words.
func (f *form) span() string {
	show := func(x float64) string { return brief(x, f.kind) }
	if f.above {
		return "more than " + show(f.min) + ", up to " + show(f.max)
	}
	return show(f.min) + " to " + show(f.max)
}

// brief shows a bound of a range.
func brief(x float64, k phys.Kind) string {
	u := k.Unit(phys.Metric)
	if v := u.Of(x); v >= 1e6 || v > 0 && v < 1e-3 { // where Brief takes to powers of ten
		v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64) // without the rounding of the conversion
		return strings.TrimSpace(strconv.FormatFloat(v, 'f', -1, 64) + "\u2009" + u.Name)
	}
	return phys.Brief(x, k, phys.Metric)
}

func (w walker) text(v *value, path string) bool {
	v.text = strings.TrimSpace(v.node.text)
	switch n := len([]rune(v.text)); {
	case n == 0:
		w.add(v.node, "no-value", path, "write a few words", "%s is empty", last(path))
		return false
	case n > v.form.most:
		w.add(v.node, "too-long", path, fmt.Sprintf("keep it within %d letters", v.form.most), "%s has %d letters", last(path), n)
		return false
	}
	if why := badName(v.text, v.form.named); v.form.named != "" && why != "" {
		w.add(v.node, "bad-name", path, "use lower-case letters, digits, - and _, such as "+nameFrom(v.text, v.form.named), "the name %s %s", shown(v.text), why)
		return false
	}
	return true
}

func (w walker) count(v *value, path string) bool {
	f := v.form
	mend := fmt.Sprintf("write a whole number, %d to %d", f.least, f.most)
	n, err := strconv.ParseInt(v.node.text, 10, 32)
	if err != nil {
		w.add(v.node, "bad-count", path, mend, "%s cannot be %s", last(path), shown(v.node.text))
		return false
	}
	if v.n = int(n); v.n < f.least || v.n > f.most {
		w.add(v.node, "out-of-range", path, mend, "%s cannot be %d", last(path), v.n)
		return false
	}
	return true
}

func (w walker) list(v *value, path string) bool {
	f := v.form
	if n := len(v.node.items); n < f.least || n > f.most {
		w.add(v.node, "bad-count", path, f.listSpan(), "%s lists %s", last(path), valuesIn(n))
		return false
	}
	ok := true
	for _, item := range v.node.items {
		c := w.value(item, f.of[0], path)
		if c == nil {
			ok = false
			continue
		}
		v.items = append(v.items, c)
	}
	return ok
}

// listSpan says how many values a list takes.
func (f *form) listSpan() string {
	if f.least == f.most {
		return fmt.Sprintf("list %d", f.least)
	}
	return fmt.Sprintf("list %d to %d", f.least, f.most)
}

// valuesIn counts the values of a list.
func valuesIn(n int) string {
	switch n {
	case 0:
		return "no values"
	case 1:
		return "1 value"
	}
	return fmt.Sprintf("%d values", n)
}

// rating reads loads with powers.
func (w walker) rating(v *value, path string) bool {
	f, before := v.form, w.faults.count()
	if n := len(v.node.entries); n < f.least || n > f.most {
		w.add(v.node, "bad-count", path, fmt.Sprintf("give %d to %d loads, each with its power", f.least, f.most), "%s names %d loads", last(path), n)
		return false
	}
	for _, e := range v.node.entries {
		load := w.value(&node{pos: e.pos, shape: shapeScalar, text: e.key}, ratedLoad, under(path, "load"))
		power := w.value(e.value, ratedPower, under(path, e.key))
		if load == nil || power == nil {
			continue
		}
		for _, r := range v.rated {
			if r[0] == load.q.SI {
				w.at(e.pos, "said-twice", path, "keep one of the two", "the load %s stands here twice", e.key)
			}
		}
		v.rated = append(v.rated, [2]float64{load.q.SI, power.q.SI})
	}
	return w.faults.count() == before
}

func under(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// last is the key at the end of a path.
func last(path string) string {
	return path[strings.LastIndexByte(path, '.')+1:]
}

// shown is a text from the file, cut where it is long.
func shown(text string) string {
	const most = 40
	if r := []rune(text); len(r) > most {
		text = string(r[:most]) + "…"
	}
	return strconv.Quote(text)
}
