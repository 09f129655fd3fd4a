package studyfile

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"slices"
	"strconv"

	"basswright/internal/study"
)

// unbuilt are the keys of a study that nothing is built by, nor wired: what is fed
// and what is asked. (A listener sits in a car that may be hot, and a group is
// wired to an amplifier's channels.)
var unbuilt = []string{"study", "note", "drive", "filters", "reference", "brief"}

// surroundings are the digests of the study without its candidates: of all of it,
// of all but the drive, and of what anything is built by.
type surroundings struct{ all, undriven, built [sha256.Size]byte }

func (b *builder) surroundings() surroundings {
	if b.aroundAgain() {
		return b.was.around
	}
	all, undriven, built := sha256.New(), sha256.New(), sha256.New()
	for _, e := range b.root.node.entries {
		if e.key == "candidates" {
			continue
		}
		into := []hash.Hash{all}
		if e.key != "drive" {
			into = append(into, undriven)
		}
		if !slices.Contains(unbuilt, e.key) {
			into = append(into, built)
		}
		text := e.value.appendText(append(strconv.AppendQuote(nil, e.key), ':'))
		for _, h := range into {
			h.Write(text)
		}
	}
	if b.measured != "" {
		fmt.Fprintf(all, "beside:%q", b.measured)
		fmt.Fprintf(undriven, "beside:%q", b.measured)
	}
	sum := func(h hash.Hash) [sha256.Size]byte { return [sha256.Size]byte(h.Sum(nil)) }
	return surroundings{sum(all), sum(undriven), sum(built)}
}

// digests gives a candidate the digest of all that its figures are made from: its
// own keys and where they stand, and what surrounds it; those of all of
// that but the drive, of what it is built from, and of what it is wired by. Comments and
// style have no part in them.
func (s surroundings) digests(c *study.Candidate, own ownDigests) {
	c.Digest, c.Undriven, c.Built = digestOf("%x %s", s.all, own.all), digestOf("%x %s", s.undriven, own.all), digestOf("%x %s", s.built, own.all)
	c.Wired = digestOf("%x %q %x", s.built, c.Name, own.wired)
}

// ownDigests are those of a candidate's own keys: of all of them with where they stand, and
// of what it is wired by.
type ownDigests struct {
	all   string
	wired []byte
}

func digestsOf(c *study.Candidate, n *node) ownDigests {
	h := sha256.New()
	n.digest(h)
	own := ownDigests{all: fmt.Sprintf("%d:%d %q %x", c.At.Line, c.At.Column, c.Name, h.Sum(nil))}
	h.Reset()
	n.digestAt(h, "group")
	if box, ok := n.find("enclosure"); ok {
		box.value.digestAt(h, "parts") // a network may hold drivers too
	}
	own.wired = h.Sum(nil)
	return own
}

func digestOf(format string, of ...any) string {
	sum := sha256.Sum256(fmt.Appendf(nil, format, of...))
	return hex.EncodeToString(sum[:])
}

// digestAt is digest of what stands at a key, if anything does.
func (n *node) digestAt(h hash.Hash, key string) {
	if e, ok := n.find(key); ok {
		e.value.digest(h)
	}
}

// digest writes a node without its place.
func (n *node) digest(h hash.Hash) { h.Write(n.appendText(nil)) }

// appendText is a node without its place, in a spelling of its own.
func (n *node) appendText(b []byte) []byte {
	switch n.shape {
	case shapeScalar:
		return strconv.AppendQuote(b, n.text)
	case shapeList:
		b = append(b, '[')
		for _, c := range n.items {
			b = append(c.appendText(b), ',')
		}
		return append(b, ']')
	case shapeMap:
		b = append(b, '{')
		for _, e := range n.entries {
			b = append(strconv.AppendQuote(b, e.key), ':')
			b = append(e.value.appendText(b), ',')
		}
		return append(b, '}')
	}
	return append(b, '-')
}
