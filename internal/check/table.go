package check

import (
	"encoding/csv"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// CSV reads a file with one header row, and gives the columns by name.
func CSV(t testing.TB, file string) (columns map[string]int, rows [][]string) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil || len(records) < 2 {
		t.Fatalf("%s: %d rows, %v", file, len(records), err)
	}
	columns = map[string]int{}
	for i, name := range records[0] {
		columns[name] = i
	}
	return columns, records[1:]
}

// A Row is one published or evaluated value, or a list of them, of a table
// under testdata; the table names the source of every row.
type Row struct {
	ID, Quantity, Value, Unit, Conditions, Source string
	Seen                                          string // how the source was seen; "" where the table does not say
}

// Rows reads a table of published values.
func Rows(t testing.TB, file string) []Row {
	t.Helper()
	columns, rows := CSV(t, file)
	for _, name := range []string{"id", "quantity", "value", "unit", "conditions", "source"} {
		if _, ok := columns[name]; !ok {
			t.Fatalf("%s has no column %s", file, name)
		}
	}
	var out []Row
	for _, r := range rows {
		cell := func(name string) string {
			if i, ok := columns[name]; ok {
				return r[i]
			}
			return ""
		}
		out = append(out, Row{
			ID: cell("id"), Quantity: cell("quantity"), Value: cell("value"), Unit: cell("unit"),
			Conditions: cell("conditions"), Source: cell("source"), Seen: cell("seen"),
		})
	}
	return out
}

// Values are the numbers of a row, in the order in which its quantity names them.
func (r Row) Values(t testing.TB) []float64 {
	t.Helper()
	out, err := Floats(r.Value, ";")
	if err != nil {
		t.Fatalf("%s: %v", r.ID, err)
	}
	return out
}

// After is the number that stands behind a mark in the row's conditions.
func (r Row) After(t testing.TB, mark string) float64 {
	t.Helper()
	_, text, ok := strings.Cut(r.Conditions, mark)
	v, err := strconv.ParseFloat(number.FindString(text), 64)
	if !ok || err != nil {
		t.Fatalf("%s: no number after %q in %q", r.ID, mark, r.Conditions)
	}
	return v
}

var number = regexp.MustCompile(`^[+-]?[0-9]*\.?[0-9]*([eE][+-]?[0-9]+)?`)

// Floats reads a list of numbers.
func Floats(list, separator string) ([]float64, error) {
	var out []float64
	for _, text := range strings.Split(list, separator) {
		v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}
