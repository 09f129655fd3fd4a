package export

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// ngspice runs a netlist as it is and returns what it prints. It must be there:
// ./test installs it.
func ngspice(t *testing.T, netlist string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "net.cir")
	if err := os.WriteFile(file, []byte(netlist), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("ngspice", "-b", file).CombinedOutput()
	if err != nil {
		t.Fatalf("ngspice: %v\n%s", err, out)
	}
	if bytes.Contains(out, []byte("Error")) || bytes.Contains(out, []byte("singular")) {
		t.Fatalf("ngspice complains:\n%s", out)
	}
	return string(out)
}
