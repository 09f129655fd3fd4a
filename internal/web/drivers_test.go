package web

import (
	"slices"
	"strings"
	"testing"
)

// What follows from a sheet is told from the sheet alone: before the first
// candidate, and where another part of the study has a fault.
func TestSheetsAreToldOfAFaultyStudy(t *testing.T) {
	s := open(t)
	const sheet = "{fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm"
	const head = "study: Aviary\ndrivers:\n  merlin: " + sheet + "}\n"
	for name, text := range map[string]string{
		"no candidate":         head,
		"a fault elsewhere":    head + "drive: 4 volts\ncandidates: {one: {group: {driver: merlin}, enclosure: {kind: sealed, volume: 28 L}}}\n",
		"a candidate's fault":  head + "candidates: {one: {group: {driver: heron}, enclosure: {kind: sealed, volume: 28 L}}}\n",
		"another sheet faulty": head + "  heron: {fs: 28 Hz}\n",
		"a sheet disagrees":    strings.Replace(head, "re: 3.3 ohm", "re: 3.3 ohm, qts: 0.6", 1),
	} {
		put(t, s.dir, "aviary.yaml", text)
		v := ask[View](s, 200, "POST", "/api/studies/aviary/view", Ask{})
		if v.Result != nil || len(v.Faults) == 0 || len(v.Drivers) != 1 || v.Drivers[0].Name != "merlin" {
			t.Errorf("%s: %d faults, drivers %+v", name, len(v.Faults), v.Drivers)
			continue
		}
		d := v.Drivers[0]
		if !strings.Contains(d.Drawing, "<svg") || !slices.ContainsFunc(d.Steps, func(s Step) bool { return s.Symbol == "Bl" && strings.HasPrefix(s.Value, "11.") }) {
			t.Errorf("%s: %+v", name, d)
		}
		if told := slices.ContainsFunc(d.Findings, func(f Finding) bool { return f.ID == "sheet-disagrees" }); told != (name == "a sheet disagrees") {
			t.Errorf("%s: findings %+v", name, d.Findings)
		}
		if v := ask[View](s, 200, "POST", "/api/studies/aviary/view", Ask{Quick: true}); len(v.Drivers) != 1 || v.Drivers[0].Drawing != "" || len(v.Drivers[0].Steps) == 0 {
			t.Errorf("%s, while a number moves: %+v", name, v.Drivers)
		}
	}
	put(t, s.dir, "aviary.yaml", "drivers: [\n")
	if v := ask[View](s, 200, "POST", "/api/studies/aviary/view", Ask{}); len(v.Faults) == 0 || len(v.Drivers) != 0 {
		t.Errorf("no YAML: %+v", v.Drivers)
	}
	if v := s.view(); v.Result == nil || len(v.Drivers) != 0 {
		t.Error("a sound study tells its drivers twice")
	}
}
