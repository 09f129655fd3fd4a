package web

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"

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
	s := open(t)
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

// What takes long does not hold up the page, which then asks itself; nor does what fails.
func TestPageDoesNotWaitForItsStudy(t *testing.T) {
	ended := make(chan error, 1)
	s := open(t, func(s *Server) {
		s.evaluate = func(ctx context.Context, _ *study.Study, _ study.Options) (*study.Result, error) {
			<-ctx.Done()
			ended <- ctx.Err()
			return nil, ctx.Err()
		}
	})
	if res, page := s.send("GET", "/s/bench/loadings", nil); res.StatusCode != 200 || block(t, string(page)) != "" {
		t.Errorf("%s, %.200s", res.Status, page)
	}
	if err := <-ended; err == nil {
		t.Error("what it waited for goes on")
	}
	broken := open(t, func(s *Server) {
		s.evaluate = func(context.Context, *study.Study, study.Options) (*study.Result, error) { panic("it breaks") }
	})
	if res, page := broken.send("GET", "/s/bench/loadings", nil); res.StatusCode != 200 || !strings.Contains(block(t, string(page)), "the program failed on this study") {
		t.Errorf("%s, %.200s", res.Status, page)
	}
}
