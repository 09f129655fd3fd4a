package studyfile

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

func TestZZ(t *testing.T) {
	fs, _ := filepath.Glob("../../examples/*.yaml")
	for _, f := range fs {
		d, _ := os.ReadFile(f)
		st, err := Parse(d, filepath.Base(f))
		if err != nil {
			t.Error(err)
			continue
		}
		fmt.Println(st.Name, len(st.Drivers), len(st.Candidates))
		for _, x := range st.Findings {
			fmt.Println(x)
		}
		for _, d := range st.Drivers {
			for _, x := range d.Findings {
				fmt.Println(x)
			}
		}
	}
}
func BenchmarkParse(b *testing.B) {
	d, _ := os.ReadFile("../../examples/camper-bench.yaml")
	for b.Loop() {
		if _, err := Parse(d, "x"); err != nil {
			b.Fatal(err)
		}
	}
}
func BenchmarkSoffit(b *testing.B) {
	d, _ := os.ReadFile("../../examples/studio-soffit.yaml")
	for b.Loop() {
		if _, err := Parse(d, "x"); err != nil {
			b.Fatal(err)
		}
	}
}
