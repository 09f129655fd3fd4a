// Package report shows an evaluated study to people: in the terminal, as a
// page, as figures; and to programs as JSON and CSV. It makes no numbers.
package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// A row is one line of the comparison: a name and a cell for each candidate.
// The terminal, the page and the CSV share the rows, so that they say the same
// in the same order.
type row struct {
	group string // set on the first row of a group
	key   string // for programs: with its unit ("f3_hz"), which unitSuffix adds where the study chooses it
	name  string
	unit  string
	per   float64 // the unit in SI; 0: the row tells no quantity
	kind  rowKind
	cell  func(o *study.Outcome) cell
	all   func(r *study.Result) bool // nil: always shown
	from  origin                     // where its values come from; nil: they are the study’s own words
	ended ended                      // what ends a greatest level; nil: it is none
}

// ended is the bound that ends a greatest level of a candidate; "" where there is none.
type ended func(o *study.Outcome) study.BoundID

// origin tells where a figure of a candidate comes from.
type origin func(g study.Origin) note.Step

// by adds where its values come from to a row.
func (w row) by(from origin) row {
	w.from = from
	return w
}

// whose adds which driver its value is of.
func (w row) whose(driver func(o *study.Outcome) string) row {
	value := w.cell
	w.cell = func(o *study.Outcome) cell {
		c := value(o)
		c.at = driver(o)
		return c
	}
	return w
}

type rowKind uint8

const (
	rowText rowKind = iota
	rowValue
)

// A cell is what stands in a row for one candidate.
type cell struct {
	text  string     // for people
	value phys.Maybe // for programs, in the row's unit
	at    string     // where it is worst
	bad   bool       // it cannot stay so
}

func text(s string) cell { return cell{text: s, value: phys.None()} }

// number is a cell with three significant digits in the unit of its kind.
func number(v phys.Maybe, k phys.Kind, u phys.System) cell {
	if !v.OK() {
		return text("–")
	}
	x := k.Unit(u).Of(float64(v))
	return cell{text: phys.Digits(x, 3), value: phys.Maybe(x)}
}

// decibels is a cell with one decimal.
func decibels(v phys.Maybe) cell {
	if !v.OK() {
		return text("–")
	}
	return cell{text: phys.Fixed(float64(v), 1), value: v}
}

// get reads one figure of a candidate, getPeak one that has a place.
type (
	get     func(f *study.Figures) phys.Maybe
	getPeak func(f *study.Figures) study.Peak
)

// worded is a row of words.
func worded(key, name string, words func(o *study.Outcome) string) row {
	return row{key: key, name: name, cell: func(o *study.Outcome) cell { return text(words(o)) }}
}

// figure is a row of numbers in the unit of their kind.
func figure(u phys.System, key, name string, k phys.Kind, v get) row {
	return row{key: key, name: name, unit: k.Unit(u).Name, per: scale(k.Unit(u)), kind: rowValue, cell: func(o *study.Outcome) cell { return number(v(&o.Figures), k, u) }}
}

// scale is a unit in SI; 0 of one that has another zero.
func scale(u phys.Unit) float64 {
	if u.Offset != 0 {
		return 0
	}
	return u.Factor
}

// maybe is a figure that is shown if any candidate has it.
func maybe(u phys.System, key, name string, k phys.Kind, v get) row {
	w := figure(u, key, name, k, v)
	w.all = func(r *study.Result) bool { return anyFigure(r, v) }
	return w
}

// peak is a figure with the place where it is worst.
func peak(u phys.System, key, name string, k phys.Kind, v getPeak) row {
	return placed(figure(u, key, name, k, func(f *study.Figures) phys.Maybe { return v(f).Value }), u, v)
}

// placed adds the place of its peak to a row.
func placed(w row, u phys.System, v getPeak) row {
	bare := w.cell
	w.cell = func(o *study.Outcome) cell {
		c := bare(o)
		c.at = at(v(&o.Figures), u)
		return c
	}
	return w
}

// level is a row of decibels.
func level(key, name string, v get) row {
	return row{key: key, name: name, unit: "dB", kind: rowValue, cell: func(o *study.Outcome) cell { return decibels(v(&o.Figures)) }}
}

// rows lists what a comparison shows, in order.
func rows(r *study.Result) []row {
	list := slices.Concat(groupRows(r), boxRows(r), responseRows(r), driveRows(r), greatestRows(r), noiseRows(r), costRows(r))
	return slices.DeleteFunc(list, func(w row) bool { return w.all != nil && !w.all(r) })
}

