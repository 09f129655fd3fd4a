package studyfile

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"basswright/internal/note"
)

// A Change is one edit of a study file.
type Change struct {
	// Do is set, remove, rename, copy or move.
	Do string `json:"do"`
	// Path names the place as Field.Path does.
	Path string `json:"path"`
	// Value is what set writes. Where only a single value can stand it is that
	// value's text, written with quotes if it needs them; a text that itself
	// begins and ends with quotes is read as YAML (see Quoted). Where keys or a
	// list can stand too it is YAML, on one line or on several.
	Value string `json:"value,omitempty"`
	// Name is the new key that rename and copy give.
	Name string `json:"name,omitempty"`
	// To is the index among its siblings that move gives.
	To int `json:"to,omitempty"`
	// Was is the text (Field.Text) that the person saw: where another stands
	// by now the change is refused with a *ConflictError. "" is: nothing.
	Was *string `json:"was,omitempty"`
}

// EditError is a change that cannot be made.
type EditError struct {
	Path   string        // of the change
	At     note.Position // where it would be, if that is known
	Reason string        // a clause that follows the path
	Mend   string
}

// Error is "line:column: path reason; mend".
func (e *EditError) Error() string {
	if at := e.At.String(); at != "" {
		return at + ": " + e.Words()
	}
	return e.Words()
}

// Words is the error for who has not the text before them: "path reason; mend".
func (e *EditError) Words() string {
	text := e.Reason + "; " + e.Mend
	if e.Path != "" {
		text = shown(e.Path) + " " + text
	}
	return text
}

// ConflictError is a change of something that is not what it was.
type ConflictError struct {
	Path    string
	Was, Is string // texts as Field.Text; "" is: nothing stands there
}

// Error says both texts.
func (e *ConflictError) Error() string {
	say := func(text string) string {
		if text == "" {
			return "nothing"
		}
		return shown(text)
	}
	return fmt.Sprintf("%s was %s and is %s by now; choose one of the two", e.Path, say(e.Was), say(e.Is))
}

func refuse(path, reason, mend string) *EditError {
	return &EditError{Path: path, Reason: reason, Mend: mend}
}

func refuseAt(p place, path, reason, mend string) *EditError {
	return &EditError{path, note.Position{Line: p.line, Column: p.column}, reason, mend}
}

// Edit makes changes, one after the other, in the text of a study file. Lines
// that a change does not touch keep every byte. Each result is read again and
// held against what the change means: nothing but that may differ. The error
// is a *ConflictError or an *EditError, and then no change was made.
//
// A place that stands behind an alias is written out first, because a change
// there is meant for that place alone; so are the aliases of an anchor inside
// of which something changes.
func Edit(data []byte, changes []Change) ([]byte, error) {
	f, err := Open(data, "").Edit(context.Background(), changes)
	if err != nil {
		return nil, err
	}
	return bytes.Clone(f.data), nil
}

// all makes changes, as many as it can with one reading of the text.
func (d *doc) all(ctx context.Context, changes []Change) (*doc, error) {
	for len(changes) > 0 {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		next, n := d.together(changes)
		if n == 0 {
			var err error
			if next, err = d.change(changes[0]); err != nil {
				return nil, err
			}
			n = 1
		}
		d, changes = next, changes[n:]
	}
	return d, nil
}

// together makes the first n of several changes at once: those that give single
// values other ones, each where no other does, and where none decides what
// another means. 0: it made none, and the first is to be made alone.
func (d *doc) together(changes []Change) (next *doc, n int) {
	if len(d.names) > 0 || len(changes) < 2 {
		return nil, 0
	}
	var cuts []cut
	want, met := d.root, map[*spot]bool{}
	for _, c := range changes {
		t, err := locate(d.root, c.Path)
		if err != nil || c.Do != "set" || !utf8.ValidString(c.Path+c.Value) || len(t.rest) > 0 {
			break
		}
		old, f := t.value(), t.form()
		plain := old != nil && old.shape == shapeScalar && !met[old] && f != nil && (f.what == aQuantity || f.what == aCount || f.what == aText)
		if !plain || c.Was != nil && canonical(old) != *c.Was {
			break
		}
		e := editor{doc: d, change: c, target: t}
		v, refused := e.draft(false)
		if refused != nil || v.lines != nil {
			break
		}
		met[old] = true
		n++
		if !same(old, v.means) {
			cuts, want = append(cuts, e.replace(t.part(), v)...), with(want, t.at, v.means)
		}
	}
	if n < 2 {
		return nil, 0
	}
	if len(cuts) == 0 {
		return d, n
	}
	next, failed := d.rewrite(cuts, want)
	if failed != "" {
		return nil, 0
	}
	return next, n
}

