package studyfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	yaml "github.com/goccy/go-yaml"
	"pgregory.net/rapid"
)

// thing is a value as the test knows it: a text, a list or keys.
type thing struct {
	text string
	keys []string // of keys
	sub  []*thing
	list bool
}

func (a *thing) scalar() bool { return !a.list && a.keys == nil }

// told is all of a thing in one text, to compare.
func (a *thing) told() string {
	if a.scalar() {
		return strconv.Quote(a.text)
	}
	var b strings.Builder
	b.WriteString("(")
	for i, s := range a.sub {
		if !a.list {
			b.WriteString(strconv.Quote(a.keys[i]) + "=")
		}
		b.WriteString(s.told() + " ")
	}
	return b.String() + ")"
}

// toldBy is the same of what another reader of YAML makes of a text.
func toldBy(v any) string {
	var b strings.Builder
	switch v := v.(type) {
	case yaml.MapSlice:
		b.WriteString("(")
		for _, e := range v {
			b.WriteString(strconv.Quote(fmt.Sprint(e.Key)) + "=" + toldBy(e.Value) + " ")
		}
		b.WriteString(")")
	case []any:
		b.WriteString("(")
		for _, e := range v {
			b.WriteString(toldBy(e) + " ")
		}
		b.WriteString(")")
	default:
		return strconv.Quote(fmt.Sprint(v))
	}
	return b.String()
}

var (
	someText = rapid.SampledFrom([]string{"28 L", "0.5 ft3", "xmax", "a: b", "yes", "it's", `say "hi"`, "# no", "2,5 W", "µ Ω °", "", "null", "- x", "[a", "-3 dB", " b ", "*a", "12", "a #b", "?", "%d", "@", "a\tb", "{}", "'", "a\nb", "é: ü"})
	someName = rapid.StringMatching(`[a-z0-9][a-z0-9_-]{0,5}`)
	aComment = rapid.SampledFrom([]string{"", "", "", "# why", "# a: b {", "# ünï", "#"})
)

// keyed draws keys, with the given things under each.
func keyed(t *rapid.T, keys []string, sub func(key string) *thing) *thing {
	a := &thing{keys: []string{}}
	for _, k := range keys {
		if slices.Contains(a.keys, k) {
			continue
		}
		a.keys, a.sub = append(a.keys, k), append(a.sub, sub(k))
	}
	return a
}

func single(text string) *thing { return &thing{text: text} }

// drawStudy draws a study, good or not.
func drawStudy(t *rapid.T) *thing {
	value := func(string) *thing { return single(someText.Draw(t, "text")) }
	some := func(all ...string) []string {
		n := rapid.IntRange(1, len(all)).Draw(t, "keys")
		return rapid.Permutation(all).Draw(t, "order")[:n]
	}
	names := rapid.SliceOfN(someName, 1, 3).Draw(t, "names")
	items := func(words ...string) *thing {
		a := &thing{list: true}
		for range rapid.IntRange(1, 3).Draw(t, "items") {
			a.sub = append(a.sub, single(rapid.SampledFrom(words).Draw(t, "word")))
		}
		return a
	}
	candidate := func(string) *thing {
		return keyed(t, append(some("note"), "group", "enclosure"), func(k string) *thing {
			switch k {
			case "group":
				return keyed(t, some("driver", "polarity", "members", "stack"), func(k string) *thing {
					switch k {
					case "driver":
						return single(rapid.SampledFrom(names).Draw(t, "driver"))
					case "polarity":
						return items("normal", "reversed")
					case "members":
						return &thing{list: true, sub: []*thing{items(names...), items(names...)}}
					}
					return value(k)
				})
			case "enclosure":
				return keyed(t, append([]string{"kind"}, some("volume", "tuning", "port")...), func(k string) *thing {
					switch k {
					case "kind":
						return single("vented")
					case "port":
						return keyed(t, some("diameter", "length", "count"), value)
					}
					return value(k)
				})
			}
			return value(k)
		})
	}
	return keyed(t, append([]string{"study"}, some("note", "units", "air", "brief", "drivers", "candidates")...), func(k string) *thing {
		switch k {
		case "air":
			return keyed(t, some("temperature", "humidity", "pressure"), value)
		case "brief":
			return keyed(t, some("limits", "level"), func(k string) *thing {
				if k == "limits" {
					return keyed(t, some("from", "mass", "price"), value)
				}
				return keyed(t, some("at", "spl"), value)
			})
		case "drivers":
			return keyed(t, names, func(string) *thing { return keyed(t, some("fs", "qms", "vas"), value) })
		case "candidates":
			return keyed(t, rapid.SliceOfN(someName, 1, 3).Draw(t, "candidates"), candidate)
		}
		return value(k)
	})
}

