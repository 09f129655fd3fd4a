package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/wav"
)

// A piece that ends before its header says so is played as far as it goes, and
// told; a whole one is not.
func TestPieceThatIsCutShort(t *testing.T) {
	var whole bytes.Buffer
	if err := wav.Write(&whole, 48000, make([]float32, 96000)); err != nil {
		t.Fatal(err)
	}
	bare := whole.Len() - 4*96000
	for name, c := range map[string]struct {
		data []byte
		told bool
	}{
		"cut.wav":   {whole.Bytes()[:bare+4*96], true},
		"whole.wav": {whole.Bytes()[:bare+4*96000], false},
	} {
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, c.data, 0o600); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		args := []string{"signal", "../../examples/camper-bench.yaml", "--candidate", "one", "--sound", file, "--cold"}
		if code := run(context.Background(), args, streams{in: strings.NewReader(""), out: &out, err: &errs}); code != 0 {
			t.Fatalf("%s: exit %d: %s", name, code, errs.String())
		}
		text := strings.Join(strings.Fields(out.String()), " ")
		if got := strings.Contains(text, "is cut short: it ends after 2.0 ms, and its header promises 2 s"); got != c.told {
			t.Errorf("%s: told %v, want %v:\n%s", name, got, c.told, out.String())
		}
	}
}
