package phys

import (
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
)

// A row is one published or evaluated value of a table under testdata; the
// tables name the source of every row.
type row struct {
	id, quantity, conditions string
	values                   []float64 // of a list in one cell; nil if it is not all numbers
}

func readTable(t *testing.T, file string) map[string]row {
	t.Helper()
	rows := map[string]row{}
	for _, r := range check.Rows(t, "testdata/"+file) {
		rows[r.ID] = row{r.ID, r.Quantity, r.Conditions, floats(r.Value)}
	}
	return rows
}

// floats are the numbers of a list, or nil if one of them is none.
func floats(list string) []float64 {
	out, _ := check.Floats(list, ";")
	return out
}

// after is the number that follows a mark in a row's conditions.
func (r row) after(t *testing.T, mark string) float64 {
	t.Helper()
	_, text, ok := strings.Cut(r.conditions, mark)
	end := strings.IndexFunc(text, func(c rune) bool { return !strings.ContainsRune("0123456789.", c) })
	if end >= 0 {
		text = text[:end]
	}
	v, err := strconv.ParseFloat(text, 64)
	if !ok || err != nil {
		t.Fatalf("%s: no number after %q in %q", r.id, mark, r.conditions)
	}
	return v
}
