package large

import (
	"math"
	"testing"
)

func benchCase(b *testing.B, id string, o Options) *Model {
	b.Helper()
	t := &testing.T{}
	c, _ := readCase(t, id)
	return New(c.system(t), o)
}

// One operating point of a vented box with nine harmonics: the next of twenty
// levels at one frequency, as a sweep over levels asks for them.
func BenchmarkOperatingPoint(b *testing.B) {
	for _, c := range []struct {
		name, id string
		o        Options
	}{
		{"vented", "C_vented_single", Options{LinearAir: true}},
		{"vented-adiabatic", "C_vented_single", Options{}},
		{"mirrored-rigid", "C_isobaric_mirrored_rigid", Options{LinearAir: true}},
		{"mirrored-coupled", "C_isobaric_mirrored_1p5L", Options{LinearAir: true}},
	} {
		b.Run(c.name, func(b *testing.B) {
			m := benchCase(b, c.id, c.o)
			t, err := m.NewTone(40, 9)
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			k := 0
			for b.Loop() {
				if err := t.Solve(1 + float64(k%20)); err != nil {
					b.Fatal(err)
				}
				k++
			}
		})
	}
}

// Twenty levels at each of sixty frequencies, with what it takes to prepare
// each frequency.
func BenchmarkGrid(b *testing.B) {
	m := benchCase(b, "C_vented_single", Options{LinearAir: true})
	for b.Loop() {
		for k := range 60 {
			t, err := m.NewTone(15+3*float64(k), 9)
			if err != nil {
				b.Fatal(err)
			}
			for l := range 20 {
				if err := t.Solve(1 + float64(l)); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
}

// One sample of a programme at 48 kHz through a vented pair.
func BenchmarkCourseSample(b *testing.B) {
	c, _ := readCase(&testing.T{}, "C_vented_single")
	m := New(c.system(&testing.T{}), Options{})
	co, err := m.NewCourse(1.0 / 48000)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	k := 0
	for b.Loop() {
		if err := co.Step(20 * math.Sin(2*math.Pi*40*float64(k)/48000)); err != nil {
			b.Fatal(err)
		}
		k++
	}
	b.ReportMetric(float64(co.Searches)/float64(co.Steps), "rounds/step")
}
