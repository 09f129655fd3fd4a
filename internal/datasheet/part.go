package datasheet

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"basswright/internal/phys"
)

// line reads one printed line: what it names, and the amounts that stand by
// it. What they mean is settled when the whole sheet is known.
func (s *sheet) line(number int, raw string) []*part {
	text := clean(raw)
	printed := Line{Number: number, Text: strings.TrimSpace(strings.Map(visible, raw))}
	if len(text) > mostLetter || len(figuresOf(text, nil)) > mostFigures || len(labels(wordsOf(text))) > mostNames {
		p := &part{line: printed}
		p.line.Text = shortened(p.line.Text)
		p.ignore("it is a text, not a value")
		return []*part{p}
	}
	var out []*part
	for _, piece := range pieces(text) {
		p := &part{line: printed, text: piece}
		p.read()
		out = append(out, p)
	}
	return out
}

// visible drops what cannot be shown; a tab stays a space.
func visible(r rune) rune {
	switch {
	case unicode.IsSpace(r):
		return ' '
	case unicode.IsGraphic(r):
		return r
	}
	return -1
}

func shortened(text string) string {
	for i := range text {
		if i >= mostLetter/2 {
			return text[:i] + "…"
		}
	}
	return text
}

// pieces cuts a line that says several things, "Qms 4.9  Qes 0.49", where a
// symbol with a value of its own follows a value.
func pieces(text string) []string {
	words := wordsOf(text)
	names := labels(words)
	var out []string
	start, at := 0, 0
	for i := 1; i < len(names); i++ {
		l := names[i]
		from, to := words[l.i].from, len(text)
		if i+1 < len(names) {
			to = words[names[i+1].i].from
		}
		if l.symbol && names[at].entry != l.entry && valued(words, names[at], text[start:from], start) && valued(words, l, text[from:to], from) {
			out = append(out, text[start:from])
			start, at = from, i
		}
	}
	return append(out, text[start:])
}

// valued tells whether a text that begins at from holds a value of a name: an
// amount of its kind, or right behind a symbol something with digits that has
// no other unit. Digits that cannot be read count too, or the name would take
// the number of the next.
func valued(words []word, l label, text string, from int) bool {
	if len(l.entry.amounts(text)) > 0 {
		return true
	}
	if !l.symbol {
		return false
	}
	behind := strings.TrimLeft(text[words[l.i+l.n-1].to-from:], " :=")
	token, _, _ := strings.Cut(behind, " ")
	found := amountsIn(behind, l.entry.kind)
	return strings.ContainsAny(token, "0123456789") && (len(found) == 0 || found[0].bare)
}

// amounts are the amounts in a text that can be of the entry.
func (e *entry) amounts(text string) []amount {
	var out []amount
	for _, a := range amountsIn(text, e.kind) {
		if a.fits || a.bare && e.kind == phys.Number || e.key == "" {
			out = append(out, a)
		}
	}
	return out
}

// read finds what the part names and its amounts.
func (p *part) read() {
	words := wordsOf(p.text)
	for _, w := range words {
		p.words = append(p.words, w.text)
	}
	name, ok := p.label(words)
	if !ok {
		p.ignore("it names no parameter of a driver")
		return
	}
	p.entry = name.entry
	left, other := p.leftover(words, name)
	switch {
	case other != "":
		p.ignore("“" + other + "” is not of the driver itself")
		return
	case p.entry.key == "":
		p.ignore(p.entry.why)
		return
	case left > 6 || left > 3 && !name.symbol:
		p.ignore("it is a text, not a value")
		return
	}
	p.exact = name.symbol || left == 0
	p.line.Key = p.entry.key
	p.found = amountsIn(p.text, p.entry.kind)
	p.times()
}

// label is the name that says what the part is: one whose kind its amounts
// have before others, a symbol before words, more words before fewer; names
// in front of the first number before those behind it.
func (p *part) label(words []word) (label, bool) {
	names := labels(words)
	first := len(p.text)
	if f := figuresOf(p.text, nil); len(f) > 0 {
		first = f[0].from
	}
	best, most := label{}, -1
	for _, l := range names {
		score := l.n
		if l.symbol {
			score += 20
		}
		if len(l.entry.amounts(p.text)) > 0 {
			score += 100
		}
		if words[l.i].from < first {
			score += 1000
		}
		if score > most {
			best, most = l, score
		}
	}
	return best, most >= 0
}

