package web

import (
	"context"
	"net"
	"net/http"
	"strings"
	"testing"

	"basswright/internal/folder"
)

// Names that a foreign page can have resolved to this machine, and other ports,
// get nothing.
func TestHostMustBeOurs(t *testing.T) {
	s := open(t)
	_, port, _ := net.SplitHostPort(strings.TrimPrefix(s.base, "http://"))
	for _, host := range []string{"127.0.0.1:" + port, "localhost:" + port, "LOCALHOST:" + port, "[::1]:" + port} {
		if res, _ := s.send("GET", "/api/studies", nil, "Host", host); res.StatusCode != 200 {
			t.Errorf("%s: %s", host, res.Status)
		}
	}
	for _, host := range []string{
		"rebound.example:" + port, "127.0.0.1", "localhost", "127.0.0.1:1", "localhost.:" + port, "localhost.example:" + port,
		"127.0.0.1.example:" + port, "0.0.0.0:" + port, "127.1:" + port, "2130706433:" + port, "127.0.0.2:" + port, "[::ffff:127.0.0.1]:" + port,
	} {
		for _, path := range []string{"/", "/api/studies", "/api/events", "/assets/x.js"} {
			res, body := s.send("GET", path, nil, "Host", host)
			if res.StatusCode != http.StatusMisdirectedRequest || strings.Contains(string(body), "bench") {
				t.Errorf("%s%s: %s %s", host, path, res.Status, body)
			}
		}
	}
}

// What a page of another server sends is refused, reading and writing.
func TestForeignPages(t *testing.T) {
	s := open(t)
	before := s.disk("bench.yaml")
	edit := `{"base": "", "changes": [{"do": "set", "path": "candidates.one.enclosure.volume", "value": "3 L"}]}`
	for _, from := range [][]string{
		{"Sec-Fetch-Site", "cross-site"}, {"Sec-Fetch-Site", "same-site"}, {"Sec-Fetch-Site", "cross-site", "Origin", s.base},
		{"Sec-Fetch-Site", "strange"}, {"Origin", "http://rebound.example"}, {"Origin", "null"}, {"Origin", "http://127.0.0.1:1"},
		{"Origin", s.base + ".example"}, {"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"},
	} {
		for _, kind := range []string{"application/json", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"} {
			res, body := s.send("POST", "/api/studies/bench/edit", edit, append([]string{"Content-Type", kind}, from...)...)
			if res.StatusCode != http.StatusForbidden {
				t.Errorf("a post of %s from %v: %s %.100s", kind, from, res.Status, body)
			}
		}
		for _, path := range []string{"/api/studies", "/api/studies/bench/data/yaml", "/api/events"} {
			if res, body := s.send("GET", path, nil, from...); res.StatusCode != http.StatusForbidden {
				t.Errorf("%s from %v: %s %.100s", path, from, res.Status, body)
			}
		}
		if res, _ := s.send("OPTIONS", "/api/studies/bench/edit", nil, append([]string{"Access-Control-Request-Method", "POST"}, from...)...); res.StatusCode < 400 || res.Header.Get("Access-Control-Allow-Origin") != "" {
			t.Errorf("a question before a post from %v is answered: %s", from, res.Status)
		}
	}
	if s.disk("bench.yaml") != before {
		t.Fatal("a foreign page has changed a study")
	}
	// Its own page, a person who types the address, a link to the page, programs.
	for _, from := range [][]string{{"Sec-Fetch-Site", "same-origin", "Origin", s.base}, {"Sec-Fetch-Site", "none"}, {"Origin", s.base}, nil} {
		if res, body := s.send("GET", "/api/studies", nil, from...); res.StatusCode != 200 {
			t.Errorf("from %v: %s %s", from, res.Status, body)
		}
	}
	if res, _ := s.send("GET", "/bench", nil, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "document"); res.StatusCode != 200 {
		t.Errorf("a link to the page: %s", res.Status)
	}
	if res, _ := s.send("GET", "/bench", nil, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Sec-Fetch-Dest", "iframe"); res.StatusCode != 403 {
		t.Errorf("the page in another’s frame: %s", res.Status)
	}
}

