package web

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/hex"
	"net"
	"net/http"
	"net/url"
	"path"
	"strings"
)

// cookie carries the token after the first request with it. Cookies know no
// ports, so the name tells apart the servers of one machine.
func (g *guard) cookie() string {
	sum := sha256.Sum256([]byte(g.token))
	return "basswright-" + hex.EncodeToString(sum[:4])
}

// guard refuses what does not come from the server's own page.
//
// A page of another server that a person has open can send requests to this one,
// and can have its own name resolved to this machine (DNS rebinding). So the Host
// must be one of the names that the server was started for, and requests that a
// browser sends from elsewhere are refused by their Sec-Fetch-Site or Origin
// for reading as well as for writing. Beyond the loopback a token is asked for too.
type guard struct {
	hosts map[string]bool // host:port that may be asked for; nil: any, with the token
	token string          // "" on the loopback
	next  http.Handler
}

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	if g.token != "" {
		// It costs the browser a process of its own, and the page an eighth of a second. On the
		// loopback, where a page is to open at once, it would keep little out: the page has no
		// frame, listens to no message, and knows no opener.
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
	}
	if strings.HasPrefix(r.URL.Path, "/api/") {
		h.Set("Cache-Control", "no-store")
	}
	if !g.known(r.Host) {
		refuse(w, http.StatusMisdirectedRequest, "this server does not answer to that name; open the address that it printed")
		return
	}
	if foreign(r) {
		refuse(w, http.StatusForbidden, "the request comes from a page of another server")
		return
	}
	if g.token != "" && !g.admitted(w, r) {
		return
	}
	g.next.ServeHTTP(w, r)
}

func (g *guard) known(host string) bool {
	return g.hosts == nil || g.hosts[strings.ToLower(host)]
}

// foreign says whether a browser sent the request from a page of another server.
// Opening the page itself from a link elsewhere is fine: the other page reads nothing of
// it, and it changes nothing of a study.
func foreign(r *http.Request) bool {
	opening := r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && r.Header.Get("Sec-Fetch-Dest") == "document" && !strings.HasPrefix(r.URL.Path, "/api/")
	switch r.Header.Get("Sec-Fetch-Site") {
	case "same-origin", "none":
		return false
	case "":
		origin := r.Header.Get("Origin")
		return origin != "" && origin != "http://"+r.Host && origin != "https://"+r.Host
	}
	return !opening
}

// admitted asks for the token: in the address once, then in a cookie.
func (g *guard) admitted(w http.ResponseWriter, r *http.Request) bool {
	if c, err := r.Cookie(g.cookie()); err == nil && g.is(c.Value) {
		return true
	}
	if auth, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); ok && g.is(auth) {
		return true
	}
	if r.Method == http.MethodGet && g.is(r.URL.Query().Get("token")) {
		http.SetCookie(w, &http.Cookie{Name: g.cookie(), Value: g.token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		to := url.URL{Path: path.Clean("/" + r.URL.Path)} // so that the token leaves the address bar
		http.Redirect(w, r, to.String(), http.StatusSeeOther)
		return false
	}
	refuse(w, http.StatusUnauthorized, "this server asks for a token; open the address that it printed")
	return false
}

func (g *guard) is(token string) bool {
	return subtle.ConstantTimeCompare([]byte(token), []byte(g.token)) == 1
}

func refuse(w http.ResponseWriter, code int, why string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(code)
	_, _ = w.Write([]byte(why + "\n"))
}

// loopbackHosts are the names of a server on the loopback; host is the address
// that it listens on.
func loopbackHosts(host string, addr net.Addr) map[string]bool {
	_, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		return map[string]bool{}
	}
	hosts := map[string]bool{}
	for _, h := range []string{"127.0.0.1", "localhost", "::1", host} {
		hosts[net.JoinHostPort(h, port)] = true
		if port == "80" {
			hosts[strings.TrimSuffix(net.JoinHostPort(h, port), ":80")] = true
		}
	}
	return hosts
}
