package driver

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/phys"
)

// TestQuoted completes one driver from the three ways to quote its coils.
func TestQuoted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		one := randomDriver(t)
		n := float64(one.Coils.Count)
		a := phys.StandardAir()
		for _, c := range []struct {
			quoted          Quoted
			re, bl, blocked float64
		}{
			{QuotedEach, one.Re, one.Bl, 1},
			{QuotedSeries, n * one.Re, n * one.Bl, n * n},
			{QuotedParallel, one.Re / n, one.Bl, 1},
		} {
			m := motor{re: c.re, bl: c.bl, mms: one.Mms, cms: one.Cms, rms: one.Rms, sd: one.Sd}
			got, _, _, err := Complete(Sheet{
				Name: "plover-12", Coils: Coils{Count: one.Coils.Count, Quoted: c.quoted}, Coil: one.Coil.scaled(c.blocked),
				Values: map[Symbol]phys.Quantity{
					Fs: quantity(m.fs()), Qms: quantity(m.qms()), Qes: quantity(m.qes()),
					Vas: quantity(m.of(qVas, a)), Sd: quantity(m.sd), Re: quantity(m.re),
				},
			})
			if err != nil {
				t.Fatal(err)
			}
			if !near(got.Re, one.Re, 1e-9) || !near(got.Bl, one.Bl, 1e-9) || !near(got.Coil.Le, one.Coil.Le, 1e-12) {
				t.Fatalf("quoted %d: %v, want %v", c.quoted, got, one)
			}
			// All coils driven: the Q of the motor is that of one over n.
			if want := 2 * math.Pi * one.Fs() * one.Mms * one.Re / (one.Bl * one.Bl) / n; !near(got.Qes(), want, 1e-9) {
				t.Fatalf("quoted %d: Qes %g, want %g", c.quoted, got.Qes(), want)
			}
		}
	})
}

func TestQuotedIsAccountedFor(t *testing.T) {
	s := sheetOf(t, "fs", "30 Hz", "qms", "5", "qes", "0.4", "vas", "80 L", "sd", "330 cm2", "re", "8 ohm")
	s.Coils, s.Coil.Le = Coils{Count: 2, Quoted: QuotedSeries}, 4e-3
	_, steps, _, err := Complete(s)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]float64{"Coil resistance of one coil": 4, "Inductance of one coil": 1e-3} {
		found := false
		for _, p := range steps {
			if p.Name == name {
				found = true
				if !near(float64(p.Value), want, 1e-12) || p.Why == "" || p.Numbers == "" {
					t.Errorf("%+v, want %g", p, want)
				}
			}
		}
		if !found {
			t.Errorf("no step %q", name)
		}
	}
}

func TestClosedCoils(t *testing.T) {
	d := &Driver{Re: 4, Bl: 10, Mms: 0.15, Cms: 0.25e-3, Rms: 4, Sd: 0.05, Coils: Coils{Count: 3, Driven: 1}}
	for _, c := range []struct {
		other Other
		load  float64
		want  float64
	}{
		{OtherOpen, 7, 0},
		{OtherShorted, 7, 2 * 100 / 4.0},
		{OtherLoaded, 6, 2 * 100 / 10.0},
		{OtherLoaded, 0, 2 * 100 / 4.0},
	} {
		d.Coils.Other, d.Coils.Load = c.other, c.load
		if got := d.ClosedCoilDamping(); !near(got, c.want, 1e-12) {
			t.Errorf("other %d, %g Ω: %g kg/s, want %g", c.other, c.load, got, c.want)
		}
		if got, want := d.Qms(), 2*math.Pi*d.Fs()*d.Mms/(d.Rms+c.want); !near(got, want, 1e-12) {
			t.Errorf("other %d: Qms %g, want %g", c.other, got, want)
		}
	}
	if d.Driven() != 1 || d.Undriven() != 2 || !near(d.Strength(), 25, 1e-12) {
		t.Errorf("driven %d, undriven %d, strength %g", d.Driven(), d.Undriven(), d.Strength())
	}
}

// TestCreepKeepsQms holds at fs that the losses of the suspension, Rms and
// the real part of 1/(jωC), together give the sheet's Qms.
func TestCreepKeepsQms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := randomDriver(t)
		d.Coils = Coils{Count: 1}
		d.Creep.Lambda = rapid.Float64Range(0.01, 0.9).Draw(t, "lambda")
		ws := 1 / math.Sqrt(d.Mms*d.Cms)
		r, err := d.CreepRms()
		loss := real(1 / (complex(0, ws) * d.Compliance(ws)))
		if err != nil {
			var e *SheetError
			if !errors.As(err, &e) || e.Mend == "" || loss < d.Rms {
				t.Fatalf("refused a creep that takes %g of %g kg/s: %v", loss, d.Rms, err)
			}
			d.Creep.Real = true
			if r, err = d.CreepRms(); err != nil || r != d.Rms {
				t.Fatalf("the magnitude law changed Rms to %g: %v", r, err)
			}
			return
		}
		if got := ws * d.Mms / (r + loss); !near(got, d.Qms(), 1e-12) {
			t.Fatalf("Qms at fs is %g, want %g", got, d.Qms())
		}
		// The form is causal and passive: at any frequency it takes energy.
		w := rapid.Float64Range(0.01, 1e4).Draw(t, "w") * ws
		if real(1/(complex(0, w)*d.Compliance(w))) <= 0 {
			t.Fatalf("the suspension gives energy at %g rad/s", w)
		}
	})
}

func TestRealCreep(t *testing.T) {
	d := &Driver{Mms: 0.06, Cms: 4e-4, Rms: 1.5, Creep: Creep{Lambda: 0.3, Real: true}}
	ws := 1 / math.Sqrt(d.Mms*d.Cms)
	for ratio, want := range map[float64]float64{0.1: 1.3, 1: 1, 10: 0.7, 1e3: 0.1, 1e9: 0.1} {
		if got := d.Compliance(ratio * ws); !near(real(got)/d.Cms, want, 1e-9) || imag(got) != 0 {
			t.Errorf("at %g fs: %g, want %g", ratio, got/complex(d.Cms, 0), want)
		}
	}
	d.Creep = Creep{}
	if got := d.Compliance(3); got != complex(d.Cms, 0) {
		t.Errorf("without creep: %g", got)
	}
}
