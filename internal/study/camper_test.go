package study

import (
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// merlin is the woofer of the camper bench.
func merlin(t testing.TB) *driver.Driver {
	t.Helper()
	q := func(s string, k phys.Kind) phys.Quantity {
		v, err := phys.Parse(s, k)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	d, _, _, err := driver.Complete(driver.Sheet{
		Name: "merlin-10",
		Values: map[driver.Symbol]phys.Quantity{
			driver.Fs: q("30.5 Hz", phys.Frequency), driver.Qms: q("4.9", phys.Number), driver.Qes: q("0.49", phys.Number),
			driver.Vas: q("44 L", phys.Volume), driver.Sd: q("345 cm2", phys.Area), driver.Re: q("3.3 ohm", phys.Resistance),
		},
		Air: phys.StandardAir(), Coils: driver.Coils{Count: 1}, Coil: driver.VoiceCoil{Le: 1.1e-3},
		Data: driver.Data{RatedImpedance: 4, RatedPower: 350, Xmax: 12e-3, MountingDepth: 0.132, Cutout: 0.232, Flange: 0.262, Weight: 5.2, Price: 129, Currency: "EUR"},
	})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// camper is a small study: one, a clamshell stack and a vented box.
func camper(t testing.TB) *Study {
	t.Helper()
	d := merlin(t)
	group := func(s driver.GroupSpec) *driver.Group {
		g, _, err := driver.NewGroup(s)
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	return &Study{
		Name: "Camper bench", Air: phys.StandardAir(), Listening: Listening{Distance: 1},
		Drive:     Drive{DrivePower, 150},
		Amplifier: &Amplifier{Rated: []Rating{{2, 450}, {4, 260}}},
		Space:     &Space{Width: 0.7, Height: 0.28, Depth: 0.33, Panel: 0.018, Material: "birch plywood"},
		Brief: Brief{Extension: Extension{F3: 32}, LevelAt: 32, Level: 105,
			Limits: Limits{From: 20, ExcursionXmax: true, PortSpeed: 17, GroupDelay: 0.025, Mass: 25}},
		Drivers: []Driver{{Driver: d}},
		Candidates: []Candidate{
			{Name: "one", Group: group(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1}), Enclosure: enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.028}}},
			{Name: "compound", Group: group(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell, Coupling: []driver.Coupling{{Volume: 2.1e-3}}, Wiring: driver.Wiring{Way: driver.WiringParallel}}),
				Enclosure: enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.016}}},
			{Name: "tuned", Group: group(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1}), Enclosure: enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.038, Tuning: 29, Port: enclosure.Port{Shape: enclosure.Slot, Width: 0.244, Height: 0.032}}}},
		},
	}
}