// leftover counts the words that are neither of the name nor fillers nor
// units, and finds one that speaks of something else than the driver.
func (p *part) leftover(words []word, name label) (left int, other string) {
	covered := map[int]bool{}
	for _, l := range labels(words) {
		for i := l.i; l.entry == name.entry && i < l.i+l.n; i++ {
			covered[i] = true
		}
	}
	units := unitSpans(p.text, name.entry.kind)
	for i, w := range words {
		switch {
		case covered[i] || has(fillers, w.text) || inside(units, w.from) > 0 || len(w.text) == 1:
		case anyUnit(p.text[w.from:w.to]) || name.entry.kind == phys.Price && isCurrency(p.text[w.from:w.to]):
		case has(foreign, w.text):
			return 0, w.text
		default:
			left++
		}
	}
	return left, ""
}

func isCurrency(w string) bool {
	_, err := phys.Parse("1 "+w, phys.Price)
	return err == nil
}

func has(list []string, w string) bool { return slices.Contains(list, w) }

// An amount is a number of a part with its unit.
type amount struct {
	figure
	unit   string // as printed; "" if none was
	fits   bool   // the unit is one of the kind that is wanted
	bare   bool   // it has no unit
	folded bool   // the unit was found by reading capitals as small letters
	kind   phys.Kind
	count  int    // of "2 x 3.3 ohm"; else 1
	plain  bool   // text has a decimal point by now and no other marks
	behind string // what follows up to the next number
}

// amountsIn are the amounts of a text, those of other kinds among them: they
// are conditions, such as "at 1 kHz".
func amountsIn(text string, k phys.Kind) []amount {
	units := unitSpans(text, k)
	figures := figuresOf(text, units)
	var out []amount
	for i, f := range figures {
		end := len(text)
		if i+1 < len(figures) {
			end = figures[i+1].from
		}
		a := amount{figure: f, kind: k, count: 1, behind: text[f.to:end]}
		a.readUnit(text, k)
		if i > 0 && f.plus && len(out) > 0 && strings.Trim(text[figures[i-1].to:f.from], " ±+/-") == "" {
			if last := &out[len(out)-1]; last.bare && a.fits { // "30.5 ± 3 Hz": a tolerance
				last.unit, last.fits, last.bare, last.folded, last.behind = a.unit, true, false, a.folded, a.behind
			}
			continue
		}
		out = append(out, a)
	}
	for i := len(out) - 2; i >= 0; i-- { // "350/700 W": both are watts
		a, b := &out[i], out[i+1]
		if a.bare && b.fits && strings.TrimSpace(a.behind) == "/" {
			a.unit, a.fits, a.bare, a.folded = b.unit, true, false, b.folded
		}
	}
	if k != phys.Number && len(units) == 0 {
		units = unitWords(text, k)
	}
	if len(units) == 1 {
		for i := range out {
			if out[i].bare {
				out[i].unit = strings.TrimSpace(text[units[0][0]:units[0][1]])
				out[i].unit = strings.TrimSpace(strings.Trim(out[i].unit, "()[]{}<>"))
				_, folded := unitOf(out[i].unit, k)
				out[i].fits, out[i].bare, out[i].folded = true, false, folded
			}
		}
	}
	return out
}

// readUnit finds the unit behind an amount: the longest text that is one.
func (a *amount) readUnit(text string, k phys.Kind) {
	if k == phys.Price {
		a.price(text)
		return
	}
	rest := strings.TrimLeft(a.behind, " ")
	if end := strings.IndexAny(rest, "()[]{}"); end >= 0 {
		rest = rest[:end]
	}
	if rest == "" {
		a.bare = true
		return
	}
	if unit, folded, ok := longestUnit(rest, k); ok {
		a.unit, a.folded, a.fits = unit, folded, true
		return
	}
	for other := phys.Frequency; other <= phys.Weight; other++ {
		if other == phys.Price {
			continue
		}
		word, _, _ := strings.Cut(rest, " ")
		if unit := strings.TrimRight(word, ".,:/-*"); other.Has(unit) {
			a.unit, a.kind = unit, other
			return
		}
		if head, _, ok := strings.Cut(word, "/"); ok && other.Has(head) { // "1 W/1 m"
			a.unit, a.kind = head, other
			return
		}
	}
	a.bare = true
}

// longestUnit is the longest text at the front of rest that is a unit of a kind.
func longestUnit(rest string, k phys.Kind) (unit string, folded, ok bool) {
	rest = strings.TrimLeft(rest, " ")
	for end := min(len(rest), 16); end > 0; end-- {
		if end < len(rest) && (!utf8.RuneStart(rest[end]) || !bounded(rest, end)) {
			continue
		}
		unit := strings.TrimRight(rest[:end], " .,:/-*")
		if unit == "" {
			return "", false, false
		}
		if ok, folded := unitOf(unit, k); ok {
			return unit, folded, true
		}
	}
	return "", false, false
}

