package studyfile

import (
	"bytes"
	"fmt"
	"strings"

	"basswright/internal/phys"
)

// KeysMarkdown is the list of all keys for the manual, in Markdown.
func KeysMarkdown() []byte {
	var out bytes.Buffer
	out.WriteString("<!-- Made from the code by go generate ./internal/studyfile; do not edit. -->\n\n# Keys of the study file\n\n" +
		"Names of drivers and candidates begin with a lower-case letter or a digit, go on with those, `-` and `_`,\n" +
		fmt.Sprintf("and have at most %d letters. A study holds up to %d of each. A dash in the column of defaults means\n", longestKey, mostNames) +
		"that nothing holds where the key is left out; *required* keys cannot be.\n")
	m := manual{out: &out, told: map[*object]string{}}
	m.object(studyForm.object, "", "the study")
	return out.Bytes()
}

// manual writes the sections, each object once.
type manual struct {
	out  *bytes.Buffer
	told map[*object]string // where each was told
}

// object writes the section of an object, then those of the objects inside.
func (m manual) object(o *object, path, title string) {
	if at, ok := m.told[o]; ok {
		if path != at {
			fmt.Fprintf(m.out, "\n## `%s`\n\nThe keys of `%s`.\n", path, at)
		}
		return
	}
	m.told[o] = path
	if path == "" {
		fmt.Fprintf(m.out, "\n## %s\n", strings.ToUpper(title[:1])+title[1:])
	} else {
		fmt.Fprintf(m.out, "\n## `%s`\n\n%s.\n", path, strings.ToUpper(title[:1])+title[1:])
	}
	m.table(o)
	for i := range o.keys {
		m.form(o.keys[i].form, under(path, o.keys[i].name), o.keys[i].doc)
	}
}

func (m manual) table(o *object) {
	if len(o.keys) == 0 {
		m.out.WriteString("\nNo other keys.\n")
		return
	}
	m.out.WriteString("\n| key | takes | default | means | example |\n|---|---|---|---|---|\n")
	for i := range o.keys {
		k := &o.keys[i]
		fallback := k.fallback
		switch {
		case k.required:
			fallback = "*required*"
		case fallback == "":
			fallback = "–"
		}
		fmt.Fprintf(m.out, "| `%s` | %s | %s | %s | `%s` |\n", k.name, cell(k.form.valueText()), cell(fallback), cell(k.doc), cell(k.example))
	}
	for _, r := range o.rules {
		fmt.Fprintf(m.out, "\n%s\n", r.text())
	}
}

// cell keeps a text from ending a cell of a table.
func cell(s string) string { return strings.ReplaceAll(s, "|", `\|`) }

// form writes the sections of the objects that a form leads to.
func (m manual) form(f *form, path, title string) {
	switch f.what {
	case anObject:
		m.object(f.object, path, title)
	case aVariant:
		v := f.variant
		fmt.Fprintf(m.out, "\n## `%s`\n\n%s.\n\n| %s | means |\n|---|---|\n", path, strings.ToUpper(title[:1])+title[1:], v.tag)
		for _, c := range v.cases {
			fmt.Fprintf(m.out, "| `%s` | %s |\n", c.word, c.doc)
		}
		for _, c := range v.cases {
			m.object(c.object, path+" "+v.tag+": "+c.word, c.doc)
		}
	case aRegister:
		m.form(f.of[0], path+".NAME", "a "+f.noun)
	case aList, anEither:
		for _, g := range f.of {
			m.form(g, path, title)
		}
	}
}

// text is a rule in words.
func (r rule) text() string {
	code := make([]string, len(r.keys))
	for i, k := range r.keys {
		code[i] = "`" + k + "`"
	}
	rest := code[1:]
	switch r.sort {
	case exactlyOne:
		return "One of " + joined(code, "and") + "."
	case atLeastOne:
		return "At least one of " + joined(code, "and") + "."
	case atMostOne:
		return "At most one of " + joined(code, "and") + "."
	case together:
		return joined(code, "and") + " go together."
	case firstBarred:
		return code[0] + " stands without " + joined(rest, "and") + "."
	}
	return code[0] + " needs " + joined(rest, "and") + "."
}

// valueText is what a form takes, in words with the range.
func (f *form) valueText() string {
	switch f.what {
	case aQuantity:
		if f.kind == phys.Number {
			return "a number, " + f.span()
		}
		return article(f.kind.String()) + " (" + strings.Join(f.kind.Units(), ", ") + "), " + f.span()
	case aText:
		if f.named != "" {
			return fmt.Sprintf("the name of %s, up to %d letters", article(f.named), f.most)
		}
		return fmt.Sprintf("a text of up to %d letters", f.most)
	case aCount:
		return fmt.Sprintf("a whole number, %d to %d", f.least, f.most)
	case anObject, aVariant:
		return "keys of its own"
	case aList:
		return "a list, each: " + f.of[0].valueText()
	case aRegister:
		return "a name for each " + f.noun + ", with keys of its own"
	case anEither:
		var out []string
		for _, g := range f.of {
			out = append(out, g.valueText())
		}
		return strings.Join(out, "; or ")
	}
	return f.asked()
}
