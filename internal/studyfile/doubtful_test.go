package studyfile

import (
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/note"
)

// Studies that can be computed and are hardly meant have their warnings beside
// them, with what stands at the position that is told.
func TestDoubtful(t *testing.T) {
	files, err := filepath.Glob("testdata/doubtful/*.yaml")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d doubtful studies, %v", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text := readFile(t, file)
			st, err := Parse(text, filepath.Base(file))
			if err != nil {
				t.Fatal(err)
			}
			var doubts []note.Finding
			for _, f := range st.Findings {
				if f.Severity == note.Warning {
					doubts = append(doubts, f)
				}
			}
			if len(doubts) != 1 || doubts[0].At.Line != 2 || doubts[0].Mend == "" {
				t.Errorf("want one warning of line 2 with a mend, have %+v", doubts)
			}
			check.Golden(t, strings.TrimSuffix(file, ".yaml")+".txt", told(doubts, text))
		})
	}
}

// What is used every day is no contradiction.
func TestUsualPlacesAndFiltersAreNoContradiction(t *testing.T) {
	const rest = "\ndrivers: {gannet-12: {fs: 24 Hz, qms: 6.1, qes: 0.44, vas: 92 L, sd: 512 cm2, re: 3.4 ohm, xmax: 14 mm}}\ncandidates: {closed: {group: {driver: gannet-12}, enclosure: {kind: sealed, volume: 40 L}}}\n"
	for _, line := range []string{
		"listening: {distance: 3 m, cabin: {volume: 3 m3, length: 2.6 m}}",
		"listening: {distance: 12 m, cabin: {length: 12 m, width: 2.4 m, height: 2.3 m}}",
		"listening: {space: half, cabin: {length: 20 m, width: 1.5 m, height: 2.2 m}}",
		"filters: {sub: {kind: highpass, at: 25 Hz, order: 8, family: butterworth}, top: {kind: lowpass, at: 120 Hz, order: 8, family: butterworth}}",
		"filters: {narrow: {kind: highpass, at: 60 Hz, order: 2, family: butterworth}, low: {kind: lowpass, at: 50 Hz, order: 2, family: butterworth}}",
		"filters: {boost: {kind: bell, at: 32 Hz, q: 1, gain: 12 dB}, shelf: {kind: low_shelf, at: 60 Hz, q: 0.7, gain: 12 dB}}",
		"filters: {mute: {kind: gain, gain: -120 dB}}",
		"source: {cable: {length: 30 m, area: 1.5 mm2}}",
		"brief: {level: {at: 32 Hz, spl: 90 dB}, limits: {from: 32 Hz, excursion: xmax}}",
	} {
		st, err := Parse([]byte("study: Usual\n"+line+rest), "usual.yaml")
		if err != nil {
			t.Errorf("%s: %v", line, err)
			continue
		}
		for _, f := range st.Findings {
			if f.Severity >= note.Warning {
				t.Errorf("%s: %s", line, f.Text)
			}
		}
	}
}
