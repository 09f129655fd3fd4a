package web

import (
	"context"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"net/http"
	"strings"
	"testing"
	"time"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

func openHayloft(t *testing.T, set ...func(*Server)) *shop {
	t.Helper()
	dir := t.TempDir()
	put(t, dir, "bench.yaml", string(samples(t)["hayloft"]))
	return openOn(t, dir, "127.0.0.1:0", set...)
}

// sound reads an SVG to its end: a page takes it as a tree.
func sound(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatalf("the figure is no XML: %v", err)
		}
	}
}

// The curves are the study's own, and the figure is drawn by the same code as the
// command's: the words are those of its alternative text.
func TestDistortionOfACandidate(t *testing.T) {
	s := openHayloft(t)
	got := ask[Large](s, 200, "POST", "/api/studies/bench/distortion", LargeAsk{Candidate: "mirrored", Points: 5, From: 20, To: 80})
	if len(got.X) != 5 || len(got.Lines) != study.DistortionLines || got.Lines[0].Name != "2nd" || got.Lines[4].Name != "THD" {
		t.Fatalf("%d frequencies, lines %+v", len(got.X), got.Lines)
	}
	if got.Revision != s.view().Revision {
		t.Error("it does not say what it was worked out for")
	}
	sound(t, got.Figure)
	if !strings.Contains(got.Words, "mirrored: THD at most") || !strings.Contains(got.Words, "12\u2009V") {
		t.Errorf("words: %s", got.Words)
	}
	st, err := studyfile.Parse(samples(t)["hayloft"], "bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := st.DistortionOver(context.Background(), 2, study.Frequencies(20, 80, 5), 0)
	if err != nil {
		t.Fatal(err)
	}
	for k := range d.THD {
		if math.Abs(got.Lines[4].Y[k]-d.THD[k]) > 1e-3 { // six digits are sent
			t.Errorf("%g Hz: %g dB, the study’s %g", d.Frequency[k], got.Lines[4].Y[k], d.THD[k])
		}
	}
}

func TestHeatOfACandidate(t *testing.T) {
	s := open(t)
	got := ask[Large](s, 200, "POST", "/api/studies/bench/heat", LargeAsk{Candidate: "one", For: 600})
	sound(t, got.Figure)
	if len(got.Lines) != 3 || got.Lines[0].Name != "coil, °C" || got.Lines[2].Name != "compression, dB" || got.X[len(got.X)-1] != 600 {
		t.Errorf("%d lines to %v s", len(got.Lines), got.X[len(got.X)-1])
	}
	rests := ask[Large](s, 200, "POST", "/api/studies/bench/heat", LargeAsk{Candidate: "one", For: 600, On: 20, Off: 40})
	if !strings.Contains(rests.Words, "of rest in turn") {
		t.Errorf("words: %s", rests.Words)
	}
	short := ask[Large](s, 200, "POST", "/api/studies/bench/heat", LargeAsk{Candidate: "one", For: 2})
	if short.Figure != "" || !strings.Contains(short.Words, "begins at 1\u2009s") && !strings.Contains(short.Words, "begins at 1 s") {
		t.Errorf("%+v", short)
	}
}

// What cannot be is refused in words.
func TestLargeRefuses(t *testing.T) {
	s := open(t)
	s.refused(404, "five", "POST", "/api/studies/bench/distortion", LargeAsk{Candidate: "five"})
	s.refused(404, "there is no study", "POST", "/api/studies/none/heat", LargeAsk{Candidate: "one"})
	s.refused(422, "a rest needs both", "POST", "/api/studies/bench/heat", LargeAsk{Candidate: "one", On: 3})
	s.refused(422, "", "POST", "/api/studies/bench/distortion", LargeAsk{Candidate: "one", From: 200, To: 20})
	s.refused(422, "at most 200", "POST", "/api/studies/bench/distortion", LargeAsk{Candidate: "one", Points: 5000})
	put(t, s.dir, "bench.yaml", "study: no\ndrivers: 3\n")
	s.refused(422, "mend them first", "POST", "/api/studies/bench/distortion", LargeAsk{Candidate: "one"})
}

// Who leaves ends what was being worked out for him: a course of a day in steps of
// a second takes far longer than anyone may compute.
func TestLargeEndsWithWhoAsked(t *testing.T) {
	s := open(t)
	ctx, cancel := context.WithTimeout(context.Background(), 200*time.Millisecond)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, "POST", s.base+"/api/studies/bench/heat", strings.NewReader(`{"candidate":"one","for":86400}`))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/json")
	if res, err := client.Do(req); err == nil {
		res.Body.Close()
		t.Fatal("it was quicker than it can be")
	}
	free := make(chan struct{})
	go func() {
		defer close(free)
		for { // the turn is given back
			s.queue.mu.Lock()
			n := len(s.queue.shares)
			s.queue.mu.Unlock()
			if n == 0 {
				return
			}
			time.Sleep(5 * time.Millisecond)
		}
	}()
	select {
	case <-free:
	case <-time.After(workTime / 2):
		t.Error("it goes on for nobody")
	}
}

// The looks of one figure are counted as those of all: from 0, and its place if none is asked for.
func TestLargeHasTheLookOfThePage(t *testing.T) {
	s := openHayloft(t)
	drawn := func(look *int) string {
		return ask[Large](s, 200, "POST", "/api/studies/bench/heat", LargeAsk{Candidate: "mirrored", For: 60, Look: look}).Figure
	}
	zero, place, other := 0, 2, 4
	if plain := drawn(nil); plain != drawn(&place) || plain == drawn(&zero) || plain == drawn(&other) {
		t.Error("the third candidate has not the look of its place, or has that of another")
	}
}
