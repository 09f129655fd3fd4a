package web

import (
	"embed"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

// The page as it was built from ui/src; it is committed, so that building the
// program needs nothing but Go.
//
//go:embed all:ui/dist
var built embed.FS

// page serves the built files, and the page itself for every other path, which
// the page reads as the place to show.
func page() http.Handler {
	dist, err := fs.Sub(built, "ui/dist")
	if err != nil {
		panic(err) // the pattern above names it
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
			w.Header().Set("Cache-Control", "no-cache")
			if study := studyOf(r.URL.EscapedPath()); study != "" && r.URL.RawQuery == "" {
				w.Header().Set("Link", "</api/studies/"+study+"/view>; rel=preload; as=fetch; crossorigin")
			}
			http.ServeFileFS(w, r, dist, "index.html")
		}
	})
}

// studyOf is the study that an address of the page shows, as it is escaped there; "" if
// it shows none. What it shows can be on its way before the page's program is there.
func studyOf(address string) string {
	rest, ok := strings.CutPrefix(address, "/s/")
	if !ok {
		return ""
	}
	name, _, _ := strings.Cut(rest, "/")
	return name
}
