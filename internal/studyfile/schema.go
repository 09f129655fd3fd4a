package studyfile

import (
	"bytes"
	"encoding/json"
	"strings"

	"basswright/internal/phys"
)

// Schema is the JSON Schema (draft 2020-12) of a study file, for editors. It
// is a little wider than the reader: units, contradictions and boxes that
// cannot be are left to the reader.
func Schema() []byte {
	s := schemaOf(studyForm)
	root := members{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"title", "basswright study"},
		{"description", "A brief, drivers and the candidates compared. Every quantity carries its unit in the text."},
	}
	root = append(root, s...)
	var defs members
	for _, d := range definitions {
		defs = append(defs, member{d.name, objectSchema(d.object, "", "")})
	}
	root = append(root, member{"$defs", defs})
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(root); err != nil {
		panic("studyfile: the schema does not encode: " + err.Error())
	}
	return out.Bytes()
}

// definitions are the objects that stand in several places.
var definitions = []struct {
	name   string
	object *object
}{
	{"air", airObject}, {"coupling", couplingObject}, {"tuned_chamber", tunedChamber},
	{"port", portObject}, {"losses", lossesObject}, {"closed_losses", closedLossesObject},
}

// members is a JSON object that keeps its order.
type members []member

type member struct {
	name  string
	value any
}

