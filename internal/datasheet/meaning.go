package datasheet

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"basswright/internal/phys"
)

// meaning settles what only the parameter itself knows: which way an excursion
// is meant, which power, at what level, of which coils.
func (p *part) meaning(s *sheet) {
	switch p.entry.key {
	case "xmax", "xmech":
		s.excursion(p)
	case "rated_power":
		s.power(p)
	case "sensitivity":
		s.sensitivity(p)
	case "re", "bl", "le", "qes":
		s.ofCoils(p)
	case "rated_impedance":
		if p.chosen.count > 1 {
			p.how(fmt.Sprintf("each of %s coils", number(p.chosen.count)))
		}
	}
	if c := p.condition(); c != "" && (p.entry.key == "le" || p.entry.key == "rated_impedance") {
		p.how("at " + c)
	}
}

// condition is the first amount of another kind: "1 kHz".
func (p *part) condition() string {
	for _, a := range p.found {
		if !a.fits && !a.bare {
			return strings.TrimSpace(a.raw + " " + a.unit)
		}
	}
	return ""
}

const (
	oneWay     = "one way"
	peakToPeak = "peak to peak"
)

// excursion tells one way from both together.
func (s *sheet) excursion(p *part) {
	var way string
	both := p.has("peak to peak", "pk pk", "p p", "pp", "pk to pk", "p to p", "total", "ptp", "both ways", "both directions")
	single := p.has("one way", "single way", "zero to peak", "0 to peak", "each way", "each direction", "per direction", "single direction", "one direction",
		"oneway", "each side", "either side", "either way", "either direction") || p.chosen.plus
	switch {
	case single && !p.has("peak to peak", "p p"):
		way = oneWay
	case both && !single:
		way = peakToPeak
	case s.geometry() != nil && p.entry.key == "xmax":
		g := s.geometry()
		for _, c := range []struct {
			factor float64
			way    string
		}{{1, oneWay}, {2, peakToPeak}} {
			if alike(value{si: c.factor * g.si, step: c.factor * g.step}, p.value) {
				way = c.way
				p.how("as the heights of coil and gap say")
			}
		}
	}
	if way == "" {
		answer, ok := s.ask(p, "Is "+p.line.Value+" one way from rest, or both ways together?", oneWay, peakToPeak)
		if !ok {
			return
		}
		way = answer
	}
	if way == oneWay {
		p.how(oneWay)
		p.inRangeOf(p.entry)
		return
	}
	if p.entry.key == "xmax" {
		p.line.Key = "xmax_peak_to_peak"
		p.how("peak to peak, the study halves it")
		p.inRangeOf(entryOf("xmax_peak_to_peak"))
		return
	}
	v, why, ok := half(s, p.chosen, p.entry.kind)
	if !ok {
		p.ignore(why)
		return
	}
	p.value, p.line.Value = v, v.text
	p.how("peak to peak, halved")
	p.inRangeOf(p.entry)
}

func (p *part) inRangeOf(e *entry) {
	if !e.holds(p.value.si) {
		p.ignore(p.line.Value + " is more than a driver has; look at its unit")
	}
}

// half is half an amount, to the digit.
func half(s *sheet, a amount, k phys.Kind) (value, string, bool) {
	v, err := strconv.ParseFloat(a.text, 64)
	if err != nil || len(a.text) > 12 { // up to there half of it is exact to the digit
		return value{}, "it is peak to peak, and half of it cannot be told; enter it one way", false
	}
	_, decimals, _ := strings.Cut(a.text, ".")
	a.text = strconv.FormatFloat(v/2, 'f', len(decimals)+1, 64)
	if t, ok := strings.CutSuffix(a.text, "0"); ok {
		a.text = strings.TrimSuffix(t, ".")
	}
	return s.valueOf(a, k)
}

// geometry is the linear range by the heights of coil and gap, if the sheet
// prints both.
func (s *sheet) geometry() *value {
	var found [2]*value
	for i, key := range []string{"winding_height", "gap_height"} {
		for _, p := range s.parts {
			if p.entry == nil || p.entry.key != key || p.line.Ignored != "" || p.line.Doubt != "" {
				continue
			}
			fit := s.fitting(p)
			if len(fit) != 1 {
				return nil
			}
			v, _, ok := s.valueOf(fit[0], phys.Length)
			if !ok || !fit[0].fits || found[i] != nil {
				return nil
			}
			found[i] = &v
		}
	}
	if found[0] == nil || found[1] == nil || found[0].si <= found[1].si {
		return nil
	}
	return &value{si: (found[0].si - found[1].si) / 2, step: (found[0].step + found[1].step) / 2}
}

