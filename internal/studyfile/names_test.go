package studyfile

import (
	"strings"
	"testing"
)

// A suggestion keeps what a person can read of the name.
func TestNameFrom(t *testing.T) {
	for name, want := range map[string]string{
		"größe": "groesse", "Möwe 10": "moewe-10", "Mo\u0308we": "moewe", "Ängström": "aengstroem", "Pájaro Nº 2": "pajaro-no-2", "Łabędź": "labedz",
		"ﬁnch": "finch", "чайка": "driver-1", "…": "driver-1", "Blåmeis": "blaameis", "two words": "two-words", strings.Repeat("ö", 60): strings.Repeat("oe", longestKey/2),
	} {
		if got := nameFrom(name, "driver"); got != want || badName(got) != "" {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// A set adds no entry whose name the study would then refuse.
func TestSetRefusesBadNames(t *testing.T) {
	const text = "study: Aviary\ndrivers:\n  heron: {fs: 30 Hz}\n"
	for path, ok := range map[string]bool{
		"drivers.moewe": true, "drivers.Möwe 10": false, "candidates.Big One.group.driver": false, "candidates.one.group.driver": true, "drivers.heron.qms": true,
	} {
		out, err := Edit([]byte(text), []Change{{Do: "set", Path: path, Value: map[bool]string{true: "5", false: "fs: 28 Hz"}[strings.HasSuffix(path, "qms")]}})
		if strings.HasSuffix(path, ".driver") {
			out, err = Edit([]byte(text), []Change{{Do: "set", Path: path, Value: "heron"}})
		}
		if (err == nil) != ok || err != nil && !strings.Contains(err.Error(), "such as") {
			t.Errorf("%s: %v\n%s", path, err, out)
		}
	}
}
