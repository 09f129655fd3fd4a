package study_test

import (
	"fmt"
	"testing"

	"basswright/internal/check"
	"basswright/internal/study"
)

// The rule of the trade for a stack of n, rigidly coupled and wired in parallel, in
// 1/n of the box (common practice, no source): each coil takes the watts of the one
// woofer, all together n times as many, the load is an n-th, and where the cone's
// travel ends it the level is the same.
func TestAStackInAnNthOfTheBox(t *testing.T) {
	text := `study: Stacks
drive: {voltage: 20 V}
brief: {limits: {from: 20 Hz, excursion: xmax}}
drivers:
  tern-10: {fs: 28 Hz, qms: 5, qes: 0.45, vas: 60 L, sd: 350 cm2, re: 3.4 ohm, le: 1.2 mH, xmax: 10 mm}
candidates:
  one:
    group: {driver: tern-10}
    enclosure: {kind: sealed, volume: 30 L}
  tuned:
    group: {driver: tern-10}
    enclosure: {kind: vented, volume: 60 L, tuning: 30 Hz}
`
	counts := []int{2, 3, 5}
	for _, n := range counts {
		text += fmt.Sprintf(`  one%[1]d:
    group: {driver: tern-10, stack: %[1]d, wiring: parallel}
    enclosure: {kind: sealed, volume: %[2]g L}
  tuned%[1]d:
    group: {driver: tern-10, stack: %[1]d, wiring: parallel}
    enclosure: {kind: vented, volume: %[3]g L, tuning: 30 Hz}
`, n, 30/float64(n), 60/float64(n))
	}
	r := evaluated(t, parsed(t, text))
	const why = "rounding, and that of the volume’s digits"
	for i, n := range counts {
		for k := range 2 {
			a, b := r.Candidates[k], r.Candidates[2+2*i+k]
			name := b.Candidate.Name
			check.Near(t, name+": watts of a coil", float64(b.Figures.HottestCoil.Value/a.Figures.HottestCoil.Value), 1, 1e-9, why)
			check.Near(t, name+": watts in all", b.Figures.TotalPower/a.Figures.TotalPower, float64(n), 1e-9*float64(n), why)
			check.Near(t, name+": load", float64(b.Figures.LowestZ.Value/a.Figures.LowestZ.Value), 1/float64(n), 1e-9, why)
			ended := 0
			for j, by := range a.Greatest.By {
				if by != study.BoundExcursion {
					continue
				}
				ended++
				check.Near(t, name+": level at the excursion’s end, dB", b.Greatest.Level[j], a.Greatest.Level[j], 1e-8, why)
			}
			if ended < 10 {
				t.Errorf("%s: the excursion ends the level at %d frequencies", a.Candidate.Name, ended)
			}
		}
	}
}