// page writes a thing in styles of all sorts.
type page struct {
	t   *rapid.T
	out strings.Builder
}

func (p *page) word(text string, inFlow bool) string {
	if rapid.Bool().Draw(p.t, "quotes") || other(text) || !plain(text, inFlow) {
		if rapid.Bool().Draw(p.t, "single") && printable(text) {
			return "'" + strings.ReplaceAll(text, "'", "''") + "'"
		}
		return doubleQuoted(text)
	}
	return text
}

func (p *page) flow(a *thing) string {
	if a.scalar() {
		return p.word(a.text, true)
	}
	open, shut := "{", "}"
	if a.list {
		open, shut = "[", "]"
	}
	space := rapid.SampledFrom([]string{"", " "}).Draw(p.t, "space")
	var parts []string
	for i, s := range a.sub {
		part := p.flow(s)
		if !a.list {
			part = p.word(a.keys[i], true) + ": " + part
		}
		parts = append(parts, part)
	}
	end := ""
	if len(parts) > 0 && rapid.IntRange(0, 5).Draw(p.t, "comma") == 0 {
		end = ","
	}
	return open + space + strings.Join(parts, rapid.SampledFrom([]string{", ", ",", " ,  "}).Draw(p.t, "between")) + end + space + shut
}

// remark ends a line, with a comment or without.
func (p *page) remark() {
	if c := aComment.Draw(p.t, "comment"); c != "" {
		p.out.WriteString(rapid.SampledFrom([]string{" ", "   "}).Draw(p.t, "gap") + c)
	}
	p.out.WriteString("\n")
}

func (p *page) lines(a *thing, indent string, inline bool) {
	for i, s := range a.sub {
		if !inline || i > 0 {
			if c := aComment.Draw(p.t, "above"); c != "" {
				p.out.WriteString(indent + c + "\n")
			}
			if rapid.IntRange(0, 6).Draw(p.t, "blank") == 0 {
				p.out.WriteString("\n")
			}
			p.out.WriteString(indent)
		}
		if a.list {
			p.out.WriteString("-")
		} else {
			p.out.WriteString(p.word(a.keys[i], false) + ":")
		}
		switch {
		case s.scalar() || len(s.sub) == 0 || rapid.Bool().Draw(p.t, "braces"):
			text := ""
			if s.scalar() {
				text = p.word(s.text, false)
			} else {
				text = p.flow(s)
			}
			p.out.WriteString(" " + text)
			p.remark()
		case a.list && rapid.Bool().Draw(p.t, "inline"):
			p.out.WriteString(" ")
			p.lines(s, indent+"  ", true)
		default:
			p.remark()
			p.lines(s, indent+rapid.SampledFrom([]string{"  ", "    "}).Draw(p.t, "indent"), false)
		}
	}
}

// write draws the text of a study.
func write(t *rapid.T, a *thing) string {
	p := &page{t: t}
	p.out.WriteString(rapid.SampledFrom([]string{"", "# top\n", "---\n"}).Draw(t, "head"))
	p.lines(a, "", false)
	return p.out.String()
}

// spotOf is where a change may go: what holds a thing, and which of it.
type spotOf struct {
	path   string
	holder *thing
	i      int
}

func spots(a *thing, path string) []spotOf {
	var out []spotOf
	for i, s := range a.sub {
		at := path + "[" + strconv.Itoa(i) + "]"
		if !a.list {
			at = under(path, a.keys[i])
		}
		out = append(append(out, spotOf{at, a, i}), spots(s, at)...)
	}
	return out
}

// renamed puts the new name of a driver where the old one is named.
func renamed(root *thing, old, name string) {
	for _, s := range spots(root, "") {
		named := strings.HasPrefix(s.path, "candidates.") && (strings.HasSuffix(s.path, ".group.driver") || strings.Contains(s.path, ".group.members["))
		if x := s.holder.sub[s.i]; named && x.scalar() && x.text == old {
			x.text = name
		}
	}
}

// Whatever the file looks like and whatever is changed: the text says what
// the model says, as another reader of YAML reads it; lines that have nothing
// to do with the change stand as they were.
func TestEditAgainstModel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		model := drawStudy(t)
		text := write(t, model)
		if rapid.Bool().Draw(t, "crlf") {
			text = strings.ReplaceAll(text, "\n", "\r\n")
		}
		if rapid.Bool().Draw(t, "cut") {
			text = strings.TrimRight(text, "\r\n")
		}
		means(t, text, model)
		for range rapid.IntRange(1, 6).Draw(t, "changes") {
			text = oneChange(t, text, model)
			means(t, text, model)
		}
	})
}

