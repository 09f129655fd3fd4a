package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"

	"basswright/internal/folder"
	"basswright/internal/phys"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
	"basswright/internal/variant"
)

// show answers with a text of a study: v.Text, or what it would become. The
// caller has the study's turn.
func (s *Server) show(ctx context.Context, v folder.Version, f *studyfile.File, ask Ask) (*answer[View], error) {
	out, err := s.look(ctx, v, f, ask)
	if err != nil {
		return nil, wrong(err)
	}
	return &answer[View]{out}, nil
}

// showSaved answers where something was saved already. What keeps it from being
// evaluated is a fault of the study, as an error would say that nothing was saved.
func (s *Server) showSaved(ctx context.Context, v folder.Version, f *studyfile.File, ask Ask) (*answer[View], error) {
	out, err := s.look(ctx, v, f, ask)
	if err != nil {
		out.Faults = append(out.Faults, Finding{ID: "not-computed", Severity: "error", Text: wrong(err).Error() + "; it was saved all the same"})
	}
	return &answer[View]{out}, nil
}

// look is what there is to see of a text. The error is the context's.
func (s *Server) look(ctx context.Context, v folder.Version, f *studyfile.File, ask Ask) (View, error) {
	out := View{
		Name: v.Name, File: v.File, Revision: v.Revision, Saved: v.Modified, Undo: v.CanUndo, Redo: v.CanRedo, History: v.NoHistory,
		Text: string(f.Text()), Fields: []Field{}, Faults: []Finding{}, Drivers: []Driver{},
	}
	err := s.guarded(func() error {
		if !ask.Quick {
			out.Fields = fields(f)
		}
		res, err := s.compute(ctx, f, ask)
		if err == nil {
			out.Space = space(res.Study, ask)
			out.Result, err = s.result(ctx, res, ask)
		}
		return err
	})
	var faulty *studyfile.Error
	switch {
	case err == nil:
	case errors.As(err, &faulty):
		out.Faults = findings(faulty.Faults)
		if st := faulty.Shortlist(); st != nil {
			out.Drivers, out.Space = drivers(st, !ask.Quick), space(st, ask)
			if v, ok := variant.Own(st); ok && len(st.Candidates) == 0 && !ask.Quick {
				out.Begin = &variants([]variant.Variant{v})[0]
			}
		}
	case ctx.Err() != nil:
		return out, ctx.Err()
	default:
		out.Faults = []Finding{failure(err)}
	}
	return out, nil
}

// compute reads and evaluates a study.
func (s *Server) compute(ctx context.Context, f *studyfile.File, ask Ask) (*study.Result, error) {
	f.Make = s.memory.Make
	st, err := f.Study(s.opt.Folder.Beside)
	if err != nil {
		return nil, err
	}
	opt := study.Options{From: ask.From, To: ask.To, Points: ask.Points, Time: ask.Time, WithoutMends: ask.Quick}
	if err := opt.Sound(); err != nil {
		return nil, err
	}
	if _, err := st.Find(ask.Yardstick); err == nil { // one that was renamed or removed is the first again
		opt.Yardstick = ask.Yardstick
	}
	return s.evaluate(ctx, st, opt)
}

// failure is what kept a sound file from being evaluated.
func failure(err error) Finding {
	var c *study.CandidateError
	f := Finding{ID: "not-computed", Severity: "error", Text: err.Error()}
	if errors.As(err, &c) {
		f.Where, f.Line, f.Column, f.Text = "candidates."+c.Candidate.Name, c.Candidate.At.Line, c.Candidate.At.Column, c.Err.Error()
	}
	return f
}

func fields(f *studyfile.File) []Field {
	list := f.Fields()
	out := make([]Field, 0, len(list))
	for _, f := range list {
		g := Field{
			Path: f.Path, Key: f.Key, Sort: f.Sort, Sorts: texts(f.Sorts), Present: f.Present, Text: f.Text, Unit: f.Unit, Step: f.Step, Kind: f.Kind,
			Words: texts(f.Words), Fallback: f.Fallback, Example: f.Example, Doc: f.Doc, Required: f.Required, Line: f.At.Line, Column: f.At.Column,
		}
		if f.Sort == "quantity" || f.Sort == "count" {
			g.SI = num(float64(f.SI))
			g.Number, g.Min, g.Above, g.Max = num(f.Number), num(f.Min), f.Above, num(f.Max)
		}
		out = append(out, g)
	}
	return out
}

