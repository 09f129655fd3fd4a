package report

import "basswright/internal/note"

// polarity says before anything else that cones work against each other, and
// returns the other findings.
func (p *printer) polarity(list []note.Finding) (rest []note.Finding) {
	for _, f := range list {
		if f.ID != "polarity-fights" && f.ID != "positions-oppose" {
			rest = append(rest, f)
			continue
		}
		p.wrapped("WIRED WRONG: ", "             ", f.Text+" ("+f.Mend+")")
		p.line("")
	}
	return rest
}
