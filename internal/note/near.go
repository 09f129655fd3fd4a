package note

import (
	"strings"

	"basswright/internal/phys"
)

// longest is the most letters of a word that is looked up.
const longest = 40

// Nearest is the word that a mistyped one most likely stands for, "" if none is near: one
// that differs in no more than a third of its letters, and at least in one.
func Nearest(typed string, words []string) string {
	typed = strings.ToLower(typed)
	if len(typed) > longest {
		return ""
	}
	best, distance := "", max(1, len(typed)/3)+1
	for _, w := range words {
		if d := phys.Edits(typed, w); d < distance && d < len(w) {
			best, distance = w, d
		}
	}
	return best
}