// result is what the page shows of a result. The error is the context's: to look for
// variations of every candidate takes long, and who has begun a drag has given them up.
func (s *Server) result(ctx context.Context, r *study.Result, ask Ask) (*Result, error) {
	st := r.Study
	out := &Result{
		Title: st.Name, Note: st.Note, Units: units(st.Units), Terms: st.Terms(), Brief: st.BriefWords(), HasBrief: r.HasBrief, BriefMet: r.BriefMet, Told: r.Told, Through: st.Through(),
		Drive: drive(r), Lead: r.Lead, Yardstick: r.Yardstick, LimitsFrom: st.LimitsFrom(),
		Strips: strips(r), Asked: asked(st), Doubts: []Finding{}, Filled: []string{}, Cautions: findings(r.Cautions), Drivers: []Driver{},
		Candidates: make([]Candidate, 0, len(r.Candidates)), Demands: []Demand{}, Next: []Variant{}, Figures: []FigureWords{},
	}
	if !ask.Quick {
		doubts, filled := report.Account(r)
		out.Doubts, out.Filled = findings(doubts), texts(filled)
		out.Drivers, out.Demands = drivers(st, true), demands(st)
		out.Figures = figureWords()
	}
	if ask.Open != nil {
		out.Opened = opened(r, *ask.Open)
	}
	if ask.Suggest {
		next := variant.Next(r)
		if own, ok := variant.Own(st); ok {
			next = append(next, own)
		}
		out.Next = variants(next)
	}
	have := map[string]bool{}
	for _, k := range ask.Have {
		have[k] = true
	}
	out.FrequencyKey = key("frequency", r.Options.From, r.Options.To, r.Options.Points)
	if !have[out.FrequencyKey] {
		out.Frequency = r.Candidates[0].Curves.Frequency
	}
	table := report.NewTable(r)
	out.head(table, have)
	for _, o := range r.Candidates {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		c := s.candidate(r, o, ask, have)
		c.column(r, o, table, out.HeadsKey, have)
		out.Candidates = append(out.Candidates, c)
	}
	return out, nil
}

func (s *Server) candidate(r *study.Result, o *study.Outcome, ask Ask, have map[string]bool) Candidate {
	c := o.Candidate
	out := Candidate{
		Name: c.Name, Note: c.Note, Plain: o.Plain, Kind: study.KindWords(o.System.Spec.Kind), Met: len(o.Misses) == 0, Misses: misses(o.Misses),
		Gives:   gives(r, o),
		Verdict: texts(o.Verdict), Summary: o.Summary[:], Reversed: !o.System.Group.MovesTogether(),
		Steps: []Step{}, Words: []string{}, Variants: []Variant{},
		CurvesKey: key("curves", foundBy(r, o)),
	}
	held := c.Digest != "" && have[out.CurvesKey]
	if !held {
		out.Curves = curves(r, o)
	}
	if !ask.Quick { // while something moves nobody reads the account of it
		out.Steps, out.Words = steps(report.Ledger(o, r.Study.Units)), report.GroupWords(o, r.Study.Units)
	}
	out.draw(r, o, have, &s.widths)
	out.drawWiring(r, o, have)
	switch {
	case ask.Suggest && ask.Kinds == c.Name:
		out.Variants = variants(variant.Of(r.Study, o.Index))
	case ask.Suggest:
		out.Variants = variants(variant.Quick(r.Study, o.Index))
	}
	return out
}

func units(u phys.System) string {
	if u == phys.Imperial {
		return "imperial"
	}
	return "metric"
}

func variants(list []variant.Variant) []Variant {
	out := make([]Variant, 0, len(list))
	for _, v := range list {
		w := Variant{ID: v.ID, Sort: v.Sort, Words: v.Words, Why: v.Why, Current: v.Current, Changes: v.Changes}
		if w.Changes == nil {
			w.Changes = []studyfile.Change{}
		}
		out = append(out, w)
	}
	return out
}

// key names what was made from some values.
func key(of ...any) string {
	return keyOf(fmt.Append(nil, of...))
}

// foundBy is what an outcome was found by.
func foundBy(r *study.Result, o *study.Outcome) string {
	opt := r.Options
	return fmt.Sprint(o.Candidate.Digest, o.Index, opt.From, opt.To, opt.Points, opt.Time)
}

