package studyfile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"slices"
)

// unbuilt are the keys of a study that nothing is built by, nor wired: what is fed
// and what is asked. (A listener sits in a car that may be hot, and a group is
// wired to an amplifier's channels.)
var unbuilt = []string{"study", "note", "drive", "filters", "reference", "brief"}

// candidateDigests gives every candidate the digest of all that its figures are
// made from: its own keys and where they stand, and the study without its
// candidates; and that of all that it is drawn from. Comments and style have no
// part in it.
func (b *builder) candidateDigests(root *node) {
	all, ok := root.find("candidates")
	if !ok || b.count() > 0 {
		return
	}
	common, built := sha256.New(), sha256.New()
	for _, e := range root.entries {
		if e.key == "candidates" {
			continue
		}
		fmt.Fprintf(common, "%q:", e.key)
		e.value.digest(common)
		if !slices.Contains(unbuilt, e.key) {
			fmt.Fprintf(built, "%q:", e.key)
			e.value.digest(built)
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
		own.value.digest(h)
		self := h.Sum(nil)
		c.Digest = digestOf("%x %d:%d %q %x", common.Sum(nil), own.pos.line, own.pos.column, own.key, self)
		c.Shape = digestOf("%x %q %x", built.Sum(nil), own.key, self)
	}
}

func digestOf(format string, of ...any) string {
	sum := sha256.Sum256(fmt.Appendf(nil, format, of...))
	return hex.EncodeToString(sum[:])
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
