package web

import (
	"strings"
	"testing"
)

// What a page shows first is on its way with the page: its address says of which study.
func TestPageFetchesItsStudy(t *testing.T) {
	s := open(t)
	for address, want := range map[string]string{
		"/s/bench/loadings":         "</api/studies/bench/view>; rel=preload; as=fetch; crossorigin",
		"/s/bench":                  "</api/studies/bench/view>; rel=preload; as=fetch; crossorigin",
		"/s/mill%20%26loft/drivers": "</api/studies/mill%20%26loft/view>; rel=preload; as=fetch; crossorigin",
		"/s/a%3E%2Fb/loadings":      "</api/studies/a%3E%2Fb/view>; rel=preload; as=fetch; crossorigin",
		"/s/bench/loadings?y=pair":  "",
		"/s/":                       "",
		"/":                         "",
		"/favicon.svg":              "",
	} {
		if res, _ := s.send("GET", address, nil); res.StatusCode != 200 || res.Header.Get("Link") != want {
			t.Errorf("%s: %s, Link %q, want %q", address, res.Status, res.Header.Get("Link"), want)
		}
	}
}

// It is what the page would have asked for.
func TestOpeningIsTheView(t *testing.T) {
	s := open(t)
	s.view() // which is worked out by now
	res, got := s.send("GET", "/api/studies/bench/view", nil)
	_, want := s.send("POST", "/api/studies/bench/view", Ask{})
	if res.StatusCode != 200 || string(got) != string(want) {
		t.Errorf("%s %.200s, want %.200s", res.Status, got, want)
	}
	if res, _ := s.send("GET", "/api/studies/nowhere/view", nil); res.StatusCode != 404 {
		t.Errorf("of a study that is not there: %s", res.Status)
	}
	if res, _ := s.send("GET", "/api/studies/bench/view", nil, "Sec-Fetch-Site", "cross-site"); res.StatusCode != 403 {
		t.Errorf("for the page of another server: %s", res.Status)
	}
	if csp := res.Header.Get("Content-Security-Policy"); !strings.Contains(csp, "connect-src 'self'") {
		t.Errorf("the page may not fetch it: %q", csp)
	}
}
