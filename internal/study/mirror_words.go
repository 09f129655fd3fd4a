package study

import (
	"fmt"
	"math"
	"slices"

	"basswright/internal/driver"
	"basswright/internal/phys"
)

// What the words about a mirror go by, dB.
const (
	tinyShare = -60.0 // a line below this is no reason to mirror, nor not to
	little    = 3.0   // less than this is no gain to build for, and no loss
	half      = 6.0   // what alone leaves a line so near to the whole is its cause
)

// evenShare is the difference between in and out up to which curves count as
// symmetrical: the second harmonic of a spring's force is a quarter of what its
// stiffness differs by at the swing, and this is where it lies at tinyShare.
var evenShare = 4 * math.Pow(10, tinyShare/20)

// nearlyShare is the difference up to which curves that gain nothing by a mirror are
// the reason: by the same quarter they make a second harmonic of −40 dB.
const nearlyShare = 0.04

// unmirrored says why nothing is told of a stack whose drivers face both ways; nil
// where nobody would ask.
func unmirrored(g *driver.Group) *Mirror {
	if g.Depth() < 2 || !mirrored(g) || g.Positions[0][0].Driver.Curves == nil {
		return nil
	}
	why := "drivers that are not alike: what one leaves another does not cancel"
	switch {
	case !g.MovesTogether():
		why = "cones that do not move together"
	case g.Depth()%2 != 0:
		why = fmt.Sprintf("a stack of %s: one driver is always left whose even harmonics no other cancels", Count(g.Depth()))
	}
	return &Mirror{Mirrored: true, Coupled: len(g.Coupling) > 0,
		Words: []string{"What mirroring buys is not worked out for " + why + ". The harmonics above are those of the stack as it faces."}}
}

// mirrorTalk words what follows from the rows of one mirror.
type mirrorTalk struct {
	st *Study
	m  *Mirror
	r  *MirrorRow // where the second line is largest, turned the same way
}

// mirrorWords say what follows for a stack of drivers like d. Where one way to face
// has jumped or does not last there is nothing to compare.
func (st *Study) mirrorWords(m *Mirror, d *driver.Driver) []string {
	sound := *m
	sound.Rows = slices.DeleteFunc(slices.Clone(m.Rows), func(r MirrorRow) bool { return r.off(ColumnSameWay, ColumnFacing) })
	left := len(m.Rows) - len(sound.Rows)
	if len(sound.Rows) == 0 {
		return []string{"What mirroring buys is not told at this drive: one way or the other, the states jump or do not last. Ask for less voltage."}
	}
	t := mirrorTalk{st, &sound, &sound.Rows[0]}
	swing := 0.0
	for k := range sound.Rows {
		swing = math.Max(swing, sound.Rows[k].Swing)
		if r := &sound.Rows[k]; heard(r.SameWay[0]) > heard(t.r.SameWay[0]) {
			t.r = r
		}
	}
	most, known := d.Asymmetry(math.Max(swing, d.Data.Xmax))
	out := []string{}
	if left > 0 {
		out = append(out, fmt.Sprintf("Left out of what follows: %s of %d states, where one way or the other they jump or do not last.", Count(left), len(m.Rows)))
	}
	even := most.Share <= evenShare
	switch {
	case even:
		out = append(out, t.symmetrical(most, known))
	case t.quiet():
		out = append(out, t.tooQuiet(most, swing))
	case most.Share <= nearlyShare && t.idle():
		even = true
		out = append(out, t.nearly(most))
	default:
		out = append(out, t.second()...)
	}
	out = append(out, t.odd()...)
	if !even {
		out = append(out, t.back()...)
	}
	return append(out, t.fourth()...)
}

// idle says that mirroring changes no second line by as much as matters.
func (t *mirrorTalk) idle() bool {
	best, worst := t.extremes()
	return best == nil && worst == nil
}

// nearly is said of curves that are not quite alike on both sides of rest, of drivers
// that do not gain by a mirror.
func (t *mirrorTalk) nearly(most driver.Asymmetry) string {
	r := t.r
	text := fmt.Sprintf("The drivers’ curves are so nearly symmetrical that mirroring %s next to nothing: the %s differs by %s between in and out at %s, and nothing else by more. Where the second harmonic is largest, %s, it %s it from %s to %s",
		t.does("buys", "buy"), most.Name, percents(most.Share), phys.Show(most.At, phys.Length, t.st.Units), t.at(r), t.does("takes", "take"), t.db(r.SameWay[0]), t.db(r.Facing[0]))
	if box := r.BoxAir[0]; !t.st.Model.LinearAir && box.OK() && math.Abs(gain(box, r.SameWay[0])) < half {
		text += fmt.Sprintf(": it is made by the air of the box, which alone leaves %s and which no mirror touches", t.db(box))
	}
	return text + "."
}

// quiet says that no second line is any matter, either way.
func (t *mirrorTalk) quiet() bool {
	for k := range t.m.Rows {
		if r := &t.m.Rows[k]; matters(r.SameWay[0], r.Facing[0]) {
			return false
		}
	}
	return true
}

