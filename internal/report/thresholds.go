package report

import (
	"bytes"
	"fmt"
	"strings"

	"basswright/internal/study"
)

//go:generate go run ./limitsgen ../../docs/limits.md

// Between these lines of the manual's page the table of thresholds stands.
const (
	thresholdsFrom = "<!-- made by go generate from what the calculation uses: thresholds -->\n"
	thresholdsTo   = "<!-- end of thresholds -->\n"
)

// WithThresholds is a page of the manual with the table of thresholds between its
// marks. The error says that it has none.
func WithThresholds(page []byte) ([]byte, error) {
	head, rest, ok := bytes.Cut(page, []byte(thresholdsFrom))
	_, tail, end := bytes.Cut(rest, []byte(thresholdsTo))
	if !ok || !end {
		return nil, fmt.Errorf("the page has no place for the table: %s and %s", strings.TrimSpace(thresholdsFrom), strings.TrimSpace(thresholdsTo))
	}
	var b bytes.Buffer
	b.Write(head)
	b.WriteString(thresholdsFrom)
	b.WriteString("\n| | threshold | figure | source | how the figure was come by |\n| --- | --- | --: | --- | --- |\n")
	last := ""
	for _, t := range study.Thresholds() {
		about := ""
		if t.About != last {
			about, last = t.About, t.About
		}
		origin := t.Provenance.String()
		if t.Provenance == study.FromMemory {
			origin = "**" + origin + "**"
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %s |\n", about, column(t.What), column(t.Figure), column(t.Source), origin)
	}
	b.WriteString("\n" + thresholdsTo)
	b.Write(tail)
	return b.Bytes(), nil
}

// column keeps a text within its column.
func column(s string) string { return strings.ReplaceAll(s, "|", "\\|") }
