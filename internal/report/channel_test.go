package report

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// What each channel of a split group meets is in the comparison for programs, and
// a group on one channel has none.
func TestChannelsForPrograms(t *testing.T) {
	text, err := os.ReadFile("../studyfile/testdata/good/chain.yaml")
	if err != nil {
		t.Fatal(err)
	}
	st, err := studyfile.Parse(text, "chain.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 50})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := CompareJSON(&b, r); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Candidates []struct {
			Figures  map[string]any
			Channels []struct {
				Drivers []string
				Z       float64 `json:"lowest_impedance_ohm"`
				V       float64 `json:"most_v"`
				A       float64 `json:"most_a"`
				W       float64 `json:"most_w"`
			}
		}
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{0, 2, 2} {
		c := got.Candidates[i]
		if len(c.Channels) != want {
			t.Fatalf("candidate %d has %d channels, want %d", i, len(c.Channels), want)
		}
		watts := 0.0
		for _, ch := range c.Channels {
			watts += ch.W
			if !(ch.Z >= c.Figures["lowest_impedance_ohm"].(float64)*(1-1e-9)) || !(ch.V > 0 && ch.A > 0) || len(ch.Drivers) == 0 {
				t.Errorf("candidate %d: %+v", i, ch)
			}
		}
		// alike channels give the most at one frequency, so that their watts add up
		if total := c.Figures["total_power_w"].(float64); want > 0 && math.Abs(watts/total-1) > 1e-6 {
			t.Errorf("candidate %d: the channels give %g W, all together %g W", i, watts, total)
		}
	}
}
