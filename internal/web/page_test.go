package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"basswright/internal/study"
)

// block is what a page opens with, as a browser reads it; "" if it has none.
func block(t *testing.T, page string) string {
	t.Helper()
	if !strings.HasSuffix(page, "</html>\n") {
		t.Errorf("the page is not whole: …%.80s", page[max(0, len(page)-80):])
	}
	_, rest, ok := strings.Cut(page, `<script type="application/json" id="opening">`)
	if !ok {
		return ""
	}
	text, rest, _ := strings.Cut(rest, "</") // what ends a script element
	if !strings.HasPrefix(rest, "script></body>") || strings.Contains(text, "<!--") || !strings.Contains(page, `<div id="page">`) {
		t.Errorf("the block ends too early, or hides its end, at …%.60q", rest)
	}
	return text
}

// A page comes with the study that its address shows, as the page would have asked for it.
func TestPageComesWithItsStudy(t *testing.T) {
	s := open(t, func(s *Server) { s.openTime = time.Minute })
	put(t, s.dir, "mill & loft.yaml", regexp.MustCompile(`(?m)^note: .*$`).ReplaceAllLiteralString(s.view().Text, `note: "</script><!-- <script> \u2028 é"`))
	for address, name := range map[string]string{
		"/s/bench/loadings":         "bench",
		"/s/bench":                  "bench",
		"/s/mill%20%26%20loft/text": "mill & loft",
		"/s/bench/loadings?y=pair":  "", // it asks for more than the study
		"/s/nowhere/loadings":       "",
		"/s/..%2Fbench/loadings":    "",
		"/s/":                       "",
		"/":                         "",
	} {
		res, page := s.send("GET", address, nil)
		if res.StatusCode != 200 || res.Header.Get("Cache-Control") != "no-store" || !strings.HasPrefix(res.Header.Get("Content-Type"), "text/html") {
			t.Errorf("%s: %s, %v", address, res.Status, res.Header)
		}
		text := block(t, string(page))
		if name == "" {
			if text != "" {
				t.Errorf("%s comes with %.60s", address, text)
			}
			continue
		}
		var got, want any
		if err := json.Unmarshal([]byte(text), &got); err != nil {
			t.Fatalf("%s: %v in %.200s", address, err, text)
		}
		_, asked := s.send("POST", "/api/studies/"+strings.ReplaceAll(name, " ", "%20")+"/view", Ask{})
		if err := json.Unmarshal(asked, &want); err != nil {
			t.Fatal(err)
		}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s does not come with what the page would ask for: %.200s", address, text)
		}
	}
	if _, page := s.send("GET", "/s/mill%20%26%20loft", nil); !strings.Contains(string(page), `<\/script>\u003c!--`) {
		t.Error("the study that would end its block is not there")
	}
	if got := studyOf("/s/%zz"); got != "" {
		t.Errorf("an address that cannot be read shows %q", got)
	}
	if res, _ := s.send("GET", "/s/bench/loadings", nil, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors", "Sec-Fetch-Dest", "script"); res.StatusCode != 403 {
		t.Errorf("a study in a page that another page takes for a script: %s", res.Status)
	}
	if _, page := s.send("HEAD", "/s/bench/loadings", nil); len(page) != 0 {
		t.Errorf("the head has %d bytes of a body", len(page))
	}
}

// What takes long does not hold up the page, which then asks itself: its head is there at
// once, and the rest when it has waited long enough, whatever goes on.
func TestPageDoesNotWaitForItsStudy(t *testing.T) {
	release := make(chan struct{})
	hanging := func(s *Server) {
		s.evaluate = func(context.Context, *study.Study, study.Options) (*study.Result, error) {
			<-release
			return nil, errors.New("it was given up")
		}
	}
	s := open(t, hanging, func(s *Server) { s.openTime = time.Hour })
	res, err := http.Get(s.base + "/s/bench/loadings")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	head := make([]byte, 4096)
	n, err := io.ReadAtLeast(res.Body, head, 200) // of a page that has more before its study
	if err != nil || !strings.Contains(string(head[:n]), `<script type="module"`) {
		t.Errorf("its head did not come while it waits: %v, %q", err, head[:n])
	}
	patient := open(t, hanging, func(s *Server) { s.openTime = 20 * time.Millisecond })
	if res, page := patient.send("GET", "/s/bench/loadings", nil); res.StatusCode != 200 || block(t, string(page)) != "" {
		t.Errorf("%s, %.200s", res.Status, page)
	}
	close(release)
	if rest, err := io.ReadAll(res.Body); err != nil || !strings.Contains(block(t, string(head[:n])+string(rest)), "it was given up") {
		t.Errorf("%v, %.300s", err, rest)
	}
}

// A page whose study makes the program fail is whole, and so is one without a folder.
func TestPageOfAStudyThatBreaks(t *testing.T) {
	s := open(t, func(s *Server) {
		s.openTime = time.Minute
		s.evaluate = func(context.Context, *study.Study, study.Options) (*study.Result, error) { panic("it breaks") }
	})
	if res, page := s.send("GET", "/s/bench/loadings", nil); res.StatusCode != 200 || !strings.Contains(block(t, string(page)), "the program failed on this study") {
		t.Errorf("%s, %.200s", res.Status, page)
	}
	bare := httptest.NewRecorder()
	New(t.Context(), Options{}).handler.ServeHTTP(bare, httptest.NewRequest("GET", "/s/bench/loadings", nil))
	if bare.Code != 200 || block(t, bare.Body.String()) != "" {
		t.Errorf("%d, %s", bare.Code, bare.Body)
	}
}

// A study that is known to last stays so where a page did not wait for it.
func TestPageDoesNotMakeAStudyQuick(t *testing.T) {
	s := open(t, func(s *Server) {
		s.openTime = 20 * time.Millisecond
		s.evaluate = func(ctx context.Context, _ *study.Study, _ study.Options) (*study.Result, error) {
			<-ctx.Done()
			return nil, ctx.Err()
		}
	})
	s.queue.took("bench", true)
	if _, page := s.send("GET", "/s/bench/loadings", nil); block(t, string(page)) != "" {
		t.Error("it came with what never ends")
	}
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(time.Millisecond) {
		s.queue.mu.Lock()
		waiting := s.queue.waiting
		s.queue.mu.Unlock()
		if waiting == 0 {
			break
		}
		if time.Now().After(end) {
			t.Fatal("its turn does not end with the page")
		}
	}
	if s.queue.lane("bench") != s.queue.slow {
		t.Error("it is forgotten that it lasts")
	}
}

// The page's program is ASCII, which a browser keeps at one byte a character.
func TestProgramIsASCII(t *testing.T) {
	files, err := fs.Glob(built, "ui/dist/assets/*.js")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		text, err := fs.ReadFile(built, name)
		if err != nil {
			t.Fatal(err)
		}
		if i := bytes.IndexFunc(text, func(r rune) bool { return r > 0x7f }); i >= 0 {
			t.Errorf("%s has %q", name, text[i:min(len(text), i+8)])
		}
	}
}
