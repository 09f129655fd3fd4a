package study

import (
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// mostCompression is how much larger than a duct the cones before it usually are at the
// most (common practice, no source).
func mostCompression(k enclosure.Kind) float64 {
	if k == enclosure.FrontLoadedHorn || k == enclosure.BackLoadedHorn {
		return 4
	}
	return 2
}

// A lack is what stands in a duct and does not fit.
type lack struct {
	what       string
	need, have float64 // m
	at         float64 // m from the duct’s start
	along      bool    // it is too long for the duct, not too wide
	across     bool    // it is too deep for the duct, across it
}

func (l lack) by() float64    { return l.need - l.have }
func (l lack) share() float64 { return l.need / math.Max(l.have, 1e-6) }

// words say by how much.
func (l lack) words(show func(float64, phys.Kind) string) string {
	by := show(math.Ceil(l.by()*1e3-1e-6)/1e3, phys.Length)
	at := show(l.at, phys.Distance) + " from its start"
	if l.at == 0 {
		at = "its start"
	}
	switch {
	case l.along:
		return fmt.Sprintf("%s of %s is %s too long for the duct of %s", l.what, show(l.need, phys.Length), by, show(l.have, phys.Length))
	case l.across:
		return fmt.Sprintf("%s of %s is %s too deep for the duct, which is %s deep at %s", l.what, show(l.need, phys.Length), by, show(l.have, phys.Length), at)
	}
	return fmt.Sprintf("%s of %s is %s too wide for the duct, which is %s wide at %s", l.what, show(l.need, phys.Length), by, show(l.have, phys.Length), at)
}

// ductFit holds what stands in a duct against it.
type ductFit struct {
	sys   *enclosure.System
	panel float64
	worst lack
	some  bool // something was held
}

func (f *ductFit) take(l lack) {
	if l.need <= 0 {
		return
	}
	if !f.some || l.by() > f.worst.by() {
		f.worst, f.some = l, true
	}
}

// rectangular says that the study tells the form of the cross-section.
func (f *ductFit) rectangular() bool {
	s := f.sys.Spec.Line.Run.Section
	return s.Width > 0 || s.Aspect > 0
}

// fitOf holds the drivers of a candidate against the walls that they stand in and the
// duct that they stand in, all along a stack.
func fitOf(sys *enclosure.System, b *Body) ductFit {
	f := ductFit{sys: sys, panel: b.Panel}
	l := &sys.Spec.Line
	switch k := sys.Spec.Kind; {
	case k == enclosure.TappedWaveguide:
		for _, r := range b.Rows {
			f.inWall(r, l.Rear, r.Reach-b.Panel, math.Max(flangeIn(r), r.Outside()))
			if r.Ahead > 0 {
				f.inWall(r, l.Front, r.Ahead, flangeIn(r))
			}
		}
	case k == enclosure.TransmissionLine && l.Driver > 0:
		for _, r := range b.Rows {
			f.inWall(r, l.Driver, r.Reach-b.Panel, math.Max(f.flangeOn(r), r.Outside()))
		}
	case k == enclosure.TransmissionLine:
		f.inEnd(b.Rows)
	case k == enclosure.BackLoadedHorn && l.Throat.Volume == 0:
		f.inEnd(b.Rows)
	}
	return f
}

// inWall holds a stack in a side wall against the clear section at a place: the wall is
// that of the two in which less is lacking. A round duct has one wall, and is as wide and
// as deep as its diameter, which has to suffice all along the stack.
func (f *ductFit) inWall(r Row, at, reach, width float64) {
	if !f.rectangular() {
		for _, x := range []float64{at - width/2, at + width/2} {
			x = math.Min(math.Max(x, 0), f.sys.Facts.Line.Length)
			if f.diameter(x) < f.diameter(at) {
				at = x
			}
		}
	}
	wall, across := f.sys.Section(at)
	if lackIn(across, wall, reach, width) < lackIn(wall, across, reach, width) {
		wall, across = across, wall
	}
	f.take(lack{what: f.named(r, "frame"), need: width, have: wall, at: at})
	f.take(lack{what: f.named(r, "depth") + ", with the air behind it,", need: behind(reach), have: across, at: at, across: true})
}

// diameter is that of a round duct at a place.
func (f *ductFit) diameter(at float64) float64 {
	d, _ := f.sys.Section(at)
	return d
}

// behind is how deep a duct has to be for drivers that reach so far into it.
func behind(reach float64) float64 {
	if reach > 0 {
		return reach + breath
	}
	return 0
}

// lackIn is what drivers lack in a wall of a duct that is so deep across it.
func lackIn(wall, across, reach, width float64) float64 {
	return math.Max(width-wall, behind(reach)-across)
}

// inWalls is what the drivers of a line lack at the most, and no less than nothing, in
// either of its walls: in the one that is wide, looking out across the legs of a fold, and
// in the other, above them.
func inWalls(sys *enclosure.System, b *Body) (across, above float64) {
	f := ductFit{sys: sys, panel: b.Panel}
	w, h := sys.Section(sys.Spec.Line.Driver)
	for _, r := range b.Rows {
		reach, width := r.Reach-b.Panel, math.Max(f.flangeOn(r), r.Outside())
		across = math.Max(across, lackIn(w, h, reach, width))
		above = math.Max(above, lackIn(h, w, reach, width))
	}
	return across, above
}

// inEnd holds stacks in the closed end of a duct, side by side along its wider side,
// against the clear section all along them.
func (f *ductFit) inEnd(rows []Row) {
	beside, length := -f.panel*2, f.sys.Facts.Line.Length
	for _, r := range rows {
		beside += r.Seats[0].Frame.Flange + clearance
		f.take(lack{what: f.named(r, "depth") + ", with the air behind it,", need: r.Reach - f.panel + breath, have: length, along: true})
		for k, s := range r.Seats {
			in := func(x float64) float64 { return math.Min(math.Max(x-f.panel, 0), length) }
			_, first := f.sides(0)
			if k == 0 {
				f.take(lack{what: f.named(r, "frame"), need: f.flangeOn(r), have: first})
			} else {
				at := in(s.Mount)
				_, clear := f.sides(at)
				f.take(lack{what: "the inner driver’s frame", need: s.Frame.Flange + clearance, have: clear, at: at})
			}
			if s.Facing == driver.Front {
				at := in(s.Back())
				_, clear := f.sides(at)
				f.take(lack{what: "the magnet", need: 2 * s.Frame.Magnet, have: clear, at: at})
			}
			if s.Tube {
				_, far := s.Shelf()
				for _, x := range []float64{in(s.From), in(far)} {
					_, clear := f.sides(x)
					f.take(lack{what: "the tube of the stack", need: r.Outside(), have: clear, at: x})
				}
			}
		}
	}
	if len(rows) > 1 {
		wide, _ := f.sides(0)
		f.take(lack{what: "the row of " + Count(len(rows)) + " frames", need: beside, have: wide})
	}
}

// sides is the clear section, its wider side first.
func (f *ductFit) sides(at float64) (wide, narrow float64) {
	w, h := f.sys.Section(at)
	return math.Max(w, h), math.Min(w, h)
}

// flangeIn is what the widest flange needs between the walls.
func flangeIn(r Row) float64 {
	w := 0.0
	for _, s := range r.Seats {
		w = math.Max(w, s.Frame.Flange+clearance)
	}
	return w
}

// flangeOn is what the outer flange needs, which may lie on the edges of the boards
// beside it; the hole behind it may not.
func (f *ductFit) flangeOn(r Row) float64 {
	s := r.Seats[0].Frame
	return math.Max(s.Cutout+clearance, s.Flange-2*f.panel)
}

// named is what belongs to a driver or to a stack.
func (f *ductFit) named(r Row, of string) string {
	if len(r.Seats) > 1 {
		return "the stack’s " + of
	}
	return "the driver’s " + of
}

// ductFrame holds what stands in a duct of a stated form against it.
func (c *checker) ductFrame() {
	if c.m.sys.Facts.Line == nil {
		return
	}
	f := fitOf(c.m.sys, &c.o.Body)
	if !f.some || !f.rectangular() {
		return
	}
	l := f.worst
	c.add(Check{ID: CheckDuctFrame, Name: "drivers in the duct", Kind: phys.Length, Value: phys.Maybe(l.need), Limit: l.have, Fill: phys.Maybe(min(l.share(), 1e3)), At: phys.None(), Asked: true},
		"does not fit its duct", l.words(c.show), plainly("a wider duct there, or a smaller woofer in a deeper stack"))
}

// roomFor is the air that the space holds inside the boards, m³; none without a space.
func (st *Study) roomFor() (float64, bool) {
	r, ok := st.Inside()
	return r.Air(), ok
}

// airAndBodies is what a duct with its chambers and the drivers inside takes, m³.
func airAndBodies(sys *enclosure.System) float64 {
	v := sys.Facts.NetVolume
	for _, s := range sys.Facts.Standing {
		v += s.Volume
	}
	before, behind := sys.Bodies()
	switch sys.Spec.Kind {
	case enclosure.FrontLoadedHorn:
		v += before + behind
	case enclosure.BackLoadedHorn:
		v += behind
	}
	return v
}

// lineFit holds a duct to its space: by a fold that fits, or by what is sure however it
// is folded, that it cannot hold more air than the whole space.
func (c *checker) lineFit() {
	room, ok := c.st.roomFor()
	if !ok {
		return
	}
	if c.m.sys.Spec.Net != nil {
		c.airFit("network’s", "its air alone takes", c.m.sys.Facts.NetVolume, room, "smaller chambers, or another space")
		return
	}
	if c.m.sys.Facts.Line == nil {
		return
	}
	if f := c.o.Body.Fold; f != nil && f.Fits {
		wide, _, _ := f.Size()
		limit := c.st.Space.Width
		c.add(Check{ID: CheckFit, Name: "fit in " + c.asked(limit, phys.Length), Kind: phys.Length, Value: phys.Maybe(wide), Limit: limit, Fill: phys.Maybe(min(wide/limit, 1)), At: phys.None(), Asked: true}, "", "", nil)
		return
	}
	c.airFit("duct’s", "its air and the drivers in it alone take", airAndBodies(c.m.sys), room, "a shorter or a narrower duct, or another space")
}

// airFit holds what takes up air against all the air that the space has, however it is
// laid out; what the space could hold is told as a finding.
func (c *checker) airFit(of, what string, air, room float64, mend string) {
	if air <= room {
		return
	}
	limit := c.show(room, phys.Volume)
	c.add(Check{ID: CheckDuctAir, Name: of + " air in " + limit, Kind: phys.Volume, Value: phys.Maybe(air), Limit: room, Fill: phys.Maybe(min(air/room, 1e3)), At: phys.None(), Asked: true},
		"does not fit", fmt.Sprintf("%s %s, and the space has %s inside its boards", what, c.show(air, phys.Volume), limit), plainly(mend))
}

// lineFindings warn of what stands in a round duct, at its end or along it, and does not fit it, of cones that
// are large for their duct, and of a space in which no fold was found.
func (st *Study) lineFindings(o *Outcome) []note.Finding {
	sys := o.System
	if sys.Spec.Net != nil {
		return st.netFindings(o)
	}
	if sys.Facts.Line == nil {
		return nil
	}
	l := boxAccount{st: st, o: o}
	where := "candidates." + o.Candidate.Name + ".enclosure.duct"
	var out []note.Finding
	warn := func(id, text, mend string) {
		out = append(out, note.Finding{ID: id, Severity: note.Warning, Where: where, At: o.Candidate.At, Text: where + ": " + text, Mend: mend})
	}
	if room, ok := st.roomFor(); ok && airAndBodies(sys) <= room && (o.Body.Fold == nil || !o.Body.Fold.Fits) {
		text := "it is too wide to be folded in parallel legs"
		if f := o.Body.Fold; f != nil {
			text = fmt.Sprintf("no fold in parallel legs fits the space; the nearest, of %s, is %s", legs(len(f.Legs)), f.Why)
			if !f.Meets {
				text = "no fold in parallel legs lays the two places side by side that the cone looks into"
			}
		}
		warn("line-not-folded", fmt.Sprintf("%s; it holds %s of air, and the space %s inside its boards, so that another fold may", text, l.show(sys.Facts.NetVolume, phys.Volume), l.show(room, phys.Volume)),
			"lay the folds out by hand, or make the duct narrower or shorter")
	}
	if f := fitOf(sys, &o.Body); f.some && f.worst.by() > slack && !f.rectangular() {
		warn("line-too-narrow", f.worst.words(l.show)+", as it is round", "make the duct wider there, write its width or aspect, or take a smaller woofer in a deeper stack")
	}
	if sd, area := l.coneOverDuct(); sd/area > mostCompression(sys.Spec.Kind)*(1+1e-9) {
		warn("duct-compression", fmt.Sprintf("the cones have %s times the area of the duct where they look into it; up to %s is usual here (common practice, no source)", phys.Digits(sd/area, 3), phys.Digits(mostCompression(sys.Spec.Kind), 2)),
			"make the duct wider there, or take smaller woofers in a deeper stack")
	}
	return out
}

// legs counts the legs of a fold.
func legs(n int) string {
	if n == 1 {
		return "one leg"
	}
	return Count(n) + " legs"
}

// coneOverDuct is the area of the outer cones and that of the duct where they look into
// it, m²; of a tapped waveguide, at the narrower of its two places.
func (l *boxAccount) coneOverDuct() (sd, area float64) {
	sys := l.o.System
	for _, stack := range sys.Group.Positions {
		sd += stack[0].Driver.Sd
	}
	area = sys.Facts.Line.Area(l.place())
	if sys.Spec.Kind == enclosure.TappedWaveguide {
		area = math.Min(area, sys.Facts.Line.Area(sys.Spec.Line.Front))
	}
	return sd, area
}

// clear tells how wide the duct is where drivers stand in it.
func (l *boxAccount) clear() {
	f := fitOf(l.o.System, &l.o.Body)
	if !f.some {
		return
	}
	w := f.worst
	why := "what stands in the duct fits it"
	if w.by() > slack {
		why = w.words(l.show)
	}
	l.add(note.Step{Name: "Clear width at the drivers", Kind: phys.Length, Value: phys.Maybe(w.have), Why: why, Formula: "of the duct, where what stands in it comes nearest to its walls",
		Numbers: fmt.Sprintf("%s needs %s", w.what, l.show(w.need, phys.Length)), Source: "geometry; what the sheet does not give follows from the cone"})
}

// standing tells what stands in the duct.
func (l *boxAccount) standing() {
	for _, s := range l.o.System.Facts.Standing {
		name := "Taken off the duct"
		if s.At != "driver" {
			name += " at the " + s.At
		}
		l.add(note.Step{Name: name, Kind: phys.Volume, Value: phys.Maybe(s.Volume),
			Why:     fmt.Sprintf("drivers, the air between their cones and what carries them stand in the duct from %s to %s and leave %s of it", l.show(s.From, phys.Distance), l.show(s.To, phys.Distance), l.show(s.Left, phys.Area)),
			Formula: "bodies + coupling air + boards", Numbers: "the same share of the cross-section all along", Source: "the sheets’ displacement, else by the cone’s size"})
	}
}

// fold tells how the duct is folded into its space.
func (l *boxAccount) fold() {
	f := l.o.Body.Fold
	if f == nil {
		return
	}
	wide, high, deep := f.Size()
	why := fmt.Sprintf("in %s it is %s wide, %s high and %s deep with its boards", legs(len(f.Legs)), l.show(wide, phys.Length), l.show(high, phys.Length), l.show(deep, phys.Length))
	var short []string
	if f.Why != "" {
		short = append(short, f.Why)
	}
	if !f.Meets {
		short = append(short, "it does not bring the two places together that the cone looks into")
	}
	if len(short) > 0 {
		why += ": " + list(short, "and")
	}
	l.add(note.Step{Name: "Folded", Kind: phys.Distance, Value: phys.Maybe(f.Centre()), Why: why, Formula: "legs + ways across, along the centre line",
		Numbers: fmt.Sprintf("%s of %s inside", legs(len(f.Legs)), l.show(f.Inside, phys.Distance)), Source: "geometry; parallel legs, each as wide as at its widest"})
}
