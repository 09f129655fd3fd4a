package driver

import (
	"fmt"
	"slices"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// GroupSpec is a group in the words of a study. Either Driver with SideBySide
// and Stack, or Members.
type GroupSpec struct {
	Driver      *Driver
	Members     [][]*Driver // one list for each position, from the listener inward
	SideBySide  int         // 1 or more with Driver, 0 with Members
	Stack       int         // 1 or more with Driver, 0 with Members
	Arrangement Arrangement // Single: not said
	Facing      []Facing    // one for each driver of a stack, the same at every position; empty: as the arrangement says
	Coupling    []Coupling  // one for each gap from the listener inward; empty: rigid
	AllGaps     bool        // the one Coupling stands for every gap
	Wiring      Wiring      // zero: not said, which is parallel
	Polarity    []int       // +1 or −1, one for each driver in member order; empty: what the arrangement needs
	Split       Split       // over the channels of the amplifier
	Outputs     int         // that the amplifier has, for Split
	Elsewhere   bool        // some positions look elsewhere than the others, so that which way is right is theirs
	Where       string      // path of the group in the study, for findings
}

const (
	mostDrivers = 64
	// longestCoupling is where ωl/c reaches 1 at 55 Hz: beyond it the air
	// between two cones is a pipe and no longer a lump.
	longestCoupling = 1.0
	// narrowestCoupling is the least mean cross-section of coupling air, as a
	// part of the cone's area: below it the air is a duct of its own.
	narrowestCoupling = 0.25
)

// NewGroup builds a group. The findings are the defaults that were applied
// and loud warnings about cones that work against each other, which is a
// mistake that can still be simulated. The error is a *GroupError.
func NewGroup(spec GroupSpec) (*Group, []note.Finding, error) {
	members, err := spec.members()
	if err != nil {
		return nil, nil, err
	}
	depth := len(members[0])
	facing, arrangement, err := spec.facing(depth)
	if err != nil {
		return nil, nil, err
	}
	g := &Group{Arrangement: arrangement, Unlike: spec.Members != nil, Elsewhere: spec.Elsewhere}
	for _, stack := range members {
		row := make([]Member, depth)
		for k, d := range stack {
			row[k] = Member{Driver: d, Facing: facing[k], Polarity: int(facing[k])}
		}
		g.Positions = append(g.Positions, row)
	}
	if err := g.setPolarity(spec.Polarity); err != nil {
		return nil, nil, err
	}
	if g.Coupling, err = spec.coupling(g); err != nil {
		return nil, nil, err
	}
	if err := g.share(spec.Split, spec.Outputs); err != nil {
		return nil, nil, err
	}
	if err := g.strung(spec.Wiring); err != nil {
		return nil, nil, err
	}
	return g, append(spec.defaults(g), g.Fights(spec.Where)...), nil
}

// members lays the drivers out, position by position.
func (s GroupSpec) members() ([][]*Driver, error) {
	if s.Members != nil {
		return s.listed()
	}
	switch {
	case s.Driver == nil:
		return nil, &GroupError{"driver", "the group has no driver", "name one of the study’s drivers"}
	case s.SideBySide < 1:
		return nil, &GroupError{"side_by_side", fmt.Sprintf("%d positions cannot radiate", s.SideBySide), "write 1 or more, or leave it out for 1"}
	case s.Stack < 1:
		return nil, &GroupError{"stack", fmt.Sprintf("a stack of %d holds no driver", s.Stack), "write 1 or more, or leave it out for 1"}
	case s.SideBySide > mostDrivers || s.Stack > mostDrivers || s.SideBySide*s.Stack > mostDrivers:
		return nil, &GroupError{"side_by_side", fmt.Sprintf("%d × %d drivers are more than the %d that a group may hold", s.SideBySide, s.Stack, mostDrivers), "take fewer, or a part of the group in a part of the box"}
	}
	out := make([][]*Driver, s.SideBySide)
	for p := range out {
		out[p] = slices.Repeat([]*Driver{s.Driver}, s.Stack)
	}
	return out, nil
}

func (s GroupSpec) listed() ([][]*Driver, error) {
	fail := func(reason, mend string) ([][]*Driver, error) {
		return nil, &GroupError{"members", reason, mend}
	}
	if s.Driver != nil || s.SideBySide != 0 || s.Stack != 0 {
		return fail("members says again what driver, side_by_side or stack say", "keep members alone, or leave it out")
	}
	if len(s.Members) == 0 || len(s.Members[0]) == 0 {
		return fail("members is empty", "write one list for each position: [[front, rear], …]")
	}
	n := 0
	for p, stack := range s.Members {
		if len(stack) != len(s.Members[0]) {
			return fail(fmt.Sprintf("position %d has %s and position 1 has %d", p+1, counted(len(stack), "driver"), len(s.Members[0])),
				"make all positions equally deep")
		}
		if slices.Contains(stack, nil) {
			return fail(fmt.Sprintf("position %d names no driver", p+1), "name one of the study’s drivers")
		}
		n += len(stack)
	}
	if n > mostDrivers {
		return fail(fmt.Sprintf("%d drivers are more than the %d that a group may hold", n, mostDrivers), "take fewer")
	}
	return s.Members, nil
}

// facing settles which side each driver of a stack turns to the listener.
func (s GroupSpec) facing(depth int) ([]Facing, Arrangement, error) {
	a := s.Arrangement
	if len(s.Facing) > 0 {
		return s.facingListed(depth)
	}
	switch {
	case depth == 1 && a != Single:
		return nil, 0, &GroupError{"arrangement", fmt.Sprintf("%s is an arrangement of a stack, and this group has none", a), "write stack: 2, or leave arrangement out"}
	case a == MixedFacing, depth > 2 && a != Single && a != Tandem:
		return nil, 0, &GroupError{"arrangement", fmt.Sprintf("%s does not say how the drivers of a stack of %d face", a, depth),
			"write arrangement: tandem, or facing with front or rear for each driver from the listener inward"}
	}
	out := slices.Repeat([]Facing{Front}, depth)
	switch {
	case a == Clamshell:
		out[0] = Rear
	case a == BackToBack:
		out[1] = Rear
	case depth > 1:
		a = Tandem
	}
	return out, a, nil
}

func (s GroupSpec) facingListed(depth int) ([]Facing, Arrangement, error) {
	if s.Arrangement != Single {
		return nil, 0, &GroupError{"facing", "facing says again what arrangement says", "keep one of the two"}
	}
	if len(s.Facing) != depth {
		return nil, 0, &GroupError{"facing", fmt.Sprintf("it lists %s, and each stack has %d", counted(len(s.Facing), "driver"), depth),
			"list front or rear for each driver of one stack, from the listener inward"}
	}
	turned := 0
	for _, f := range s.Facing {
		if f != Front && f != Rear {
			return nil, 0, &GroupError{"facing", "a driver turns neither front nor rear to the listener", "write front or rear"}
		}
		if f == s.Facing[0] {
			turned++
		}
	}
	a := MixedFacing
	switch {
	case depth == 1:
		a = Single
	case turned == depth:
		a = Tandem
	case depth == 2 && s.Facing[0] == Rear:
		a = Clamshell
	case depth == 2:
		a = BackToBack
	}
	return slices.Clone(s.Facing), a, nil
}

// setPolarity replaces the needed polarity by a stated one.
func (g *Group) setPolarity(list []int) error {
	if len(list) == 0 {
		return nil
	}
	if len(list) != g.Count() {
		return &GroupError{"polarity", fmt.Sprintf("it lists %s, and the group has %d", counted(len(list), "driver"), g.Count()),
			"list normal or reversed for each driver: position by position, from the listener inward"}
	}
	for i, p := range list {
		if p != 1 && p != -1 {
			return &GroupError{"polarity", fmt.Sprintf("driver %d is neither normal nor reversed", i+1), "write normal or reversed"}
		}
		g.Positions[i/g.Depth()][i%g.Depth()].Polarity = p
	}
	return nil
}

// coupling settles the air of each gap of a stack.
func (s GroupSpec) coupling(g *Group) ([]Coupling, error) {
	fail := func(reason, mend string) ([]Coupling, error) { return nil, &GroupError{"coupling", reason, mend} }
	gaps := g.Depth() - 1
	list := s.Coupling
	switch {
	case len(list) == 0:
		return nil, nil
	case gaps == 0:
		return fail("there is coupling air only between the drivers of a stack, and this group has none", "write stack: 2, or leave coupling out")
	case s.AllGaps && len(list) == 1:
		list = slices.Repeat(list, gaps)
	case len(list) != gaps:
		return fail(fmt.Sprintf("it lists %s, and a stack of %d has %d", counted(len(list), "gap"), g.Depth(), gaps),
			"give one for each gap from the listener inward, or one for all without brackets")
	}
	widest := 0.0
	for _, p := range g.Positions {
		for _, m := range p {
			widest = max(widest, m.Driver.Sd)
		}
	}
	for _, c := range list {
		shown := phys.Brief(c.Volume, phys.Volume, phys.Metric)
		switch {
		case !(c.Volume >= 0 && c.Volume < 10):
			return fail("a volume of "+shown+" cannot be between two cones", "give 0 L or more, or leave it out for a rigid coupling")
		case !(c.Length >= 0 && c.Length <= longestCoupling):
			return fail("a length of "+phys.Brief(c.Length, phys.Length, phys.Metric)+" between two cones is a pipe, not a coupling",
				"give at most "+phys.Brief(longestCoupling, phys.Length, phys.Metric)+", or build it as a network with a duct")
		case c.Length > 0 && c.Volume < narrowestCoupling*widest*c.Length:
			return fail(fmt.Sprintf("%s over %s is a channel of %s, less than a quarter of the cone’s %s", shown, phys.Brief(c.Length, phys.Length, phys.Metric),
				phys.Brief(c.Volume/c.Length, phys.Area, phys.Metric), phys.Brief(widest, phys.Area, phys.Metric)), "shorten the length, or correct the volume")
		}
	}
	if !slices.ContainsFunc(list, func(c Coupling) bool { return c.Volume > 0 }) {
		return nil, nil // no air at all between the cones is a rigid link
	}
	return slices.Clone(list), nil
}

// defaults tells what was filled in.
func (s GroupSpec) defaults(g *Group) []note.Finding {
	var out []note.Finding
	if g.Depth() > 1 && s.Arrangement == Single && len(s.Facing) == 0 {
		out = append(out, note.Finding{
			ID: "default-arrangement", Severity: note.Default, Where: under(s.Where, "arrangement"),
			Text: "the drivers of the stack all face the listener (tandem)", Mend: "write arrangement to replace it",
		})
	}
	if g.Depth() > 1 && len(s.Coupling) == 0 {
		out = append(out, note.Finding{
			ID: "default-coupling", Severity: note.Default, Where: under(s.Where, "coupling"),
			Text: "the cones of the stack are rigidly coupled", Mend: "give the air between them, such as coupling: 2.1 L",
		})
	}
	if slices.Contains(g.NeededPolarity(), -1) && len(s.Polarity) == 0 {
		out = append(out, note.Finding{
			ID: "default-polarity", Severity: note.Default, Where: under(s.Where, "polarity"),
			Text: "drivers that turn their rear to the listener are wired reversed", Mend: "write " + g.polarityWords() + ", or what is so",
		})
	}
	if n := g.CoilsAChannel(); n > 1 && s.Wiring.Way == WiringDefault {
		text := fmt.Sprintf("all %d coils are wired in parallel", n)
		if g.ChannelCount() > 1 {
			text = "the coils of each channel are wired in parallel"
		}
		out = append(out, note.Finding{
			ID: "default-wiring", Severity: note.Default, Where: under(s.Where, "wiring"),
			Text: text, Mend: "write wiring to replace it",
		})
	}
	return out
}

// counted is "1 gap" or "2 gaps".
func counted(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

func under(where, key string) string {
	if where == "" {
		return key
	}
	return where + "." + key
}

// Fights warns of cones that are wired to work against each other.
func (g *Group) Fights(where string) []note.Finding {
	var out []note.Finding
	for p, stack := range g.Positions {
		if g.StackMovesTogether(p) {
			continue
		}
		var outward, inward []string
		for k, m := range stack {
			if m.Direction() > 0 {
				outward = append(outward, fmt.Sprint(k+1))
			} else {
				inward = append(inward, fmt.Sprint(k+1))
			}
		}
		at := ""
		if g.SideBySide() > 1 {
			at = fmt.Sprintf(" at position %d", p+1)
		}
		out = append(out, note.Finding{
			ID: "polarity-fights", Severity: note.Warning, Where: under(where, "polarity"),
			Text: fmt.Sprintf("the cones of the stack%s fight: %s pushes out while %s pulls in (counted from the listener inward); "+
				"little sound comes out at low frequency, the coils heat all the same, and the impedance lacks its hump at resonance",
				at, listOf(outward, "and"), listOf(inward, "and")),
			Mend: "leave polarity out, or write " + g.polarityWords(),
		})
	}
	if len(out) == 0 && !g.MovesTogether() {
		out = append(out, note.Finding{
			ID: "positions-oppose", Severity: note.Warning, Where: under(where, "polarity"),
			Text: "positions that lie side by side move opposite ways: at low frequency their sound cancels, and in one chamber the air passes from cone to cone",
			Mend: "leave polarity out, or write " + g.polarityWords(),
		})
	}
	return out
}

// polarityWords is the needed polarity as the study file writes it.
func (g *Group) polarityWords() string {
	text := "polarity: ["
	for i, p := range g.NeededPolarity() {
		if i > 0 {
			text += ", "
		}
		if p > 0 {
			text += "normal"
		} else {
			text += "reversed"
		}
	}
	return text + "]"
}
