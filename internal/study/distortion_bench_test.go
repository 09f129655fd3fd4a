package study_test

import (
	"context"
	"testing"

	"basswright/internal/studyfile"
)

// The distortion of a candidate at twenty levels and sixty frequencies, shared out over
// all cores: what the verb does but for reading and printing.
func BenchmarkDistortion(b *testing.B) {
	st, err := studyfile.Parse([]byte(`study: Bench
drive: {voltage: 10 V}
drivers:
  whimbrel-8:
    {re: 5.6 ohm, le: 0.9 mH, bl: 10.2 T m, mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, sd: 220 cm2, xmax: 8 mm,
    curves: {bl: {poly_si: [10.2, 60, -48000, -1.2e6]}, kms: {poly_si: [1282.051282051282, 8000, 6.0e6, 2.0e8]}, le: {poly_si: [0.0009, -0.022, 0.3]}}}
candidates:
  vented: {group: {driver: whimbrel-8}, enclosure: {kind: vented, volume: 30 L, port: {diameter: 80 mm, length: 200 mm}}}
  stack: {group: {driver: whimbrel-8, stack: 2, coupling: {volume: 1.5 L}, wiring: parallel}, enclosure: {kind: vented, volume: 30 L, port: {diameter: 80 mm, length: 200 mm}}}
`), "bench.yaml")
	if err != nil {
		b.Fatal(err)
	}
	at, volts := make([]float64, 60), make([]float64, 20)
	for k := range at {
		at[k] = 15 + 3*float64(k)
	}
	for k := range volts {
		volts[k] = 1 + float64(k)
	}
	for i, c := range st.Candidates {
		b.Run(c.Name, func(b *testing.B) {
			for b.Loop() {
				d, err := st.Distort(context.Background(), i, at, volts)
				if err != nil || len(d.Points) != len(at)*len(volts) {
					b.Fatal(err)
				}
			}
		})
	}
}