// keyOf names a text.
func keyOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// curves are a candidate's as its figures show them.
func curves(r *study.Result, o *study.Outcome) *Curves {
	y := func(key string) Packed {
		_, y := report.Shown(r, o, key)
		return packed(y)
	}
	out := &Curves{
		Level: y("level"), Plain: Packed{}, Excursion: y("excursion"), Greatest: y("greatest"), Impedance: y("impedance"), Phase: y("phase"),
		GroupDelay: y("group-delay"), PortSpeed: y("port-speed"), Power: y("power"), Step: y("step"), Time: Packed{},
	}
	if r.Study.InPlace() {
		out.Plain = y("plain-level")
	}
	if t, _ := report.Shown(r, o, "step"); t != nil {
		out.Time = packed(t)
	}
	return out
}

// strips are the plots, with the walls that hold for all candidates alike.
func strips(r *study.Result) []Strip {
	u := r.Study.Units
	length, speed := phys.Length.Unit(u), phys.Speed.Unit(u)
	out := []Strip{
		{Key: "level", Unit: "dB re 20\u2009µPa"},
		{Key: "greatest", Unit: "dB at most, sine"},
		{Key: "excursion", Unit: length.Name + " peak"},
		{Key: "impedance", Unit: "Ω", Log: true, Below: true},
		{Key: "phase", Unit: "° of the impedance"},
		{Key: "port-speed", Unit: speed.Name + " peak"},
		{Key: "group-delay", Unit: "ms"},
		{Key: "power", Unit: "W in the hottest coil"},
		{Key: "step", Unit: "of its peak"},
	}
	if r.Study.InPlace() {
		out = slices.Insert(out, 1, Strip{Key: "plain-level", Unit: "dB in the plain space"})
	}
	for i := range out {
		s := &out[i]
		s.Name = report.CurveNamed(string(s.Key)).Short
		switch s.Key {
		case "excursion":
			s.Limit, s.Told = wall(r, study.CheckExcursion, length.Of)
		case "impedance":
			s.Limit, s.Told = wall(r, study.CheckLoad, func(v float64) float64 { return v })
		case "port-speed":
			s.Limit, s.Told = wall(r, study.CheckPortSpeed, speed.Of)
		case "group-delay":
			s.Limit, s.Told = wall(r, study.CheckGroupDelay, func(v float64) float64 { return 1e3 * v })
		}
	}
	return out
}

// wall is the limit of a check where it is one for all candidates that have it.
func wall(r *study.Result, id study.CheckID, unit func(float64) float64) (Num, string) {
	limit, found := 0.0, false
	for _, o := range r.Candidates {
		for _, c := range o.Checks {
			if c.ID != id || c.Limit == 0 { // 0: it is asked for, and nobody knows the limit
				continue
			}
			if c.Varies {
				return nil, "its limit varies: see the ledger"
			}
			if found && c.Limit != limit {
				return nil, "limits differ: see the ledger"
			}
			limit, found = c.Limit, true
		}
	}
	if !found {
		return nil, ""
	}
	return num(unit(limit)), ""
}

// asked are the goals that stand in the level strip.
func asked(st *study.Study) []Asked {
	out := []Asked{}
	e := st.Brief.Extension
	for _, x := range []struct {
		name string
		at   float64
	}{{"F3", e.F3}, {"F6", e.F6}, {"F10", e.F10}} {
		if x.at > 0 && !st.InPlace() { // extension is that of the plain space
			out = append(out, Asked{Words: report.AskedExtension(x.name, x.at, st.Units), At: x.at})
		}
	}
	if b := st.Brief; b.LevelAt > 0 && b.Level > 0 {
		out = append(out, Asked{Words: report.AskedLevel(b.Level, b.LevelAt, st.Units), At: b.LevelAt, Level: num(b.Level)})
	}
	return out
}

// levelAt is the row of the level at the hairline, whose frequency the page names.
const levelAt = "level-at"

// opened is where the value of one cell comes from, nil if it has none.
func opened(r *study.Result, at Cellmark) *Opened {
	i, err := r.Study.Find(at.Candidate)
	if err != nil { // it was renamed or removed
		return nil
	}
	var l report.Line
	ok := false
	if at.Row == levelAt {
		l, ok = report.OpenedLevel(r, r.Candidates[i], at.At)
	} else {
		l, ok = report.Opened(r, r.Candidates[i], at.Row)
	}
	if !ok {
		return nil
	}
	return &Opened{at, Step(l)}
}

func steps(lines []report.Line) []Step {
	out := make([]Step, 0, len(lines))
	for _, l := range lines {
		out = append(out, Step(l))
	}
	return out
}
