package study

import (
	"context"
	"fmt"
	"testing"
)

func TestZZ(t *testing.T) {
	r, err := Evaluate(context.Background(), camper(t), Options{Time: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range r.Candidates {
		fmt.Printf("%s: %s\n%+v\n", o.Candidate.Name, o.Plain, o.Figures)
		for _, c := range o.Checks {
			fmt.Printf("  %+v\n", c)
		}
		for _, m := range o.Misses {
			fmt.Printf("  MISS %+v\n", m)
		}
		fmt.Println(o.Verdict)
		fmt.Println(o.Summary)
		fmt.Printf("%+v\n", o.Coupling)
		for _, s := range o.BoxLedger {
			fmt.Println("   ", s.Name, s.Value, s.Why, s.Numbers)
		}
	}
	fmt.Println(r.Lead, r.BriefMet)
	s := r.Candidates[0].Curves.Step
	for k := 0; k < len(s.T); k += 40 {
		fmt.Printf("%.4f %.4g\n", s.T[k], s.Y[k])
	}
}
