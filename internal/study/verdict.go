package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/phys"
)

// Differences below these are called equal.
const (
	equalHz = 0.5
	equalDB = 0.2
)

// compare tells every candidate against the yardstick, figure by figure, and
// writes its summary.
func (r *Result) compare() {
	y := r.Candidates[r.Yardstick]
	for _, o := range r.Candidates {
		if o != y {
			o.Verdict = r.Study.against(o, y)
		}
		o.Summary = r.Study.summary(o)
	}
}

// against lists how o differs from y. Every clause is a true statement about
// the two sets of figures.
func (st *Study) against(o, y *Outcome) []string {
	v := verdict{st: st, a: &o.Figures, b: &y.Figures}
	place := v.volume()
	clauses := []string{v.polarity(o)}
	clauses = append(clauses, v.extension()...)
	clauses = append(clauses, v.peak(), v.above())
	clauses = append(clauses, v.level())
	clauses = append(clauses, v.electrical()...)
	clauses = append(clauses, v.loudness())
	clauses = append(clauses, v.bill()...)
	clauses = append(clauses, v.delay())
	var out []string
	for _, c := range clauses {
		if c != "" {
			out = append(out, c)
		}
	}
	if place != "" && len(out) > 0 {
		out[0] = place + ": " + out[0]
	}
	return out
}

type verdict struct {
	st   *Study
	a, b *Figures
}

func (v verdict) show(x float64, k phys.Kind) string { return phys.Show(x, k, v.st.Units) }

// polarity tells a group whose cones work against each other.
func (v verdict) polarity(o *Outcome) string {
	if !o.WrongPolarity() {
		return ""
	}
	return "WIRED WRONG: its cones work against each other"
}

// volume says in what volume, against what.
func (v verdict) volume() string {
	a, b := v.a.NetVolume, v.b.NetVolume
	switch {
	case !a.OK() && !b.OK():
		return ""
	case !a.OK():
		return "without a box"
	case !b.OK():
		return "in " + v.show(float64(a), phys.Volume)
	}
	sa, sb := v.show(float64(a), phys.Volume), v.show(float64(b), phys.Volume)
	if sa == sb {
		return "in the same " + sa
	}
	return fmt.Sprintf("in %s instead of %s", sa, sb)
}

// extension tells F3, F6 and F10: those that are equal together.
func (v verdict) extension() []string {
	var out, same []string
	for _, x := range []struct {
		name string
		a, b phys.Maybe
	}{{"F3", v.a.F3, v.b.F3}, {"F6", v.a.F6, v.b.F6}, {"F10", v.a.F10, v.b.F10}} {
		if !x.a.OK() || !x.b.OK() {
			continue
		}
		d := float64(x.a - x.b)
		switch {
		case math.Abs(d) < equalHz:
			same = append(same, x.name)
		case d > 0:
			out = append(out, fmt.Sprintf("%s is %s\u2009Hz higher", x.name, phys.Fixed(d, 1)))
		default:
			out = append(out, fmt.Sprintf("%s is %s\u2009Hz lower", x.name, phys.Fixed(-d, 1)))
		}
	}
	if len(same) > 0 {
		out = append(out, "equal "+list(same, "and"))
	}
	if a, b := v.a.F3High, v.b.F3High; a.OK() && !b.OK() {
		out = append(out, "it also ends at the top, at "+v.show(float64(a), phys.Frequency))
	} else if a.OK() && b.OK() && math.Abs(float64(a-b)) >= equalHz {
		way := "higher"
		if a < b {
			way = "lower"
		}
		out = append(out, fmt.Sprintf("its upper F3 is %s %s", v.show(math.Abs(float64(a-b)), phys.Frequency), way))
	}
	return out
}

// peak tells the hump above the reference level.
func (v verdict) peak() string {
	a, b := float64(v.a.PeakLevel.Value), float64(v.b.PeakLevel.Value)
	if math.IsNaN(a) || math.IsNaN(b) || math.Abs(a-b) < equalDB {
		return ""
	}
	const none = 0.5 // dB above the reference octave's mean: no more than its own slope
	switch {
	case a < none && b >= none:
		return "the peak is gone"
	case a >= none && b < none:
		return fmt.Sprintf("there is a peak of %s\u2009dB at %s", phys.Fixed(a, 1), v.show(float64(v.a.PeakLevel.At), phys.Frequency))
	case a < b:
		return fmt.Sprintf("the peak is %s\u2009dB lower", phys.Fixed(b-a, 1))
	}
	return fmt.Sprintf("the peak is %s\u2009dB higher", phys.Fixed(a-b, 1))
}