func means(t *rapid.T, text string, model *thing) {
	var v any
	if err := yaml.UnmarshalWithOptions([]byte(strings.ReplaceAll(text, "\r\n", "\n")), &v, yaml.UseOrderedMap()); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if have, want := toldBy(v), model.told(); have != want {
		t.Fatalf("the text\n%s\nsays %s\nwant %s", text, have, want)
	}
}

// oneChange makes one change in the text and in the model.
func oneChange(t *rapid.T, text string, model *thing) string {
	all := spots(model, "")
	s := rapid.SampledFrom(all).Draw(t, "where")
	c := Change{Do: rapid.SampledFrom([]string{"set", "set", "add", "remove", "rename", "copy", "move"}).Draw(t, "do"), Path: s.path}
	h := s.holder
	name := someName.Draw(t, "name")
	var kept func(before, after []string) bool
	switch c.Do {
	case "set":
		if !h.sub[s.i].scalar() {
			return text
		}
		value := someText.Draw(t, "value")
		if f := formAt(s.path); f == nil || f.what != aText {
			value = strings.TrimSpace(strings.ReplaceAll(value, "\n", " "))
			if f == nil || f.structured() {
				return text
			}
		}
		c.Value = Quoted(value)
		was := h.sub[s.i].text
		h.sub[s.i] = single(value)
		kept = func(before, after []string) bool {
			return strings.Contains(value+was, "\n") || differing(before, after) <= 1
		}
		back, err := Edit([]byte(mustEdit(t, text, c)), []Change{{Do: "set", Path: c.Path, Value: Quoted(was)}})
		if err != nil || !sameButQuotes(string(back), text) && !strings.Contains(value+was, "\n") {
			t.Fatalf("set %s to %q and back to %q: %v\n%s\nthen\n%s", c.Path, value, was, err, text, back)
		}
	case "add":
		if h.list {
			if !h.sub[0].scalar() { // members: a list of lists
				return text
			}
			c.Path = c.Path[:strings.LastIndexByte(c.Path, '[')] + "[" + strconv.Itoa(len(h.sub)) + "]"
		} else {
			if slices.Contains(h.keys, name) || strings.HasPrefix(s.path, "candidates") && strings.Count(s.path, ".") < 2 || strings.HasPrefix(s.path, "drivers") && strings.Count(s.path, ".") < 2 || strings.Count(s.path, ".") == 0 {
				return text
			}
			c.Path = under(strings.TrimSuffix(s.path, h.keys[s.i]), name)
			c.Path = strings.ReplaceAll(c.Path, "..", ".")
			h.keys = append(h.keys, name)
		}
		c.Do, c.Value = "set", "xmax"
		h.sub = append(h.sub, single("xmax"))
		kept = subsequence
		if back, err := Edit([]byte(mustEdit(t, text, c)), []Change{{Do: "remove", Path: c.Path}}); err != nil || string(back) != text {
			t.Fatalf("set %s and remove it: %v\n%s\nthen\n%s", c.Path, err, text, back)
		}
	case "remove":
		if len(h.sub) < 2 {
			return text
		}
		h.sub = slices.Delete(h.sub, s.i, s.i+1)
		if !h.list {
			h.keys = slices.Delete(h.keys, s.i, s.i+1)
		}
		kept = func(before, after []string) bool { return subsequence(after, before) }
	case "rename", "copy":
		if h.list || slices.Contains(h.keys, name) {
			return text
		}
		c.Name = name
		old := h.keys[s.i]
		if c.Do == "rename" {
			h.keys[s.i] = name
			if strings.HasPrefix(s.path, "drivers.") && strings.Count(s.path, ".") == 1 {
				renamed(model, old, name)
			}
			kept = func(before, after []string) bool { return len(before) == len(after) }
			break
		}
		at := s.i + 1
		if strings.HasPrefix(s.path, "candidates.") && strings.Count(s.path, ".") == 1 {
			at = len(h.keys) // behind all others, whose looks are those of their place
		}
		h.keys = slices.Insert(h.keys, at, name)
		h.sub = slices.Insert(h.sub, at, h.sub[s.i].clone())
		kept = subsequence
	case "move":
		c.To = rapid.IntRange(0, len(h.sub)-1).Draw(t, "to")
		x := h.sub[s.i]
		h.sub = slices.Insert(slices.Delete(h.sub, s.i, s.i+1), c.To, x)
		if !h.list {
			k := h.keys[s.i]
			h.keys = slices.Insert(slices.Delete(h.keys, s.i, s.i+1), c.To, k)
		}
		kept = func(before, after []string) bool { return len(before) == len(after) }
	}
	after := mustEdit(t, text, c)
	if !kept(strings.Split(text, "\n"), strings.Split(after, "\n")) {
		t.Fatalf("%+v touches other lines:\n%s\nthen\n%s", c, text, after)
	}
	blank := strings.HasPrefix(text, after) // of the last line a blank one above is left
	if a, b := strings.HasSuffix(text, "\n"), strings.HasSuffix(after, "\n"); a != b && !blank {
		t.Fatalf("%+v changes the end of the file:\n%q\n%q", c, text, after)
	}
	if strings.Contains(text, "\r\n") && strings.Count(after, "\n") != strings.Count(after, "\r\n") {
		t.Fatalf("%+v changes ends of lines:\n%q\n%q", c, text, after)
	}
	return after
}

