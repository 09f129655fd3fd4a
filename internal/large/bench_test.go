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

// One operating point of a vented box with nine harmonics: the next of twenty levels at
// one frequency, by harmonic balance alone. What distortion asks for is in BenchmarkGrid.
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

// Twenty rising levels at each of sixty frequencies, as distortion asks for them: with
// what it takes to prepare each frequency, with as many harmonics as the state shows,
// and with the look at whether it lasts.
func BenchmarkGrid(b *testing.B) {
	for _, c := range []struct {
		name, id string
		o        Options
	}{
		{"vented", "C_vented_single", Options{LinearAir: true}},
		{"vented-adiabatic", "C_vented_single", Options{}},
		{"mirrored-coupled", "C_isobaric_mirrored_1p5L", Options{}},
	} {
		b.Run(c.name, func(b *testing.B) {
			m := benchCase(b, c.id, c.o)
			for b.Loop() {
				for k := range 60 {
					r := m.Rise(15 + 3*float64(k))
					for l := range 20 {
						if _, _, err := r.State(1 + float64(l)); err != nil {
							b.Fatal(err)
						}
					}
				}
			}
		})
	}
}

// One sample of a programme at 48 kHz through one driver in a vented box with adiabatic
// air; a pair side by side of alike drivers is as much, because one stands for both.
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