// level tells the reference level at the common drive.
func (v verdict) level() string {
	d := float64(v.a.Reference - v.b.Reference)
	switch {
	case !v.a.Reference.OK() && !v.b.Reference.OK():
		return "no sound either"
	case !v.a.Reference.OK():
		return "it gives no sound"
	case !v.b.Reference.OK():
		return "it gives sound, which the other does not"
	case math.Abs(d) < equalDB:
		return "same reference level " + v.st.Drive.Same()
	case d > 0:
		return fmt.Sprintf("reference level %s\u2009dB higher %s", phys.Fixed(d, 1), v.st.Drive.Same())
	}
	return fmt.Sprintf("reference level %s\u2009dB lower %s", phys.Fixed(-d, 1), v.st.Drive.Same())
}

// sameDB is by how much differences of levels may be apart that are the same, as where two
// cones go as far as four at every frequency, dB: the lowest frequency is told of them.
const sameDB = 1e-9

// loudness tells the greatest level at the bass frequencies that both have.
func (v verdict) loudness() string {
	most, least := math.Inf(-1), math.Inf(1)
	var mostAt, leastAt, from, to float64
	for _, f := range LevelFrequencies() {
		a, okA := v.a.GreatestNear(f)
		b, okB := v.b.GreatestNear(f)
		if !okA || !okB {
			continue
		}
		if from == 0 {
			from = f
		}
		to = f
		d := a.Level - b.Level
		if d > most+sameDB {
			most, mostAt = d, f
		}
		if d < least-sameDB {
			least, leastAt = d, f
		}
	}
	if from == 0 {
		return ""
	}
	over := fmt.Sprintf("from %s to %s", phys.Brief(from, phys.Frequency, v.st.Units), phys.Brief(to, phys.Frequency, v.st.Units)) + v.st.Surrounded()
	louder := func(d, at float64) string {
		return fmt.Sprintf("%s\u2009dB louder at %s", phys.Fixed(d, 1), phys.Brief(at, phys.Frequency, v.st.Units))
	}
	quieter := func(d, at float64) string {
		return fmt.Sprintf("%s\u2009dB quieter at %s", phys.Fixed(-d, 1), phys.Brief(at, phys.Frequency, v.st.Units))
	}
	switch up, down := most >= equalDB, least <= -equalDB; {
	case !up && !down:
		return "as loud at its loudest " + over
	case up && down:
		return "at its loudest " + louder(most, mostAt) + " and " + quieter(least, leastAt)
	case up:
		return "at its loudest " + louder(most, mostAt) + ", and no quieter " + over
	}
	return "at its loudest " + quieter(least, leastAt) + ", and no louder " + over
}

// bill tells what it takes: the space with all that stands in it, and the price.
func (v verdict) bill() []string {
	var out []string
	tell := func(a, b phys.Maybe, what string) {
		if w := times(float64(a / b)); w != "" && math.Abs(float64(a/b)-1) > nearlyEqual {
			out = append(out, w+what)
		}
	}
	tell(v.a.OccupiedVolume, v.b.OccupiedVolume, " the space in all")
	tell(v.a.Price, v.b.Price, " the price")
	return out
}

// electrical tells the watts and the load, as the table has them. At the same
// power there is nothing to tell of watts but what the inductance leaves.
func (v verdict) electrical() []string {
	var out []string
	watts := v.a.TotalPower / v.b.TotalPower
	if same := v.st.Drive.Kind == DrivePower && math.Abs(watts-1) < nearlyEqual; !same {
		if w := times(watts); w != "" {
			out = append(out, w+" the watts")
		}
	}
	if w := times(float64(v.a.Load / v.b.Load)); w != "" {
		out = append(out, w+" the load impedance")
	}
	return out
}

// nearlyEqual is how far two powers may lie apart at a drive of the same power, and
// how far two volumes or prices before anything is made of it.
const nearlyEqual = 0.05

// times is a ratio in words, or nothing if with two digits it is one.
func times(r float64) string {
	if !(r > 0 && r <= math.MaxFloat64) {
		return ""
	}
	for _, x := range []struct {
		ratio float64
		word  string
	}{{2, "twice"}, {0.5, "half"}, {3, "three times"}, {1. / 3, "a third of"}, {4, "four times"}, {0.25, "a quarter of"}} {
		if math.Abs(r/x.ratio-1) < 0.01 {
			return x.word
		}
	}
	text := phys.Digits(r, 2)
	if text == "1.0" || text == "1.00" {
		return ""
	}
	return text + " times"
}

