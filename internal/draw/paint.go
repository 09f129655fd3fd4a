package draw

// canvas is what a back end has to offer. Everything else (ground, hatching, edgings, order) is decided once, in
// [Scene.paint], so that the three file types cannot differ.
type canvas interface {
	fill(p *Path, r Role, opacity float64)
	stroke(p *Path, st Style)
	text(o *op)
	edgeText(o *op) // the paper edging alone
	clip(p *Path)
	unclip()
}

func (s *Scene) paint(c canvas) {
	if s.Theme.Ground {
		c.fill(new(Path).Box(0, 0, s.W, s.H), Paper, 1)
	}
	ops := s.closed()
	if s.Theme.Halo {
		// All edgings lie below all lines: where two curves cross, neither is cut.
		for i := range ops {
			s.edge(c, &ops[i])
		}
	}
	for i := range ops {
		paintOp(c, &ops[i])
	}
}

func paintOp(c canvas, o *op) {
	switch o.kind {
	case opClip:
		c.clip(&o.path)
	case opUnclip:
		c.unclip()
	case opText:
		if o.ts.Halo {
			c.edgeText(o)
		}
		c.text(o)
	case opShape:
		if o.style.Fill != None {
			c.fill(&o.path, o.style.Fill, o.style.opacity())
		}
		if h := o.style.Hatch; h.drawn() {
			if lines := hatchLines(&o.path, h); !lines.Empty() {
				c.stroke(lines, Style{Stroke: h.Role, Width: h.Width, Opacity: o.style.Opacity})
			}
		}
		if o.style.stroked() {
			c.stroke(&o.path, o.style)
		}
	}
}

// edge paints the halo of one operation.
func (s *Scene) edge(c canvas, o *op) {
	switch o.kind {
	case opClip:
		c.clip(&o.path)
	case opUnclip:
		c.unclip()
	case opText:
		c.edgeText(o)
	case opShape:
		st := o.style
		if st.NoHalo || st.Fill == Paper || st.Stroke == Paper {
			return
		}
		under := Style{Stroke: Paper, Width: s.edging(), Round: true}
		if st.stroked() { // solid under dashes too: a row of edged dashes reads worse than a line
			under.Width += st.Width
		} else if st.Fill == None {
			return
		}
		c.stroke(&o.path, under)
	}
}
