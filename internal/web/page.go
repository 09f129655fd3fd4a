package web

import (
	"bytes"
	"context"
	"embed"
	"io/fs"
	"net/http"
	"net/url"
	"path"
	"strings"
	"time"
)

// The page as it was built from ui/src; it is committed, so that building the
// program needs nothing but Go.
//
//go:embed all:ui/dist
var built embed.FS

// openTime is how long a page waits for what it opens with. Later, it is sent without, asks
// itself, and says that it waits.
const openTime = 150 * time.Millisecond

// page serves the built files, and the page itself for every other path, which
// the page reads as the place to show.
func (s *Server) page() http.Handler {
	dist, err := fs.Sub(built, "ui/dist")
	if err != nil {
		panic(err) // the pattern above names it
	}
	index, err := fs.ReadFile(dist, "index.html")
	if err != nil {
		panic(err) // a build has one
	}
	files := http.FileServerFS(dist)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			refuse(w, http.StatusMethodNotAllowed, "only reading is possible here")
			return
		}
		name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
		if strings.HasPrefix(name, "api/") {
			refuse(w, http.StatusNotFound, "there is nothing of that name")
			return
		}
		info, err := fs.Stat(dist, name)
		switch {
		case err == nil && !info.IsDir():
			if strings.HasPrefix(name, "assets/") { // their names hold their digest
				w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
			}
			files.ServeHTTP(w, r)
		case strings.HasPrefix(name, "assets/"):
			refuse(w, http.StatusNotFound, "there is nothing of that name")
		default:
			s.open(w, r, index)
		}
	})
}

// open serves the page. Where its address shows a study and asks for nothing further, the
// study comes with it: its head goes first, so that the browser fetches the page's program
// while the study is evaluated, and by the time that this runs what it shows is there.
func (s *Server) open(w http.ResponseWriter, r *http.Request, index []byte) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store") // it would be what the study was
	if r.Method == http.MethodHead {
		return
	}
	head, rest, _ := bytes.Cut(index, []byte("</body>"))
	_, _ = w.Write(head)
	if study := studyOf(r.URL.EscapedPath()); study != "" && r.URL.RawQuery == "" {
		_ = http.NewResponseController(w).Flush()
		_, _ = w.Write(s.opening(r.Context(), study))
	}
	_, _ = w.Write(append([]byte("</body>"), rest...))
}

// opening is a block of data (HTML, the script element) with what the page would ask for
// first; empty where that is late or refused, which the page is then told as it asks itself.
func (s *Server) opening(ctx context.Context, study string) []byte {
	made := make(chan []byte, 1)
	go func() { // with a turn of its own: the page may go before it
		made <- s.block(context.WithValue(ctx, exchangeKey{}, (*exchange)(nil)), study)
	}()
	late := time.NewTimer(s.openTime)
	defer late.Stop()
	select {
	case block := <-made:
		return block
	case <-late.C:
		return nil
	}
}

// block evaluates and words it; nil if that fails.
func (s *Server) block(ctx context.Context, study string) []byte {
	var text bytes.Buffer
	err := s.guarded(func() error {
		v, err := s.view(ctx, &askOne{Target: Target{study}})
		if err != nil {
			return err
		}
		return asciiJSON.Marshal(&text, v.Body)
	})
	if err != nil {
		return nil
	}
	return []byte(`<script type="application/json" id="opening">` + inert.Replace(text.String()) + `</script>`)
}

// inert takes from a JSON text what would end a script element or begin a comment in it.
var inert = strings.NewReplacer("</", `<\/`, "<!", `\u003c!`)

// studyOf is the study that an address of the page, escaped, shows; "" if it shows none.
func studyOf(address string) string {
	rest, ok := strings.CutPrefix(address, "/s/")
	if !ok {
		return ""
	}
	name, _, _ := strings.Cut(rest, "/")
	name, err := url.PathUnescape(name)
	if err != nil {
		return ""
	}
	return name
}
