package studyfile

import (
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// place is a position in the file: line and column from 1, in characters.
type place struct{ line, column int }

// shape is what kind of node a node is.
type shape uint8

const (
	shapeNone shape = iota // a key without a value
	shapeScalar
	shapeList
	shapeMap
)

// String names the shape for messages.
func (s shape) String() string {
	return [...]string{"nothing stands", "a single value stands", "a list stands", "keys with values stand"}[s]
}

// node is a node of the file. It is the parser's tree without its types, with
// aliases followed.
type node struct {
	pos     place
	shape   shape
	text    string // of a scalar
	items   []*node
	entries []entry
	size    int  // nodes in all, those behind aliases counted each time
	faulty  bool // a fault was told of it: nothing more is said
	partly  bool // of a map: a fault was told of keys that are left out here
}

// entry is one key of a map with its value.
type entry struct {
	key   string
	pos   place // of the key
	value *node
}

// find is the entry with the given key.
func (n *node) find(key string) (entry, bool) {
	for _, e := range n.entries {
		if e.key == key {
			return e, true
		}
	}
	return entry{}, false
}

// mostNodes bounds what a study may say, aliases followed: a full study has a
// few hundred nodes.
const mostNodes = 20000

// grower makes nodes from the parser's.
type grower struct {
	*faults
	anchors map[string]*node
	full    bool // mostNodes was passed, and told
}

// grow turns the parser's node into ours. Depth is bounded before: see nested.
func (g *grower) grow(a ast.Node) *node {
	n := g.shaped(a)
	n.size++
	for _, c := range n.items {
		n.size += c.size
	}
	for _, e := range n.entries {
		n.size += 1 + e.value.size
	}
	if n.size > mostNodes {
		if !g.full {
			g.full = true
			g.add(n, "too-much", "", "write out what is meant, without aliases to aliases", "with its aliases followed the study holds more than %d values", mostNodes)
		}
		return &node{pos: n.pos, size: 1, faulty: true}
	}
	return n
}

func (g *grower) shaped(a ast.Node) *node {
	switch a := a.(type) {
	case nil:
		return &node{pos: place{1, 1}}
	case *ast.MappingNode:
		return g.mapping(a.Start, a.Values)
	case *ast.MappingValueNode:
		return g.mapping(a.Key.GetToken(), []*ast.MappingValueNode{a})
	case *ast.SequenceNode:
		n := &node{pos: at(a.Start), shape: shapeList}
		for _, v := range a.Values {
			n.items = append(n.items, g.grow(v))
		}
		return n
	case *ast.AnchorNode:
		n := *g.grow(a.Value)
		n.size--
		g.anchors[a.Name.GetToken().Value] = &n
		c := n
		return &c
	case *ast.AliasNode:
		return g.alias(a)
	case *ast.NullNode:
		return &node{pos: at(a.Token)}
	case *ast.LiteralNode:
		return &node{pos: at(a.Start), shape: shapeScalar, text: a.Value.Value}
	case *ast.StringNode:
		return &node{pos: at(a.Token), shape: shapeScalar, text: a.Value}
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return &node{pos: at(a.GetToken()), shape: shapeScalar, text: a.GetToken().Value}
	}
	n := &node{pos: at(a.GetToken()), faulty: true}
	g.add(n, "yaml-feature", "", "write the value alone", "tags and other directions to YAML have no place in a study")
	return n
}

func (g *grower) alias(a *ast.AliasNode) *node {
	name := a.Value.GetToken().Value
	pos := at(a.Start)
	to, ok := g.anchors[name]
	if !ok {
		n := &node{pos: pos, faulty: true}
		g.add(n, "yaml-alias", "", "write the value itself in its place", "the alias *%s stands for nothing before it", name)
		return n
	}
	n := *to
	n.size--
	return &n
}

func (g *grower) mapping(start *token.Token, values []*ast.MappingValueNode) *node {
	n := &node{pos: at(start), shape: shapeMap}
	for _, v := range values {
		k := v.Key.GetToken()
		if len(n.entries) == 0 && start.Type != token.MappingStartType {
			n.pos = at(k)
		}
		if v.Key.IsMergeKey() {
			g.at(at(k), "yaml-merge", "", "repeat the keys that are meant", "the merge key << has no place in a study")
			n.partly = true
			continue
		}
		e := entry{key: k.Value, pos: at(k), value: g.grow(v.Value)}
		if _, ok := v.Key.(*ast.StringNode); !ok {
			if _, ok := v.Key.(*ast.MappingKeyNode); ok {
				g.at(e.pos, "yaml-feature", "", "write the key and a colon in one line", "the sign ? before a key has no place in a study")
				n.partly = true
				continue
			}
		}
		if e.value.shape == shapeNone {
			e.value.pos = e.pos
		}
		if first, ok := n.find(e.key); ok {
			g.at(e.pos, "duplicate-key", "", "keep one of the two", "the key %q stands here already, in line %d", e.key, first.pos.line)
			continue
		}
		n.entries = append(n.entries, e)
	}
	return n
}

// at is where a token stands.
func at(t *token.Token) place {
	if t == nil || t.Position == nil {
		return place{1, 1}
	}
	return place{max(1, t.Position.Line), max(1, t.Position.Column)}
}
