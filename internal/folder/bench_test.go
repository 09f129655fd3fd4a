package folder

import (
	"fmt"
	"strings"
	"testing"
)

// text is a study of about two kilobytes.
func benchText(n int) []byte {
	return fmt.Appendf(nil, "study: bench %d\n%s", n, strings.Repeat("# a line of a study that is as long as most are\n", 40))
}

func BenchmarkSave(b *testing.B) {
	f, _ := opened(b, map[string]string{"heath.yaml": string(benchText(0))})
	v, err := f.Read("heath")
	v = good(b, v, err)
	n := 0
	for b.Loop() {
		n++
		v, err = f.Save("heath", v.Revision, benchText(n), "volume")
		v = good(b, v, err)
	}
}

func BenchmarkRead(b *testing.B) {
	f, _ := opened(b, map[string]string{"heath.yaml": string(benchText(0))})
	for b.Loop() {
		if _, err := f.Read("heath"); err != nil {
			b.Fatal(err)
		}
	}
}

// A look of the watch at a full folder where nothing has changed.
func BenchmarkLook(b *testing.B) {
	files := map[string]string{}
	for i := range mostStudies {
		files[fmt.Sprintf("heath-%d.yaml", i)] = string(benchText(i))
	}
	f, dir := opened(b, files)
	settle(b, dir)
	w := f.newWatcher()
	for b.Loop() {
		if len(w.look()) != 0 {
			b.Fatal("changes where there are none")
		}
	}
}
