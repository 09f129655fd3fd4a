package phys

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A mend is what to write in place of a text that is no quantity.
type mend struct {
	words   string
	instead []string // texts that would do; none where nothing can be told from what was typed
}

// writing offers texts that would do.
func writing(instead ...string) mend { return mend{"write " + either(instead), instead} }

// like tells how a quantity of the kind is written when nothing of what was
// typed can be used.
func like(k Kind) mend {
	if k == Number {
		return mend{words: "write a plain number, such as " + k.Example()}
	}
	return mend{words: "write a number and its unit, such as " + k.Example()}
}

// mendNumber offers the numbers that may have been meant, with what followed.
func mendNumber(meant []string, rest string, k Kind) mend {
	if len(meant) == 0 {
		return like(k)
	}
	u, ok := k.find(canonical(rest))
	if !ok && k != Number {
		return like(k)
	}
	var out []string
	for _, n := range meant {
		out = append(out, strings.TrimSpace(n+" "+pretty(u.name)))
	}
	return writing(out...)
}

// doubtful are spellings that different people read differently.
var doubtful = []struct {
	kind      Kind
	name, why string
	meant     []string
}{
	{Mass, "gr", "may be grams or grains", []string{"g", "grain"}},
	{Length, "mil", "may be millimetres or thousandths of an inch", []string{"mm", "thou"}},
	{Volume, "gal", "may be gallons of two sizes", nil},
	{Volume, "gallon", "may be gallons of two sizes", nil},
	{Volume, "gallons", "may be gallons of two sizes", nil},
}

// mendUnit says what is wrong with a unit that is not one of the kind's.
func mendUnit(text string, n written, rest, c string, k Kind) *ParseError {
	_, second := cutSign(rest)
	switch {
	case c == "":
		return refuse(text, k, "has no unit", inUnits(n, k))
	case second != "" && isDigit(second[0]) || strings.ContainsAny(rest, "0123456789") && strings.Contains(rest, " ") && twoNumbers(rest):
		return refuse(text, k, "has two numbers", like(k))
	case k == Number:
		return refuse(text, k, "has a unit, but this is a pure number", writing(n.text))
	}
	for _, d := range doubtful {
		if d.kind != k || d.name != c {
			continue
		}
		m := inUnits(n, k)
		if d.meant != nil {
			m = writing(withEach(n.text, d.meant)...)
		}
		return refuse(text, k, d.why, m)
	}
	if other, ok := kindOf(c); ok && k == Compliance && other == Stiffness {
		return refuse(text, k, "is a stiffness, not a compliance, which is 1 over it", reciprocal(n, c))
	}
	if other, ok := kindOf(c); ok {
		return refuse(text, k, fmt.Sprintf("is %s, not %s", article(other), article(k)), inUnits(n, k))
	}
	why := fmt.Sprintf("has no unit of %s: %s is not one", k, quoted(rest))
	if near := nearest(c, k); len(near) > 0 {
		meant := withEach(n.text, near)
		return refuse(text, k, why, mend{"did you mean " + either(meant) + "?", meant})
	}
	return refuse(text, k, why, inUnits(n, k))
}

// reciprocal offers the compliance of a stiffness.
func reciprocal(n written, stiffness string) mend {
	u, _ := Stiffness.find(stiffness)
	if !(n.value > 0) {
		return like(Compliance)
	}
	return writing(short(1e3/(n.value*u.factor), false) + " mm/N")
}

// twoNumbers says whether a later word of what follows a number is a number.
func twoNumbers(rest string) bool {
	for _, word := range strings.Fields(rest)[1:] {
		if isDigit(word[0]) {
			return true
		}
	}
	return false
}

