package studyfile

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
)

// drivesOf are texts of one study with other drives and other questions: all that
// nothing is built by.
func drivesOf(t *testing.T, text string) []string {
	t.Helper()
	i := strings.Index(text, "\ndrive:")
	if i < 0 {
		t.Fatal("the study has no drive")
	}
	end := i + 1 + strings.IndexByte(text[i+1:], '\n')
	var out []string
	for _, d := range []string{"{voltage: 2.83 V}", "{power: 40 W}", "{power: 90 W}", "{power_per_driver: 12.5 W}", "{voltage: 11 V}", "{power: 40 W}"} {
		for _, more := range []string{"", "\nreference: {from: 60 Hz, to: 120 Hz}"} {
			if more == "" || !strings.Contains(text, "\nreference:") {
				out = append(out, text[:i]+"\ndrive: "+d+more+text[end:])
			}
		}
	}
	return out
}

// Whoever turns the drive or asks something else gets the same systems again, with
// what their solvers have found before, and the same answers as from nothing.
func TestMemoryOfSystemsGivesWhatIsComputed(t *testing.T) {
	for _, name := range []string{"camper-bench", "salt-road"} {
		data, err := os.ReadFile("../../examples/" + name + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		mem := study.NewMemory()
		beside := func(file string) ([]byte, error) { return os.ReadFile(filepath.Join("../../examples", file)) }
		for _, text := range drivesOf(t, string(data)) {
			f := Open([]byte(text), "bench.yaml")
			f.Make = mem.Make
			st, err := f.Study(beside)
			if err != nil {
				t.Fatal(err)
			}
			opt := study.Options{Points: 60, WithoutMends: true}
			got, err := mem.Evaluate(context.Background(), st, opt)
			if err != nil {
				t.Fatal(err)
			}
			fresh, err := Parse([]byte(text), "bench.yaml", beside)
			if err != nil {
				t.Fatal(err)
			}
			want, err := study.Evaluate(context.Background(), fresh, opt)
			if err != nil {
				t.Fatal(err)
			}
			for i, o := range got.Candidates {
				w := want.Candidates[i]
				if !sameBits(reflect.ValueOf(o.Curves), reflect.ValueOf(w.Curves)) || !sameBits(reflect.ValueOf(o.Figures), reflect.ValueOf(w.Figures)) || !sameBits(reflect.ValueOf(o.Misses), reflect.ValueOf(w.Misses)) || !reflect.DeepEqual(o.Findings, w.Findings) {
					t.Errorf("%s, %s: %s is another", name, st.Drive.Words(st.Units), w.Candidate.Name)
				}
			}
		}
	}
}

// sameBits is DeepEqual where one that is no number equals another.
func sameBits(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Float64:
		x, y := a.Float(), b.Float()
		return x == y || x != x && y != y
	case reflect.Pointer:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() == b.IsNil()
		}
		return sameBits(a.Elem(), b.Elem())
	case reflect.Struct:
		for i := range a.NumField() {
			if !sameBits(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !sameBits(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.String:
		return a.String() == b.String()
	case reflect.Int:
		return a.Int() == b.Int()
	case reflect.Bool:
		return a.Bool() == b.Bool()
	}
	return false
}

// Candidates of one Built are drawn alike, whatever they are fed and asked.
func TestBuiltAlikeIsDrawnAlike(t *testing.T) {
	data, err := os.ReadFile("../../examples/camper-bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	drawn := map[string]string{}
	texts := drivesOf(t, string(data))
	for _, text := range append(texts, strings.Replace(texts[0], "f3: 36 Hz", "f3: 30 Hz", 1), strings.Replace(texts[0], "volume: 40 L", "volume: 44 L", 1)) {
		r := evaluated(t, nil, text, study.Options{Points: 2, WithoutMends: true})
		for _, o := range r.Candidates {
			var b bytes.Buffer
			opt := section.Options{Scale: 0.3, Theme: draw.Screen(), Size: 12, Dims: true, Units: r.Study.Units, Space: r.Study.Space}
			for _, s := range []*draw.Scene{section.Draw(o, opt), section.Wiring(o.System.Group, opt)} {
				if err := s.SVG(&b, draw.SVGOptions{}); err != nil {
					t.Fatal(err)
				}
			}
			if was, ok := drawn[o.Candidate.Built]; ok && was != b.String() {
				t.Errorf("%s is drawn otherwise on %s", o.Candidate.Name, r.Study.Drive.Words(r.Study.Units))
			}
			drawn[o.Candidate.Built] = b.String()
		}
	}
	if len(drawn) != 13 { // six candidates, a line further down where a band is named, and one with another volume
		t.Errorf("%d boxes were built", len(drawn))
	}
}
