package studyfile

import (
	"errors"
	"math"
	"math/cmplx"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/phys"
	listener "basswright/internal/place"
	"basswright/internal/study"
)

// goodFolder is the folder of the good studies.
func goodFolder(file string) ([]byte, error) {
	return os.ReadFile(filepath.Join("testdata/good", filepath.FromSlash(file)))
}

// Every key of a cabin, of walls and of a measured table arrives: the transfer is
// that of package place for the same numbers, by the definition of each unit.
func TestListenersPlaceIsRead(t *testing.T) {
	cold, err := phys.NewAir(-10, 0, 101325)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		file  string
		words string
		want  func(f float64) complex128
	}{
		{"cabin", "in a cabin of 3.1\u2009m³", zone(t, listener.Cabin{
			Volume: 3.1, Length: 2.7, Distance: 1.5, Leak: listener.Leak{Area: 40e-4, Length: 0.02, Q: 2}, Q: 3}, cold)},
		// a free space of 1 m has the pressure of a half space of 2 m, and a cabin has
		// the same pressure in both; its longest side is its width
		{"cabin-sides", "in a cabin of 6\u2009m³", zone(t, listener.Cabin{
			Volume: 6, Length: 2.5, Distance: 2, Leak: listener.Leak{Corner: 8, Q: 2}, Absorption: 1.5}, phys.StandardAir())},
		{"walls", "near two walls", func(f float64) complex128 {
			w, err := listener.NewWalls(phys.StandardAir(), 0.4, 1.2)
			if err != nil {
				t.Fatal(err)
			}
			return complex(w.Gain(f), 0)
		}},
		{"seat", "as measured (measured/seat.csv)", func(f float64) complex128 {
			text, err := goodFolder("measured/seat.csv")
			if err != nil {
				t.Fatal(err)
			}
			m, err := listener.ReadMeasured("", string(text))
			if err != nil {
				t.Fatal(err)
			}
			h, _ := m.Transfer(f)
			return h
		}},
	} {
		t.Run(c.file, func(t *testing.T) {
			st := mustParse(t, readFile(t, "testdata/good/"+c.file+".yaml"), goodFolder)
			at := st.Listening.At
			if !st.InPlace() || at.Words(phys.Metric) != c.words {
				t.Fatalf("%q, want %q", at.Words(phys.Metric), c.words)
			}
			for _, f := range []float64{1, 8, 20, 33, 60, 120, 400} {
				if have, want := at.Transfer(f), c.want(f); cmplx.Abs(have-want) > 1e-12*cmplx.Abs(want) { // rounding of units
					t.Errorf("%g Hz: %v, want %v", f, have, want)
				}
			}
			if st.Candidates[0].Axis != study.AxisDown {
				t.Errorf("its cones point %v", st.Candidates[0].Axis)
			}
		})
	}
}

func zone(t *testing.T, c listener.Cabin, air phys.Air) func(f float64) complex128 {
	z, err := listener.NewZone(c, air)
	if err != nil {
		t.Fatal(err)
	}
	return z.Transfer
}

// A cold car: Re falls as copper does (IEC 60028), suspensions are as stiff as is
// said, the air is as cold, and all of it is told; nothing else of the driver moves.
func TestColdCar(t *testing.T) {
	text := readFile(t, "testdata/good/cabin.yaml")
	st := mustParse(t, text)
	warm := mustParse(t, []byte(strings.Replace(string(text), ", temperature: -10 C, stiffness: 140 %", "", 1)))
	have, want := *st.Drivers[0].Driver, *warm.Drivers[0].Driver
	near(t, "re", have.Re, 3.4*(1-0.00393*30))
	near(t, "cms", have.Cms, want.Cms/1.4)
	have.Re, have.Cms = want.Re, want.Cms
	if have.Bl != want.Bl || have.Mms != want.Mms || have.Rms != want.Rms || have.Sd != want.Sd {
		t.Errorf("%+v, want %+v", have, want)
	}
	near(t, "speed of sound", st.Air.C, 343.2*math.Sqrt(263.15/293.15))
	if a := warm.Air; a != phys.StandardAir() {
		t.Errorf("without a temperature the air is %+v", a)
	}
	told := ""
	for _, f := range st.Findings {
		if f.ID == "default-climate" {
			told = f.Text
		}
	}
	for _, want := range []string{"at -10\u2009°C", "325\u2009m/s", "88.2\u2009% of the Re", "140\u2009% of the sheet’s stiffness"} {
		if !strings.Contains(strings.ReplaceAll(told, "−", "-"), want) {
			t.Errorf("%q is not told in %q", want, told)
		}
	}
}

// A table that cannot be read is told at the study's key with the table's own
// line and column.
func TestTableBesideRefused(t *testing.T) {
	text := readFile(t, "testdata/good/seat.yaml")
	for _, c := range []struct {
		table string
		err   error
		want  string
	}{
		{table: "20;1\n0;2\n", want: "measured/seat.csv:2:1: a frequency of 0\u2009Hz is no tone; leave the line out"},
		{table: "20;1,5\n40;2.5\n", want: `measured/seat.csv:2:4: "2.5" has another decimal mark than "1,5" on line 1; use one decimal mark`},
		{err: errors.New("there is no such file"), want: `"measured/seat.csv" cannot be read: there is no such file; put the table into`},
	} {
		_, err := Parse(text, "s.yaml", func(string) ([]byte, error) { return []byte(c.table), c.err })
		if err == nil || !strings.HasPrefix(err.Error(), "s.yaml:2:23: "+c.want) {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
}

// A candidate's digest follows the table, so that nothing remembered is shown for
// another measurement.
func TestDigestFollowsTheTable(t *testing.T) {
	text := readFile(t, "testdata/good/seat.yaml")
	digest := func(table string) string {
		return mustParse(t, text, func(string) ([]byte, error) { return []byte(table), nil }).Candidates[0].Digest
	}
	a, b := digest("20;1\n40;2\n"), digest("20;1\n40;3\n")
	if a == b || a == "" || a != digest("20;1\n40;2\n") {
		t.Errorf("digests %s, %s", a, b)
	}
}
