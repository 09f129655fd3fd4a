package study_test

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A box is built once, for cold coils: one whose size follows from an alignment or a
// total Q is not chosen anew for warm ones. So each heats up as the same box whose
// sizes are written out.
func TestWarmCoilsChooseNoBox(t *testing.T) {
	const text = `study: Warm
drive: {voltage: 20 V}
drivers: {tern-10: {fs: 28 Hz, qms: 5, qes: 0.40, vas: 50 L, sd: 350 cm2, re: 3.4 ohm, rated_power: 200 W, coil_diameter: 50 mm}}
candidates:
  closed: {group: {driver: tern-10}, enclosure: {kind: sealed, SEALED}}
  vented: {group: {driver: tern-10}, enclosure: {kind: vented, VENTED}}
`
	parse := func(sealed, vented string) *study.Study {
		st, err := studyfile.Parse([]byte(strings.NewReplacer("SEALED", sealed, "VENTED", vented).Replace(text)), "warm.yaml")
		if err != nil {
			t.Fatal(err)
		}
		return st
	}
	st := parse("system_q: 0.7", "alignment: {family: qb3}, port: {diameter: 80 mm}")
	var boxes []string
	for i := range st.Candidates {
		sys, _, err := st.Build(i)
		if err != nil {
			t.Fatal(err)
		}
		box := sys.Spec.Rear
		words := "volume: " + strconv.FormatFloat(1e3*box.Volume, 'g', 17, 64) + " L"
		if i == 1 {
			words += ", tuning: " + strconv.FormatFloat(box.Tuning, 'g', 17, 64) + " Hz, port: {diameter: 80 mm}"
		}
		boxes = append(boxes, words)
	}
	same := parse(boxes[0], boxes[1])
	for i := range st.Candidates {
		a, err := st.Heat(context.Background(), i, study.HeatOptions{For: 600})
		if err != nil {
			t.Fatal(err)
		}
		b, err := same.Heat(context.Background(), i, study.HeatOptions{For: 600})
		if err != nil {
			t.Fatal(err)
		}
		x, y := a.Steady.Watts, b.Steady.Watts
		if math.Abs(x/y-1) > 1e-9 || a.Steady.Coil[0] < 60 {
			t.Errorf("%s: %g W at %g °C, in the box as it is %g W", st.Candidates[i].Name, x, a.Steady.Coil[0], y)
		}
	}
}

// The report has the compression of every candidate that tells its heat, whatever its box.
func TestCompressionOfTheExamples(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) < 10 {
		t.Fatal(files, err)
	}
	told := 0
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		st, err := studyfile.Parse(text, file)
		if err != nil {
			t.Fatal(err)
		}
		list, err := st.CompressEach(context.Background(), study.CompressionOptions{Step: 12})
		var c *study.CandidateError
		if errors.As(err, &c) || err != nil {
			t.Errorf("%s: %v", file, err)
		}
		told += len(list)
	}
	if told < 20 {
		t.Errorf("%d candidates tell their heat", told)
	}
}
