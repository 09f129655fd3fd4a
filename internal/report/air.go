package report

import (
	"strings"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// ports say for each candidate with a port of known size what its air does.
func (p *printer) ports(r *study.Result) {
	first := true
	for _, o := range r.Candidates {
		for _, s := range portWords(r, o) {
			if first {
				p.line("")
				p.line("%s", p.strong("The air in the ports"))
				first = false
			}
			lead, hang := p.lead(r, o)
			p.wrapped(lead, hang, s)
		}
	}
}

// portWords tell the air in each port of a candidate: its speed and loss, where
// the pipe's own resonance lies, and the least port that would do.
func portWords(r *study.Result, o *study.Outcome) []string {
	var out []string
	for i := range o.Air {
		a := &o.Air[i]
		s := a.Words(r.Study)
		if len(o.Air) > 1 {
			s = a.Name + ": " + s
		}
		parts := []string{s, "the pipe’s own first resonance is at " + phys.Show(a.PipeMode, phys.Frequency, r.Study.Units)}
		for k := range a.Least {
			parts = append(parts, "least port "+a.Least[k].Words(r.Study))
		}
		out = append(out, strings.Join(parts, ". ")+".")
	}
	for i := range out {
		out[i] = sentences(out[i])
	}
	return out
}

// sentences begins every sentence with a capital.
func sentences(s string) string {
	parts := strings.Split(s, ". ")
	for i := 1; i < len(parts); i++ {
		parts[i] = capital(parts[i])
	}
	return strings.Join(parts, ". ")
}

// airJSON is what the air in one port does.
type airJSON struct {
	Name     string      `json:"port"`
	Fed      string      `json:"fed"` // "amplifier" or "drive"
	Fastest  phys.Maybe  `json:"fastest_peak_m_s"`
	At       phys.Maybe  `json:"fastest_at_hz"`
	Share    phys.Maybe  `json:"share_of_limit"`
	ShareAt  phys.Maybe  `json:"share_at_hz"`
	Limit    phys.Maybe  `json:"limit_peak_m_s"`
	Stated   bool        `json:"limit_is_stated"`
	Source   string      `json:"limit_source"`
	Onset    phys.Maybe  `json:"vortices_from_peak_m_s"`
	Loss     phys.Maybe  `json:"loss_db"`
	LossAt   phys.Maybe  `json:"loss_at_hz"`
	PipeMode float64     `json:"pipe_resonance_hz"`
	Least    []leastJSON `json:"least_ports"`
}

type leastJSON struct {
	For     string     `json:"for"`
	At      float64    `json:"at_hz"`
	Area    phys.Maybe `json:"area_m2"`
	Length  phys.Maybe `json:"length_m"`
	Taken   phys.Maybe `json:"volume_m3"`
	Mode    phys.Maybe `json:"pipe_resonance_hz"`
	Enough  bool       `json:"present_port_is_enough"`
	Fits    bool       `json:"fits"`
	Judged  bool       `json:"held_against_a_space"`
	Why     string     `json:"why_not,omitempty"`
	Instead []string   `json:"instead,omitempty"`
}

func airOf(o *study.Outcome) []airJSON {
	var out []airJSON
	for i := range o.Air {
		a := &o.Air[i]
		j := airJSON{Name: a.Name, Fed: "drive", Fastest: a.Fastest.Value, At: a.Fastest.At, Share: a.Share.Value, ShareAt: a.Share.At, Limit: a.Limit,
			Stated: a.Stated, Source: a.Source, Onset: a.Onset, Loss: a.Loss.Value, LossAt: a.Loss.At, PipeMode: a.PipeMode}
		if a.Full {
			j.Fed = "amplifier"
		}
		for k := range a.Least {
			l := &a.Least[k]
			m := leastJSON{For: l.For, At: l.At, Area: phys.None(), Length: phys.None(), Taken: phys.None(), Mode: phys.None(), Enough: l.Enough, Fits: l.Fits || l.Enough, Judged: !l.Anywhere, Why: l.Why, Instead: l.Instead}
			if l.Area > 0 {
				m.Area, m.Length, m.Taken, m.Mode = phys.Maybe(l.Area), phys.Maybe(l.Port.Length), phys.Maybe(l.Taken), phys.Maybe(l.PipeMode)
			}
			j.Least = append(j.Least, m)
		}
		out = append(out, j)
	}
	return out
}
