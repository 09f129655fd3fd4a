package studyfile

import (
	"math"
	"slices"
	"strconv"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// A Field is a place of a study file where a value stands or may stand.
type Field struct {
	Path string `json:"path"` // "candidates.one.enclosure.volume"; items of lists "candidates.one.group.polarity[0]"
	Key  string `json:"key"`  // the last key, "" of an item
	// Sort is quantity, text, choice, count, driver, object, list, register or
	// rating; of a place where values of several sorts may stand, the one that
	// does, or either; unknown of a key that the table does not have.
	Sort     string        `json:"sort"`
	Sorts    []string      `json:"sorts,omitempty"` // where several may stand, all of them
	Present  bool          `json:"present"`
	Text     string        `json:"text"` // of a single value as written, unquoted; of others all of it on one line
	Number   float64       `json:"number"`
	Unit     string        `json:"unit,omitempty"` // of Number, Step, Min and Max: as written, or else of the example
	Step     float64       `json:"step"`           // one unit in the last written digit
	Min      float64       `json:"min"`
	Max      float64       `json:"max"`
	Above    bool          `json:"above,omitempty"`    // Min itself is not allowed
	SI       phys.Maybe    `json:"si"`                 // none where the text is no such quantity
	Kind     string        `json:"kind,omitempty"`     // of a quantity: "volume"
	Words    []string      `json:"words,omitempty"`    // of a choice; of a driver, the study's drivers
	Fallback string        `json:"fallback,omitempty"` // what holds where it is absent
	Example  string        `json:"example,omitempty"`
	Doc      string        `json:"doc,omitempty"`
	Required bool          `json:"required,omitempty"`
	At       note.Position `json:"at,omitzero"` // of the value, or of what it would stand in
}

// Fields lists the places of a study file in the order of the table of keys,
// each object before what is in it: those that are taken and those that may
// be. A file with faults is listed as far as it can be read; one that is no
// YAML has no fields.
func (f *File) Fields() []Field {
	d := f.doc()
	if d == nil {
		return nil
	}
	l := lister{drivers: []string{}, out: make([]Field, 0, 400)} // a study of six candidates has 260
	l.canon.buf.Grow(len(d.data))
	l.canon.write(d.root)
	if s := d.root.get("drivers"); s != nil && s.self().shape == shapeMap {
		for _, p := range s.self().parts {
			l.drivers = append(l.drivers, p.key)
		}
	}
	l.under(studyForm, d.root, "", d.root.pos, 0)
	return l.out
}

// lister lists fields.
type lister struct {
	canon   canon
	drivers []string
	out     []Field
}

// mostFields bounds the list: a file of 64 drivers and 64 candidates has
// about 7000.
const mostFields = 20000

// under lists what is in a value, or may be; s is nil where none stands.
func (l *lister) under(f *form, s *spot, path string, at place, depth int) {
	if len(l.out) > mostFields || depth > mostNested {
		return
	}
	if s != nil {
		s = s.self()
	}
	if f == nil || f.what == anEither || s != nil && s.shape != f.shape() && s.shape != shapeNone {
		return
	}
	switch f.what {
	case anObject:
		l.object(f.object, s, path, at, depth, "")
	case aVariant:
		v := f.variant
		l.field(&key{name: v.tag, form: v.choice(), required: true, doc: v.doc, example: v.cases[0].word}, v.choice(), s.get(v.tag), under(path, v.tag), at, depth)
		if o := v.object(s); o != nil {
			l.object(o, s, path, at, depth, v.tag)
		} else {
			l.object(&object{}, s, path, at, depth, v.tag)
		}
	case aRegister, aRating:
		if s == nil || s.shape != shapeMap {
			return
		}
		each, doc := ratedPower, "continuous sine power into this load"
		if f.what == aRegister {
			each, doc = f.of[0], article(f.noun)
		}
		for i := range s.parts {
			p := &s.parts[i]
			l.field(&key{name: p.key, form: each, doc: doc}, each, p.value, under(path, p.key), p.pos, depth)
		}
	case aList:
		l.list(f, s, path, at, depth)
	}
}

// list lists the items, and the place of one more.
func (l *lister) list(f *form, s *spot, path string, at place, depth int) {
	if s == nil || s.shape != shapeList {
		return
	}
	for i := range s.parts {
		l.field(&key{form: f.of[0]}, f.of[0], s.parts[i].value, path+"["+strconv.Itoa(i)+"]", at, depth)
	}
	if n := len(s.parts); n < f.most {
		l.field(&key{form: f.of[0]}, f.of[0], nil, path+"["+strconv.Itoa(n)+"]", at, depth)
	}
}

// object lists the keys of the table, then those that are not in it.
func (l *lister) object(o *object, s *spot, path string, at place, depth int, tag string) {
	for i := range o.keys {
		k := &o.keys[i]
		if s.get(k.name) == nil && o.bars(k.name, s) {
			continue // what can only be refused is not offered
		}
		l.field(k, k.form, s.get(k.name), under(path, k.name), at, depth)
	}
	if s == nil {
		return
	}
	var told map[string]bool // of keys that stand there twice, the first
	for i := range s.parts {
		p := &s.parts[i]
		if p.key != tag && o.find(p.key) == nil && !told[p.key] {
			if told == nil {
				told = map[string]bool{}
			}
			told[p.key] = true
			l.field(&key{name: p.key}, nil, p.value, under(path, p.key), at, depth)
		}
	}
}

// bars says whether a key that is not there would be refused beside those that are: of
// two numbers that say one thing the other may be wanted in its place, a list is not
// given up for a number.
func (o *object) bars(name string, s *spot) bool {
	there := func(k string) bool { return s.get(k) != nil }
	beside := func(name string) bool {
		return slices.ContainsFunc(o.rules, func(r rule) bool {
			return slices.Contains(r.keys, name) && (r.sort == firstBarred && name != r.keys[0] && there(r.keys[0]) ||
				r.sort == exactlyOne && slices.ContainsFunc(r.keys, func(k string) bool { return there(k) && o.find(k).form.what == aList }))
		})
	}
	return beside(name) || slices.ContainsFunc(o.rules, func(r rule) bool {
		needs := r.sort == firstNeeds && r.keys[0] == name || r.sort == together && slices.Contains(r.keys, name)
		return needs && slices.ContainsFunc(r.keys, func(k string) bool { return k != name && !there(k) && beside(k) })
	})
}

// field lists a place and what is in it.
func (l *lister) field(k *key, f *form, s *spot, path string, at place, depth int) {
	field := Field{
		Path: path, Key: k.name, Present: s != nil, SI: phys.None(),
		Fallback: k.fallback, Example: k.example, Doc: k.doc, Required: k.required,
	}
	if s != nil {
		at = s.pos
		field.Text = l.canon.text(s)
	}
	field.At = note.Position{Line: at.line, Column: at.column}
	l.sort(&field, f, s)
	l.out = append(l.out, field)
	if s == nil && (f == nil || f.what != anObject) { // what is in it depends on what will be chosen
		return
	}
	l.under(f.as(s), s, path, at, depth+1)
}

// sort fills in what depends on the form.
func (l *lister) sort(field *Field, f *form, s *spot) {
	if f == nil {
		field.Sort = "unknown"
		return
	}
	field.Sort = f.sortName()
	forms := []*form{f}
	if f.what == anEither {
		forms = f.of
		for _, g := range forms {
			field.Sorts = append(field.Sorts, g.sortName())
		}
	}
	for _, g := range forms {
		l.details(field, g, s)
		if len(forms) > 1 && s != nil && g.fits(s.self()) && field.Sort == "either" {
			field.Sort = g.sortName()
		}
	}
}

// fits tells whether a value is of a form, of several that may stand.
func (f *form) fits(s *spot) bool {
	if s.shape != f.shape() {
		return false
	}
	switch f.what {
	case aChoice:
		for _, w := range f.words {
			if w == s.text {
				return true
			}
		}
		return false
	case aQuantity:
		_, err := phys.Parse(s.text, f.kind)
		return err == nil
	}
	return true
}

func (f *form) sortName() string {
	return [...]string{
		aQuantity: "quantity", aText: "text", aChoice: "choice", aCount: "count", aDriver: "driver", anObject: "object",
		aVariant: "object", aList: "list", aRegister: "register", aRating: "rating", anEither: "either",
	}[f.what]
}

// details fills in what one form asks for.
func (l *lister) details(field *Field, f *form, s *spot) {
	text := field.Example
	if s != nil {
		text = ""
		if s.self().shape == shapeScalar {
			text = s.self().text
		}
	}
	switch f.what {
	case aQuantity:
		field.Kind = f.kind.String()
		l.quantity(field, f, text)
	case aCount:
		field.Min, field.Max, field.Step = float64(f.least), float64(f.most), 1
		if n, err := strconv.ParseInt(text, 10, 32); err == nil && s != nil {
			field.Number, field.SI = float64(n), phys.Maybe(n)
		}
	case aText:
		field.Max = float64(f.most)
	case aChoice:
		field.Words = f.words
	case aDriver:
		field.Words = l.drivers
	case aList:
		if len(field.Sorts) == 0 {
			field.Min, field.Max = float64(f.least), float64(f.most)
		}
	}
}

// quantity fills in the number as it is written, and the range in its unit.
func (l *lister) quantity(field *Field, f *form, text string) {
	w, err := phys.AsWritten(text, f.kind)
	if err == nil && field.Present {
		field.Number, field.SI = w.Number, phys.Maybe(w.SI)
	}
	for _, instead := range []string{field.Example, f.kind.Example()} {
		if err != nil {
			w, err = phys.AsWritten(instead, f.kind)
		}
	}
	u := w.Unit
	if err != nil {
		u = f.kind.Unit(phys.Metric)
	}
	field.Unit, field.Step, field.Above = u.Name, w.Digit, f.above
	field.Min, field.Max = tidy(u.Of(f.min)), tidy(u.Of(f.max))
}

// tidy takes the rounding of unit factors off a bound: 1000 L, not
// 999.9999999999999.
func tidy(v float64) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, 12-math.Ceil(math.Log10(math.Abs(v))))
	if r := math.Round(v*scale) / scale; !math.IsNaN(r) && !math.IsInf(r, 0) {
		return r
	}
	return v
}
