package study

import "testing"

// What is noted of a kept outcome is made once for all that the memory gives, and once for
// each key; of one that is not kept it is made each time.
func TestNotedIsMadeOnce(t *testing.T) {
	type key string
	made := 0
	note := func(o *Outcome, k key) int {
		return Noted(o, k, func() int { made++; return made })
	}
	st, mem := camper(t), NewMemory()
	evaluate := func(mem *Memory) *Outcome {
		r, err := evaluateWith(t.Context(), st, Options{WithoutMends: true}, mem)
		if err != nil {
			t.Fatal(err)
		}
		return r.Candidates[0]
	}
	st.Candidates[0].Digest = "of the first"
	first, again := evaluate(mem), evaluate(mem)
	if first == again {
		t.Fatal("a memory gives no copies")
	}
	for _, o := range []*Outcome{first, again, evaluate(mem)} {
		if a, b := note(o, "a"), note(o, "b"); a != 1 || b != 2 {
			t.Errorf("noted %d and %d", a, b)
		}
	}
	if n := note(evaluate(nil), "a"); n != 3 {
		t.Errorf("of an outcome that is not kept: %d", n)
	}
	st.Candidates[0].Digest = "of another"
	if n := note(evaluate(mem), "a"); n != 4 {
		t.Errorf("of another outcome: %d", n)
	}
}