const secret = "a-token-for-this-test"

func TestToken(t *testing.T) {
	s := open(t, func(s *Server) { s.opt.Token = secret })
	for _, head := range [][]string{
		nil, {"Authorization", "Bearer " + secret[1:]}, {"Authorization", "Bearer "}, {"Authorization", secret}, {"Authorization", "Basic " + secret},
		{"Cookie", "basswright=" + secret}, {"Authorization", "Bearer " + secret + "x"},
	} {
		for _, path := range []string{"/", "/api/studies", "/api/events", "/assets/x.js", "/api/studies?token=", "/api/studies?token=" + secret[1:]} {
			res, body := s.send("GET", path, nil, head...)
			if res.StatusCode != 401 || len(res.Cookies()) > 0 || strings.Contains(string(body), secret) {
				t.Errorf("%s with %v: %s %s", path, head, res.Status, body)
			}
		}
	}
	if res, _ := s.send("POST", "/api/studies/bench/view?token="+secret, Ask{}); res.StatusCode != 401 {
		t.Errorf("a post with the token in its address: %s", res.Status)
	}
	if res, _ := s.send("GET", "/api/studies", nil, "Authorization", "Bearer "+secret); res.StatusCode != 200 {
		t.Errorf("Bearer: %s", res.Status)
	}
	res, _ := s.send("GET", "//rebound.example/bench?token="+secret, nil)
	if at := res.Header.Get("Location"); res.StatusCode != 303 || at != "/rebound.example/bench" {
		t.Errorf("with the token in the address: %s to %q", res.Status, at)
	}
	got := res.Cookies()
	if len(got) != 1 || !got[0].HttpOnly || got[0].SameSite != http.SameSiteStrictMode || got[0].Path != "/" {
		t.Fatalf("cookies %v", got)
	}
	if res, _ := s.send("GET", "/api/studies", nil, "Cookie", got[0].String()); res.StatusCode != 200 {
		t.Errorf("with the cookie: %s", res.Status)
	}
	if res, _ := s.send("POST", "/api/studies/bench/edit", volumes(3), "Cookie", got[0].String(), "Origin", "http://rebound.example"); res.StatusCode != 403 {
		t.Errorf("a foreign post with the cookie: %s", res.Status)
	}
	// Two servers on one machine keep their cookies apart.
	if a, b := (&guard{token: secret}).cookie(), (&guard{token: secret + "2"}).cookie(); a == b {
		t.Error("two tokens share a cookie")
	}
}