// inUnits is a number without a unit in the units that fit. The first takes
// the number as typed; the others say the same quantity.
func inUnits(n written, k Kind) mend {
	names := kindTable[k].fitting
	if len(names) == 0 {
		return like(k)
	}
	if k == Ratio {
		of := short(100*n.value, true)
		return mend{fmt.Sprintf("write %s %% or, for %s of the whole, %s %%", n.text, n.text, of), []string{n.text + " %", of + " %"}}
	}
	first, _ := k.find(canonical(names[0]))
	var out []string
	for i, name := range names {
		u, _ := k.find(canonical(name))
		number := n.text
		if i > 0 && (u.factor != first.factor || u.offset != first.offset) {
			tens := math.Log10(first.factor / u.factor)
			exact := u.offset == first.offset && math.Abs(tens-math.Round(tens)) < 1e-9
			number = short((n.value*first.factor+first.offset-u.offset)/u.factor, exact)
		}
		out = append(out, number+" "+name)
	}
	return writing(out...)
}

// short writes a number for a suggestion: to twelve digits if it only moved
// its decimal point, else with as few as stay within half a percent.
func short(v float64, exact bool) string {
	for sig := 2; sig < 12 && !exact; sig++ {
		text := strconv.FormatFloat(v, 'g', sig, 64)
		near, err := strconv.ParseFloat(text, 64)
		if err == nil && math.Abs(near-v) <= 0.005*math.Abs(v) {
			return plainly(near)
		}
	}
	near, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		near = v
	}
	return plainly(near)
}

func plainly(v float64) string {
	if a := math.Abs(v); v != 0 && (a >= 1e9 || a < 1e-6) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// nearest are the kind's units that differ from what was typed in the case of
// letters only, or else the one with the fewest letters wrong: one, or two in
// a long name.
func nearest(c string, k Kind) []string {
	var folded []string
	best, limit := "", 1
	if len([]rune(c)) > 4 {
		limit = 2
	}
	if rest, ok := strings.CutPrefix(c, "u"); ok {
		c = "µ" + rest
	}
	for _, u := range kindTable[k].units {
		if strings.EqualFold(strings.ReplaceAll(u.name, "·", ""), strings.ReplaceAll(c, "·", "")) {
			folded = append(folded, pretty(u.name))
			continue
		}
		if d := Edits(u.name, c); d <= limit && (len([]rune(c)) > 1 || len([]rune(u.name)) > 1) {
			if d < limit || best == "" {
				best, limit = u.name, d
			}
		}
	}
	switch {
	case len(folded) > 0:
		return folded[:min(len(folded), 2)]
	case best != "":
		return []string{pretty(best)}
	}
	return nil
}

// Edits counts the letters that are changed, added, left out or swapped
// with their neighbour between two words (Damerau 1964, adjacent swaps only).
func Edits(a, b string) int {
	x, y := []rune(a), []rune(b)
	var before, last []int
	now := make([]int, len(y)+1)
	for j := range now {
		now[j] = j
	}
	for i := range x {
		before, last, now = last, now, make([]int, len(y)+1)
		now[0] = i + 1
		for j := range y {
			cost := 1
			if x[i] == y[j] {
				cost = 0
			}
			now[j+1] = min(last[j]+cost, last[j+1]+1, now[j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				now[j+1] = min(now[j+1], before[j-1]+1)
			}
		}
	}
	return now[len(y)]
}

// withEach is a number with each unit.
func withEach(number string, units []string) []string {
	var out []string
	for _, u := range units {
		out = append(out, number+" "+u)
	}
	return out
}

// either joins alternatives: "28 L, 28 dm3 or 0.99 ft3".
func either(out []string) string {
	if len(out) < 2 {
		return strings.Join(out, "")
	}
	return strings.Join(out[:len(out)-1], ", ") + " or " + out[len(out)-1]
}

// pretty is a unit's name as people type it.
func pretty(name string) string { return strings.ReplaceAll(name, "·", " ") }

// article is the kind's name with its article.
func article(k Kind) string {
	name := k.String()
	if strings.ContainsRune("aeiou", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}
