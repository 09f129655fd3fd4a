package studyfile

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

func TestYY(t *testing.T) {
	fs, _ := filepath.Glob("testdata/malformed/*.yaml")
	fmt.Println(len(fs))
	for _, f := range fs {
		d, _ := os.ReadFile(f)
		_, err := Parse(d, filepath.Base(f))
		if err == nil {
			fmt.Println("NOERR", f)
			continue
		}
		fmt.Println(err)
	}
}
