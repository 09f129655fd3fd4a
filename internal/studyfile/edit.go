package studyfile

// A Change is one edit of a study file.
type Change struct {
	Do    string  `json:"do"`              // set, remove, rename, copy, move
	Path  string  `json:"path"`            // "candidates.one.enclosure.volume"
	Value string  `json:"value,omitempty"` // set: YAML of the value, as it would stand in a file: `28 L`, `{kind: sealed, volume: 28 L}`, or block lines
	Name  string  `json:"name,omitempty"`  // rename, copy: the new key
	To    int     `json:"to,omitempty"`    // move: index among its siblings
	Was   *string `json:"was,omitempty"`   // set, remove: the value's text as the person saw it ("" = absent)
}
