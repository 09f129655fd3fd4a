package driver

import (
	"strings"
	"testing"

	"basswright/internal/phys"
)

// What the doubt says of its thresholds is what the table of thresholds says: they are
// seen, and only the upper tone, which force factor and compliance do without, is not.
func TestXmaxDoubtSaysWhatIsFromMemory(t *testing.T) {
	for _, c := range []struct {
		curves *Curves
		memory bool
	}{
		{&Curves{Bl: poly(t, 1, 0, -0.18/(5e-3*5e-3))}, false},
		{&Curves{Kms: poly(t, 1, 0, 1/(3*5e-3*5e-3))}, false},
		{&Curves{Le: poly(t, 1, -200)}, true},
	} {
		d := merlin(t)
		d.Curves = c.curves
		d.Data.Xmax = 12e-3
		got := d.XmaxDoubt(1e-4, "drivers.merlin-10.xmax", phys.Metric)
		if len(got) != 1 {
			t.Fatalf("%+v: %v", c.curves, got)
		}
		if text := got[0].Text; strings.Contains(text, "upper tone from memory") != c.memory || !strings.Contains(text, "threshold as measurement sheets print it") || strings.Count(text, "memory") > 1 {
			t.Errorf("%q", text)
		}
	}
}
