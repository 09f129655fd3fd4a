package studyfile

import (
	"context"
	"regexp"
	"slices"
)

// Try is Edit for what is looked at and not kept, as each step of a drag is: a quantity in
// place of another is put into the tree of what was read, without reading the text again.
// Whoever keeps the text edits it, and has it read again.
func (f *File) Try(ctx context.Context, changes []Change) (*File, error) {
	if len(changes) == 1 && ctx.Err() == nil {
		if next := f.respelled(changes[0]); next != nil {
			return next, nil
		}
	}
	return f.Edit(ctx, changes)
}

// bareQuantity is a number and a unit as they can stand anywhere in a file without a sign that
// means anything to YAML.
var bareQuantity = regexp.MustCompile(`^[0-9]+(\.[0-9]+)? [A-Za-z][A-Za-z0-9/]*$`)

// respelled is the file with a quantity in place of another; nil if the change is none such.
func (f *File) respelled(c Change) *File {
	d, root := f.doc(), f.tree()
	if d == nil || root == nil || len(d.names) > 0 || c.Do != "set" || c.Name != "" || !bareQuantity.MatchString(c.Value) || len(f.said.list) > 0 {
		return nil
	}
	t, err := locate(d.root, c.Path)
	if err != nil || t.value() == nil || t.form() == nil || t.form().structured() {
		return nil
	}
	old := t.value()
	if old.style != stylePlain || !bareQuantity.MatchString(old.text) || c.Was != nil && canonical(old) != *c.Was {
		return nil
	}
	e := editor{doc: d, change: c, target: t}
	v, refused := e.draft(false)
	if refused != nil {
		return nil
	}
	cuts := e.replace(t.part(), v)
	if len(cuts) != 1 || cuts[0] != (cut{old.start, old.end, c.Value}) || string(d.data[old.start:old.end]) != old.text { // as where a tab stands in it
		return nil
	}
	leaf := root
	for i, n := range t.at {
		p := &t.chain[i].parts[n]
		if t.chain[i].shape == shapeList {
			leaf = leaf.items[n]
		} else if entry, ok := leaf.find(p.key); ok {
			leaf = entry.value
		}
	}
	if leaf.text != old.text || leaf.pos != old.pos {
		return nil
	}
	data := splice(d.data, cuts)
	if len(data) > mostBytes {
		return nil
	}
	return &File{name: f.name, data: data, faults: faults{file: f.name}, said: faults{file: f.name}, grown: true, root: root.respelled(leaf, c.Value), known: *f.reading()}
}

// respelled is the tree with another text of one of its scalars, of one line, which moves
// what stands behind it there. The tree itself stays as it is.
func (n *node) respelled(leaf *node, text string) *node {
	by := len(text) - len(leaf.text) // both are of ASCII
	moved := func(p place) place {
		if p.line == leaf.pos.line && p.column > leaf.pos.column {
			p.column += by
		}
		return p
	}
	var walk func(*node) *node
	walk = func(n *node) *node {
		var items []*node
		for i, was := range n.items {
			if now := walk(was); now != was {
				if items == nil {
					items = slices.Clone(n.items)
				}
				items[i] = now
			}
		}
		var entries []entry
		for i, was := range n.entries {
			now := entry{was.key, moved(was.pos), walk(was.value)}
			if now != was {
				if entries == nil {
					entries = slices.Clone(n.entries)
				}
				entries[i] = now
			}
		}
		if n != leaf && items == nil && entries == nil && moved(n.pos) == n.pos {
			return n
		}
		c := *n
		c.pos = moved(n.pos)
		if items != nil {
			c.items = items
		}
		if entries != nil {
			c.entries = entries
		}
		if n == leaf {
			c.text = text
		}
		return &c
	}
	return walk(n)
}
