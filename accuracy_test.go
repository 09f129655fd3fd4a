package basswright_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	inTicks  = regexp.MustCompile("`([^`]+)`")
	testName = regexp.MustCompile(`^Test[A-Z]\w+$`)
)

// Every row of docs/accuracy.md names what, against what, how well and where: a
// place that exists, and a test that stands in it.
func TestAccuracyNamesTestsThatAreThere(t *testing.T) {
	text, err := os.ReadFile("docs/accuracy.md")
	if err != nil {
		t.Fatal(err)
	}
	rows, named := 0, 0
	for _, line := range strings.Split(string(text), "\n") {
		if !strings.HasPrefix(line, "| ") || strings.HasPrefix(line, "| ---") || strings.HasPrefix(line, "| what ") {
			continue
		}
		rows++
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if len(cells) != 4 {
			t.Errorf("%d columns: %s", len(cells), line)
			continue
		}
		for i, c := range cells {
			if strings.TrimSpace(c) == "" {
				t.Errorf("column %d is empty: %s", i+1, line)
			}
		}
		places := inTicks.FindAllStringSubmatch(cells[3], -1)
		if len(places) == 0 {
			t.Errorf("nothing says where: %s", line)
		}
		file := ""
		for _, m := range places {
			if !testName.MatchString(m[1]) {
				file = m[1]
				if _, err := os.Stat(filepath.FromSlash(file)); err != nil {
					t.Errorf("%v, of: %s", err, line)
				}
				continue
			}
			named++
			code, err := os.ReadFile(filepath.FromSlash(file))
			if err != nil || !strings.Contains(string(code), "func "+m[1]+"(") {
				t.Errorf("%s has no %s", file, m[1])
			}
		}
	}
	if rows < 40 || named < 25 {
		t.Errorf("%d rows, of which %d name a test", rows, named)
	}
}
