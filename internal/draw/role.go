package draw

// Role says what a colour is for. A [Theme] says which colour that is.
type Role uint8

// The roles of the house: paper and ink, and two marks.
const (
	None  Role = iota // not painted
	Paper             // the ground
	Wash              // a quiet area on the ground
	Ink               // text and thick outlines
	Soft              // second text: units, axis numbers, sources
	Rule              // axes, limits, what may be touched
	Hair              // grid: decoration, never the only carrier of a meaning
	Stop              // cannot be
	Heed              // look here
	lineRoles
)

// Candidates is how many colours there are for candidates; the next one begins again with a dash of its own.
const Candidates = 8

// Patterns is how many dash patterns there are: the dashes alone tell so many candidates apart.
const Patterns = 10

const (
	textRoles = lineRoles + Candidates
	roleCount = int(textRoles) + Candidates
)

// Line is the colour of the curve of candidate i, counted from 0 by its place in the study.
// Colours repeat after [Candidates]; [Dash] then differs. A negative i is not a candidate (a measured curve): [Ink].
func Line(i int) Role {
	if i < 0 {
		return Ink
	}
	return lineRoles + Role(i%Candidates)
}

// Text is the colour of words about candidate i: the hue of [Line], with contrast enough for text.
func Text(i int) Role {
	if i < 0 {
		return Ink
	}
	return textRoles + Role(i%Candidates)
}

// dashes are the patterns of the candidates at a line width of 2: solid, long dash, dash dot, short dash, dots; then
// dash dot dot, short and long, sparse, a long and two short, pairs of dots.
var dashes = [Patterns][]float64{
	nil, {14, 4}, {10, 3, 2, 3}, {5, 3}, {1.5, 3.5},
	{14, 3, 2, 3, 2, 3}, {5, 3, 16, 3}, {5, 9}, {14, 3, 5, 3, 5, 3}, {1.5, 3.5, 1.5, 9},
}

// Looks is how many candidates differ in colour or dash; then both begin again.
const Looks = Candidates * Patterns

// Pattern is the place of candidate i's dash among the [Patterns]. It moves on by one when the first colour meets the
// first dash again, so that no two of the first [Looks] candidates share both. A negative i is solid.
func Pattern(i int) int {
	if i < 0 {
		return 0
	}
	return (i%Looks + i%Looks/meet) % Patterns
}

// meet is after how many candidates the first colour meets the first dash again: the least common multiple of how many
// there are of each.
const meet = 40

// pattern is whose dash a curve has.
func (s Series) pattern() int {
	if s.Dash > 0 {
		return s.Dash - 1
	}
	return s.Index
}

// inked is the share of a line that its pattern draws.
func inked(i int) float64 {
	stroke, all := 0.0, 0.0
	for k, v := range dashes[Pattern(i)] {
		all += v
		if k%2 == 0 {
			stroke += v
		}
	}
	if all == 0 {
		return 1
	}
	return stroke / all
}

// Dash is the dash pattern of candidate i at a line width of 2 (lengths of stroke and gap in turn); nil is a solid
// line. It is the caller's own copy. Use [DashAt] for other widths. A negative i is solid.
func Dash(i int) []float64 { return DashAt(i, 2) }

// DashAt is [Dash] scaled to a line width.
func DashAt(i int, width float64) []float64 {
	var out []float64
	for _, d := range dashes[Pattern(i)] {
		out = append(out, d*width/2)
	}
	return out
}

// Dotted reports whether the pattern of candidate i is of dots alone, which are drawn with round ends.
func Dotted(i int) bool {
	for k, d := range dashes[Pattern(i)] {
		if k%2 == 0 && d >= 2 {
			return false
		}
	}
	return len(dashes[Pattern(i)]) > 0
}
