package report

import (
	"basswright/internal/phys"
	"basswright/internal/study"
)

// FirstWords say what gives first as the level is turned up: "excursion at 75.6 W".
func FirstWords(f *study.First, u phys.System) string {
	switch {
	case f == nil:
		return "–"
	case f.By == study.BoundLoad:
		return "load at any power"
	}
	return f.By.Words() + " at " + phys.Show(f.Watts, phys.Power, u)
}
