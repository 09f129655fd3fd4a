package folder

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A file beside a study is read where it is a regular file inside the folder, also
// below it; nothing else is, whatever its name and whoever put it there.
func TestBeside(t *testing.T) {
	f, dir := opened(t, map[string]string{"bench.yaml": "study: A\n", "seat.csv": "20;1\n40;2\n"})
	if err := os.MkdirAll(filepath.Join(dir, "measured"), 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "measured", "van.csv"), "20;3\n40;4\n")
	out := t.TempDir()
	write(t, filepath.Join(out, "secret.csv"), "20;9\n40;9\n")
	if err := os.Symlink(filepath.Join(out, "secret.csv"), filepath.Join(dir, "link.csv")); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	if err := os.Symlink(out, filepath.Join(dir, "away")); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "large.csv"), strings.Repeat("#", mostBytes+1))
	read := map[string]func(string) ([]byte, error){
		"open folder": f.Beside,
		"any folder":  func(file string) ([]byte, error) { return ReadBeside(dir, file) },
	}
	for by, beside := range read {
		for file, want := range map[string]string{"seat.csv": "20;1\n40;2\n", "measured/van.csv": "20;3\n40;4\n"} {
			if text, err := beside(file); err != nil || string(text) != want {
				t.Errorf("%s, %s: %q, %v", by, file, text, err)
			}
		}
		for file, want := range map[string]string{
			"missing.csv": "there is no such file", "measured": "it is a folder", "link.csv": "it is a symbolic link", "large.csv": "more than the 1048576",
			"away/secret.csv": "", "../" + filepath.Base(out) + "/secret.csv": "", filepath.Join(out, "secret.csv"): "",
		} {
			if text, err := beside(file); err == nil || text != nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), dir) {
				t.Errorf("%s, %s: %q, %v; want %q", by, file, text, err, want)
			}
		}
	}
	if _, err := ReadBeside(filepath.Join(dir, "nowhere"), "seat.csv"); err == nil {
		t.Error("a folder that is not there is read")
	}
}
