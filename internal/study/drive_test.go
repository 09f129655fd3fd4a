package study_test

import (
	"strings"
	"testing"
)

// A power is one without the parts that stand before a group, and the terms of
// the comparison say so; a voltage is the same with them and without.
func TestPowerIsToldWithoutTheParts(t *testing.T) {
	const parts = "parts: {choke: {kind: inductor, in: series, inductance: 2 mH, resistance: 0.2 ohm}}\nbrief:\n"
	with := read(t, "../../examples/camper-bench.yaml", "brief:\n", parts)
	if got := with.Terms(); !strings.HasPrefix(got, "75\u2009W into each group’s Re (were there no parts), with choke before each group, ") {
		t.Errorf("the terms are %q", got)
	}
	bare := read(t, "../../examples/camper-bench.yaml")
	if got := bare.Terms(); strings.Contains(got, "parts") {
		t.Errorf("without parts the terms are %q", got)
	}
	volts := read(t, "../../examples/camper-bench.yaml", "brief:\n", parts, "power: 75 W", "voltage: 15 V")
	if got := volts.Terms(); strings.Contains(got, "no parts") {
		t.Errorf("of a voltage the terms are %q", got)
	}
}
