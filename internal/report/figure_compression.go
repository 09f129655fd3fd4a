package report

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// compressionPlot puts the losses of one candidate onto axes, each time a curve, or
// those of several in the end.
func compressionPlot(st *study.Study, list []*study.Compression) draw.Plot {
	p := draw.Plot{Labels: true, X: draw.XAxis{Linear: true, Name: "Drive in dB re the most"}}
	var ys [][]float64
	add := func(index, dash int, name string, c *study.Compression, of func(q *study.CompressionPoint) float64) {
		s := draw.Series{Index: index, Dash: dash, Name: name}
		for i := range c.Points {
			q := &c.Points[i]
			s.X, s.Y = append(s.X, q.Drive), append(s.Y, of(q))
			p.X.From = math.Min(p.X.From, q.Drive)
		}
		p.Series = append(p.Series, s)
		ys = append(ys, s.Y)
	}
	end := func(q *study.CompressionPoint) float64 { return q.End.Loss }
	for _, c := range list {
		own := c.Candidate.LookAt(slices.IndexFunc(st.Candidates, func(o study.Candidate) bool { return o.Name == c.Candidate.Name }))
		if len(list) > 1 {
			add(own, 0, c.Candidate.Name, c, end)
			continue
		}
		for k, at := range c.After {
			add(own, k+1, study.Lasting(at), c, func(q *study.CompressionPoint) float64 { return q.After[k].Loss })
		}
		add(-1, 0, "in the end", c, end)
	}
	p.Y = draw.LinearAxis("Loss in dB", []float64{0, lossAtLeast}, ys...)
	return p
}

// compressionDrive names what plays.
func compressionDrive(st *study.Study, list []*study.Compression) string {
	most := list[0].Top().Volts
	same := !slices.ContainsFunc(list, func(c *study.Compression) bool { return math.Abs(c.Top().Volts/most-1) > 1e-9 })
	text := "noise, 20\u2009Hz to 200\u2009Hz" + st.Through()
	if same {
		text += fmt.Sprintf(", at most %s rms at the source", phys.Brief(most, phys.Voltage, st.Units))
	}
	return text + fmt.Sprintf(", air of %s", phys.Brief(list[0].Air, phys.Temperature, st.Units))
}

// compressionRests is where the greatest drive leads and what the figure rests on.
func compressionRests(st *study.Study, list []*study.Compression) []string {
	var out []string
	guessed := false
	for _, c := range list {
		q := c.Top()
		name := ""
		if len(list) > 1 {
			name = c.Candidate.Name + ": "
		}
		out = append(out, fmt.Sprintf("%sat %s (%s in cold coils) in the end %s, × %s in resistance and %s less", name, phys.Brief(q.Volts, phys.Voltage, st.Units), phys.Show(q.Cold, phys.Power, st.Units),
			wholeDegrees(st, q.End.Coil), phys.Fixed(q.End.Rise, 2), inDecibels(q.End.Loss)))
		guessed = guessed || len(c.Findings) > 0
	}
	if guessed {
		out = append(out, "thermal data from the rated power")
	}
	return out
}

// CompressionFigure draws what heat costs of the level against the drive: of one
// candidate at several times, or of several in the end.
func CompressionFigure(st *study.Study, list []*study.Compression, o FigureOptions) (*Figure, error) {
	canvas, err := canvasOf(o)
	if err != nil {
		return nil, err
	}
	p := compressionPlot(st, list)
	p.W, p.H, p.Size = canvas.W, canvas.H, canvas.Text
	p.Note = compressionDrive(st, list)
	if len(list) == 1 {
		p.Note = list[0].Candidate.Name + ", " + p.Note
	} else {
		p.Note = "in the end, " + p.Note
	}
	scene := draw.NewScene(p.W, p.H, canvas.Theme)
	compressionTitle(st, list, scene)
	p.Draw(scene, 0, 0)
	return &Figure{scene, canvas.mm}, nil
}

// compressionTitle names a figure, and says what it shows for who cannot see it.
func compressionTitle(st *study.Study, list []*study.Compression, scene *draw.Scene) {
	scene.Title = "Power compression: " + st.Name
	if len(list) == 1 {
		scene.Title = fmt.Sprintf("Power compression of %s: %s", list[0].Candidate.Name, st.Name)
	}
	scene.Desc = capital(compressionDrive(st, list)) + ". " + capital(strings.Join(compressionRests(st, list), "; ")) + "."
}

// compression adds to the page what heat costs the candidates.
func (d *pageData) compression(st *study.Study, list []*study.Compression) error {
	if len(list) == 0 {
		return nil
	}
	f := pageFigure{Number: len(d.Figures) + 1, Title: "Power compression", Wide: true}
	f.Caption = "what the heat of the coils takes from the level in the end, in dB, against the drive in dB re the most; " +
		compressionDrive(st, list) + "; " + strings.Join(compressionRests(st, list), "; ") + "."
	if len(list) == 1 {
		f.Title += " of " + list[0].Candidate.Name
	}
	var err error
	if f.SVG, err = compressionOnPage(st, list, widePx, "h"); err != nil {
		return err
	}
	if f.Narrow, err = compressionOnPage(st, list, phoneSVG, "hp"); err != nil {
		return err
	}
	d.Figures = append(d.Figures, f)
	return nil
}

func compressionOnPage(st *study.Study, list []*study.Compression, w float64, prefix string) (template.HTML, error) {
	p := compressionPlot(st, list)
	p.W, p.H, p.Size, p.Stroke = w, halfHigh, 11, 1.6
	if w == widePx {
		p.Size, p.Stroke = 12, 2
	}
	p.X.Name, p.Y.Name = "", "dB"
	scene := draw.NewScene(p.W, p.H, draw.Screen())
	compressionTitle(st, list, scene)
	p.Draw(scene, 0, 0)
	return inline(scene, prefix, 0)
}
