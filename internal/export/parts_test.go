package export

import (
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// Parts of every sort between the source and the group, on one channel and on
// two, by driver and by coil, in the independent simulator.
func TestPartsAndChannelsInNgspice(t *testing.T) {
	parts := []enclosure.Part{
		{Name: "choke", L: 2e-3, R: 0.3}, {Name: "shunt", Across: true, C: 120e-6, R: 0.1}, {Name: "pad", R: 0.5},
		{Name: "load", Across: true, R: 40}, {Name: "trap", Across: true, L: 12e-3, C: 820e-6, R: 8},
		{Name: "stop", Parallel: true, L: 3e-3, C: 47e-6, R: 12}, {Name: "low cut", C: 1.5e-3},
	}
	twin := heron(driver.VoiceCoil{Model: driver.CoilLR2, Le: 0.5e-3, L2: 0.8e-3, R2: 4})
	twin.Coils.Count = 2
	air := []driver.Coupling{{Volume: 3e-3, Length: 0.12}}
	for name, c := range map[string]struct {
		group driver.GroupSpec
		parts []enclosure.Part
	}{
		"parts":                      {driver.GroupSpec{SideBySide: 2, Stack: 1}, parts},
		"a stack by driver":          {driver.GroupSpec{SideBySide: 1, Stack: 2, Coupling: air, Split: driver.ByDriver, Outputs: 2, Wiring: driver.Wiring{Way: driver.WiringSeries}}, nil},
		"a stack by coil":            {driver.GroupSpec{SideBySide: 1, Stack: 2, Coupling: air, Split: driver.ByCoil, Outputs: 2}, nil},
		"a stack by driver, parts":   {driver.GroupSpec{SideBySide: 1, Stack: 2, Coupling: air, Split: driver.ByDriver, Outputs: 2}, parts[:5]},
		"four channels, two drivers": {driver.GroupSpec{SideBySide: 2, Stack: 1, Split: driver.ByDriver, Outputs: 4}, parts[2:6]},
	} {
		t.Run(name, func(t *testing.T) {
			c.group.Driver = twin
			g, _, err := driver.NewGroup(c.group)
			if err != nil {
				t.Fatal(err)
			}
			set := setting(t)
			set.Parts, set.Unreduced = c.parts, true
			sys, _, err := enclosure.Build(g, enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.05, Tuning: 32}}, set)
			if err != nil {
				t.Fatal(err)
			}
			agrees(t, sys, 0)
		})
	}
}
