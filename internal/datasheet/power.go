package datasheet

import "strings"

const (
	continuous = "continuous"
	short      = "music or peak"
)

// What sheets call a power. The plain words hold only where no clear one says
// otherwise: "Pe 700 W peak" is a peak.
var (
	clearlyLong  = strings.Fields("rms aes iec continuous cont sine long thermal")
	clearlyShort = strings.Fields("peak pk music program programme prog pgm short burst momentary instantaneous dynamic")
	plainlyLong  = strings.Fields("nominal nom rated pe pn pnom")
	plainlyShort = strings.Fields("max maximum pmax")
)

// powerWord is the sort of power that words speak of, "" if they do not or
// speak of both.
func powerWord(words []string) string {
	for _, by := range [][2][]string{{clearlyLong, clearlyShort}, {plainlyLong, plainlyShort}} {
		var long, brief bool
		for _, w := range words {
			long = long || has(by[0], w)
			brief = brief || has(by[1], w)
		}
		switch {
		case long && brief:
			return ""
		case long:
			return continuous
		case brief:
			return short
		}
	}
	return ""
}

// powerBy is the sort of power of one of several amounts, by the words that
// stand at it: "350 W rms / 700 W peak", "peak 700 W, rms 350 W". Words that
// stand between two amounts without a mark are of both.
func (p *part) powerBy(a amount) []string {
	const marks = ",/+" // and two spaces: other marks are spaces by now
	front, behind := p.text[:a.from], a.behind
	for _, o := range p.found {
		if o.to <= a.from {
			front = p.text[o.to:a.from]
			if i := max(strings.LastIndexAny(front, marks), strings.LastIndex(front, "  ")); i >= 0 {
				front = front[i+1:]
			} else if j := strings.IndexByte(front, ')'); j >= 0 { // "350 W (rms) 700 W"
				front = front[j+1:]
			}
		}
	}
	behind, _, _ = strings.Cut(strings.TrimLeft(behind, " "), "  ")
	if i := strings.IndexAny(behind, marks); i >= 0 {
		behind = behind[:i]
	} else if j := strings.IndexByte(behind, ')'); j >= 0 && strings.Contains(behind[:j], "(") {
		behind = behind[:j]
	}
	return append(words(front), words(behind)...)
}

// power takes a power that is borne for long; which sort it is, is asked where
// the words do not say it.
func (s *sheet) power(p *part) {
	sort := powerWord(p.words)
	if sort == "" {
		answer, ok := s.ask(p, "Is "+p.line.Value+" borne for long, or for moments of music?", continuous, short)
		if !ok {
			return
		}
		sort = answer
	}
	if sort == short {
		p.ignore("it is a power for moments; rated_power is what the coils bear for long")
		return
	}
	p.how(continuous)
	if n := p.chosen.count; n > 1 {
		p.ignore("it is the power of each of " + number(n) + " coils; rated_power is of all together")
	}
}