// MarshalJSON writes the members in their order.
func (m members) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for i, x := range m {
		if i > 0 {
			out.WriteByte(',')
		}
		name, err := plainJSON(x.name)
		if err != nil {
			return nil, err
		}
		value, err := plainJSON(x.value)
		if err != nil {
			return nil, err
		}
		out.Write(name)
		out.WriteByte(':')
		out.Write(value)
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// plainJSON is JSON in which < and > stay as they are.
func plainJSON(v any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSpace(out.Bytes()), err
}

// schemaOf is the schema of a form.
func schemaOf(f *form) members {
	switch f.what {
	case aQuantity:
		return quantitySchema(f)
	case aText:
		if f.named != "" {
			return members{{"type", "string"}, {"pattern", patternOf(f.named)}, {"maxLength", f.most}}
		}
		return members{{"type", []string{"string", "number"}}, {"minLength", 1}, {"maxLength", f.most}}
	case aChoice:
		if f.yesOrNo() { // other readers of YAML take these words for more than text
			return members{{"type", "boolean"}}
		}
		return members{{"type", "string"}, {"enum", f.words}}
	case aCount:
		return members{{"type", "integer"}, {"minimum", f.least}, {"maximum", f.most}}
	case aDriver:
		return members{{"type", "string"}, {"pattern", namePattern}, {"maxLength", longestKey}}
	case anObject:
		for _, d := range definitions {
			if d.object == f.object {
				return members{{"$ref", "#/$defs/" + d.name}}
			}
		}
		return objectSchema(f.object, "", "")
	case aVariant:
		return variantSchema(f.variant)
	case aList:
		return members{{"type", "array"}, {"items", schemaOf(f.of[0])}, {"minItems", f.least}, {"maxItems", f.most}}
	case aRegister:
		return members{
			{"type", "object"}, {"minProperties", f.least}, {"maxProperties", f.most},
			{"propertyNames", members{{"pattern", patternOf(f.noun)}, {"maxLength", longestKey}}},
			{"additionalProperties", schemaOf(f.of[0])},
		}
	case aRating:
		return members{
			{"type", "object"}, {"minProperties", f.least}, {"maxProperties", f.most},
			{"propertyNames", members{{"pattern", quantityPattern}}},
			{"additionalProperties", schemaOf(ratedPower)},
		}
	}
	var of []members
	for _, g := range f.of {
		of = append(of, schemaOf(g))
	}
	return members{{"anyOf", of}}
}

// patternOf is that of the names of a noun, as badName has it.
func patternOf(noun string) string {
	if noun == pointed {
		return pointedPattern
	}
	return namePattern
}

const (
	namePattern    = "^[a-z0-9][a-z0-9_-]*$"
	pointedPattern = `^[a-z0-9][a-z0-9_-]*(\.[a-z0-9_-]+)*$`
	// quantityPattern is a number with a unit, as far as a pattern can tell.
	quantityPattern = `^\s*[-+−]?[.0-9][0-9.,]*([eE][-+]?[0-9]+)?(\s*[^\s0-9.,_]|\s*[×x*]\s*10|\s+10).*$`
	numberPattern   = `^\s*[-+−]?[.0-9][0-9.,]*([eE][-+]?[0-9]+)?\s*$`
)

func quantitySchema(f *form) members {
	if f.kind != phys.Number {
		return members{{"type", "string"}, {"pattern", quantityPattern}}
	}
	least := "minimum"
	if f.above {
		least = "exclusiveMinimum"
	}
	return members{{"type", []string{"number", "string"}}, {least, f.min}, {"maximum", f.max}, {"pattern", numberPattern}}
}

// objectSchema is the schema of an object; tag and word are the key that chose
// it, "" for an object that none chose.
func objectSchema(o *object, tag, word string) members {
	properties, required := members{}, []string{}
	if tag != "" {
		properties = append(properties, member{tag, members{{"const", word}}})
		required = append(required, tag)
	}
	for i := range o.keys {
		k := &o.keys[i]
		properties = append(properties, member{k.name, keySchema(k)})
		if k.required {
			required = append(required, k.name)
		}
	}
	out := members{{"type", "object"}, {"properties", properties}}
	if len(required) > 0 {
		out = append(out, member{"required", required})
	}
	out = append(out, member{"additionalProperties", false})
	return append(out, ruleSchemas(o.rules)...)
}

func keySchema(k *key) members {
	out := members{{"description", describe(k)}}
	if k.form.what == aText || k.form.what == aDriver || k.form.what == aQuantity && k.form.kind != phys.Number {
		out = append(out, member{"examples", []string{k.example}})
	}
	return append(out, schemaOf(k.form)...)
}

// describe is what an editor shows for a key.
func describe(k *key) string {
	text := strings.ToUpper(k.doc[:1]) + k.doc[1:] + "."
	if v := k.form.valueText(); v != "" {
		text += " Takes " + v + "."
	}
	if k.fallback != "" {
		text += " Default: " + k.fallback + "."
	}
	return text
}

// ruleSchemas say which keys go together.
func ruleSchemas(rules []rule) members {
	var all []members
	needs := members{}
	pair := func(a, b string) {
		all = append(all, members{{"not", members{{"required", []string{a, b}}}}})
	}
	for _, r := range rules {
		var each []members
		for _, k := range r.keys {
			each = append(each, members{{"required", []string{k}}})
		}
		switch r.sort {
		case exactlyOne:
			all = append(all, members{{"oneOf", each}})
		case atLeastOne:
			all = append(all, members{{"anyOf", each}})
		case atMostOne:
			for i, a := range r.keys {
				for _, b := range r.keys[i+1:] {
					pair(a, b)
				}
			}
		case firstBarred:
			for _, b := range r.keys[1:] {
				pair(r.keys[0], b)
			}
		case together:
			needs = append(needs, member{r.keys[0], r.keys[1:]}, member{r.keys[1], r.keys[:1]})
		case firstNeeds:
			needs = append(needs, member{r.keys[0], r.keys[1:]})
		}
	}
	var out members
	if len(needs) > 0 {
		out = append(out, member{"dependentRequired", needs})
	}
	if len(all) > 0 {
		out = append(out, member{"allOf", all})
	}
	return out
}

// variantSchema names the words of the tag, and for each the keys it brings.
func variantSchema(v *variant) members {
	var words []string
	var cases []members
	var docs []string
	for _, c := range v.cases {
		words = append(words, c.word)
		docs = append(docs, c.word+": "+c.doc)
		is := members{{"properties", members{{v.tag, members{{"const", c.word}}}}}, {"required", []string{v.tag}}}
		cases = append(cases, members{{"if", is}, {"then", objectSchema(c.object, v.tag, c.word)}})
	}
	about := strings.ToUpper(v.doc[:1]) + v.doc[1:] + ". " + strings.Join(docs, "; ") + "."
	return members{
		{"type", "object"},
		{"properties", members{{v.tag, members{{"description", about}, {"enum", words}}}}},
		{"required", []string{v.tag}},
		{"allOf", cases},
	}
}
