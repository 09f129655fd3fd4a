package studyfile

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// A chamber takes the name of its place only where no other part has it already.
func TestPartsWithoutNamesAreToldApart(t *testing.T) {
	st, err := Parse([]byte(`study: Names
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm}
candidates:
  any: {group: {driver: heron-8}, enclosure: {kind: network, front: outside, rear: port, parts: [{kind: port, at: port, tuning: 40 Hz}, {kind: chamber, at: port, volume: 28 L}]}}
`), "names.yaml")
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	var have []string
	for _, p := range sys.Spec.Net.Parts {
		have = append(have, p.Name)
	}
	if d := cmp.Diff([]string{"port", "chamber"}, have); d != "" {
		t.Error(d)
	}
}
