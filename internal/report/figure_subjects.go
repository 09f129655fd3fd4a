package report

import (
	"math"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/study"
)

func one(get func(c *study.Curves) []float64, scale float64) func(*study.Result, *study.Outcome) []draw.Series {
	return func(_ *study.Result, o *study.Outcome) []draw.Series {
		return []draw.Series{{Index: o.Look(), X: o.Curves.Frequency, Y: scaled(get(o.Curves), scale)}}
	}
}

// excursionScale turns metres into the unit of the excursion's axis.
func excursionScale(r *study.Result) float64 { return 1 / phys.Length.Unit(r.Study.Units).Factor }

// scaled is a curve in another unit; the same where the unit is.
func scaled(y []float64, by float64) []float64 {
	if by == 1 {
		return y
	}
	out := make([]float64, len(y))
	for i, v := range y {
		out[i] = v * by
	}
	return out
}

func rise(name string) func(*study.Result, [][]float64, []float64) draw.YAxis {
	return func(_ *study.Result, ys [][]float64, limits []float64) draw.YAxis {
		return draw.RiseAxis(name, limits, ys...)
	}
}

var subjects = []subject{
	{name: "level", title: "Level", level: true, drive: true, heard: true,
		curves: one(func(c *study.Curves) []float64 { return c.SPL }, 1)},
	{name: "greatest", title: "Greatest level", short: "Greatest", level: true, heard: true, own: "greatest level under a sine, and what ends it",
		curves: func(_ *study.Result, o *study.Outcome) []draw.Series {
			if o.Greatest == nil {
				return nil
			}
			return []draw.Series{{Index: o.Look(), X: o.Greatest.Frequency, Y: o.Greatest.Level}}
		},
		spans: boundSpans},
	{name: "plain-level", title: "Level in the plain space", short: "Plain level", level: true, drive: true, heard: true, plain: true,
		curves: one(plainLevel, 1)},
	{name: "excursion", title: "Excursion", drive: true,
		curves: func(r *study.Result, o *study.Outcome) []draw.Series {
			return one(func(c *study.Curves) []float64 { return c.ExcursionMax }, excursionScale(r))(r, o)
		},
		axis: func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.RiseAxis("Excursion in "+unitWord(phys.Length, r.Study.Units)+", peak", limits, ys...)
		},
		limit: excursionLimit, unlike: excursionLimits},
	{name: "impedance", title: "Impedance", wall: "hatched: below what the amplifier takes",
		curves: one(func(c *study.Curves) []float64 { return c.Impedance }, 1),
		axis: func(_ *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.LogAxis("Impedance in Ω", limits, ys...)
		},
		limit: func(r *study.Result) (wall, bool) {
			w, ok := checkLimit(study.CheckLoad)(r)
			w.Side = draw.Below
			return w, ok
		}},
	{name: "phase", title: "Impedance phase", short: "Phase",
		curves: one(func(c *study.Curves) []float64 { return c.ImpedancePhase }, 1),
		axis: func(*study.Result, [][]float64, []float64) draw.YAxis {
			return draw.YAxis{Lo: -90, Hi: 90, Ticks: []float64{-90, -45, 0, 45, 90}, Name: "Phase of the impedance in °"}
		}},
	{name: "group-delay", title: "Group delay", heard: true,
		curves: one(func(c *study.Curves) []float64 { return c.GroupDelay }, 1e3),
		axis:   rise("Group delay in ms"),
		limit:  checkLimit(study.CheckGroupDelay)},
	{name: "port-speed", title: "Port air speed", short: "Port air", drive: true,
		curves: func(r *study.Result, o *study.Outcome) []draw.Series {
			if !o.Figures.PortSpeed.Value.OK() {
				return nil
			}
			u := phys.Speed.Unit(r.Study.Units)
			return one(func(c *study.Curves) []float64 { return c.SpeedMax }, math.Sqrt2/u.Factor)(r, o)
		},
		axis: func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.RiseAxis("Air speed in "+unitWord(phys.Speed, r.Study.Units)+", peak", limits, ys...)
		},
		limit: checkLimit(study.CheckPortSpeed)},
	{name: "power", title: "Power in the hottest coil", short: "Heat", drive: true,
		curves: func(_ *study.Result, o *study.Outcome) []draw.Series {
			y := make([]float64, len(o.Curves.Frequency))
			for _, t := range o.Curves.Power {
				for k, v := range t.Y {
					y[k] = max(y[k], v)
				}
			}
			return []draw.Series{{Index: o.Look(), X: o.Curves.Frequency, Y: y}}
		},
		axis: rise("Power in one coil in W")},
	{name: "step", title: "Step response", short: "Step", time: true, heard: true,
		curves: transient(func(c *study.Curves) *study.TimeCurve { return c.Step }),
		axis: func(_ *study.Result, ys [][]float64, _ []float64) draw.YAxis {
			return draw.LinearAxis("Pressure over its peak", []float64{0}, ys...)
		}},
	{name: "impulse", title: "Impulse response", time: true, heard: true,
		curves: transient(func(c *study.Curves) *study.TimeCurve { return c.Impulse }),
		axis: func(_ *study.Result, ys [][]float64, _ []float64) draw.YAxis {
			return draw.LinearAxis("Pressure over its peak", []float64{0}, ys...)
		}},
}

