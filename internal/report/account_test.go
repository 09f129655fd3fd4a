package report

import (
	"testing"

	"basswright/internal/note"
	"basswright/internal/study"
)

// What is doubtful is told by the name of what it is about, once.
func TestAccount(t *testing.T) {
	r := &study.Result{Study: &study.Study{}}
	for _, f := range []struct {
		where, text string
		severity    note.Severity
	}{
		{"candidates.big.enclosure.duct", "candidates.big.enclosure.duct: it is too wide", note.Warning},
		{"candidates.big", "big: it is too high", note.Caution},
		{"drivers.wren-6.bl", "bl disagrees", note.Warning},
		{"drivers.wren-6.bl", "bl disagrees", note.Warning},
		{"source.cable", "the cable is thin", note.Warning},
		{"air.humidity", "taken as 0 %", note.Default},
	} {
		r.Study.Findings = append(r.Study.Findings, note.Finding{ID: "heron", Severity: f.severity, Where: f.where, Text: f.text, Mend: "mend it"})
	}
	doubts, filled := Account(r)
	want := []string{"big: it is too wide", "big: it is too high", "wren-6: bl disagrees", "The cable is thin"}
	if len(doubts) != len(want) {
		t.Fatalf("%d doubts, want %d", len(doubts), len(want))
	}
	for i, d := range doubts {
		if d.Text != want[i] || d.Mend != "mend it" {
			t.Errorf("%q, want %q", d.Text, want[i])
		}
	}
	if len(filled) != 1 || filled[0] != "air.humidity: taken as 0 %" {
		t.Errorf("filled in: %q", filled)
	}
}
