package study

import (
	"fmt"
	"math"
	"testing"
)

// What is kept of one candidate must not keep the study that it was of: a memory
// of a hundred outcomes would hold a hundred studies.
func TestMemoryKeepsNoStudy(t *testing.T) {
	m := NewMemory()
	o := &Outcome{Candidate: &Candidate{Name: "one"}, Plain: "sealed"}
	m.keep("key", Options{}, o)
	if o.Candidate == nil {
		t.Error("the caller’s outcome has lost its candidate")
	}
	if got := m.find("key", Options{}); got == nil || got.Candidate != nil || got.Plain != "sealed" {
		t.Errorf("kept %+v", got)
	}
}

// What a drag leaves pushes out nothing that is seen once the number is let go.
func TestMemoryKeepsTriesApart(t *testing.T) {
	m, tried := NewMemory(), Options{WithoutMends: true}
	m.keep("whole", Options{}, &Outcome{Plain: "sealed"})
	for step := range 10 * mostKept {
		m.keep(fmt.Sprint("step ", step), tried, &Outcome{})
	}
	if got := m.find("whole", Options{}); got == nil || got.Plain != "sealed" {
		t.Errorf("kept %+v", got)
	}
	if n := m.tried.Len(); n != mostTried {
		t.Errorf("%d steps are kept, not the last %d", n, mostTried)
	}
}

// A box that every step of a drag has is known to be sound however many others come and go.
func TestMemoryKnowsWhatIsAskedFor(t *testing.T) {
	m := NewMemory()
	m.give(&system{key: "still"})
	st := &Study{Candidates: []Candidate{{Built: "still"}}} // of no group: to build it would fail
	for step := range 2 * mostSound {
		m.give(&system{key: fmt.Sprint("moves ", step)})
		if err := m.Make(st, 0); err != nil {
			t.Fatal(err)
		}
	}
	if n := m.sound.Len(); n != mostSound {
		t.Errorf("%d are known, not the last %d", n, mostSound)
	}
	if n := m.systems.Len(); n != mostSystems {
		t.Errorf("%d systems are kept, not the last %d", n, mostSystems)
	}
}

// Of more boxes than are kept the first are there when they are evaluated, which begins
// once all have been made.
func TestMemoryKeepsWhatIsEvaluatedFirst(t *testing.T) {
	m := NewMemory()
	st := camper(t)
	one := st.Candidates[0]
	st.Candidates = nil
	for i := range mostSystems + 5 {
		one.Built = fmt.Sprint(i)
		st.Candidates = append(st.Candidates, one)
		if err := m.Make(st, i); err != nil {
			t.Fatal(err)
		}
	}
	st.Candidates[0].Built = ""
	if err := m.Make(st, 0); err != nil || m.sound.Contains("") {
		t.Errorf("%v; a box without a name is known: %v", err, m.sound.Contains(""))
	}
	for i := range st.Candidates {
		s := m.take(fmt.Sprint(i))
		if (s != nil) != (i < mostSystems) {
			t.Errorf("box %d of %d: kept %v", i, len(st.Candidates), s != nil)
		}
	}
}

// Figures that are looked for together are those that each alone would be, to
// the bit.
func TestLargestEachIsLargest(t *testing.T) {
	fs := []func(float64) float64{
		func(f float64) float64 { return -math.Abs(f - 31.4159) },
		func(f float64) float64 { return math.Sin(f / 7) },
		func(float64) float64 { return math.NaN() },
		func(f float64) float64 { return f },
	}
	got := make([]Peak, len(fs))
	var list []reading
	for i, f := range fs {
		list = append(list, reading{of: f, to: &got[i]})
	}
	largestEach(gridwise, 20, 1000, list)
	for i, f := range fs {
		want := largest(20, 1000, f)
		same := got[i] == want || !got[i].Value.OK() && !want.Value.OK()
		if !same {
			t.Errorf("%d: %v together, %v alone", i, got[i], want)
		}
	}
	if at := float64(got[0].At); math.Abs(at-31.4159) > 1e-6 { // at a cusp the search ends within 2e-8 in ln f, 0.6e-6 Hz here
		t.Errorf("the peak is at %g", at)
	}
	if got[3].Value != 1000 || got[2].Value.OK() {
		t.Errorf("the end of the range %v, nothing %v", got[3], got[2])
	}
}
