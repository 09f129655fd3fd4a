package studyfile

import "strings"

// nearest is the word that a mistyped one most likely stands for, "" if none
// is near.
func nearest(typed string, words []string) string {
	typed = strings.ToLower(typed)
	if len(typed) > longestKey {
		return ""
	}
	best, distance := "", max(1, len(typed)/3)+1
	for _, w := range words {
		if d := edits(typed, w); d < distance && d < len(w) {
			best, distance = w, d
		}
	}
	return best
}

// edits counts the letters to change, add, drop or swap with the next one to
// turn a into b (optimal string alignment).
func edits(a, b string) int {
	x, y := []rune(a), []rune(b)
	var rows [3][]int
	for i := range rows {
		rows[i] = make([]int, len(y)+1)
	}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(x); i++ {
		prior, above, here := rows[0], rows[1], rows[2]
		here[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			here[j] = min(above[j]+1, here[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				here[j] = min(here[j], prior[j-2]+1)
			}
		}
		rows[0], rows[1], rows[2] = above, here, prior
	}
	return rows[1][len(y)]
}
