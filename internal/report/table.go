// Package report shows an evaluated study to people: in the terminal, as a
// page, as figures; and to programs as JSON and CSV. It makes no numbers.
package report

import (
	"strings"
	"unicode/utf8"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// A row is one line of the comparison: a name and a cell for each candidate.
// The terminal, the page and the CSV share the rows, so that they say the same
// in the same order.
type row struct {
	group string // set on the first row of a group
	key   string // for programs, with the unit in it: "f3_hz"
	name  string
	unit  string
	kind  rowKind
	cell  func(o *study.Outcome) cell
	all   func(r *study.Result) bool // nil: always shown
}

type rowKind uint8

const (
	rowText rowKind = iota
	rowValue
	rowGauge
)

// A cell is what stands in a row for one candidate.
type cell struct {
	text  string     // for people
	value phys.Maybe // for programs, in the key's unit
	fill  phys.Maybe // share of a limit, for gauges
	at    string     // where it is worst
}

func text(s string) cell { return cell{text: s, value: phys.None(), fill: phys.None()} }

// number is a cell with three significant digits in the unit of its kind.
func number(v phys.Maybe, k phys.Kind, u phys.System) cell {
	if !v.OK() {
		return text("–")
	}
	x := k.Unit(u).Of(float64(v))
	return cell{text: phys.Digits(x, 3), value: phys.Maybe(x), fill: phys.None()}
}

// decibels is a cell with one decimal.
func decibels(v phys.Maybe) cell {
	if !v.OK() {
		return text("–")
	}
	return cell{text: phys.Fixed(float64(v), 1), value: v, fill: phys.None()}
}

// rows lists what a comparison shows, in order.
func rows(r *study.Result) []row {
	u := r.Study.Units
	hz, vol := phys.Frequency.Unit(u).Name, phys.Volume.Unit(u).Name
	length := phys.Length.Unit(u).Name
	figure := func(get func(f *study.Figures) phys.Maybe, k phys.Kind) func(o *study.Outcome) cell {
		return func(o *study.Outcome) cell { return number(get(&o.Figures), k, u) }
	}
	any := func(get func(f *study.Figures) phys.Maybe) func(r *study.Result) bool {
		return func(r *study.Result) bool {
			for _, o := range r.Candidates {
				if get(&o.Figures).OK() {
					return true
				}
			}
			return false
		}
	}
	maybe := func(key, name, unit string, k phys.Kind, get func(f *study.Figures) phys.Maybe) row {
		return row{key: key, name: name, unit: unit, kind: rowValue, cell: figure(get, k), all: any(get)}
	}
	list := []row{
		{group: "Group", key: "drivers", name: "drivers", cell: func(o *study.Outcome) cell { return text(study.Drivers(o.System.Group)) }},
		{key: "mounting", name: "mounting", cell: func(o *study.Outcome) cell { return text(study.Mounting(o.System.Group)) }},
		{key: "facing", name: "facing", cell: func(o *study.Outcome) cell { return text(study.Facing(o.System.Group)) },
			all: func(r *study.Result) bool { return anyStack(r) }},
		{key: "wiring", name: "wiring", cell: func(o *study.Outcome) cell { return text(study.Wiring(o.System.Group)) }},
		{key: "re_ohm", name: "coils Re", unit: "Ω", kind: rowValue, cell: func(o *study.Outcome) cell { return number(phys.Maybe(o.Figures.Re), phys.Resistance, u) }},
		maybe("rated_load_ohm", "load, rated", "Ω", phys.Resistance, func(f *study.Figures) phys.Maybe { return f.Load }),
		{group: "Box", key: "kind", name: "kind", cell: func(o *study.Outcome) cell { return text(study.KindWords(o.System.Spec.Kind)) }},
		maybe("net_volume", "net volume", vol, phys.Volume, func(f *study.Figures) phys.Maybe { return f.NetVolume }),
		maybe("occupied_volume", "occupied volume", vol, phys.Volume, func(f *study.Figures) phys.Maybe { return f.OccupiedVolume }),
		maybe("volume_per_driver", "volume per driver", vol, phys.Volume, func(f *study.Figures) phys.Maybe { return f.VolumePerDriver }),
		maybe("tuning_hz", "tuning", hz, phys.Frequency, func(f *study.Figures) phys.Maybe { return f.Tuning }),
		maybe("rear_tuning_hz", "tuning, rear", hz, phys.Frequency, func(f *study.Figures) phys.Maybe { return f.RearTuning }),
		maybe("fc_hz", "resonance fc", hz, phys.Frequency, func(f *study.Figures) phys.Maybe { return f.Fc }),
		maybe("qtc", "total Q", "", phys.Number, func(f *study.Figures) phys.Maybe { return f.Qtc }),
		{key: "outside", name: "outside", unit: length, cell: func(o *study.Outcome) cell { return text(strings.TrimSuffix(o.Outside(u), "\u2009"+length)) },
			all: func(r *study.Result) bool { return r.Study.Space != nil }},
		{group: "Response", key: "f3_hz", name: "extension F3", unit: hz, kind: rowValue, cell: figure(func(f *study.Figures) phys.Maybe { return f.F3 }, phys.Frequency)},
		{key: "f6_hz", name: "extension F6", unit: hz, kind: rowValue, cell: figure(func(f *study.Figures) phys.Maybe { return f.F6 }, phys.Frequency)},
		{key: "f10_hz", name: "extension F10", unit: hz, kind: rowValue, cell: figure(func(f *study.Figures) phys.Maybe { return f.F10 }, phys.Frequency)},
		maybe("f3_high_hz", "upper F3", hz, phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F3High }),
		maybe("f10_high_hz", "upper F10", hz, phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F10High }),
		{key: "reference_level_db", name: "reference level", unit: "dB", kind: rowValue, cell: func(o *study.Outcome) cell { return decibels(o.Figures.Reference) }},
		{key: "peak_db", name: "peak above it", unit: "dB", kind: rowValue, cell: func(o *study.Outcome) cell {
			c := decibels(o.Figures.PeakLevel.Value)
			c.at = at(o.Figures.PeakLevel, u)
			return c
		}},
		{key: "ripple_db", name: "ripple", unit: "dB", kind: rowValue, cell: func(o *study.Outcome) cell { return decibels(o.Figures.Ripple) }},
		{key: "group_delay_ms", name: "group delay, worst", unit: "ms", kind: rowValue, cell: func(o *study.Outcome) cell {
			c := number(o.Figures.GroupDelay.Value, phys.Time, u)
			c.at = at(o.Figures.GroupDelay, u)
			return c
		}},
		{key: "group_delay_cycles", name: "  the same", unit: "cycles", kind: rowValue, cell: figure(func(f *study.Figures) phys.Maybe { return f.DelayCycles.Value }, phys.Number)},
	}
	if b := r.Study.Brief.LevelAt; b > 0 {
		list = append(list, row{key: "level_asked_db", name: "level at " + phys.Brief(b, phys.Frequency, u), unit: "dB", kind: rowValue,
			cell: func(o *study.Outcome) cell { return decibels(o.Figures.LevelAsked) }})
	}
	list = append(list, driveRows(r)...)
	return shown(list, r)
}

