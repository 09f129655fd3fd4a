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

// Candidates is how many colours there are for candidates; the next one begins again with the next dash.
const Candidates = 5

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

// dashes are the patterns of the candidates at a line width of 2: solid, long dash, dash dot, short dash, dots.
var dashes = [Candidates][]float64{nil, {14, 4}, {10, 3, 2, 3}, {5, 3}, {1.5, 3.5}}

// dashIndex moves the pattern on by one each time the colours begin again, so that no two of the first 25
// candidates share both.
func dashIndex(i int) int {
	if i < 0 {
		return 0
	}
	return (i%Candidates + i/Candidates) % Candidates
}

// Dash is the dash pattern of candidate i at a line width of 2 (lengths of stroke and gap in turn); nil is a solid
// line. It is the caller's own copy. Use [DashAt] for other widths. A negative i is solid.
func Dash(i int) []float64 { return DashAt(i, 2) }

// DashAt is [Dash] scaled to a line width.
func DashAt(i int, width float64) []float64 {
	var out []float64
	for _, d := range dashes[dashIndex(i)] {
		out = append(out, d*width/2)
	}
	return out
}

// Dotted reports whether the pattern of candidate i is the dotted one, which is drawn with round ends.
func Dotted(i int) bool { return dashIndex(i) == Candidates-1 }
