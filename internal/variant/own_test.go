package variant

import (
	"strings"
	"testing"

	"basswright/internal/enclosure"
	"basswright/internal/studyfile"
)

// The candidate to go on from by hand is in the file what its words say, worked
// out from the driver of each study; and there is one more of it under another name.
func TestOwnOfTheExamples(t *testing.T) {
	volumes := map[float64]bool{}
	for name, data := range examples(t) {
		st := parse(t, data)
		for k, want := range []string{"own", "own-2"} {
			v, ok := Own(st)
			if !ok || v.Name != want {
				t.Fatalf("%s: %+v, %v, want %s", name, v, ok, want)
			}
			var err error
			if data, err = studyfile.Edit(data, v.Changes); err != nil {
				t.Fatalf("%s: %q: %v", name, v.Words, err)
			}
			st = parse(t, data)
			o := evaluated(t, st, want)
			isTrue(t, v, o, st.Units)
			s := o.System.Spec
			if s.Kind != enclosure.Sealed || o.System.Group.Count() != 1 || lead(o.System.Group).Name != st.Drivers[0].Driver.Name {
				t.Errorf("%s: %q makes %v", name, v.Words, s)
			}
			if q := o.System.Facts.SealedQtc; strings.Contains(v.Words, "0.71") && (q < 0.705 || q > 0.712) { // the volume has three digits
				t.Errorf("%s: %q has total Q %g", name, v.Words, q)
			}
			if k == 0 {
				volumes[s.Rear.Volume] = true
			}
		}
	}
	if len(volumes) < 2 {
		t.Errorf("the same volume for the drivers of all examples: %v", volumes)
	}
}

// Of a study without candidates it is the first, which stands for itself.
func TestOwnBegins(t *testing.T) {
	for name, data := range examples(t) {
		full := parse(t, data)
		bare := *full
		bare.Candidates = nil
		v, ok := Own(&bare)
		if !ok || v.Name != "one" || v.Changes[0].Path != "candidates.one" || !strings.HasPrefix(v.Words, "one "+full.Drivers[0].Driver.Name+", ") {
			t.Errorf("%s: %+v, %v", name, v, ok)
		}
	}
}
