package study_test

import (
	"context"
	"fmt"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A column whose state has jumped or does not last is left out, and so is what
// would follow from it.
func TestMirrorLeavesOutWhatDoesNotStand(t *testing.T) {
	st, err := studyfile.Parse([]byte(`study: Skewed
model: {static_air: adiabatic}
drivers:
  skua-8:
    {re: 5.6 ohm, le: 0.9 mH, bl: 10.2 T m, mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, sd: 220 cm2, xmax: 8 mm,
    curves: {bl: {poly_si: [10.2, 60, -48000, -1.2e6]}, kms: {poly_si: [1282, 8000, 6.0e6, 2.0e8]}, le: {poly_si: [0.0009, -0.022, 0.3]}}}
candidates:
  tandem: {group: {driver: skua-8, stack: 2, arrangement: tandem, coupling: 3 L, wiring: parallel}, enclosure: {kind: sealed, volume: 12 L}}
`), "skewed.yaml")
	if err != nil {
		t.Fatal(err)
	}
	off := 0
	for _, volts := range []float64{5, 60, 80} {
		m, err := st.Mirror(context.Background(), 0, []float64{80}, []float64{volts})
		if err != nil {
			t.Fatal(err)
		}
		r := m.Rows[0]
		columns := map[string]bool{}
		for name, v := range map[string]bool{
			study.ColumnSameWay: r.SameWay[0].OK(), study.ColumnFacing: r.Facing[0].OK(), study.ColumnTight: r.Tight[0].OK(),
			study.ColumnBoxAir: r.BoxAir[0].OK(), study.ColumnGapAir: r.GapAir[0].OK(), study.ColumnUnlike: r.Unlike[0].OK(),
		} {
			columns[name] = v
		}
		for _, name := range r.Off {
			off++
			if columns[name] {
				t.Errorf("%g V: %s does not stand and has lines", volts, name)
			}
			if name == study.ColumnTight {
				hasNot(t, m.Words, "a perfect mirror would cancel")
			}
		}
		if volts == 5 && len(r.Off) > 0 {
			t.Errorf("at %g V all stands, and %v is left out", volts, r.Off)
		}
	}
	if off == 0 {
		t.Error("all of it stands: the check is not about this")
	}
}

// Curves that are nearly the same for in and out are the reason why a mirror buys
// nothing, and nothing takes anything back.
func TestNearlySymmetricalIsTheReason(t *testing.T) {
	for slope, says := range map[float64]string{100: "so symmetrical that mirroring buys nothing", 1000: "so nearly symmetrical that mirroring buys next to nothing: the stiffness differs by "} {
		m, _ := wrensFacing(t, fmt.Sprintf("kms: {poly_si: [1996, %g, 2e7]}", slope), clamshell, smallBox)
		has(t, m.Words, says)
		hasNot(t, m.Words, "What takes it back")
		if slope == 1000 {
			has(t, m.Words, "it is made by the air of the box")
		}
	}
	m, _ := wrensFacing(t, "kms: {poly_si: [1996, 1e4, 2e7]}", clamshell, smallBox)
	hasNot(t, m.Words, "symmetrical")
}
