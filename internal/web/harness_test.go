package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"basswright/internal/folder"
	"basswright/internal/studyfile"
)

// A shop is a server on a temporary folder, reached as a page reaches it.
type shop struct {
	*Server
	t    *testing.T
	dir  string
	base string
	end  func() // shuts down and waits
}

// open serves a folder with the camper bench in it. set may change the options,
// or the server, before it serves.
func open(t *testing.T, set ...func(*Server)) *shop {
	t.Helper()
	dir := t.TempDir()
	put(t, dir, "bench.yaml", string(samples(t)["camper-bench"]))
	return openOn(t, dir, "127.0.0.1:0", set...)
}

func openOn(t *testing.T, dir, addr string, set ...func(*Server)) *shop {
	t.Helper()
	f, err := folder.Open(dir, folder.Options{})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	s := New(ctx, Options{Folder: f, Name: "shop", Version: "test", Examples: samples(t)})
	for _, do := range set {
		do(s)
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		t.Fatal(err)
	}
	served := make(chan error, 1)
	go func() { served <- s.Serve(ctx, l) }()
	over := false
	end := func() {
		if over {
			return
		}
		over = true
		cancel()
		select {
		case err := <-served:
			if err != nil {
				t.Errorf("Serve: %v", err)
			}
		case <-time.After(10 * time.Second):
			t.Error("the server does not end")
		}
		f.Close()
	}
	t.Cleanup(end)
	return &shop{Server: s, t: t, dir: dir, base: "http://" + l.Addr().String(), end: end}
}

// samples are the examples by their names. Their own package stands above this.
func samples(t testing.TB) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	out := map[string][]byte{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		out[strings.TrimSuffix(filepath.Base(file), ".yaml")] = text
	}
	return out
}

func put(t *testing.T, dir, file, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func (s *shop) disk(file string) string {
	s.t.Helper()
	text, err := os.ReadFile(filepath.Join(s.dir, file))
	if err != nil {
		s.t.Fatal(err)
	}
	return string(text)
}

// send makes a request whose body is a text as it is, or anything else as JSON.
func (s *shop) send(method, path string, body any, head ...string) (*http.Response, []byte) {
	s.t.Helper()
	var r io.Reader
	switch b := body.(type) {
	case nil:
	case string:
		r = strings.NewReader(b)
	default:
		data, err := json.Marshal(b)
		if err != nil {
			s.t.Fatal(err)
		}
		r = bytes.NewReader(data)
	}
	req, err := http.NewRequest(method, s.base+path, r)
	if err != nil {
		s.t.Fatal(err)
	}
	if body != nil {
		req.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i < len(head); i += 2 {
		if head[i] == "Host" {
			req.Host = head[i+1]
		}
		req.Header.Set(head[i], head[i+1])
	}
	res, err := client.Do(req)
	if err != nil {
		s.t.Fatal(err)
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return res, data
}

// client shows redirects instead of following them.
var client = &http.Client{
	Timeout:       60 * time.Second,
	Transport:     &http.Transport{MaxIdleConnsPerHost: 64},
	CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
}

// ask makes a request that must be answered with a status, and reads the answer.
func ask[T any](s *shop, status int, method, path string, body any) T {
	s.t.Helper()
	res, data := s.send(method, path, body)
	if res.StatusCode != status {
		s.t.Fatalf("%s %s: %s, want %d\n%.2000s", method, path, res.Status, status, data)
	}
	var out T
	if err := json.Unmarshal(data, &out); err != nil {
		s.t.Fatalf("%s %s: %v\n%.2000s", method, path, err, data)
	}
	return out
}

// trouble is an answer that tells why something was not done.
type trouble struct {
	Detail string `json:"detail"`
	Errors []struct{ Message, Location string }
}

func (b trouble) words() string {
	out := []string{b.Detail}
	for _, e := range b.Errors {
		out = append(out, e.Message)
	}
	return strings.Join(out, "; ")
}

// refused demands a status and a word of the reason.
func (s *shop) refused(status int, says, method, path string, body any) {
	s.t.Helper()
	if got := ask[trouble](s, status, method, path, body); !strings.Contains(got.words(), says) {
		s.t.Errorf("%s %s says %q, want %q in it", method, path, got.words(), says)
	}
}

func set(path, value string, was ...string) studyfile.Change {
	c := studyfile.Change{Do: "set", Path: path, Value: value}
	if len(was) > 0 {
		c.Was = &was[0]
	}
	return c
}

const volume = "candidates.one.enclosure.volume"

// volumes makes an edit of the first candidate's volume.
func volumes(n int, was ...string) Edit {
	return Edit{Changes: []studyfile.Change{set(volume, fmt.Sprintf("%d L", n), was...)}, Label: fmt.Sprintf("volume %d", n)}
}

func (s *shop) view() View {
	s.t.Helper()
	return ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{})
}

// keys are those of all that a page has once it has seen a result.
func keys(r *Result) []string {
	out := []string{r.HeadsKey, r.FrequencyKey}
	for _, c := range r.Candidates {
		out = append(out, c.CurvesKey, c.DrawKey, c.WiringKey, c.CellsKey)
	}
	return out
}

// tried is the edit as it is tried.
func (e Edit) tried() Try { return Try{e.Ask, e.Changes} }