// driveRows are what the drive does to the candidates.
func driveRows(r *study.Result) []row {
	u := r.Study.Units
	peak := func(get func(f *study.Figures) study.Peak, k phys.Kind) func(o *study.Outcome) cell {
		return func(o *study.Outcome) cell {
			p := get(&o.Figures)
			c := number(p.Value, k, u)
			c.at = at(p, u)
			return c
		}
	}
	list := []row{
		{group: "At the drive", key: "excursion_peak", name: "excursion, peak", unit: phys.Length.Unit(u).Name, kind: rowValue, cell: peak(func(f *study.Figures) study.Peak { return f.Excursion }, phys.Length)},
		{key: "radiator_excursion_peak", name: "radiator, peak", unit: phys.Length.Unit(u).Name, kind: rowValue, cell: peak(func(f *study.Figures) study.Peak { return f.RadiatorExcursion }, phys.Length),
			all: func(r *study.Result) bool {
				return anyPeak(r, func(f *study.Figures) study.Peak { return f.RadiatorExcursion })
			}},
		{key: "port_speed_peak", name: "port air, peak", unit: phys.Speed.Unit(u).Name, kind: rowValue, cell: peak(func(f *study.Figures) study.Peak { return f.PortSpeed }, phys.Speed),
			all: func(r *study.Result) bool {
				return anyPeak(r, func(f *study.Figures) study.Peak { return f.PortSpeed })
			}},
		{key: "watts_per_coil", name: "power per coil", unit: "W", kind: rowValue, cell: func(o *study.Outcome) cell {
			most := 0.0
			for _, w := range o.Figures.CoilPowers {
				most = max(most, w)
			}
			return number(phys.Maybe(most), phys.Power, u)
		}},
		{key: "watts_total", name: "power in all", unit: "W", kind: rowValue, cell: func(o *study.Outcome) cell { return number(phys.Maybe(o.Figures.TotalPower), phys.Power, u) }},
		{key: "lowest_impedance_ohm", name: "lowest impedance", unit: "Ω", kind: rowValue, cell: peak(func(f *study.Figures) study.Peak { return f.LowestZ }, phys.Resistance)},
		{key: "lowest_impedance_phase_deg", name: "its phase", unit: "°", kind: rowValue, cell: func(o *study.Outcome) cell { return number(o.Figures.LowestZPhase, phys.Angle, u) }},
	}
	return append(list, costRows(r)...)
}