// Beyond the loopback there is no server without a token, and with one the name
// does not matter.
func TestBeyondThisMachine(t *testing.T) {
	f, err := folder.Open(t.TempDir(), folder.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	l, err := net.Listen("tcp", "0.0.0.0:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if err := New(t.Context(), Options{Folder: f}).Serve(t.Context(), l); err == nil || !strings.Contains(err.Error(), "needs a token") {
		t.Errorf("served beyond this machine without a token: %v", err)
	}
	s := openOn(t, t.TempDir(), "0.0.0.0:0", func(s *Server) { s.opt.Token = secret })
	s.base = strings.Replace(s.base, "[::]", "127.0.0.1", 1)
	if res, _ := s.send("GET", "/api/studies", nil, "Host", "bench.example"); res.StatusCode != 401 {
		t.Errorf("without the token: %s", res.Status)
	}
	if res, _ := s.send("GET", "/", nil, "Host", "bench.example", "Authorization", "Bearer "+secret); res.StatusCode != 200 || res.Header.Get("Cross-Origin-Opener-Policy") != "same-origin" {
		t.Errorf("with the token: %s, %v", res.Status, res.Header)
	}
}

// A loopback address other than the usual is one that the server answers to.
func TestOtherLoopbackAddress(t *testing.T) {
	s := openOn(t, t.TempDir(), "127.0.0.2:0")
	if res, body := s.send("GET", "/api/studies", nil); res.StatusCode != 200 {
		t.Errorf("%s: %s %s", s.base, res.Status, body)
	}
}

func TestHeadersOfEveryAnswer(t *testing.T) {
	s := open(t)
	for _, c := range []struct {
		method, path string
		body         any
		head         []string
	}{
		{"GET", "/", nil, nil}, {"GET", "/bench", nil, nil}, {"GET", "/favicon.svg", nil, nil}, {"GET", "/assets/none.js", nil, nil},
		{"GET", "/api/studies", nil, nil}, {"POST", "/api/studies/bench/view", Ask{}, nil}, {"POST", "/api/studies/bench/view", "{", nil},
		{"GET", "/api/studies/none/past", nil, nil}, {"GET", "/api/studies/bench/figure", nil, nil}, {"GET", "/api/studies/bench/data/html", nil, nil},
		{"GET", "/api/none", nil, nil}, {"DELETE", "/", nil, nil}, {"GET", "/api/studies", nil, []string{"Host", "rebound.example"}},
		{"GET", "/api/studies", nil, []string{"Origin", "null"}}, {"GET", "/a/../b//c", nil, nil},
	} {
		res, _ := s.send(c.method, c.path, c.body, c.head...)
		for name, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
			"Cross-Origin-Resource-Policy": "same-origin",
		} {
			if got := res.Header.Get(name); got != want {
				t.Errorf("%s %s: %s is %q", c.method, c.path, name, got)
			}
		}
		policy := res.Header.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'", "connect-src 'self'"} {
			if !strings.Contains(policy, want) {
				t.Errorf("%s %s: the policy lacks %s: %s", c.method, c.path, want, policy)
			}
		}
		if strings.Contains(policy, "unsafe") || strings.Contains(policy, "http") {
			t.Errorf("the policy lets in too much: %s", policy)
		}
		if strings.HasPrefix(c.path, "/api/") && res.Header.Get("Cache-Control") != "no-store" {
			t.Errorf("%s %s may be cached: %q", c.method, c.path, res.Header.Get("Cache-Control"))
		}
	}
}

// The page is what is built in, and no path leads out of it.
func TestPage(t *testing.T) {
	s := open(t)
	put(t, s.dir, "secret.txt", "heron")
	res, index := s.send("GET", "/", nil)
	if res.StatusCode != 200 || !strings.Contains(string(index), "<script") || res.Header.Get("Cache-Control") != "no-store" {
		t.Fatalf("the page: %s\n%s", res.Status, index)
	}
	asset := string(index)[strings.Index(string(index), "/assets/"):]
	asset = asset[:strings.IndexByte(asset, '"')]
	if res, body := s.send("GET", asset, nil); res.StatusCode != 200 || len(body) == 0 || !strings.Contains(res.Header.Get("Cache-Control"), "immutable") {
		t.Errorf("%s: %s, %d bytes, %v", asset, res.Status, len(body), res.Header)
	}
	for _, path := range []string{
		"/../secret.txt", "/..%2fsecret.txt", "/assets/../../secret.txt", "/assets/..%2f..%2f..%2fsecret.txt", "/%2e%2e/secret.txt", "/assets%00",
		"/assets/", "/assets", "/bench.yaml", "/secret.txt", "/..%5csecret.txt", "//secret.txt", "/.basswright/history", "/assets/..%2findex.html%00.js",
	} {
		res, body := s.send("GET", path, nil)
		if strings.Contains(string(body), "heron") || strings.Contains(string(body), "study:") || strings.Contains(string(body), "<pre>") {
			t.Errorf("%s gives %s", path, body)
		}
		if res.StatusCode >= 500 {
			t.Errorf("%s: %s", path, res.Status)
		}
	}
	if res, _ := s.send("POST", "/", "{}"); res.StatusCode != 405 {
		t.Errorf("a post to the page: %s", res.Status)
	}
}

func TestServeEndsWithItsContext(t *testing.T) {
	f, err := folder.Open(t.TempDir(), folder.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	if err := New(ctx, Options{Folder: f}).Serve(ctx, l); err != nil {
		t.Errorf("Serve: %v", err)
	}
}