// sensitivity finds what the level was measured at.
func (s *sheet) sensitivity(p *part) {
	at := ""
	if strings.Contains(strings.ToLower(strings.ReplaceAll(p.text, " ", "")), "db/w") {
		at = "1 W"
	}
	several := false
	for _, a := range p.found {
		if a.fits || a.bare {
			continue
		}
		v, _, ok := s.valueOf(amount{figure: a.figure, unit: a.unit}, a.kind)
		found := ""
		switch {
		case !ok:
		case a.kind == phys.Length && v.si != 1:
			p.ignore("a study takes the level at 1 m")
			return
		case a.kind == phys.Power && v.si == 1:
			found = "1 W"
		case a.kind == phys.Voltage && v.si >= 2.795 && v.si <= 2.835: // √8 V = 2.828 V, printed as 2.8, 2.82 or 2.83
			found = "2.83 V"
		case a.kind == phys.Power || a.kind == phys.Voltage:
			p.ignore("a study takes the level at 1 W or 2.83 V")
			return
		}
		if found != "" {
			several = several || at != "" && at != found
			at = found
		}
	}
	level := p.line.Value
	if at == "" || several {
		answer, ok := s.ask(p, "Is "+level+" at 1 W into re, or at 2.83 V?", "1 W", "2.83 V")
		if !ok {
			return
		}
		at = answer
	}
	p.line.Value = "{level: " + level + ", at: " + at + "}"
	p.how("at " + at + " and 1 m")
}

// countCoils finds how many voice coils the sheet says the driver has.
func (s *sheet) countCoils() {
	counts := map[int]bool{}
	for _, p := range s.parts {
		if p.entry == nil || p.line.Ignored != "" {
			continue
		}
		switch p.entry.key {
		case "coils":
			if n := p.coilCount(); n > 0 {
				counts[n] = true
			}
			continue
		case "re", "rated_impedance", "le", "bl":
			for _, a := range p.found {
				if a.count > 1 {
					counts[a.count] = true
				}
			}
			if p.has("dual", "double", "dvc", "both coils") {
				counts[2] = true
			}
		}
	}
	delete(counts, 1)
	for n := range counts {
		if len(counts) == 1 && n <= 8 {
			s.coils = n
		}
	}
}

// coilCount is the number that a line about the coils tells.
func (p *part) coilCount() int {
	for _, a := range p.found {
		if (a.bare || strings.HasPrefix(strings.TrimSpace(strings.ToLower(a.behind)), "x")) && len(a.text) == 1 && a.text[0] >= '1' && a.text[0] <= '8' {
			return int(a.text[0] - '0')
		}
		if a.count > 1 {
			return a.count
		}
	}
	for i, group := range [][]string{{"single", "one"}, {"dual", "double", "two", "dvc"}, {"three", "triple"}, {"four", "quad"}} {
		for _, w := range group {
			if p.has(w) {
				return i + 1
			}
		}
	}
	return 0
}

func number(n int) string {
	return []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight"}[min(max(n, 0), 8)]
}

// ofCoils finds what an electrical value of a driver with several coils
// refers to.
func (s *sheet) ofCoils(p *part) {
	if s.coils < 2 {
		if p.chosen.count > 1 {
			p.ignore("the sheet tells different numbers of voice coils")
		}
		return
	}
	switch {
	case p.chosen.count > 1 || p.has("per coil", "each coil", "each", "per voice coil", "one coil", "single coil"):
		p.bound = "each"
	case p.has("series"):
		p.bound = "series"
	case p.has("parallel"):
		p.bound = "parallel"
	}
	words := map[string]string{"each": "each of " + number(s.coils) + " coils", "series": "coils in series", "parallel": "coils in parallel"}
	if p.bound == "" && p.entry.key == "re" {
		order := s.likely(p)
		answer, ok := s.ask(p, "Is "+p.line.Value+" of each coil, or of all wired together?", words[order[0]], words[order[1]], words[order[2]])
		if !ok {
			return
		}
		for _, b := range order {
			if words[b] == answer {
				p.bound = b
			}
		}
	}
	if p.bound != "" {
		p.how(words[p.bound])
	}
}

// likely orders the ways to quote coils by the rated impedance of one, if it
// is told: a coil's resistance is somewhat below it. It orders questions alone.
func (s *sheet) likely(p *part) []string {
	for _, o := range s.parts {
		if o.entry == nil || o.entry.key != "rated_impedance" || o.line.Ignored != "" {
			continue
		}
		for _, a := range o.found {
			v, _, ok := s.valueOf(a, phys.Resistance)
			if !ok || !a.fits || a.count < 2 {
				continue
			}
			switch r := p.value.si / v.si; {
			case r > 1.1:
				return []string{"series", "each", "parallel"}
			case r < 0.55:
				return []string{"parallel", "each", "series"}
			}
		}
	}
	return []string{"each", "series", "parallel"}
}

