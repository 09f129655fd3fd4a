package folder

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// The secret is the same after a restart, and its owner's alone; what others may
// read, or is too short to be one, is replaced.
func TestSecret(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	path := filepath.Join(dir, secretFile)
	first, err := f.Secret()
	if err != nil || len(first) < leastSecret {
		t.Fatalf("%q, %v", first, err)
	}
	if info, err := os.Stat(path); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	if again, err := open(t, dir).Secret(); err != nil || again != first {
		t.Errorf("%q after a restart, %q before; %v", again, first, err)
	}
	for name, spoil := range map[string]func() error{
		"open to others": func() error { return os.Chmod(path, 0o644) },
		"short":          func() error { return os.WriteFile(path, []byte("short\n"), 0o600) },
		"two lines":      func() error { return os.WriteFile(path, []byte("heron merlin\nwren plover\n"), 0o600) },
		"empty":          func() error { return os.WriteFile(path, nil, 0o600) },
		"a link": func() error {
			if err := os.Rename(path, path+"2"); err != nil {
				return err
			}
			return os.Symlink("token2", path)
		},
	} {
		before, err := f.Secret()
		if err != nil {
			t.Fatal(err)
		}
		if err := spoil(); err != nil {
			t.Fatal(err)
		}
		after, err := f.Secret()
		if err != nil || after == before || len(after) < leastSecret {
			t.Errorf("%s: %q, %v", name, after, err)
		}
		if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", name, info.Mode(), err)
		}
	}
}
