package main

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// What goes on is told on a terminal and wiped away; where nobody watches nothing is
// written.
func TestProgress(t *testing.T) {
	for _, width := range []int{0, 80} {
		var err bytes.Buffer
		a := app{streams: streams{err: &err, width: width}}
		progress, done := a.watched("a minute")
		if (progress == nil) != (width == 0) {
			t.Fatalf("width %d: there is a progress: %v", width, progress != nil)
		}
		if progress != nil {
			progress(0.1) // too early to be told
			time.Sleep(patience + 50*time.Millisecond)
			progress(0.5)
		}
		done()
		over := a.busy("finding states")
		time.Sleep(patience + 200*time.Millisecond)
		over()
		want := ""
		if width > 0 {
			want = "\r 50 % of a minute\r" + strings.Repeat(" ", 17) + "\r\rfinding states, for 1 s\r" + strings.Repeat(" ", 23) + "\r"
		}
		if err.String() != want {
			t.Errorf("width %d: told %q, want %q", width, err.String(), want)
		}
	}
}