// heard is a line's level as a number: what is rounding lies at its edge.
func heard(v phys.Maybe) float64 {
	if !v.OK() {
		return inaudible
	}
	return float64(v)
}

// gain is by how much mirroring lowers a line, dB; negative: it raises it.
func gain(same, now phys.Maybe) float64 { return heard(same) - heard(now) }

// matters says whether a line that is one or the other is any matter.
func matters(same, now phys.Maybe) bool { return math.Max(heard(same), heard(now)) > tinyShare }

func (t *mirrorTalk) db(v phys.Maybe) string {
	if !v.OK() {
		return "none"
	}
	return decibel(float64(v))
}

func decibel(v float64) string { return phys.Fixed(v, 1) + "\u2009dB" }

func percents(share float64) string { return phys.Digits(100*share, 2) + "\u2009%" }

func (t *mirrorTalk) at(r *MirrorRow) string {
	return fmt.Sprintf("at %s and %s", phys.Brief(r.Frequency, phys.Frequency, t.st.Units), phys.Brief(r.Volts, phys.Voltage, t.st.Units))
}

// does is a verb of what the mirror does, or would.
func (t *mirrorTalk) does(is, would string) string {
	if t.m.Mirrored {
		return is
	}
	return "would " + would
}

// by is the difference of two lines in words; nothing where one is none.
func (t *mirrorTalk) by(from, to phys.Maybe, more, less string) string {
	if !from.OK() || !to.OK() {
		return ""
	}
	if d := float64(to - from); d < 0 {
		return ", " + decibel(-d) + " " + less
	}
	return ", " + decibel(float64(to-from)) + " " + more
}

// symmetrical is said of curves that are alike on both sides of rest.
func (t *mirrorTalk) symmetrical(most driver.Asymmetry, known float64) string {
	alike := "are the same for in and out"
	if most.Share > 1e-6 {
		alike = "differ by " + percents(most.Share) + " between in and out at most"
	}
	text := fmt.Sprintf("The drivers’ curves are so symmetrical that mirroring buys nothing, at any drive that moves the cones no further than %s: up to there they %s, and a driver does the same whichever way it faces.",
		phys.Show(known, phys.Length, t.st.Units), alike)
	if !t.r.SameWay[0].OK() {
		return text + " There is no second harmonic to cancel."
	}
	text += fmt.Sprintf(" The second harmonic is %s at most, %s", t.db(t.r.SameWay[0]), t.at(t.r))
	if !t.st.Model.LinearAir && matters(t.r.SameWay[0], phys.None()) {
		text += ": it is made by the air, which no mirror touches"
	}
	return text + "."
}

// tooQuiet is said of curves that are not alike, at a drive at which that is not heard.
func (t *mirrorTalk) tooQuiet(most driver.Asymmetry, swing float64) string {
	u := t.st.Units
	return fmt.Sprintf("At this drive there is next to nothing to cancel: turned the same way, the second harmonic is %s at most, %s, where the cones go %s. The drivers’ curves are not symmetrical (the %s differs by %s between in and out at %s), so that a louder drive has to show what mirroring buys.",
		t.db(t.r.SameWay[0]), t.at(t.r), phys.Show(swing, phys.Length, u), most.Name, percents(most.Share), phys.Show(most.At, phys.Length, u))
}

// second tells what mirroring does to the second line where it is largest, and
// where it does the opposite.
func (t *mirrorTalk) second() []string {
	r := t.r
	same, now := r.SameWay[0], r.Facing[0]
	var out []string
	g := gain(same, now)
	switch {
	case g >= little:
		out = append(out, fmt.Sprintf("Where it is largest, %s, mirroring %s the second harmonic from %s to %s.", t.at(r), t.does("brings", "bring"), t.db(same), t.db(now)))
	case g > -little:
		out = append(out, fmt.Sprintf("Mirroring %s next to nothing: it %s the second harmonic from %s to %s %s, where it is largest.", t.does("buys", "buy"), t.does("takes", "take"), t.db(same), t.db(now), t.at(r)))
	default:
		out = append(out, fmt.Sprintf("Mirroring %s the second harmonic worse: %s it %s it from %s to %s%s.%s", t.does("makes", "make"), t.at(r), t.does("takes", "take"), t.db(same), t.db(now), t.by(same, now, "more", "less"), t.why(r)))
	}
	best, worst := t.extremes()
	if worst != nil && worst != r && g > -little {
		out = append(out, fmt.Sprintf("Elsewhere it %s it worse: %s from %s to %s%s.%s", t.does("makes", "make"), t.at(worst), t.db(worst.SameWay[0]), t.db(worst.Facing[0]), t.by(worst.SameWay[0], worst.Facing[0], "more", "less"), t.why(worst)))
	}
	if best != nil && best != r && g < little {
		out = append(out, fmt.Sprintf("Elsewhere it %s: %s from %s to %s%s.", t.does("helps", "help"), t.at(best), t.db(best.SameWay[0]), t.db(best.Facing[0]), t.by(best.SameWay[0], best.Facing[0], "more", "less")))
	}
	return out
}