// transient shows a time response over its own peak: the shape is what counts.
func transient(get func(c *study.Curves) *study.TimeCurve) func(*study.Result, *study.Outcome) []draw.Series {
	return func(_ *study.Result, o *study.Outcome) []draw.Series {
		t := get(o.Curves)
		if t == nil {
			return nil
		}
		peak := 0.0
		for _, v := range t.Y {
			peak = max(peak, math.Abs(v))
		}
		if peak == 0 {
			return nil
		}
		return []draw.Series{{Index: o.Look(), X: scaled(t.T, 1e3), Y: scaled(t.Y, 1/peak)}}
	}
}

// xmaxes are the excursion limits that hold in a study: the brief's own, or
// the xmax of each driver in use, in the order of the file.
func xmaxes(r *study.Result) (names []string, limits []float64) {
	if l := r.Study.Brief.Limits; l.Excursion > 0 && !l.ExcursionXmax {
		return []string{""}, []float64{l.Excursion}
	}
	used := map[string]bool{}
	for _, o := range r.Candidates {
		for _, stack := range o.System.Group.Positions {
			for _, m := range stack {
				used[m.Driver.Name] = true
			}
		}
	}
	for i := range r.Study.Drivers {
		if d := r.Study.Drivers[i].Driver; used[d.Name] {
			names, limits = append(names, d.Name), append(limits, d.Data.Xmax)
		}
	}
	return names, limits
}

// excursionLimit is the wall of the excursion figure: where one limit holds
// for all drivers.
func excursionLimit(r *study.Result) (wall, bool) {
	_, limits := xmaxes(r)
	for _, x := range limits {
		if x != limits[0] {
			return wall{}, false
		}
	}
	if len(limits) == 0 || limits[0] == 0 {
		return wall{}, false
	}
	return wallAt(r, limits[0], phys.Length), true
}

// excursionLimits tells the limits of drivers that have different ones: a
// curve shows the driver that moves furthest, which is not always the one that
// is nearest to its limit.
func excursionLimits(r *study.Result) string {
	if _, ok := excursionLimit(r); ok {
		return ""
	}
	var told []string
	names, limits := xmaxes(r)
	for i, x := range limits {
		if x > 0 {
			told = append(told, names[i]+" "+r.Study.Asked(x, phys.Length))
		}
	}
	if len(told) == 0 {
		return ""
	}
	return "limits: " + strings.Join(told, ", ")
}

// wallAt is a limit in the unit of its kind.
func wallAt(r *study.Result, at float64, k phys.Kind) wall {
	return wall{draw.Limit{At: k.Unit(r.Study.Units).Of(at), From: limitsFrom(r)}, "limit " + r.Study.Asked(at, k)}
}

func checkLimit(id study.CheckID) func(r *study.Result) (wall, bool) {
	return func(r *study.Result) (wall, bool) {
		c, ok := firstCheck(r, id)
		return wallAt(r, c.Limit, c.Kind), ok && !c.Varies // no straight line
	}
}

func firstCheck(r *study.Result, id study.CheckID) (study.Check, bool) {
	for _, o := range r.Candidates {
		if c, ok := checkOf(o, id); ok {
			return c, true
		}
	}
	return study.Check{}, false
}

func limitsFrom(r *study.Result) float64 { return r.Study.LimitsFrom() }

// subjectNamed finds a subject.
func subjectNamed(name string) (subject, bool) {
	for _, s := range subjects {
		if s.name == name {
			return s, true
		}
	}
	return subject{}, false
}

// plainLevel is the level in the plain space.
func plainLevel(c *study.Curves) []float64 {
	if c.Plain != nil {
		return c.Plain
	}
	return c.SPL
}

// boundSpans name what ends the greatest level along its curve.
func boundSpans(o *study.Outcome) []draw.Span {
	g := o.Greatest
	if g == nil {
		return nil
	}
	var out []draw.Span
	for k := 0; k < len(g.By); {
		end := k
		for end+1 < len(g.By) && g.By[end+1] == g.By[k] {
			end++
		}
		if g.By[k] != "" && end > k {
			out = append(out, draw.Span{From: g.Frequency[k], To: g.Frequency[end], Word: g.By[k].Words()})
		}
		k = end + 1
	}
	return out
}