// groupRows are the drivers, how they are mounted and wired.
func groupRows(r *study.Result) []row {
	u := r.Study.Units
	list := []row{
		worded("drivers", "drivers", func(o *study.Outcome) string { return study.Drivers(o.System.Group) }),
		worded("mounting", "mounting", func(o *study.Outcome) string { return study.Mounting(o.System.Group) }),
		worded("facing", "facing", func(o *study.Outcome) string { return study.Facing(o.System.Group) }),
		worded("wiring", "wiring", func(o *study.Outcome) string { return study.Wiring(o.System.Group) }),
		{key: "polarity", name: "polarity", cell: polarityCell, all: anyWrong, from: study.Origin.Polarity},
		figure(u, "re_ohm", "coils Re", phys.Resistance, func(f *study.Figures) phys.Maybe { return phys.Maybe(f.Re) }).by(study.Origin.Re),
		maybe(u, "rated_load_ohm", "load, rated", phys.Resistance, func(f *study.Figures) phys.Maybe { return f.Load }).by(study.Origin.RatedLoad),
	}
	list[0].group = "Group"
	list[2].all = anyStack
	return list
}

// polarityCell tells a wrong polarity apart from a right one.
func polarityCell(o *study.Outcome) cell {
	if o.WrongPolarity() {
		return cell{text: "WRONG: its cones fight", value: phys.None(), bad: true}
	}
	return text("right")
}

func anyWrong(r *study.Result) bool {
	return slices.ContainsFunc(r.Candidates, (*study.Outcome).WrongPolarity)
}

// boxRows are the air behind the cones.
func boxRows(r *study.Result) []row {
	u := r.Study.Units
	length := phys.Length.Unit(u).Name
	kind := worded("kind", "kind", func(o *study.Outcome) string { return study.KindWords(o.System.Spec.Kind) })
	kind.group = "Box"
	outside := worded("outside", "outside", func(o *study.Outcome) string { return strings.TrimSuffix(o.Outside(u), "\u2009"+length) })
	outside.unit, outside.from = length, study.Origin.Outside
	outside.all = func(r *study.Result) bool { return r.Study.Space != nil }
	return []row{
		kind,
		maybe(u, "net_volume", "net volume", phys.Volume, func(f *study.Figures) phys.Maybe { return f.NetVolume }).by(study.Origin.NetVolume),
		maybe(u, "occupied_volume", "occupied volume", phys.Volume, func(f *study.Figures) phys.Maybe { return f.OccupiedVolume }).by(study.Origin.OccupiedVolume),
		maybe(u, "volume_per_driver", "volume per driver", phys.Volume, func(f *study.Figures) phys.Maybe { return f.VolumePerDriver }).by(study.Origin.VolumePerDriver),
		maybe(u, "tuning_hz", "tuning", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.Tuning }).by(study.Origin.Tuning),
		maybe(u, "rear_tuning_hz", "tuning, rear", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.RearTuning }).by(study.Origin.RearTuning),
		maybe(u, "fc_hz", "resonance fc", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.Fc }).by(study.Origin.Fc),
		maybe(u, "qtc", "total Q", phys.Number, func(f *study.Figures) phys.Maybe { return f.Qtc }).by(study.Origin.Qtc),
		outside,
	}
}

// responseRows are what is heard.
func responseRows(r *study.Result) []row {
	u := r.Study.Units
	cycles := peak(u, "group_delay_cycles", "  worst, in cycles", phys.Number, func(f *study.Figures) study.Peak { return f.DelayCycles }).by(study.Origin.DelayCycles)
	back := placed(level("above_band_db", "back above upper F3, re reference", func(f *study.Figures) phys.Maybe { return f.Above.Value }), u,
		func(f *study.Figures) study.Peak { return f.Above }).by(study.Origin.Above)
	back.all = func(r *study.Result) bool {
		return anyFigure(r, func(f *study.Figures) phys.Maybe { return f.Above.Value })
	}
	list := []row{
		figure(u, "f3_hz", "extension F3", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F3 }).by(study.Origin.F3),
		figure(u, "f6_hz", "extension F6", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F6 }).by(study.Origin.F6),
		figure(u, "f10_hz", "extension F10", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F10 }).by(study.Origin.F10),
		maybe(u, "f3_high_hz", "upper F3", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F3High }).by(study.Origin.F3High),
		maybe(u, "f6_high_hz", "upper F6", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F6High }).by(study.Origin.F6High),
		maybe(u, "f10_high_hz", "upper F10", phys.Frequency, func(f *study.Figures) phys.Maybe { return f.F10High }).by(study.Origin.F10High),
		level("reference_level_db", "reference level", func(f *study.Figures) phys.Maybe { return f.Reference }).by(study.Origin.Reference),
		placed(level("peak_db", "peak above it", func(f *study.Figures) phys.Maybe { return f.PeakLevel.Value }), u,
			func(f *study.Figures) study.Peak { return f.PeakLevel }).by(study.Origin.PeakLevel),
		back,
		level("ripple_db", "ripple, F3 to reference", func(f *study.Figures) phys.Maybe { return f.Ripple }).by(study.Origin.Ripple),
		peak(u, "group_delay_ms", "group delay, worst", phys.Time, func(f *study.Figures) study.Peak { return f.GroupDelay }).by(study.Origin.GroupDelay),
		cycles,
	}
	list[0].group = "Response"
	if b := r.Study.Brief.LevelAt; b > 0 {
		list = append(list, level("level_asked_db", "level at "+phys.Brief(b, phys.Frequency, u), func(f *study.Figures) phys.Maybe { return f.LevelAsked }).by(study.Origin.LevelAsked))
	}
	return list
}