func (v verdict) delay() string {
	a, b := float64(v.a.GroupDelay.Value), float64(v.b.GroupDelay.Value)
	const equal = 1e-3 // s
	if math.IsNaN(a) || math.IsNaN(b) || math.Abs(a-b) < equal {
		return ""
	}
	way := "longer"
	if a < b {
		way = "shorter"
	}
	return fmt.Sprintf("group delay %s %s at its worst", v.show(math.Abs(a-b), phys.Time), way)
}

// summary is what the customer reads: what it costs, the space it takes, what
// it gives.
func (st *Study) summary(o *Outcome) [3]string {
	f := &o.Figures
	drivers := "one driver"
	if f.Drivers > 1 {
		drivers = Count(f.Drivers) + " drivers"
	}
	cost := "Needs " + drivers
	if f.Price.OK() {
		cost = "Costs " + price(float64(f.Price), st.currency()) + " for " + drivers
	}
	cost += fmt.Sprintf(" and loads %s with %s", st.loaded(o), phys.Show(float64(f.LowestZ.Value), phys.Resistance, st.Units))
	space := "Needs a wall and the space behind it"
	if f.OccupiedVolume.OK() {
		space = fmt.Sprintf("Takes %s in all, %s of it net air", phys.Show(float64(f.OccupiedVolume), phys.Volume, st.Units), phys.Show(float64(f.NetVolume), phys.Volume, st.Units))
		if b := o.Body; b.Known && !b.Guessed {
			space += ", in a box of " + outside(b, st.Units)
		}
		space += o.foldTold(st)
	}
	if o.silent() {
		return [3]string{cost, space, "Gives no sound"}
	}
	plain := ""
	if st.InPlace() {
		plain = " " + st.Listening.At.elsewhere()
	}
	gives := fmt.Sprintf("Gives %s at %s%s on %s", phys.Show(float64(f.Reference), phys.Level, st.Units), phys.Brief(st.Listening.Distance, phys.Distance, st.Units), plain, st.Drive.Plainly(st.Units))
	low, high := phys.Show(float64(f.F3), phys.Frequency, st.Units), phys.Show(float64(f.F3High), phys.Frequency, st.Units)
	switch {
	case f.F3.OK() && f.F3High.OK():
		gives += fmt.Sprintf(", from %s (F3) to %s", low, high)
	case f.F3.OK():
		gives += fmt.Sprintf(", down to %s (F3)", low)
	case f.F3High.OK():
		gives += ", up to " + high
	}
	if back := st.back(f, "Above that"); back != "" {
		gives += ". " + back
	}
	if g, ok := f.GreatestNear(summaryAt); ok {
		surrounded := ""
		if st.InPlace() {
			surrounded = "," + st.Surrounded() + ","
		}
		gives += fmt.Sprintf(". At its loudest%s it gives %s at %s", surrounded, phys.Show(g.Level, phys.Level, st.Units), phys.Brief(g.Frequency, phys.Frequency, st.Units))
		if f.F3.OK() && g.Frequency < float64(f.F3) {
			gives += ", which lies below its F3" // else nobody understands that it gives less at most than what it gives
		}
		gives += "; there " + g.By.Ends() + " ends it"
	}
	return [3]string{cost, space, gives}
}

// summaryAt is the frequency at which the customer is told the greatest level,
// Hz: the lowest of common music.
const summaryAt = 40

// outside is a box's size in words: "460 × 330 × 280 mm".
func outside(b Body, u phys.System) string {
	unit := phys.Length.Unit(u)
	var n []string
	for _, x := range []float64{b.Width, b.Depth, b.Height} {
		v := unit.Of(x)
		if u == phys.Metric {
			n = append(n, phys.Fixed(v, 0))
		} else {
			n = append(n, brief0(phys.Fixed(v, 1)))
		}
	}
	return strings.Join(n, " × ") + "\u2009" + unit.Name
}

// Outside is the outside size of an outcome's box in words; a dash if there is none.
func (o *Outcome) Outside(u phys.System) string {
	if !o.Body.Known {
		return "–"
	}
	return outside(o.Body, u)
}

// Currency is the study's: that of the first driver with a price.
func (r *Result) Currency() string { return r.Study.currency() }

// currency is that of the first driver with a price.
func (st *Study) currency() string {
	for i := range st.Drivers {
		if c := st.Drivers[i].Driver.Data.Currency; c != "" {
			return c
		}
	}
	return st.Brief.Limits.Currency
}
