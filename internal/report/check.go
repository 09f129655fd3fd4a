package report

import (
	"io"
	"strings"

	"basswright/internal/note"
	"basswright/internal/study"
)

// CheckText says for a terminal whether a study is sound.
func CheckText(w io.Writer, r *study.Result, o TextOptions) error {
	p := newPrinter(w, o)
	warnings, defaults := findings(r)
	p.line("%s", p.strong(r.Study.Name))
	p.line("")
	switch n := len(warnings); n {
	case 0:
		p.line("The study is sound: nothing in it contradicts itself.")
	case 1:
		p.line("One thing in it is doubtful.")
	default:
		p.line("%s things in it are doubtful.", capital(study.Count(n)))
	}
	for _, f := range warnings {
		p.finding(f)
	}
	for i := range r.Study.Drivers {
		d := &r.Study.Drivers[i]
		p.line("")
		p.line("%s: the set that was used", p.strong(d.Driver.Name))
		for _, s := range d.Steps {
			p.driverStep(r, s)
		}
	}
	if len(defaults) > 0 {
		p.line("")
		p.line("%s", p.strong("Filled in, because the study does not say"))
		for _, f := range defaults {
			p.wrapped("  ", "    ", f.Where+": "+f.Text)
		}
	}
	p.line("")
	p.brief(r)
	return p.err
}

// driverStep is one line of a datasheet's completion.
func (p *printer) driverStep(r *study.Result, s note.Step) {
	u := r.Study.Units
	why := s.Why
	if s.Formula != "" {
		why += ": " + s.Formula
	}
	p.quantity(s, u, 34, left(stepValue(s.Value, s.Kind, u), 8), func(room int) []string { return wrap(why, room) })
}

// capital writes the first letter large.
func capital(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// small writes the first letter small, as behind a colon.
func small(s string) string {
	if s == "" || s[0] < 'A' || s[0] > 'Z' {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

type checkJSON struct {
	Study    string         `json:"study"`
	Sound    bool           `json:"sound"`
	BriefMet bool           `json:"brief_met"`
	Doubts   []note.Finding `json:"doubts"`
	Defaults []note.Finding `json:"defaults"`
	Misses   []missJSON     `json:"misses"`
}

type missJSON struct {
	Candidate string `json:"candidate"`
	study.Miss
}

// CheckJSON says for programs whether a study is sound.
func CheckJSON(w io.Writer, r *study.Result) error {
	doubts, defaults := findings(r)
	out := checkJSON{Study: r.Study.Name, Sound: len(doubts) == 0, BriefMet: r.BriefMet, Doubts: doubts, Defaults: defaults}
	for _, o := range r.Candidates {
		for _, m := range o.Misses {
			out.Misses = append(out.Misses, missJSON{o.Candidate.Name, m})
		}
	}
	return writeJSON(w, out)
}
