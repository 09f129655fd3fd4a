package datasheet

import (
	"strings"
	"syscall"
	"testing"
	"time"
)

// The worst that fits the limits is read while a person hardly notices: the
// bound is some twenty times what a slow machine needs, so that it fails only
// where the effort grows faster than the text.
func TestHostile(t *testing.T) {
	for _, line := range []string{
		strings.Repeat("1 ", 16), strings.Repeat("fs 1 ", 12), strings.Repeat("fs 1 Hz ", 12), "fs " + strings.Repeat("1(", 16), strings.Repeat("a ", 90),
		"fs " + strings.Repeat("1 x 10 ", 8), strings.Repeat("re le bl ", 4) + "1", "fs " + strings.Repeat("1e", 80), "vas " + strings.Repeat("1 cu ", 15),
		strings.Repeat("qts 1 qms ", 6), "fs " + strings.Repeat("1 abcdefgh/j ", 14),
	} {
		start := worked(t)
		r := Read(strings.Repeat(line+"\n", mostLines), "merlin", nil)
		if took := worked(t) - start; took > 8*time.Second {
			t.Errorf("%d lines of %q took %v", len(r.Lines), line, took)
		}
	}
}

// worked is how long this program has worked, whatever else the machine did.
func worked(t *testing.T) time.Duration {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
