package datasheet

import (
	"fmt"
	"slices"
	"strings"

	"basswright/internal/phys"
)

// value is an amount as it will stand in the study.
type value struct {
	text     string
	si, step float64
}

// decideDecimals finds how the sheet writes its decimals: by the numbers that
// can be read in one way only. "1,100" in a sheet with "30,5" is 1.1.
func (s *sheet) decideDecimals() {
	commas, points := 0, 0
	for _, p := range s.parts {
		for _, a := range p.found {
			switch sure(a.text) {
			case ',':
				commas++
			case '.':
				points++
			}
		}
	}
	switch {
	case commas > 0 && points > 0:
		s.mixed = true
		s.numbers = fmt.Sprintf("the sheet mixes decimal commas (%d) and decimal points (%d); each number is read by itself", commas, points)
	case commas > 0:
		s.decimal, s.numbers = ',', "decimal comma: "+times(commas, "number is", "numbers are")+" written so"
	case points > 0:
		s.decimal, s.numbers = '.', "decimal point: "+times(points, "number is", "numbers are")+" written so"
	}
}

func times(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprint(n, " ", many)
}

// sure is the decimal mark of a number that can be read in one way only, 0 of
// one without or with a mark that may part thousands.
func sure(text string) byte {
	points, commas := strings.Count(text, "."), strings.Count(text, ",")
	last := strings.LastIndexAny(text, ".,")
	switch {
	case last < 0:
		return 0
	case points > 0 && commas > 0:
		if strings.Count(text, text[last:last+1]) == 1 {
			return text[last]
		}
		return 0
	case points+commas > 1: // 1,234,567: the other mark is the decimal one
		return ',' + '.' - text[last]
	case threes(text, last):
		return 0
	}
	return text[last]
}

// threes tells whether the one mark at i may part thousands: three digits
// behind, one to three in front, the first of them not 0.
func threes(text string, i int) bool {
	head := strings.TrimLeft(text[:i], "-")
	return len(text)-i == 4 && len(head) >= 1 && len(head) <= 3 && head[0] != '0'
}

// plain is a number with a decimal point and without marks between thousands;
// other is the second way to read it, if there is one.
func (s *sheet) plain(text string) (plain, other string) {
	text = strings.ReplaceAll(text, "'", "")
	mark := sure(text)
	last := strings.LastIndexAny(text, ".,")
	dropped := strings.NewReplacer(".", "", ",", "").Replace(text)
	switch {
	case last < 0:
		return text, ""
	case mark == text[last]:
		return strings.NewReplacer(".", "", ",", "").Replace(text[:last]) + "." + text[last+1:], ""
	case mark != 0 || strings.Count(text, text[last:last+1]) > 1:
		return dropped, ""
	}
	decimal := text[:last] + "." + text[last+1:]
	switch {
	case s.decimal == text[last] || s.decimal == 0 && !s.mixed && text[last] == '.':
		return decimal, ""
	case s.decimal != 0:
		return dropped, ""
	}
	return decimal, dropped
}

// settle finds the value of a part, or the question that is left.
func (s *sheet) settle(p *part) {
	if p.entry == nil || p.line.Ignored != "" || p.entry.key == "coils" {
		return
	}
	fit := s.fitting(p)
	if len(fit) == 0 {
		p.ignore(p.missing())
		return
	}
	if p.ranges(fit) {
		p.ignore("it is a range, not one value")
		return
	}
	if !p.exact {
		const no = "pass it over"
		if answer, ok := s.ask(p, "Is this "+p.entry.key+"?", "it is "+p.entry.key, no); !ok || answer == no {
			p.settled(ok, "it is not "+p.entry.key)
			return
		}
	}
	if !s.choose(p, fit) || !s.number(p) || !p.inRange() {
		return
	}
	p.meaning(s)
}

func (p *part) settled(ok bool, why string) {
	if ok {
		p.ignore(why)
	}
}

// missing says why a part has no value.
func (p *part) missing() string {
	if len(p.found) > 0 {
		return fmt.Sprintf("none of its numbers is %s such as %s", article(p.entry.kind.String()), p.entry.kind.Example())
	}
	return "there is no number"
}

func article(noun string) string {
	if strings.ContainsRune("aeiou", rune(noun[0])) {
		return "an " + noun
	}
	return "a " + noun
}

