package study_test

import (
	"strings"
	"testing"

	"basswright/internal/note"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

func parsed(t testing.TB, text string) *study.Study {
	t.Helper()
	st, err := studyfile.Parse([]byte(text), "told.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// ledgerStep is the first step of a candidate's ledger whose name begins so.
func ledgerStep(t testing.TB, o *study.Outcome, name string) note.Step {
	t.Helper()
	for _, s := range o.BoxLedger {
		if strings.HasPrefix(s.Name, name) {
			return s
		}
	}
	t.Fatalf("the ledger has no %q", name)
	return note.Step{}
}

// A slot has no radius: what is taken for it is said, and whose its end corrections
// are.
func TestASlotHasNoRadius(t *testing.T) {
	for _, c := range []struct {
		port, limit, ends, bare string
	}{
		{"{diameter: 60 mm}", "as large as the port’s radius", "0.8217 a, Nomura", "slot"},
		{"{width: 200 mm, height: 14 mm}", "of a slot, half of its narrower side is taken", "rectangular piston of Ingard 1953", "the port’s radius"},
		{"{width: 200 mm, height: 14 mm, outer_end: free}", "of a slot, half of its narrower side is taken", "times 0.6133/0.8217", "the port’s radius"},
	} {
		r := evaluated(t, vented(t, c.port, "{limits: {from: 20 Hz}}", 60))
		o := r.Candidates[0]
		if s := o.Air[0].Source; !strings.Contains(s, c.limit) || strings.Contains(s, c.bare) {
			t.Errorf("%s: its limit is from %q", c.port, s)
		}
		step := ledgerStep(t, o, "Tuning")
		if !strings.Contains(step.Source, c.ends) {
			t.Errorf("%s: its ends are from %q", c.port, step.Source)
		}
		slot := strings.Contains(c.port, "width")
		told := false
		for _, f := range o.Findings {
			told = told || f.ID == "default-ends" && strings.Contains(f.Text, "Ingard 1953")
		}
		if told != slot || strings.Contains(step.Why, "Ingard 1953") != slot {
			t.Errorf("%s: told as a default %v, in the ledger %q", c.port, told, step.Why)
		}
	}
}

// The least ports of one opening are told apart by their names, and what stands in
// place of one that has no room is a sentence that can be read: a list of whole
// clauses.
func TestLeastPortsAreToldApart(t *testing.T) {
	st := read(t, "../../examples/camper-bench.yaml")
	r := evaluated(t, st)
	o := r.Candidates[3]
	ledgerStep(t, o, "Least port for the level asked")
	ledgerStep(t, o, "Least port for full power")
	seen := map[string]bool{}
	for _, s := range o.BoxLedger {
		if seen[s.Name+s.Symbol] {
			t.Errorf("two steps are called %s", s.Name)
		}
		seen[s.Name+s.Symbol] = true
	}
	var full *study.LeastPort
	for i := range o.Air[0].Least {
		if l := &o.Air[0].Least[i]; !l.Asked {
			full = l
		}
	}
	if full == nil || full.Fits || !full.Full || len(full.Instead) < 2 {
		t.Fatalf("the bench has room for the least port: %+v", full)
	}
	radiator := full.Instead[len(full.Instead)-1]
	for _, want := range []string{"with the area of the cone, 345\u2009cm², that is a travel of ", " one way, more than the 30\u2009mm that radiators go"} {
		if !strings.Contains(radiator, want) {
			t.Errorf("of the radiator is told %q, without %q", radiator, want)
		}
	}
	m := portMiss(o)
	if m == nil || !strings.Contains(m.Mend, ", does not fit; instead: "+strings.Join(full.Instead, "; or ")) {
		t.Errorf("the mend is %+v", m)
	}
}

const unlikePair = `study: Unlike
drive: {voltage: 30 V}
amplifier: {rated: {4 ohm: 400 W, 8 ohm: 220 W}}
brief: {limits: {from: 20 Hz, excursion: xmax, chamber_pressure: 200 Pa}}
drivers:
  wren-6: {fs: 35 Hz, qms: 4.5, qes: 0.42, vas: 12 L, sd: 130 cm2, re: 3.3 ohm, rated_power: 120 W, xmax: 6 mm}
  heron-8: {fs: 30 Hz, qms: 4, qes: 0.5, vas: 30 L, sd: 220 cm2, re: 5.6 ohm, rated_power: 60 W, xmax: 8 mm}
candidates:
  par:
    group: {members: [[wren-6], [heron-8]], wiring: parallel}
    enclosure: {kind: sealed, volume: 20 L}
  tuned:
    group: {members: [[wren-6], [heron-8]], wiring: series}
    enclosure: {kind: vented, volume: 40 L, tuning: 34 Hz, port: {diameter: 100 mm}}
  alike:
    group: {members: [[wren-6], [wren-6]], wiring: series}
    enclosure: {kind: sealed, volume: 20 L}
`

// In a group of unlike drivers every figure says whose it is; the pressure in the
// chambers is held like all else.
func TestWhoseFigureItIsIsTold(t *testing.T) {
	r := evaluated(t, parsed(t, unlikePair))
	par, tuned, alike := r.Candidates[0], r.Candidates[1], r.Candidates[2]
	names := map[study.CheckID]string{}
	for _, c := range par.Checks {
		names[c.ID] = c.Name
	}
	for id, want := range map[study.CheckID]string{study.CheckExcursion: "excursion of 6\u2009mm (wren-6)", study.CheckHeat: "heat of 60\u2009W (heron-8)", study.CheckPressure: "chamber pressure of 200\u2009Pa"} {
		if names[id] != want {
			t.Errorf("%s is called %q, want %q", id, names[id], want)
		}
	}
	told := false
	for _, m := range tuned.Misses {
		if m.Check == study.CheckExcursionFull {
			told = strings.Contains(m.Text, "gives, of wren-6 ") || strings.Contains(m.Text, "gives, of heron-8 ")
		}
	}
	if !told {
		t.Errorf("who goes too far at full power is not told: %+v", tuned.Misses)
	}
	w := par.UnlikeWatts()
	if len(w) != 2 || w[0].Driver != "wren-6" || w[0].Watts != par.Figures.CoilPowers[0] || w[1].Driver != "heron-8" || w[1].Watts != par.Figures.CoilPowers[1] || par.HottestDriver() != "wren-6" {
		t.Errorf("their coils take %+v, the hottest is of %s", w, par.HottestDriver())
	}
	if s := r.Origin(par).HottestCoil().Numbers; !strings.Contains(s, "wren-6 ") || !strings.Contains(s, "heron-8 ") {
		t.Errorf("the power per coil opens into %q", s)
	}
	if w := alike.UnlikeWatts(); w != nil || alike.HottestDriver() != "" {
		t.Errorf("like drivers are told apart: %+v", w)
	}
}

// What passes a limit by less than three digits show is told with more.
func TestAPassedLimitIsSeenToBe(t *testing.T) {
	r := evaluated(t, read(t, "../../examples/salt-road.yaml"))
	for _, o := range r.Candidates {
		for _, m := range o.Misses {
			if m.Check == study.CheckExcursion {
				if strings.Contains(m.Text, "14.0\u2009mm") || !strings.Contains(m.Text, "excursion 14.0") {
					t.Errorf("a limit of 14 mm is passed by %q", m.Text)
				}
				return
			}
		}
	}
	t.Error("nothing passes its excursion by little")
}