// extremes are the rows at which the second line is largest of those that mirroring
// lowers by as much as matters, and of those that it raises; nil where there is none.
func (t *mirrorTalk) extremes() (best, worst *MirrorRow) {
	for k := range t.m.Rows {
		r := &t.m.Rows[k]
		if !matters(r.SameWay[0], r.Facing[0]) {
			continue
		}
		switch g := gain(r.SameWay[0], r.Facing[0]); {
		case g >= little && (best == nil || heard(r.SameWay[0]) > heard(best.SameWay[0])):
			best = r
		case g <= -little && (worst == nil || heard(r.Facing[0]) > heard(worst.Facing[0])):
			worst = r
		}
	}
	return best, worst
}

// why says what a same-way stack cancels that a mirrored one leaves, where the rows
// show it: what one cause alone leaves is more than all of them together did before.
func (t *mirrorTalk) why(r *MirrorRow) string {
	if box := r.BoxAir[0]; !t.st.Model.LinearAir && box.OK() && gain(box, r.SameWay[0]) >= little && heard(box) >= heard(r.GapAir[0]) {
		return fmt.Sprintf(" Turned the same way, the drivers’ curves cancel part of what the air of the box makes, which alone leaves %s.", t.db(box))
	}
	if gap := r.GapAir[0]; gap.OK() && gain(gap, r.SameWay[0]) >= little {
		return fmt.Sprintf(" The air between the cones lets them move unlike each other, so that their curves do not cancel: that alone leaves %s.", t.db(gap))
	}
	return ""
}

// odd tells whether the third and the fifth stay.
func (t *mirrorTalk) odd() []string {
	names := [2]string{"third", "fifth"}
	where, which := t.r, 0
	for k := range t.m.Rows {
		r := &t.m.Rows[k]
		for n := range names {
			change := math.Abs(gain(r.OddSame[n], r.Odd[n]))
			if matters(r.OddSame[n], r.Odd[n]) && change >= little && change > math.Abs(gain(where.OddSame[which], where.Odd[which])) {
				where, which = r, n
			}
		}
	}
	same, now := where.OddSame[which], where.Odd[which]
	switch {
	case !same.OK() && !now.OK():
		return nil
	case math.Abs(gain(same, now)) >= little && matters(same, now):
		return []string{fmt.Sprintf("Not all odd harmonics stay: %s the %s %s from %s, turned the same way, to %s, mirrored%s.", t.at(where), names[which], t.does("goes", "go"), t.db(same), t.db(now), t.by(same, now, "more", "less"))}
	}
	return []string{fmt.Sprintf("The odd harmonics stay: %s the third is %s mirrored, and %s turned the same way.", t.at(where), t.db(now), t.db(same))}
}

// back lists what takes back a part of what a perfect mirror would cancel.
func (t *mirrorTalk) back() []string {
	if t.r.off(ColumnTight) || matters(t.r.Tight[0], phys.None()) {
		return []string{fmt.Sprintf("Even a perfect mirror does not hold %s: the state in which its even harmonics cancel has ended there, or does not last.", t.at(t.r))}
	}
	back := ""
	add := func(what string, v phys.Maybe) {
		if v.OK() {
			if back != "" {
				back += ", "
			}
			back += fmt.Sprintf("%s alone leaves %s", what, t.db(v))
		}
	}
	if t.m.Coupled {
		add("the air between the cones", t.r.GapAir[0])
	}
	if !t.st.Model.LinearAir {
		add("the air of the box", t.r.BoxAir[0])
	}
	add("a pair of unlike samples ("+t.st.mismatch().Words(t.st.Units)+")", t.r.Unlike[0])
	if back == "" {
		return nil
	}
	return []string{"What takes it back: of a second harmonic that a perfect mirror would cancel, " + back + "."}
}

// fourth tells where mirroring raises the fourth most, and by what, where one cause
// alone leaves nearly all of it.
func (t *mirrorTalk) fourth() []string {
	var where *MirrorRow
	for k := range t.m.Rows {
		r := &t.m.Rows[k]
		if g := gain(r.SameWay[1], r.Facing[1]); g < -little && heard(r.Facing[1]) > tinyShare && (where == nil || g < gain(where.SameWay[1], where.Facing[1])) {
			where = r
		}
	}
	if where == nil {
		return nil
	}
	now, gap, box := where.Facing[1], where.GapAir[1], where.BoxAir[1]
	text := fmt.Sprintf("The fourth %s, from %s to %s %s", t.does("even rises", "even rise"), t.db(where.SameWay[1]), t.db(now), t.at(where))
	switch {
	case t.m.Coupled && heard(gap) >= heard(box) && gain(now, gap) < half:
		text += fmt.Sprintf(": where the cones move against each other on the air between them, nothing is cancelled, and that alone leaves %s", t.db(gap))
	case !t.st.Model.LinearAir && heard(box) > heard(gap) && gain(now, box) < half:
		text += fmt.Sprintf(": the air of the box, which no mirror touches, alone leaves %s", t.db(box))
	}
	return []string{text + "."}
}
