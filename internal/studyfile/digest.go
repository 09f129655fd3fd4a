package studyfile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
)

// candidateDigests gives every candidate the digest of all that its figures are
// made from: its own keys and where they stand, and the study without its
// candidates. Comments and style have no part in it.
func (b *builder) candidateDigests(root *node) {
	all, ok := root.find("candidates")
	if !ok || b.count() > 0 {
		return
	}
	common := sha256.New()
	for _, e := range root.entries {
		if e.key != "candidates" {
			fmt.Fprintf(common, "%q:", e.key)
			e.value.digest(common)
		}
	}
	if b.measured != "" {
		fmt.Fprintf(common, "beside:%q", b.measured)
	}
	for i := range b.study.Candidates {
		c := &b.study.Candidates[i]
		own, ok := all.value.find(c.Name)
		if !ok {
			continue
		}
		h := sha256.New()
		fmt.Fprintf(h, "%x %d:%d %q", common.Sum(nil), own.pos.line, own.pos.column, own.key)
		own.value.digest(h)
		c.Digest = hex.EncodeToString(h.Sum(nil))
	}
}

// digest writes a node without its place.
func (n *node) digest(h hash.Hash) {
	switch n.shape {
	case shapeScalar:
		fmt.Fprintf(h, "%q", n.text)
	case shapeList:
		h.Write([]byte("["))
		for _, c := range n.items {
			c.digest(h)
			h.Write([]byte(","))
		}
		h.Write([]byte("]"))
	case shapeMap:
		h.Write([]byte("{"))
		for _, e := range n.entries {
			fmt.Fprintf(h, "%q:", e.key)
			e.value.digest(h)
			h.Write([]byte(","))
		}
		h.Write([]byte("}"))
	default:
		h.Write([]byte("-"))
	}
}
