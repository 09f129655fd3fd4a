package web

import (
	"math"
	"strings"
	"testing"
)

const vanWithTable = `study: A van
listening: {transfer: seat.csv}
drivers: {wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}}
candidates: {one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}}
`

// A table beside the study is read inside the folder: the page has the level at
// the listener's place and the plain one. What is changed in the table is seen at
// the next look, and a fault in it is the study's, with the place in both.
func TestTableBesideTheStudy(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "bench.yaml", vanWithTable)
	put(t, dir, "seat.csv", "10;12\n400;12\n")
	s := openOn(t, dir, "127.0.0.1:0")
	for _, gain := range []float64{12, 3} {
		if gain == 3 {
			put(t, dir, "seat.csv", "10;3\n400;3\n")
		}
		v := s.view()
		if len(v.Faults) > 0 {
			t.Fatal(v.Faults)
		}
		c := v.Result.Candidates[0].Curves
		if len(c.Plain) != len(c.Level) || len(c.Level) == 0 {
			t.Fatalf("%d plain levels for %d", len(c.Plain), len(c.Level))
		}
		level, plain := unpacked(c.Level), unpacked(c.Plain)
		for k := range level {
			if math.Abs(level[k]-plain[k]-gain) > 2e-5 { // two roundings of about 100 dB to 24 bits
				t.Fatalf("point %d: %g dB, and plain %g", k, level[k], plain[k])
			}
		}
		if v.Result.Strips[1].Key != "plain-level" || !strings.Contains(v.Result.Terms, "as measured (seat.csv)") {
			t.Errorf("strips %+v, terms %q", v.Result.Strips[1], v.Result.Terms)
		}
	}
	put(t, dir, "seat.csv", "10;3\n40;x\n")
	v := s.view()
	if len(v.Faults) != 1 || v.Faults[0].Line != 2 || v.Faults[0].Column != 23 || !strings.HasPrefix(v.Faults[0].Text, `seat.csv:2:4: "x" is no number`) {
		t.Errorf("%+v", v.Faults)
	}
}

// In the plain space there is one level.
func TestPlainSpaceHasOneLevel(t *testing.T) {
	v := open(t).view()
	for _, c := range v.Result.Candidates {
		if len(c.Curves.Plain) != 0 {
			t.Errorf("%s has a plain level too", c.Name)
		}
	}
	for _, s := range v.Result.Strips {
		if s.Key == "plain-level" {
			t.Error("there is a strip for it")
		}
	}
}
