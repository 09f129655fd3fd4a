package web

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"basswright/internal/study"
)

// drives are the ways in which a study tells its drive, for the camper bench.
var drives = []string{"{power: 75 W}", "{power_per_driver: 40 W}", "{voltage: 9 V}", "{amplifier: full}"}

// Turned up as the server says, a candidate stands just where the first of its
// limits is reached: what gives is the same, the gain to it is none, and no gauge
// of a limit that depends on the level is passed.
func TestTurnedUpUntilSomethingGives(t *testing.T) {
	text := string(samples(t)["camper-bench"])
	for _, way := range drives {
		dir := t.TempDir()
		put(t, dir, "bench.yaml", strings.Replace(text, "{power: 75 W}", way, 1))
		s := openOn(t, dir, "127.0.0.1:0")
		v := s.view()
		if len(v.Faults) > 0 || v.Result == nil {
			t.Fatalf("%s: %+v", way, v.Faults)
		}
		first, tried := v.Result.Drive.First, 0
		for i, c := range v.Result.Candidates {
			if len(c.Gives.Changes) == 0 {
				if !strings.HasPrefix(c.Gives.Words, "load") {
					t.Errorf("%s: %s gives %q, and no drive leads there", way, c.Name, c.Gives.Words)
				}
				continue
			}
			tried++
			got := ask[View](s, 200, "POST", "/api/studies/bench/try", Try{Changes: c.Gives.Changes})
			if len(got.Faults) > 0 {
				t.Fatalf("%s: %s: %+v", way, c.Name, got.Faults)
			}
			now := got.Result.Candidates[i].Gives
			what := func(s string) string { w, _, _ := strings.Cut(s, " at "); return w }
			if what(now.Words) != what(c.Gives.Words) {
				t.Errorf("%s: %s gives by %q, and then by %q", way, c.Name, c.Gives.Words, now.Words)
			}
			// four digits are written, rounded down: at most 1e-3 of the drive, or 0.009 dB of volts
			if now.Gain == nil || *now.Gain < 0 || *now.Gain > 0.009 {
				t.Errorf("%s: %s: the gain to go is %v", way, c.Name, now.Gain)
			}
			if i != first {
				continue
			}
			gauges := 0
			for row, r := range got.Result.Heads { // the first of all: nothing of anybody is passed
				key := strings.TrimPrefix(r.Key, "limit-")
				if key != string(study.CheckExcursion) && key != string(study.CheckPortSpeed) && key != string(study.CheckHeat) {
					continue
				}
				gauges++
				for _, other := range got.Result.Candidates {
					if other.Cells[row].Over {
						t.Errorf("%s: at what %s bears, %s passes %s", way, c.Name, other.Name, r.Name)
					}
				}
			}
			if gauges < 2 {
				t.Errorf("%s: there are %d gauges", way, gauges)
			}
		}
		if tried < 2 {
			t.Errorf("%s: %d candidates can be turned up", way, tried)
		}
	}
}

// A drive is never written larger than it is.
func TestDriveText(t *testing.T) {
	for v, want := range map[float64]string{75.69: "75.69", 75.698: "75.69", 1234.9: "1234", 0.012348: "0.01234", 9.9999: "9.999", 10: "10.00", 12345: "12340"} {
		if got := driveText(v); got != want {
			t.Errorf("%g is written %s, not %s", v, got, want)
		}
	}
	for k := range 2000 { // a property: four digits, so never off by more than 1e-3
		v := math.Exp(float64(k-1000) / 100)
		var back float64
		if _, err := fmt.Sscan(driveText(v), &back); err != nil || back > v*(1+1e-9) || back < v*(1-1e-3) {
			t.Fatalf("%g is written %s", v, driveText(v))
		}
	}
}

// By one decibel the drive grows in volts as it does in watts: by their square.
func TestPerDecibel(t *testing.T) {
	for _, way := range drives {
		dir := t.TempDir()
		put(t, dir, "bench.yaml", strings.Replace(string(samples(t)["camper-bench"]), "{power: 75 W}", way, 1))
		d := openOn(t, dir, "127.0.0.1:0").view().Result.Drive
		want := 10.0
		switch {
		case d.Unit == "V":
			want = 20
		case d.Path == "":
			if d.PerDB != 1 {
				t.Errorf("%s: %+v", way, d)
			}
			continue
		}
		if db := want * math.Log10(d.PerDB); math.Abs(db-1) > 1e-12 { // rounding of a logarithm
			t.Errorf("%s: one decibel is %g dB", way, db)
		}
	}
}
