package web

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
)

const twoCandidates = `study: Looks
drivers: {wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}}
drive: {voltage: 2.83 V}
candidates:
  a: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}
  b: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 12 L}}
`

// Figures, the report and what is drawn of one candidate have the looks that are
// asked for, and those of the places where none are, or too few.
func TestFilesHaveTheLooksOfThePage(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "bench.yaml", twoCandidates)
	s := openOn(t, dir, "127.0.0.1:0")
	get := func(path string) string {
		t.Helper()
		r, err := http.Get(s.base + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		body, err := io.ReadAll(r.Body)
		if err != nil || r.StatusCode != 200 {
			t.Fatal(path, r.Status, string(body), err)
		}
		return string(body)
	}
	// the page’s published colours of candidates 1 to 4
	colours := []string{"#0072B2", "#CC79A7", "#D55E00", "#009E73"}
	has := func(what, text string, want ...int) {
		t.Helper()
		for i, c := range colours {
			in := bytes.Contains(bytes.ToUpper([]byte(text)), []byte(c))
			wanted := false
			for _, w := range want {
				wanted = wanted || w == i
			}
			if in != wanted {
				t.Errorf("%s: colour %d is in it: %t", what, i, in)
			}
		}
	}
	const figure = "/api/studies/bench/figure?show=level"
	has("as it is", get(figure), 0, 1)
	has("as the page has it", get(figure+"&looks=0,3"), 0, 3)
	has("one of them", get(figure+"&looks=2,3&only=b"), 3)
	has("of another file", get(figure+"&looks=3"), 0, 1)
	has("of no colour", get(figure+"&looks=-4,99999"), 0, 1)
	// the report defines all colours: what counts is which one the second candidate’s name has
	const second = `class="n t%d">b<`
	for path, look := range map[string]int{"/api/studies/bench/data/html": 2, "/api/studies/bench/data/html?looks=0,3": 4} {
		if want := fmt.Sprintf(second, look); !strings.Contains(get(path), want) {
			t.Errorf("%s has no %s", path, want)
		}
	}
}
