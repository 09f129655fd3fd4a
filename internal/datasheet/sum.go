package datasheet

import (
	"fmt"
	"strconv"
	"strings"
)

// smaller are the units of which a larger one has a whole number, as weights
// and lengths are printed: "12 lb 6 oz".
var smaller = []struct {
	large, small string
	of           int64
}{{"lb", "oz", 16}, {"ft", "in", 12}, {"kg", "g", 1000}}

// sum takes two amounts that stand one behind the other as one: whole pounds
// and the ounces that are over.
func (s *sheet) sum(p *part, fit []amount) (amount, bool) {
	if len(fit) != 2 || len(p.found) != 2 {
		return amount{}, false
	}
	a, b := fit[0], fit[1]
	between := strings.TrimSpace(strings.TrimPrefix(strings.TrimLeft(a.behind, " "), a.unit))
	if between = strings.Trim(between, " .,"); between != "" && between != "and" && between != "&" {
		return amount{}, false
	}
	for _, u := range smaller {
		if usual(a.unit, p.entry.kind) != u.large || usual(b.unit, p.entry.kind) != u.small {
			continue
		}
		text, _ := s.plain(b.text)
		whole, err := strconv.ParseInt(a.text, 10, 32)
		over, bad := strconv.ParseFloat(text, 64)
		if err != nil || bad != nil || whole < 1 || over < 0 || over >= float64(u.of) || a.power+b.power != "" {
			return amount{}, false
		}
		_, decimals, _ := strings.Cut(text, ".")
		b.text, b.unit, b.plain = strconv.FormatFloat(float64(whole*u.of)+over, 'f', len(decimals), 64), u.small, true
		p.how(fmt.Sprintf("%s %s and %s %s together", a.text, u.large, text, u.small))
		return b, true
	}
	return amount{}, false
}