// fitting are the amounts of the part's own kind; those without a unit only
// where none has one.
func (s *sheet) fitting(p *part) []amount {
	var fit, bare []amount
	for _, a := range p.found {
		switch {
		case a.fits:
			fit = append(fit, a)
		case a.bare:
			bare = append(bare, a)
		}
	}
	if len(fit) > 0 {
		return fit
	}
	return bare
}

// ranges tells whether two numbers are the ends of a range: "20 - 30 Hz".
func (p *part) ranges(fit []amount) bool {
	for i := 1; i < len(p.found); i++ {
		a, b := p.found[i-1], p.found[i]
		between := strings.TrimSpace(p.text[min(a.to, b.from):b.from])
		if a.bare || a.kind == b.kind {
			if between == "-" || between == "to" || between == "~" || strings.HasPrefix(b.text, "-") && between == "" {
				return true
			}
		}
	}
	return len(fit) > 4
}

// choose takes one of the amounts: the finest of those that agree.
func (s *sheet) choose(p *part, fit []amount) bool {
	if len(fit) == 1 {
		p.chosen = fit[0]
		return true
	}
	if p.entry.key == "rated_power" {
		for _, a := range fit {
			list := strings.TrimSpace(a.behind) == "/" // "AES 350/700 W": what is said in front may be of either
			if at := p.powerBy(a); !list && powerWord(at) == continuous {
				p.chosen, p.words = a, at
				p.how("the continuous one of several")
				return true
			}
		}
	}
	if a, ok := s.sum(p, fit); ok {
		p.chosen = a
		return true
	}
	read := make([]value, len(fit))
	for i, a := range fit {
		v, _, ok := s.valueOf(a, p.entry.kind)
		if !ok { // it will be asked for by itself
			v = value{text: strings.TrimSpace(a.raw + " " + a.unit)}
		}
		read[i] = v
	}
	best, agree := 0, true
	for i, v := range read {
		if v.step < read[best].step {
			best = i
		}
		agree = agree && v.si != 0 && alike(v, read[0])
	}
	if p.entry.key == "xmax" && len(fit) == 2 && p.has("peak to peak", "p p", "pp", "pk pk") && alike(value{si: 2 * read[0].si, step: 2 * read[0].step}, read[1]) {
		p.chosen = fit[0]
		p.chosen.plus = true
		p.how("beside it stands the same peak to peak")
		return true
	}
	if agree {
		p.chosen = fit[best]
		p.how("another unit beside it says the same")
		return true
	}
	var texts []string
	for _, v := range read {
		if !slices.Contains(texts, v.text) {
			texts = append(texts, v.text)
		}
	}
	answer, ok := s.ask(p, "Which of the values?", texts...)
	if !ok {
		return false
	}
	for i, v := range read {
		if v.text == answer {
			p.chosen = fit[i]
		}
	}
	if at := p.powerBy(p.chosen); p.entry.key == "rated_power" && powerWord(at) != "" {
		p.words = at
	}
	return true
}

// alike tells whether the printed digits allow two values to be the same.
func alike(a, b value) bool {
	d := a.si - b.si
	return max(d, -d) <= (a.step+b.step)/2*(1+1e-9)
}

// number reads the chosen amount's number and unit.
func (s *sheet) number(p *part) bool {
	a := &p.chosen
	if plain, other := s.plain(a.text); other != "" {
		answer, ok := s.ask(p, "Is “"+a.raw+"” "+plain+" or "+other+"?", plain, other)
		if !ok {
			return false
		}
		a.text = answer
	} else {
		if i := strings.LastIndexAny(a.text, ".,"); i >= 0 && a.text[i] == ',' && strings.Contains(plain, ".") {
			p.how("decimal comma")
		} else if strings.Count(a.text, "'")+strings.Count(a.text, ",")+strings.Count(a.text, ".") > strings.Count(plain, ".") {
			p.how("thousands marked")
		}
		a.text = plain
	}
	a.plain = true
	if a.bare && p.entry.kind != phys.Number && !s.unit(p) {
		return false
	}
	if a.folded {
		p.how("“" + a.unit + "” read as " + usual(a.unit, p.entry.kind))
	}
	v, why, ok := s.valueOf(*a, p.entry.kind)
	if !ok {
		p.ignore(why)
		return false
	}
	p.value = v
	p.line.Value = v.text
	return true
}

