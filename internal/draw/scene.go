package draw

// Scene is a drawing: shapes and texts in the order in which they are painted. Make one with [NewScene]. Lengths are
// in units of the scene, y points down. A length or place that is not a finite number is the caller's mistake and
// panics: what cannot be computed must not reach the drawing.
type Scene struct {
	W, H  float64
	Theme Theme
	Title string // what the drawing is, in a few words: read out, and shown as the title of the document
	Desc  string // what it shows, in a sentence or two: for who cannot see it

	ops   []op
	depth int // clips that are open
}

// NewScene is an empty drawing.
func NewScene(w, h float64, t Theme) *Scene {
	if !finite(w) || !finite(h) || w <= 0 || h <= 0 {
		panic("draw: a scene needs a width and a height above zero")
	}
	return &Scene{W: w, H: h, Theme: t}
}

// Style says how a shape is painted: filled, hatched, then stroked. Corners are round.
type Style struct {
	Fill    Role
	Hatch   Hatch
	Stroke  Role
	Width   float64   // of the stroke
	Dash    []float64 // lengths of stroke and gap in turn; nil is solid
	Round   bool      // round ends of lines and dashes
	Opacity float64   // 0 and 1 are opaque
	NoHalo  bool      // never edged, whatever the theme: grids and what lies under other things
}

// Hatch fills with parallel lines at 45°. The lines of one scene that have the same pitch are in step with each other.
type Hatch struct {
	Role    Role
	Falling bool    // from top left to bottom right; otherwise rising
	Pitch   float64 // distance from line to line, square to them; 0 is no hatch
	Width   float64
}

// Weight of a text.
type Weight uint8

// The three weights of the house.
const (
	Regular Weight = iota
	Medium
	Strong
)

// Anchor says which part of a text stands at its place.
type Anchor uint8

// Anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// TextStyle says how a text is set. The place of a text is on its baseline.
type TextStyle struct {
	Role     Role // None is Ink
	Size     float64
	Weight   Weight
	Anchor   Anchor
	Rotation float64 // degrees, clockwise about the text's place; −90 reads upwards
	Halo     bool    // stands on an edging of paper
	Over     float64 // length of the dimension that it stands over: inline it is told, so that a page can leave out what is too long for it at its size
}

type opKind uint8

const (
	opShape opKind = iota
	opText
	opClip
	opUnclip
)

type op struct {
	kind  opKind
	path  Path
	style Style
	at    Point
	text  string
	ts    TextStyle
}

// Line draws a straight line.
func (s *Scene) Line(x1, y1, x2, y2 float64, st Style) {
	st.Fill, st.Hatch = None, Hatch{}
	s.take(new(Path).M(x1, y1).L(x2, y2), st)
}

// Rect draws a rectangle.
func (s *Scene) Rect(x, y, w, h float64, st Style) { s.take(new(Path).Box(x, y, w, h), st) }

// Circle draws a circle.
func (s *Scene) Circle(x, y, r float64, st Style) { s.take(new(Path).Disc(x, y, r), st) }

// Path draws an outline. The path is copied.
func (s *Scene) Path(p *Path, st Style) {
	c := p.copy()
	s.take(&c, st)
}

// take is Path with one that nobody goes on with.
func (s *Scene) take(p *Path, st Style) {
	if !finite(st.Width) || st.Width < 0 || !finite(st.Opacity) {
		panic("draw: a stroke's width must be a number, not below zero")
	}
	if p.Empty() {
		return
	}
	st.Dash = soundDash(st.Dash)
	s.ops = append(s.ops, op{kind: opShape, path: *p, style: st})
}

// soundDash drops patterns that would never get anywhere.
func soundDash(d []float64) []float64 {
	sum := 0.0
	for _, v := range d {
		if !finite(v) || v < 0 {
			panic("draw: a dash must be a number, not below zero")
		}
		sum += v
	}
	if sum <= 0 {
		return nil
	}
	return append([]float64(nil), d...)
}

// Text writes one line. Line breaks become spaces; an empty text is left out.
func (s *Scene) Text(x, y float64, text string, st TextStyle) {
	if !finite(x) || !finite(y) || !finite(st.Size) || !finite(st.Rotation) || st.Size <= 0 {
		panic("draw: a text needs a place and a size above zero")
	}
	if text = clean(text); text == "" {
		return
	}
	if st.Weight > Strong {
		st.Weight = Regular
	}
	if st.Role == None {
		st.Role = Ink
	}
	s.ops = append(s.ops, op{kind: opText, at: Point{x, y}, text: text, ts: st})
}

// Clip confines what follows to the inside of a path, until [Scene.Unclip].
func (s *Scene) Clip(p *Path) {
	s.depth++
	s.ops = append(s.ops, op{kind: opClip, path: p.copy()})
}

// ClipRect is [Scene.Clip] for a rectangle.
func (s *Scene) ClipRect(x, y, w, h float64) { s.Clip(new(Path).Box(x, y, w, h)) }

// Unclip ends the latest [Scene.Clip].
func (s *Scene) Unclip() {
	if s.depth == 0 {
		panic("draw: Unclip without Clip")
	}
	s.depth--
	s.ops = append(s.ops, op{kind: opUnclip})
}

// closed are the operations with every clip ended, so that a back end never has to repair.
func (s *Scene) closed() []op {
	out := s.ops
	for range s.depth {
		out = append(out[:len(out):len(out)], op{kind: opUnclip})
	}
	return out
}

func (st Style) opacity() float64 {
	if st.Opacity <= 0 || st.Opacity > 1 {
		return 1
	}
	return st.Opacity
}

func (st Style) stroked() bool { return st.Stroke != None && st.Width > 0 }

func (h Hatch) drawn() bool { return h.Role != None && h.Pitch > 0 && h.Width > 0 }

// edging is what the halo of an overlay adds to the width of a line.
func (s *Scene) edging() float64 { return max(s.H, s.W) / 400 }

// Place draws a whole scene onto this one, its top left corner at a place. The other's title and theme are not taken.
func (s *Scene) Place(other *Scene, x, y float64) {
	for _, o := range other.closed() {
		p := Path{seg: append([]segment(nil), o.path.seg...)}
		for i := range p.seg {
			for k := range p.seg[i].p {
				p.seg[i].p[k].X += x
				p.seg[i].p[k].Y += y
			}
		}
		o.path = p
		o.at = Point{o.at.X + x, o.at.Y + y}
		s.ops = append(s.ops, o)
	}
}
