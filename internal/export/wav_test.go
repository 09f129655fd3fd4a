package export

import (
	"bytes"
	"context"
	"encoding/binary"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/study"
)

// The file's spectrum is the network's answer, so that it can serve as a
// filter. It is cut 10 ms before the impulse and 2 s after it, and its samples
// are of single precision: what both leave is largest at 10 Hz, where the level
// is 30 dB below the peak's: 1.6e-5 dB and 8e-6 rad were measured.
func TestWAVHoldsTheResponse(t *testing.T) {
	const rate, band, lead = 48000, 5000, 10e-3
	for name, spec := range map[string]enclosure.Spec{
		"sealed": {Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.028}},
		"vented": {Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.043, Tuning: 29}},
	} {
		for _, le := range []float64{0, 1.1e-3} {
			g, _, err := driver.NewGroup(driver.GroupSpec{Driver: heron(driver.VoiceCoil{Le: le}), SideBySide: 1, Stack: 1})
			if err != nil {
				t.Fatal(err)
			}
			sys, _, err := enclosure.Build(g, spec, setting(t))
			if err != nil {
				t.Fatal(err)
			}
			_, impulse, err := study.Transients(context.Background(), sys, &filter.Chain{}, rate, band, lead, 2)
			if err != nil {
				t.Fatal(err)
			}
			var b bytes.Buffer
			scale, err := WAV(&b, impulse)
			if err != nil {
				t.Fatal(err)
			}
			data := b.Bytes()[58:]
			s := sys.Program.NewSolver()
			for _, f := range []float64{10, 20, 31.5, 49, 100, 500} {
				w := 2 * math.Pi * f
				var sum complex128
				for k := 0; k < len(data)/4; k++ {
					y := float64(math.Float32frombits(binary.LittleEndian.Uint32(data[4*k:])))
					sum += cmplx.Rect(y, -w*(float64(k)/rate-lead))
				}
				if err := s.Solve(w); err != nil {
					t.Fatal(err)
				}
				ratio := sum * complex(scale/rate, 0) / sys.Pressure(s)
				if db := 20 * math.Log10(cmplx.Abs(ratio)); math.Abs(db) > 3e-5 || math.Abs(cmplx.Phase(ratio)) > 1.5e-5 {
					t.Errorf("%s, Le %g H, %g Hz: the file is off by %.2g dB and %.2g degrees", name, le, f, db, cmplx.Phase(ratio)*180/math.Pi)
				}
			}
		}
	}
}
