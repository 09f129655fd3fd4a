package driver

import (
	"fmt"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// reach sets beside the xmax of the sheet how far the curves let a cone go, where
// there are curves.
func (l *ledger) reach() []note.Step {
	list := l.d.Reaches()
	if list == nil {
		return nil
	}
	least, ok := LeastReach(list)
	s := l.step("Xmax, by the curves", "", phys.Length, float64(least.X), float64(least.X))
	switch {
	case !ok:
		s = l.missing("Xmax, by the curves", "", phys.Length, "")
		s.Why = "at least " + l.show(float64(least.X), phys.Length) + "; what the curves tell ends there"
	case l.by.drivers == 1:
		s.Why = "the " + least.Name + " ends it: unchanged"
	default:
		s.Why = fmt.Sprintf("the %s ends it; rigidly coupled, each cone goes as far as one alone: unchanged", least.Name)
	}
	if x := l.d.Data.Xmax; x > 0 {
		s.Why += "; xmax of the sheet: " + l.show(x, phys.Length)
	}
	s.Formula, s.Source = "the least displacement, one way, at which "+limitsOf(list), reachSource
	return []note.Step{s}
}

// limitsOf names what may not change, in the order of the list.
func limitsOf(list []Reach) string {
	var rules []string
	for _, r := range list {
		rules = append(rules, r.Name)
	}
	return listOf(rules, "or") + " reaches its limit"
}