// bounded tells whether a word ends at i.
func bounded(s string, i int) bool {
	a, _ := utf8.DecodeLastRuneInString(s[:i])
	b, _ := utf8.DecodeRuneInString(s[i:])
	part := func(r rune) bool {
		return unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsNumber(r) || r == '^' || r == '⁻'
	}
	return !part(a) || !part(b)
}

// unitOf tells whether a text is a unit of a kind; folded, if only where
// capitals do not count: sheets shout "HZ" and "MM".
func unitOf(text string, k phys.Kind) (ok, folded bool) {
	if k == phys.Number || k == phys.Price || text == "" {
		return false, false
	}
	if strings.HasPrefix(text, "10") { // "10^-6 m/N"
		_, err := phys.Parse("1 "+text, k)
		return err == nil, false
	}
	if k.Has(text) {
		return true, false
	}
	_, ok = fold(text, k)
	return ok, ok
}

// fold is the unit that a text is if capitals do not count.
func fold(text string, k phys.Kind) (string, bool) {
	for _, u := range k.Units() {
		if strings.EqualFold(u, text) || strings.EqualFold(strings.ReplaceAll(u, " ", ""), text) {
			return u, true
		}
	}
	low := strings.ToLower(text)
	return low, k.Has(low)
}

// anyUnit tells whether a word is a unit of some kind.
func anyUnit(w string) bool {
	for k := phys.Frequency; k <= phys.Weight; k++ {
		if ok, _ := unitOf(w, k); ok && k != phys.Price {
			return true
		}
	}
	return false
}

// unitSpans are the brackets that hold nothing but a unit of a kind: "Fs [Hz]".
func unitSpans(text string, k phys.Kind) [][2]int {
	var out [][2]int
	for i := 0; i < len(text); i++ {
		open := strings.IndexByte("([{", text[i])
		if open < 0 {
			continue
		}
		n := strings.IndexByte(text[i:], ")]}"[open])
		if n < 0 {
			continue
		}
		inner := strings.TrimSpace(text[i+1 : i+n])
		if ok, _ := unitOf(inner, k); ok && len(inner) < 24 {
			out = append(out, [2]int{i, i + n + 1})
		}
	}
	return out
}

// unitWords is the last word in front of the first number that is a unit:
// "Depth in mm: 132".
func unitWords(text string, k phys.Kind) [][2]int {
	figures := figuresOf(text, nil)
	if len(figures) == 0 {
		return nil
	}
	front := text[:figures[0].from]
	fields := strings.Fields(strings.TrimRight(front, " :-±"))
	if len(fields) < 2 {
		return nil
	}
	unit := fields[len(fields)-1]
	if ok, _ := unitOf(unit, k); !ok || unit == "in" || unit == "R" {
		return nil
	}
	at := strings.LastIndex(front, unit)
	return [][2]int{{at, at + len(unit)}}
}

// price finds the currency at either side of an amount.
func (a *amount) price(text string) {
	front := strings.TrimRight(text[:a.from], " ")
	if i := strings.LastIndexAny(front, " :"); i >= 0 {
		front = front[i+1:]
	}
	behind, _, _ := strings.Cut(strings.TrimLeft(a.behind, " -,"), " ")
	for _, c := range []string{front, strings.TrimRight(behind, ".,;)")} {
		if q, err := phys.Parse("1 "+c, phys.Price); err == nil {
			a.unit, a.fits = q.Currency(), true
			return
		}
	}
	a.bare = true
}

// times takes "2 x" and "4 + 4" together with the amount that they count.
func (p *part) times() {
	var out []amount
	count := 1
	for i, a := range p.found {
		between := strings.ToLower(strings.TrimSpace(a.behind))
		if a.bare && i+1 < len(p.found) && len(a.text) == 1 && a.power == "" && (between == "x" || between == "×" || between == "*") {
			count = int(a.text[0] - '0')
			continue
		}
		if n := len(out); n > 0 && out[n-1].text == a.text && strings.HasSuffix(strings.TrimSpace(p.text[:a.from]), "+") {
			out[n-1].count++
			if out[n-1].bare {
				a.count = out[n-1].count
				out[n-1] = a
			}
			continue
		}
		a.count = max(count, 1)
		count = 1
		out = append(out, a)
	}
	p.found = out
}