func (a *thing) clone() *thing {
	c := *a
	c.keys = slices.Clone(a.keys)
	c.sub = nil
	for _, s := range a.sub {
		c.sub = append(c.sub, s.clone())
	}
	return &c
}

// mustEdit makes a change twice from one reading: an edit leaves what it began from as
// it was.
func mustEdit(t *rapid.T, text string, c Change) string {
	f := Open([]byte(text), "")
	var out [2]string
	for i := range out {
		next, err := f.Edit(t.Context(), []Change{c})
		if err != nil {
			t.Fatalf("%+v: %v\n%s", c, err, text)
		}
		out[i] = string(next.Text())
	}
	if out[0] != out[1] || string(f.Text()) != text {
		t.Fatalf("%+v: once\n%s\nonce more\n%s", c, out[0], out[1])
	}
	return out[0]
}

// formAt is the form of a place, by a file that has it.
func formAt(path string) *form {
	t, err := locate(&spot{shape: shapeMap}, path)
	if err != nil {
		return nil
	}
	return t.form()
}

func differing(a, b []string) int {
	if len(a) != len(b) {
		return max(len(a), len(b))
	}
	n := 0
	for i := range a {
		if a[i] != b[i] {
			n++
		}
	}
	return n
}

// subsequence tells whether all lines of a but one stand in b, in order; that
// one is where an entry was added in braces.
func subsequence(a, b []string) bool {
	common := make([]int, len(b)+1) // longest common subsequence of what was seen of a with each start of b
	for _, l := range a {
		corner := 0
		for j := range b {
			above := common[j+1]
			if l == b[j] {
				common[j+1] = corner + 1
			} else {
				common[j+1] = max(above, common[j])
			}
			corner = above
		}
	}
	return common[len(b)] >= len(a)-1
}

// sameButQuotes compares two texts: a value that needed quotes for a while
// keeps them.
func sameButQuotes(a, b string) bool {
	strip := strings.NewReplacer(`"`, "", "'", "", `\`, "").Replace
	return strip(a) == strip(b)
}

// Edit never panics, and what it makes can be read and edited again.
func FuzzEdit(f *testing.F) {
	for _, data := range studies(f) {
		f.Add(data, "set", "candidates.one.enclosure.volume", "28 L", "", 0)
	}
	f.Add([]byte(lined), "rename", "drivers.wren-6", "", "b", 0)
	f.Add([]byte(dashed), "remove", "candidates.one.group.coupling[0].volume", "", "", 0)
	f.Add([]byte(spread), "copy", "brief.level", "", "x", 0)
	f.Add([]byte("a: &b {c: *b}\nd: *b\n? e\n: !f g\n<<: *b\n"), "move", "d", "", "", 0)
	f.Add([]byte("a:\n- |+\n  b\n\n- >-2\n    c\n"), "set", "a[1]", "[{x: y}]", "", 0)
	f.Fuzz(func(t *testing.T, data []byte, do, path, value, name string, to int) {
		watch := time.AfterFunc(20*time.Second, func() { panic("it does not come to an end") })
		defer watch.Stop()
		for _, field := range Open(data, "").Fields() {
			if field.Path == "" || field.At.Line < 1 || field.At.Column < 1 || field.Present && field.Sort == "" {
				t.Fatalf("%+v", field)
			}
		}
		out, err := Edit(data, []Change{{Do: do, Path: path, Value: value, Name: name, To: to}})
		if err != nil {
			return
		}
		if d, faults := open(out); d == nil {
			t.Fatalf("%q becomes %q, which cannot be read: %v", data, out, faults.list)
		}
	})
}
