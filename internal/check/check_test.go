package check

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// told is a test that notes what is told instead of failing.
type told struct {
	testing.TB
	text string
}

func (f *told) Helper()                        {}
func (f *told) Errorf(format string, a ...any) { f.text += fmt.Sprintf(format, a...) }
func (f *told) Fatal(a ...any)                 { panic(fmt.Sprint(a...)) }
func (f *told) Fatalf(format string, a ...any) { panic(fmt.Sprintf(format, a...)) }

func TestNear(t *testing.T) {
	for _, c := range []struct {
		got, want, tolerance float64
		fails                bool
	}{
		{1, 1, 0, false}, {1.25, 1, 0.25, false}, {0.75, 1, 0.25, false}, {1.2501, 1, 0.25, true},
		{math.NaN(), 1, 9, true}, {1, math.NaN(), 9, true}, {1, 1, math.NaN(), true}, {math.Inf(1), 1, 9, true},
	} {
		f := &told{TB: t}
		Near(f, "it", c.got, c.want, c.tolerance, "a reason")
		if (f.text != "") != c.fails || c.fails && !strings.Contains(f.text, "(a reason)") {
			t.Errorf("%+v: told %q", c, f.text)
		}
	}
}

func TestPanics(t *testing.T) {
	for _, c := range []struct {
		panics any
		tells  string
	}{
		{"check: bad length", ""},
		{"check: no length", `panic "check: no length", want one with "bad"`},
		{nil, "no panic"},
	} {
		f := &told{TB: t}
		Panics(f, "bad", func() {
			if c.panics != nil {
				panic(c.panics)
			}
		})
		if c.tells == "" && f.text != "" || !strings.Contains(f.text, c.tells) {
			t.Errorf("%v: told %q, want %q", c.panics, f.text, c.tells)
		}
	}
}

func TestGolden(t *testing.T) {
	file := filepath.Join(t.TempDir(), "text")
	if err := os.WriteFile(file, []byte("one\ntwo\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	defer func(was bool) { *update = was }(*update)
	*update = false
	f := &told{TB: t}
	if Golden(f, file, "one\ntwo\n"); f.text != "" {
		t.Errorf("told %q of equal texts", f.text)
	}
	if Golden(f, file, "one\n2\n"); !strings.Contains(f.text, `"two"`) || !strings.Contains(f.text, `"2"`) || strings.Contains(f.text, `-`+"\t"+`"one"`) {
		t.Errorf("told %q", f.text)
	}
	Panics(t, "-update", func() { Golden(f, file+".none", "") })

	*update = true
	Golden(t, file, "three")
	if text, err := os.ReadFile(file); err != nil || string(text) != "three" {
		t.Errorf("rewritten: %q, %v", text, err)
	}
}

func TestRows(t *testing.T) {
	file := filepath.Join(t.TempDir(), "table.csv")
	write := func(text string) {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("id,value,quantity,unit,conditions,tolerance,source\na-1,1; 2.5,fs;Q,Hz;1,\"x, y\",exact,a book\na-2,formula,f,,,,\n")
	rows := Rows(t, file)
	want := Row{ID: "a-1", Quantity: "fs;Q", Value: "1; 2.5", Unit: "Hz;1", Conditions: "x, y", Source: "a book"}
	if len(rows) != 2 || rows[0] != want {
		t.Fatalf("%+v", rows)
	}
	if v := rows[0].Values(t); !slices.Equal(v, []float64{1, 2.5}) {
		t.Error(v)
	}
	f := &told{TB: t}
	Panics(t, "a-2", func() { rows[1].Values(f) })
	write("id,quantity\na,b\n")
	Panics(t, "no column value", func() { Rows(f, file) })
	write("id,quantity\n")
	Panics(t, "1 rows", func() { CSV(f, file) })
}
