package note

import "testing"

func TestPositionSaysWhatItKnows(t *testing.T) {
	for want, p := range map[string]Position{
		"":                {},
		"bench.yaml":      {File: "bench.yaml"},
		"3:17":            {Line: 3, Column: 17},
		"bench.yaml:3:17": {File: "bench.yaml", Line: 3, Column: 17},
	} {
		if got := p.String(); got != want {
			t.Errorf("%+v is told as %q, want %q", p, got, want)
		}
	}
}

func TestSeverityWords(t *testing.T) {
	for want, s := range map[string]Severity{"default": Default, "caution": Caution, "warning": Warning, "error": Error, "severity 9": 9} {
		if got := s.String(); got != want {
			t.Errorf("severity %d is told as %q, want %q", int(s), got, want)
		}
	}
}