// together settles what lines say of one another.
func (s *sheet) together() {
	for _, way := range []string{"each", "series", "parallel"} {
		if slices.ContainsFunc(s.parts, func(p *part) bool { return p.taken() && p.line.Key == "re" && p.bound == way }) && s.quoted == "" {
			s.quoted = way
		}
	}
	for _, p := range s.parts {
		if p.taken() && p.bound != "" && s.quoted != "" && p.bound != s.quoted {
			p.ignore("it is quoted another way than re")
		}
	}
	s.coilLines()
	for _, e := range entries {
		if e.key != "" && e.key != "xmax_peak_to_peak" {
			s.repeated(e.key)
		}
	}
	s.exclude("effective_diameter", "sd", "sd is printed too, which is what it stands in for")
	if c, f := s.first("cutout"), s.first("flange"); c != nil && f != nil && c.value.si >= f.value.si {
		c.ignore(c.line.Value + " is not inside the overall diameter, " + f.line.Value)
	}
}

// first is a taken part of a key.
func (s *sheet) first(key string) *part {
	i := slices.IndexFunc(s.parts, func(p *part) bool { return p.taken() && p.line.Key == key })
	if i < 0 {
		return nil
	}
	return s.parts[i]
}

func (s *sheet) exclude(key, by, why string) {
	if s.first(by) == nil {
		return
	}
	for p := s.first(key); p != nil; p = s.first(key) {
		p.ignore(why)
	}
}

// coilLines settles the lines that tell of the coils, once it is known what
// re refers to.
func (s *sheet) coilLines() {
	for _, p := range s.parts {
		if p.entry == nil || p.entry.key != "coils" || p.line.Ignored != "" {
			continue
		}
		switch n := p.coilCount(); {
		case n == 0:
			p.ignore("it does not tell how many")
		case n == 1 && s.coils == 0:
			p.ignore("one voice coil is what a study takes anyway")
		case n != s.coils:
			p.ignore("the sheet tells different numbers of voice coils")
		default:
			p.line.Value = s.coilText()
			p.how(number(n) + " coils")
			if s.quoted == "" {
				p.how("what re refers to is not known")
			}
		}
	}
}

func (s *sheet) coilText() string {
	if s.quoted == "" {
		return fmt.Sprintf("{count: %d}", s.coils)
	}
	return fmt.Sprintf("{count: %d, quoted: %s}", s.coils, s.quoted)
}

// compared is the value by which repeated lines are held against each other.
func (p *part) compared() value {
	v := p.value
	if p.line.Key == "xmax_peak_to_peak" {
		v.si, v.step = v.si/2, v.step/2
	}
	return v
}

// repeated settles a parameter that several lines give: the finest of those
// that agree is taken; where they do not, it is asked.
func (s *sheet) repeated(key string) {
	var same []*part
	for _, p := range s.parts {
		if p.taken() && p.entry.key == key {
			same = append(same, p)
		}
	}
	if len(same) < 2 {
		return
	}
	slices.SortStableFunc(same, func(a, b *part) int {
		return cmp.Or(cmp.Compare(a.line.Text, b.line.Text), cmp.Compare(a.line.Key, b.line.Key))
	})
	best, agree := same[0], true
	var texts []string
	for _, p := range same {
		agree = agree && alike(p.compared(), same[0].compared()) && (key != "sensitivity" || p.line.Value == same[0].line.Value)
		if v, b := p.compared(), best.compared(); v.step < b.step || v.step == b.step && p.line.Value < best.line.Value {
			best = p
		}
		if text := p.choice(); !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	slices.Sort(texts)
	if agree {
		for _, p := range same {
			if p != best {
				p.ignore(p.beside(best))
			}
		}
		return
	}
	answer, found := "", false
	for _, p := range same {
		if a, ok := s.ask(p, "Several lines give "+key+": which value holds?", texts...); ok && !found {
			answer, found = a, true
		}
	}
	if !found {
		return
	}
	best = nil
	for _, p := range same {
		if best == nil && p.choice() == answer {
			best = p
			p.line.Doubt, p.line.Choices = "", nil
			continue
		}
		p.ignore("another line was chosen")
	}
}

// beside says why a part is passed over for one that it agrees with: that it
// says the same only where it does.
func (p *part) beside(best *part) string {
	if p.entry.key == "coils" {
		if mine := p.ohms(); mine != "" && mine != best.ohms() {
			return "another line says how many coils there are; its " + mine + " is not taken"
		}
		return "another line says the same"
	}
	a, b := p.compared().si, best.compared().si
	if d := a - b; max(d, -d) <= 1e-9*max(a, b) {
		return "another line says the same"
	}
	return "another line gives it finer, " + best.choice()
}

// ohms is the impedance that a line about the coils tells beside their number.
func (p *part) ohms() string {
	for _, a := range amountsIn(p.text, phys.Resistance) {
		if a.fits {
			return strings.TrimSpace(a.raw + " " + usual(a.unit, phys.Resistance))
		}
	}
	return ""
}

// choice is a part's value as one of several: with its own way of excursion.
func (p *part) choice() string {
	if p.line.Key == "xmax_peak_to_peak" {
		return p.line.Value + " " + peakToPeak
	}
	return p.line.Value
}
