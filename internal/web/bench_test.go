package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"basswright/internal/folder"
)

// The server's part of a drag: `try` on the camper bench, six candidates and 400
// points, of which one changes each time. The page has all that came before.
func BenchmarkTry(b *testing.B) {
	for _, mode := range []struct {
		name  string
		path  string
		quick bool
	}{
		{"quick-one", volume, true}, {"full-one", volume, false},
		{"quick-tuned", "candidates.tuned.enclosure.volume", true}, {"quick-all", "source.resistance", true}, {"quick-drive", "drive.power", true},
	} {
		b.Run(mode.name, func(b *testing.B) {
			dir := b.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "bench.yaml"), samples(b)["camper-bench"], 0o644); err != nil {
				b.Fatal(err)
			}
			f, err := folder.Open(dir, folder.Options{})
			if err != nil {
				b.Fatal(err)
			}
			defer f.Close()
			s := New(b.Context(), Options{Folder: f})
			have := []string{}
			post := func(e Edit) View {
				data, err := json.Marshal(e.tried())
				if err != nil {
					b.Fatal(err)
				}
				req := httptest.NewRequest("POST", "/api/studies/bench/try", bytes.NewReader(data))
				req.Header.Set("Content-Type", "application/json")
				w := httptest.NewRecorder()
				s.handler.ServeHTTP(w, req)
				if w.Code != http.StatusOK {
					b.Fatalf("%d %s", w.Code, w.Body)
				}
				var v View
				if len(have) == 0 {
					if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(w.Body.Len())/1e3, "kB/answer")
				return v
			}
			have = keys(post(Edit{Changes: volumes(28).Changes}).Result)
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				n++
				e := volumes(1)
				e.Quick, e.Have = mode.quick, have
				value := fmt.Sprintf("%.3f L", 20+float64(n%20000)/1000)
				switch mode.path {
				case "source.resistance":
					value = fmt.Sprintf("%.4f ohm", float64(n%20000)/10000)
				case "drive.power":
					value = fmt.Sprintf("%.3f W", 20+float64(n%20000)/100)
				}
				e.Changes[0].Path, e.Changes[0].Value = mode.path, value
				post(e)
			}
		})
	}
}
