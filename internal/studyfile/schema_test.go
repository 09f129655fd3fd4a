package studyfile

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	yaml "github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func TestGeneratedFilesAreFresh(t *testing.T) {
	for name, want := range map[string][]byte{"study.schema.json": Schema(), "study-keys.md": KeysMarkdown()} {
		have, err := os.ReadFile(filepath.Join("../../docs", name))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(have, want) {
			t.Errorf("docs/%s is stale: run go generate ./internal/studyfile", name)
		}
	}
}

func compiled(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("study.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("study.schema.json") // checks it against the draft's own schema
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// instance is a YAML file as an editor hands it to a validator.
func instance(text []byte) (any, error) {
	js, err := yaml.YAMLToJSON(text)
	if err != nil {
		return nil, err
	}
	return jsonschema.UnmarshalJSON(bytes.NewReader(js))
}

func TestSchemaTakesGoodStudies(t *testing.T) {
	s := compiled(t)
	var files []string
	for _, pattern := range []string{"../../examples/*.yaml", "testdata/good/*.yaml"} {
		found, err := filepath.Glob(pattern)
		if err != nil || len(found) == 0 {
			t.Fatal(pattern, err)
		}
		files = append(files, found...)
	}
	for _, file := range files {
		text := bytes.TrimPrefix(readFile(t, file), []byte("\ufeff"))
		v, err := instance(text)
		if err != nil {
			t.Fatal(file, err)
		}
		if err := s.Validate(v); err != nil {
			t.Errorf("%s: %v", file, err)
		}
		mustParse(t, text, goodFolder)
	}
}

// What is wrong in form is refused by the schema too: by these identifiers of
// the faults, unless a fault beside them comes from the values.
func TestSchemaRefusesMalformedStudies(t *testing.T) {
	s := compiled(t)
	formal := []string{
		"unknown-key", "missing-key", "wrong-type", "no-value", "said-twice", "unknown-word", "bad-count", "bad-name", "not-yet", "too-long",
	}
	// what a pattern or a count of keys cannot tell
	beyond := []string{
		"temperature-twice.yaml", "amplifier-output-said-twice.yaml", "port-shape.yaml", "twice-radiator-tuning.yaml", "amplifier-load-twice.yaml", "drive-without-amplifier.yaml",
	}
	files, err := filepath.Glob("testdata/malformed/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	refused := 0
	for _, file := range files {
		text := readFile(t, file)
		f := mustFail(t, text, file)[0]
		if !slices.Contains(formal, f.ID) || slices.Contains(beyond, filepath.Base(file)) {
			continue
		}
		v, err := instance(text)
		if err != nil {
			continue // no YAML, so nothing that a schema could judge
		}
		refused++
		if s.Validate(v) == nil {
			t.Errorf("%s passes the schema, and has the fault: %s", file, f.Text)
		}
	}
	if refused < 40 {
		t.Errorf("only %d malformed studies were judged by the schema", refused)
	}
}

// objects visits every object of the table once.
func objects(visit func(*object)) {
	seen := map[*object]bool{}
	var walk func(*form)
	object := func(o *object) {
		if seen[o] {
			return
		}
		seen[o] = true
		visit(o)
		for _, k := range o.keys {
			walk(k.form)
		}
	}
	walk = func(f *form) {
		if f.object != nil {
			object(f.object)
		}
		if f.variant != nil {
			for _, c := range f.variant.cases {
				object(c.object)
			}
		}
		for _, g := range f.of {
			walk(g)
		}
	}
	walk(studyForm)
}

// The example of every key is what its form takes, and its rules name keys
// that exist.
func TestTableIsSound(t *testing.T) {
	checked := 0
	objects(func(o *object) {
		for i := range o.keys {
			k := &o.keys[i]
			if k.doc == "" || k.example == "" || strings.HasSuffix(k.doc, ".") {
				t.Errorf("%s: %s: doc %q, example %q", o.noun, k.name, k.doc, k.example)
				continue
			}
			f := &faults{}
			n := parse([]byte(k.name+": "+k.example+"\n"), f)
			if n == nil {
				t.Fatalf("%s: %v", k.name, f.err())
			}
			w := walker{faults: f}
			w.value(n.entries[0].value, k.form, k.name)
			if err := f.err(); err != nil {
				t.Errorf("%s: the example of %s: %v", o.noun, k.name, err)
			}
			checked++
		}
		for _, r := range o.rules {
			for _, k := range r.keys {
				if o.find(k) == nil {
					t.Errorf("%s: a rule names %s", o.noun, k)
				}
			}
			if r.mend == "" || len(r.keys) < 2 {
				t.Errorf("%s: %v", o.noun, r)
			}
		}
	})
	if checked < 120 {
		t.Errorf("only %d keys", checked)
	}
}

// The good studies use every key of the table.
func TestGoodStudiesUseEveryKey(t *testing.T) {
	used := map[*object]map[string]bool{}
	var walk func(v *value)
	note := func(o *object, v *value) {
		if used[o] == nil {
			used[o] = map[string]bool{}
		}
		for name, c := range v.keys {
			used[o][name] = true
			walk(c)
		}
	}
	walk = func(v *value) {
		switch v.form.what {
		case anObject:
			note(v.form.object, v)
		case aVariant:
			for _, c := range v.form.variant.cases {
				if c.word == v.text {
					note(c.object, v)
				}
			}
		}
		for _, c := range v.items {
			walk(c)
		}
		for _, c := range v.named {
			walk(c.value)
		}
	}
	files, err := filepath.Glob("testdata/good/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		f := &faults{}
		w := walker{faults: f}
		v := w.value(parse(readFile(t, file), f), studyForm, "")
		if v == nil {
			t.Fatal(file, f.err())
		}
		walk(v)
	}
	objects(func(o *object) {
		for _, k := range o.keys {
			if !used[o][k.name] {
				t.Errorf("%s: no good study uses %s", o.noun, k.name)
			}
		}
	})
}

// Everything that JSON takes for a study is still ordered as the table is.
func TestSchemaKeepsTheOrderOfTheTable(t *testing.T) {
	text := string(Schema())
	if !json.Valid([]byte(text)) {
		t.Fatal("the schema is no JSON")
	}
	last := 0
	for _, k := range studyForm.object.keys {
		at := strings.Index(text, "\n    \""+k.name+"\": {")
		if at <= last {
			t.Errorf("%s stands at %d, after %d", k.name, at, last)
		}
		last = at
	}
}