// change makes one change.
func (d *doc) change(c Change) (*doc, error) {
	before := d
	if !utf8.ValidString(c.Path + c.Value + c.Name) {
		return nil, refuse(c.Path, "is given a text that is not UTF-8", "write it in UTF-8")
	}
	d, t, err := d.separate(c)
	if err != nil {
		return nil, err
	}
	if c.Was != nil {
		if is := canonical(t.value()); is != *c.Was {
			return nil, &ConflictError{c.Path, *c.Was, is}
		}
	}
	e := editor{doc: d, change: c, target: t}
	next, refused := e.make()
	if refused != nil {
		return nil, refused
	}
	if same(next.root, before.root) { // nothing was changed, and nothing need be written out for it
		return before, nil
	}
	return next, nil
}

// separate writes out the aliases that a change would lead through, or that
// would change with it, and finds the place of the change. Each round takes at
// least one alias away.
func (d *doc) separate(c Change) (*doc, *target, error) {
	for {
		t, err := locate(d.root, c.Path)
		if err != nil {
			return nil, nil, err
		}
		if len(d.names) == 0 {
			return d, t, nil
		}
		aliases := d.entangled(t, c)
		if len(aliases) == 0 {
			return d, t, nil
		}
		var cuts []cut
		texts := map[*spot]string{}
		for _, s := range aliases {
			if _, ok := texts[s.target]; !ok {
				texts[s.target] = flowText(s)
			}
			cuts = append(cuts, cut{s.start, s.end, texts[s.target]})
		}
		next, failed := d.rewrite(cuts, d.root)
		if failed != "" {
			return nil, nil, refuseAt(aliases[0].pos, c.Path, "is bound to other places by an alias that cannot be written out", "write the value itself in place of the alias")
		}
		d = next
	}
}

// entangled is the aliases to be written out before a change, none if there
// are no more of them.
func (d *doc) entangled(t *target, c Change) []*spot {
	free := map[*spot]bool{} // anchored values that must have no alias
	path := make([]*spot, len(t.at))
	for i, n := range t.at {
		path[i] = t.chain[i].parts[n].value
	}
	through := path
	if n := len(path) - 1; n >= 0 && len(t.rest) == 0 { // the value itself may be an alias
		through = path[:n]
		if c.Do != "rename" {
			mark(path[n], free)
		}
	}
	if a := passed(through, free); a != nil {
		return a
	}
	if c.Do == "move" {
		mark(t.holder(), free)
	}
	if old, ok := t.driver(); ok && c.Do == "rename" {
		for _, r := range references(d.root, old) {
			if a := passed(r.path, free); a != nil {
				return a
			}
		}
	}
	return aliasesOf(d.root, free, nil)
}

// passed is the first alias on a path; it notes the anchors before it.
func passed(path []*spot, free map[*spot]bool) []*spot {
	for _, s := range path {
		if s.target != nil {
			return []*spot{s}
		}
		free[s] = s.anchor
	}
	return nil
}

// mark notes all anchored values inside of one.
func mark(s *spot, free map[*spot]bool) {
	if s.target != nil {
		return
	}
	if s.anchor {
		free[s] = true
	}
	for i := range s.parts {
		mark(s.parts[i].value, free)
	}
}

// aliasesOf adds all aliases of the values to out.
func aliasesOf(s *spot, of map[*spot]bool, out []*spot) []*spot {
	if s.target != nil {
		if of[s.target] {
			out = append(out, s)
		}
		return out
	}
	for i := range s.parts {
		out = aliasesOf(s.parts[i].value, of, out)
	}
	return out
}

