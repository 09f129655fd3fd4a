package studyfile

import (
	"strings"

	"basswright/internal/phys"
)

// what is the kind of value that a form asks for.
type what uint8

const (
	aQuantity what = iota + 1 // a number with the unit of its kind
	aText                     // free text
	aChoice                   // one of words
	aCount                    // a whole number
	aDriver                   // the name of one of the study's drivers
	anObject                  // keys of its own
	aVariant                  // keys that depend on the value of one of them
	aList                     // a list of one form
	aRegister                 // names of the study's own, each with a value of one form
	aRating                   // loads with powers
	anEither                  // one of several forms that differ in shape
)

// form is what a value must look like. Unused fields are zero.
type form struct {
	what     what
	kind     phys.Kind // aQuantity: with its range in SI units
	min, max float64
	above    bool     // min itself is not allowed
	named    string   // aText: it is a name of the study’s own, and of what: "place"
	words    []string // aChoice
	least    int      // aCount, aList, aRegister
	most     int
	object   *object  // anObject
	variant  *variant // aVariant
	of       []*form  // anEither: the forms; aList, aRegister: the form of each
	noun     string   // aRegister: what each is: "driver"
}

// object is a set of keys.
type object struct {
	noun  string // "a sealed enclosure", for messages
	keys  []key
	rules []rule
	// elsewhere is what to do about keys that others of this sort have.
	elsewhere map[string]string
}

// key is one key of an object.
type key struct {
	name     string
	form     *form
	required bool
	fallback string // what holds where it is left out, in words; "" is: nothing
	doc      string // one sentence without full stop
	example  string // as it stands in a file, behind the colon
}

// variant is an object whose keys depend on the word of one key.
type variant struct {
	tag   string // "kind"
	doc   string // of the tag
	cases []variantCase
}

type variantCase struct {
	word   string
	doc    string
	object *object // without the tag
}

// rule says which keys go together.
type rule struct {
	sort ruleSort
	keys []string
	mend string
}

type ruleSort uint8

const (
	atMostOne   ruleSort = iota + 1 // no two of the keys
	exactlyOne                      // one of the keys, and no other
	atLeastOne                      // one or more of the keys
	together                        // all of the keys or none
	firstBarred                     // the first key bars each of the others
	firstNeeds                      // the first key needs each of the others
)

func (o *object) find(name string) *key {
	for i := range o.keys {
		if o.keys[i].name == name {
			return &o.keys[i]
		}
	}
	return nil
}

func (o *object) names() []string {
	var out []string
	for _, k := range o.keys {
		out = append(out, k.name)
	}
	return out
}

// The constructors of forms. Ranges are wide: they catch slips of the unit,
// not designs of an unusual kind.

func quantity(k phys.Kind, min, max float64) *form {
	return &form{what: aQuantity, kind: k, min: min, max: max}
}

// positive is a quantity above min, which is 0 for most.
func positive(k phys.Kind, max float64) *form {
	return &form{what: aQuantity, kind: k, above: true, max: max}
}

func count(least, most int) *form  { return &form{what: aCount, least: least, most: most} }
func choice(words ...string) *form { return &form{what: aChoice, words: words} }
func truth() *form                 { return choice("true", "false") }
func words(most int) *form         { return &form{what: aText, most: most} }
func nameOf(noun string) *form     { return &form{what: aText, most: longestKey, named: noun} }
func inside(o *object) *form       { return &form{what: anObject, object: o} }
func either(of ...*form) *form     { return &form{what: anEither, of: of} }
func list(f *form, least, m int) *form {
	return &form{what: aList, of: []*form{f}, least: least, most: m}
}
func driverName() *form { return &form{what: aDriver} }
func register(n string, f *form) *form {
	return &form{what: aRegister, noun: n, of: []*form{f}, least: 1, most: mostNames}
}
func varies(v *variant) *form { return &form{what: aVariant, variant: v} }

// yesOrNo tells whether a choice is between true and false.
func (f *form) yesOrNo() bool { return len(f.words) == 2 && f.words[0] == "true" }

// Bounds on names.
const (
	mostNames  = 64
	longestKey = 40
)

// asked is the form in words: "a volume such as 28 L".
func (f *form) asked() string {
	switch f.what {
	case aQuantity:
		if f.kind == phys.Number {
			return "a number"
		}
		return article(f.kind.String())
	case aText:
		if f.named != "" {
			return "the name of " + article(f.named)
		}
		return "a text"
	case aChoice:
		return orList(f.words)
	case aCount:
		return "a whole number"
	case aDriver:
		return "the name of a driver"
	case anObject:
		return "keys with values"
	case aVariant:
		return "keys with values"
	case aList:
		return "a list"
	case aRegister:
		return "names with what they stand for"
	case aRating:
		return "loads with powers"
	}
	var out []string
	for _, g := range f.of {
		out = append(out, g.asked())
	}
	return orList(out)
}

func article(noun string) string {
	if strings.ContainsAny(noun[:1], "aeiou") {
		return "an " + noun
	}
	return "a " + noun
}

// orList is "a", "a or b", "a, b or c".
func orList(words []string) string { return joined(words, "or") }

func joined(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}