// driveRows are what the drive does to the candidates.
func driveRows(r *study.Result) []row {
	u := r.Study.Units
	list := []row{
		peak(u, "excursion_peak", "excursion, peak", phys.Length, func(f *study.Figures) study.Peak { return f.Excursion }).by(study.Origin.Excursion),
		peak(u, "radiator_excursion_peak", "radiator, peak", phys.Length, func(f *study.Figures) study.Peak { return f.RadiatorExcursion }).by(study.Origin.RadiatorExcursion),
		peak(u, "port_speed_peak", "port air, peak", phys.Speed, func(f *study.Figures) study.Peak { return f.PortSpeed }).by(study.Origin.PortSpeed),
		figure(u, "watts_per_coil", "power per coil", phys.Power, func(f *study.Figures) phys.Maybe { return f.HottestCoil.Value }).whose((*study.Outcome).HottestDriver).by(study.Origin.HottestCoil),
		figure(u, "watts_total", "power in all", phys.Power, func(f *study.Figures) phys.Maybe { return phys.Maybe(f.TotalPower) }).by(study.Origin.TotalPower),
		peak(u, "lowest_impedance_ohm", "lowest impedance", phys.Resistance, func(f *study.Figures) study.Peak { return f.LowestZ }).by(study.Origin.LowestZ),
		figure(u, "lowest_impedance_phase_deg", "its phase", phys.Angle, func(f *study.Figures) phys.Maybe { return f.LowestZPhase }).by(study.Origin.LowestZPhase),
	}
	list[0].group = "At the drive"
	list[1].all = func(r *study.Result) bool {
		return anyFigure(r, func(f *study.Figures) phys.Maybe { return f.RadiatorExcursion.Value })
	}
	list[2].all = func(r *study.Result) bool {
		return anyFigure(r, func(f *study.Figures) phys.Maybe { return f.PortSpeed.Value })
	}
	return list
}

// greatestRows are how loud a candidate can be under a sine, and what ends it.
func greatestRows(r *study.Result) []row {
	u := r.Study.Units
	var list []row
	for _, f := range study.LevelFrequencies() {
		name := phys.Brief(f, phys.Frequency, u)
		w := level(fmt.Sprintf("greatest_level_%shz_db", strings.ReplaceAll(phys.Digits(f, 3), ".0", "")), "at "+name, func(fig *study.Figures) phys.Maybe {
			if g, ok := fig.GreatestNear(f); ok {
				return phys.Maybe(g.Level)
			}
			return phys.None()
		})
		bare := w.cell
		w.cell = func(o *study.Outcome) cell {
			c := bare(o)
			if g, ok := o.Figures.GreatestNear(f); ok {
				c.at = g.By.Words()
			}
			return c
		}
		w.ended = func(o *study.Outcome) study.BoundID {
			g, _ := o.Figures.GreatestNear(f)
			return g.By
		}
		w.all, w.from = anyGreatest, func(g study.Origin) note.Step { return g.GreatestAt(f) }
		list = append(list, w)
	}
	list[0].group = "Greatest level, sine"
	first := worded("gives_first", "gives first", func(o *study.Outcome) string {
		return FirstWords(o.Figures.First, u)
	})
	first.all, first.from = anyGreatest, study.Origin.First
	return append(list, first)
}

func anyGreatest(r *study.Result) bool {
	return slices.ContainsFunc(r.Candidates, func(o *study.Outcome) bool { return len(o.Figures.Greatest) > 0 })
}

// costRows are the bill.
func costRows(r *study.Result) []row {
	price := func(f *study.Figures) phys.Maybe { return f.Price }
	unit := phys.Weight.Unit(r.Study.Units).Name
	list := []row{
		{key: "price", name: "drivers", unit: r.Currency(), kind: rowValue, cell: func(o *study.Outcome) cell {
			if !o.Figures.Price.OK() {
				return text("–")
			}
			return cell{text: phys.Fixed(float64(o.Figures.Price), 0), value: o.Figures.Price}
		}, all: func(r *study.Result) bool { return anyFigure(r, price) }, from: study.Origin.Price},
		maybe(r.Study.Units, "weight_"+unit, "weight", phys.Weight, func(f *study.Figures) phys.Maybe { return f.Mass }).by(study.Origin.Weight),
	}
	for i := range list {
		if list[i].all(r) {
			list[i].group = "Cost and weight"
			break
		}
	}
	return list
}

func anyFigure(r *study.Result, v get) bool {
	for _, o := range r.Candidates {
		if v(&o.Figures).OK() {
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
