package study_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// has holds the sentences together against what they have to say.
func has(t *testing.T, words []string, want ...string) {
	t.Helper()
	all := strings.Join(words, " ")
	for _, w := range want {
		if !strings.Contains(all, w) {
			t.Errorf("it does not say %q: %q", w, all)
		}
	}
}

// hasNot is the opposite.
func hasNot(t *testing.T, words []string, unwanted ...string) {
	t.Helper()
	all := strings.Join(words, " ")
	for _, w := range unwanted {
		if strings.Contains(all, w) {
			t.Errorf("it says %q: %q", w, all)
		}
	}
}

// wrensFacing is what is told of the stack of two wrens with these curves, facing so,
// at 30 Hz and 10 V; and its distortion.
func wrensFacing(t *testing.T, curves, group, box string) (*study.Mirror, *study.Distortion) {
	t.Helper()
	st, err := studyfile.Parse([]byte(fmt.Sprintf(`study: Wrens
drive: {voltage: 10 V}
drivers:
  wren-6: {fs: 35 Hz, qms: 4.5, qes: 0.42, vas: 12 L, sd: 130 cm2, re: 3.3 ohm, xmax: 6 mm, curves: {%s}}
candidates:
  one: {group: {driver: wren-6, %s}, enclosure: {%s}}
`, curves, group, box)), "study.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := st.Mirror(context.Background(), 0, []float64{30}, nil)
	if err != nil {
		t.Fatal(err)
	}
	d, err := st.Distort(context.Background(), 0, []float64{30}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return m, d
}

const (
	clamshell = "stack: 2, arrangement: clamshell, coupling: 1 L, wiring: parallel"
	smallBox  = "kind: sealed, volume: 6 L"
)

// A suspension that is stiffer outwards cancels a part of what the box's air makes,
// as long as the drivers face the same way: mirroring them makes it worse, which has
// to be told with by how much, and with the cause that the row shows.
func TestMirrorThatMakesItWorse(t *testing.T) {
	for group, says := range map[string]string{
		clamshell: "Mirroring makes the second harmonic worse: at 30\u2009Hz and 10\u2009V it takes it from ",
		"stack: 2, arrangement: tandem, coupling: 1 L, wiring: parallel": "Mirroring would make the second harmonic worse: at 30\u2009Hz and 10\u2009V it would take it from ",
	} {
		m, _ := wrensFacing(t, "kms: {poly_si: [1996, 1e4, 2e7]}", group, smallBox)
		r := m.Rows[0]
		more := float64(r.Facing[0] - r.SameWay[0])
		if !(more > 8) {
			t.Fatalf("mirroring adds %.1f dB: the check is not about this", more)
		}
		has(t, m.Words, says, fmt.Sprintf(", %s\u2009dB more.", phys.Fixed(more, 1)), "the drivers’ curves cancel part of what the air of the box makes")
		if group == clamshell { // the other one’s fourth stays below −60 dB
			has(t, m.Words, "The fourth even rises, from −70.1\u2009dB to −59.9\u2009dB", ": the air of the box, which no mirror touches, alone leaves −59.3\u2009dB")
		}
		hasNot(t, m.Words, "buys next to nothing", "buys nothing", "move against each other", "symmetrical")
	}
}

// Drivers that are not symmetrical are not called so because they are played softly:
// the same curves at the study's drive gain from a mirror.
func TestQuietIsNotSymmetrical(t *testing.T) {
	st := example(t, "hayloft")
	i, err := st.Find("mirrored")
	if err != nil {
		t.Fatal(err)
	}
	for _, volts := range []float64{0.05, 0.5} {
		m, err := st.Mirror(context.Background(), i, []float64{25, 63}, []float64{volts})
		if err != nil {
			t.Fatal(err)
		}
		hasNot(t, m.Words, "buys nothing", "so symmetrical", "would bring", "brings")
		has(t, m.Words, "At this drive there is next to nothing to cancel", fmt.Sprintf("at 25\u2009Hz and %s, where the cones go", phys.Brief(volts, phys.Voltage, phys.Metric)), "curves are not symmetrical (the inductance differs by 46\u2009% between in and out at 8.00\u2009mm)")
	}
	m, err := st.Mirror(context.Background(), i, []float64{25, 63}, []float64{12})
	if err != nil {
		t.Fatal(err)
	}
	has(t, m.Words, "Where it is largest, at 25\u2009Hz and 12\u2009V, mirroring brings the second harmonic from")
}

// The third that is told is that of the stack as it faces, whose table stands above
// the words; that of the other way stands beside it.
func TestThirdIsThatOfTheMirroredStack(t *testing.T) {
	m, d := wrensFacing(t, "bl: {poly_si: [8.45, 90, -9000]}, kms: {poly_si: [1996, 1e4, 2e7]}",
		"stack: 2, arrangement: back_to_back, coupling: 3 L, wiring: parallel", "kind: vented, volume: 20 L, tuning: 32 Hz")
	p := d.Points[0].Pressure
	third := float64(study.LineLevel(p, 3) - study.LineLevel(p, 1))
	r := m.Rows[0]
	if math.Abs(float64(r.Odd[0])-third) > 1e-3 { // what the search for a state leaves
		t.Errorf("the third is told to be %.3f dB, and is %.3f dB", r.Odd[0], third)
	}
	if phys.Fixed(float64(r.OddSame[0]), 1) == phys.Fixed(third, 1) {
		t.Fatalf("both ways have a third of %.1f dB: the check is not about this", third)
	}
	has(t, m.Words, fmt.Sprintf("at 30\u2009Hz and 10\u2009V the third is %s\u2009dB mirrored, and %s\u2009dB turned the same way", phys.Fixed(third, 1), phys.Fixed(float64(r.OddSame[0]), 1)))
}

// A stack of three that faces both ways is not passed over in silence.
func TestOddStackSaysWhyNothingIsTold(t *testing.T) {
	m, _ := wrensFacing(t, "kms: {poly_si: [1996, 1e4, 2e7]}", "stack: 3, facing: [front, rear, front], wiring: parallel", smallBox)
	if m == nil || len(m.Rows) != 0 {
		t.Fatalf("%+v", m)
	}
	has(t, m.Words, "not worked out for a stack of three", "as it faces")
	if m, _ := wrensFacing(t, "kms: {poly_si: [1996, 1e4, 2e7]}", "stack: 3, wiring: parallel", smallBox); m != nil {
		t.Errorf("a stack that faces one way is told of: %+v", m)
	}
}
