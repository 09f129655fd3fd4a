package phys

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"
)

// A row is one published or evaluated value of a table under testdata; the
// tables name the source of every row.
type row struct {
	id, quantity, conditions string
	values                   []float64 // of a list in one cell; nil if it is not all numbers
}

func readTable(t *testing.T, file string) map[string]row {
	t.Helper()
	f, err := os.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string]row{}
	for _, r := range records[1:] {
		rows[r[0]] = row{r[0], r[1], r[4], floats(r[2])}
	}
	return rows
}

func floats(list string) []float64 {
	var out []float64
	for _, text := range strings.Split(list, ";") {
		v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil {
			return nil
		}
		out = append(out, v)
	}
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
