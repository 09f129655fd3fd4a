package study_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"basswright/internal/study"
)

const fourTerns = `study: Four
drive: {voltage: 2.83 V}
amplifier: {rated: {8 ohm: 100 W}}
drivers:
  tern-10: {fs: 28 Hz, qms: 5.1, qes: 0.42, vas: 62 L, sd: 350 cm2, re: 3.4 ohm, xmax: 10 mm, rated_power: 300 W, coil_diameter: 50 mm}
candidates:
  four: {group: {driver: tern-10, side_by_side: 4, wiring: parallel}, enclosure: {kind: sealed, volume: 200 L}}
`

// Power compression is told up to what the amplifier's volts and amperes give: the
// heat of the greatest drive is not doubted, and of a little more it is.
func TestCompressionEndsWhereTheAmplifierDoes(t *testing.T) {
	for _, filters := range []string{"", "filters: {pad: {kind: gain, gain: -20 dB}}\n", "filters: {up: {kind: gain, gain: 12 dB}, sub: {kind: highpass, at: 30 Hz, order: 4, family: butterworth}}\n"} {
		st := parsed(t, strings.Replace(fourTerns, "drivers:", filters+"drivers:", 1))
		c, err := st.Compress(context.Background(), 0, study.CompressionOptions{})
		if err != nil {
			t.Fatal(err)
		}
		for _, more := range []float64{1, 1.01} {
			h, err := st.Heat(context.Background(), 0, study.HeatOptions{Volts: more * c.Top().Volts, For: 1})
			if err != nil {
				t.Fatal(err)
			}
			doubted := false
			for _, f := range h.Findings {
				doubted = doubted || f.ID == "beyond-amplifier"
			}
			if doubted != (more > 1) {
				t.Errorf("%q: %.3g times the greatest drive, %g V, is doubted: %v", filters, more, more*c.Top().Volts, doubted)
			}
		}
	}
}

// A volume control before the amplifier changes the volts that are told and nothing
// of what the coils take.
func TestCompressionBehindAGain(t *testing.T) {
	plain, err := parsed(t, fourTerns).Compress(context.Background(), 0, study.CompressionOptions{})
	if err != nil {
		t.Fatal(err)
	}
	padded, err := parsed(t, strings.Replace(fourTerns, "drivers:", "filters: {pad: {kind: gain, gain: -20 dB}}\ndrivers:", 1)).Compress(context.Background(), 0, study.CompressionOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range plain.Points {
		p, q := plain.Points[i], padded.Points[i]
		if math.Abs(q.Volts/p.Volts-10) > 1e-9 || math.Abs(q.End.Watts/p.End.Watts-1) > 1e-9 || math.Abs(q.End.Loss-p.End.Loss) > 1e-9 {
			t.Errorf("%g V: %+v; behind −20 dB, %g V: %+v", p.Volts, p.End, q.Volts, q.End)
		}
	}
}