// unit finds the unit of a number that is printed without: the one that fits
// the range, or the one that is answered.
func (s *sheet) unit(p *part) bool {
	var texts []string
	a := &p.chosen
	units := p.entry.kind.Units()
	for _, u := range units {
		b := *a
		b.unit, b.bare = u, false
		if v, _, ok := s.valueOf(b, p.entry.kind); ok && p.entry.holds(v.si) {
			texts = append(texts, u)
		}
	}
	if len(texts) == 0 {
		p.ignore("there is no unit, and none makes it a value that a driver has")
		return false
	}
	a.unit = texts[0]
	if len(texts) > 1 {
		answer, ok := s.ask(p, "In which unit is "+a.text+"?", texts...)
		if !ok {
			return false
		}
		a.unit = answer
		p.how("unit as answered")
		return true
	}
	p.how("no unit; " + a.unit + " is the only one that fits")
	return true
}

// valueOf is an amount as the study will have it: its digits with a decimal
// point, and the usual spelling of its unit.
func (s *sheet) valueOf(a amount, k phys.Kind) (v value, why string, ok bool) {
	number, other := a.text, ""
	if !a.plain {
		number, other = s.plain(a.text)
	}
	if other != "" {
		return value{}, "its number can be read in two ways", false
	}
	sign, digits := "", number
	if after, ok := strings.CutPrefix(number, "-"); ok {
		sign, digits = "-", after
	}
	for len(digits) > 1 && digits[0] == '0' && isDigit(digits[1]) {
		digits = digits[1:]
	}
	if strings.HasPrefix(digits, ".") {
		digits = "0" + digits
	}
	unit, power := a.unit, a.power
	if power == "" && strings.HasPrefix(unit, "10") {
		power, unit = factored(unit)
	}
	if unit != "" {
		unit = " " + usual(unit, k)
	}
	v.text = sign + digits + power + unit
	q, err := phys.Parse(v.text, k)
	if err != nil {
		return value{}, err.Error(), false
	}
	v.si, v.step = q.SI, q.Step
	return v, "", true
}

// factored takes a power of ten off the front of a unit: "10^-6 m/N".
func factored(unit string) (power, rest string) {
	power, to := powerAt(" "+unit, 0)
	if power == "" {
		return "", unit
	}
	return power, strings.TrimSpace((" " + unit)[to:])
}

// usual is the spelling of a unit that studies use.
func usual(unit string, k phys.Kind) string {
	if k == phys.Price || unit == "" {
		return unit
	}
	if !k.Has(unit) {
		unit, _ = fold(unit, k)
	}
	is, err := phys.Parse("1 "+unit, k)
	if err != nil {
		return unit
	}
	for _, u := range append(k.Units(), "ft", "ft2", "m2", "mm", "lb", "oz", "in3", "cm3", "mm2", "g", "kg", "dm2", "m3") {
		if q, err := phys.Parse("1 "+u, k); err == nil && q.SI == is.SI {
			return u
		}
	}
	return unit
}

// holds tells whether a value is in the range of the study's key.
func (e *entry) holds(si float64) bool {
	return si >= e.min && si <= e.max && (si > e.min || !e.above)
}

func (p *part) inRange() bool {
	if p.entry.holds(p.value.si) {
		return true
	}
	if p.entry.key == "xmax" && p.value.si <= 2*p.entry.max && p.value.si > 0 {
		return true // both ways together
	}
	if p.entry.key == "xmech" && p.value.si <= 2*p.entry.max && p.value.si > 0 {
		return true
	}
	text := p.line.Value
	least := phys.Show(p.entry.min, p.entry.kind, phys.Metric)
	if p.entry.above {
		least = "more than " + phys.Brief(p.entry.min, p.entry.kind, phys.Metric)
	}
	why := text + " is out of the range that a study takes, " + least + " to " + phys.Brief(p.entry.max, p.entry.kind, phys.Metric)
	if p.entry.kind != phys.Number {
		why += "; look at its unit"
	}
	p.ignore(why)
	return false
}

func words(text string) []string {
	var out []string
	for _, w := range wordsOf(text) {
		out = append(out, w.text)
	}
	return out
}