// cut replaces the bytes from one offset to another.
type cut struct {
	from, to int
	text     string
}

// splice makes cuts, which do not overlap, in the text.
func splice(data []byte, cuts []cut) []byte {
	slices.SortStableFunc(cuts, func(a, b cut) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	var out []byte
	last := 0
	for _, c := range cuts {
		if c.from < last || c.to < c.from {
			return nil
		}
		out = append(out, data[last:c.from]...)
		out = append(out, c.text...)
		last = c.to
	}
	return append(out, data[last:]...)
}

// rewrite makes cuts and reads the result, which must say what want says;
// failed tells in words why it does not.
func (d *doc) rewrite(cuts []cut, want *spot) (next *doc, failed string) {
	data := splice(d.data, cuts)
	if data == nil {
		return nil, "overlaps itself"
	}
	next, f := open(data)
	if next == nil {
		return nil, "would leave a file that cannot be read: " + f.list[0].Text
	}
	if !same(next.root, want) {
		return nil, "would change more than what is named"
	}
	return next, ""
}

// same tells whether two values say the same.
func same(a, b *spot) bool {
	a, b = a.self(), b.self()
	if a == b {
		return true
	}
	if a.shape != b.shape || a.text != b.text || len(a.parts) != len(b.parts) {
		return false
	}
	for i := range a.parts {
		if a.parts[i].key != b.parts[i].key || !same(a.parts[i].value, b.parts[i].value) {
			return false
		}
	}
	return true
}

// editor makes one change.
type editor struct {
	*doc
	change Change
	target *target
}

func (e *editor) make() (*doc, *EditError) {
	switch e.change.Do {
	case "set":
		return e.set()
	case "remove":
		return e.remove()
	case "rename":
		return e.rename()
	case "copy":
		return e.copy()
	case "move":
		return e.move()
	}
	return nil, e.refuse("is to be "+shown(e.change.Do)+", which is no change", "set, remove, rename, copy or move it")
}

func (e *editor) refuse(reason, mend string) *EditError {
	p := e.target.holder().pos
	if part := e.target.part(); part != nil {
		p = part.pos
	}
	return refuseAt(p, e.change.Path, reason, mend)
}

// finish makes the cuts and checks the result.
func (e *editor) finish(cuts []cut, want *spot) (*doc, *EditError) {
	next, failed := e.rewrite(cuts, want)
	if failed != "" {
		return nil, e.refuse(failed, "edit this place as text")
	}
	return next, nil
}

// driver is the name of the driver that the place is the sheet of.
func (t *target) driver() (string, bool) { return t.entry("drivers") }

// candidate is the name of the candidate that the place holds all of.
func (t *target) candidate() (string, bool) { return t.entry("candidates") }

func (t *target) entry(of string) (string, bool) {
	if len(t.at) != 2 || len(t.rest) > 0 || t.chain[0].parts[t.at[0]].key != of {
		return "", false
	}
	return t.part().key, true
}

// reference is a place that names a driver.
type reference struct {
	path []*spot // the values that lead to it, itself the last, aliases not followed
	name *spot
	flow bool // it stands between brackets
}

// references lists all places that name a driver.
func references(root *spot, name string) []reference {
	var out []reference
	add := func(holder *spot, path ...*spot) {
		s := path[len(path)-1]
		if s.self().shape == shapeScalar && s.self().text == name {
			out = append(out, reference{path, s, holder.self().style == styleFlow})
		}
	}
	all := root.get("candidates")
	if all == nil || all.self().shape != shapeMap {
		return nil
	}
	for _, c := range all.self().parts {
		group := c.value.get("group")
		if d := group.get("driver"); d != nil {
			add(group, all, c.value, group, d)
		}
		members := group.get("members")
		if members == nil || members.self().shape != shapeList {
			continue
		}
		for _, position := range members.self().parts {
			if position.value.self().shape != shapeList {
				continue
			}
			for _, m := range position.value.self().parts {
				add(position.value, all, c.value, group, members, position.value, m.value)
			}
		}
	}
	return out
}

// oneLine tells whether a text has no line break.
func oneLine(text string) bool { return !strings.ContainsAny(text, "\r\n") }