// costRows are the bill.
func costRows(r *study.Result) []row {
	price := func(f *study.Figures) phys.Maybe { return f.Price }
	mass := func(f *study.Figures) phys.Maybe { return f.Mass }
	unit := phys.Weight.Unit(r.Study.Units).Name
	list := []row{
		{key: "price", name: "drivers", unit: r.Currency(), kind: rowValue, cell: func(o *study.Outcome) cell {
			if !o.Figures.Price.OK() {
				return text("–")
			}
			return cell{text: phys.Fixed(float64(o.Figures.Price), 0), value: o.Figures.Price, fill: phys.None()}
		}, all: func(r *study.Result) bool { return anyFigure(r, price) }},
		{key: "weight_" + unit, name: "weight", unit: unit, kind: rowValue, cell: func(o *study.Outcome) cell {
			return number(o.Figures.Mass, phys.Weight, r.Study.Units)
		}, all: func(r *study.Result) bool { return anyFigure(r, mass) }},
	}
	for i := range list {
		if list[i].all(r) {
			list[i].group = "Cost and weight"
			break
		}
	}
	return list
}

func anyFigure(r *study.Result, get func(f *study.Figures) phys.Maybe) bool {
	for _, o := range r.Candidates {
		if get(&o.Figures).OK() {
			return true
		}
	}
	return false
}

func anyStack(r *study.Result) bool {
	for _, o := range r.Candidates {
		if o.System.Group.Depth() > 1 {
			return true
		}
	}
	return false
}

func anyPeak(r *study.Result, get func(f *study.Figures) study.Peak) bool {
	return anyFigure(r, func(f *study.Figures) phys.Maybe { return get(f).Value })
}

// shown drops the rows that no candidate has.
func shown(list []row, r *study.Result) []row {
	var out []row
	for _, w := range list {
		if w.all == nil || w.all(r) {
			out = append(out, w)
		}
	}
	return out
}

// at says where a peak is: "at 29.3 Hz".
func at(p study.Peak, u phys.System) string {
	if !p.At.OK() {
		return ""
	}
	return "at " + phys.Show(float64(p.At), phys.Frequency, u)
}

// width is the number of columns a text takes: every sign that is used here is
// one column wide.
func width(s string) int { return utf8.RuneCountInString(s) }

func pad(s string, n int) string {
	if w := width(s); w < n {
		return s + strings.Repeat(" ", n-w)
	}
	return s
}
