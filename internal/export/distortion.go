package export

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/cmplx"
	"strconv"

	"basswright/internal/large"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// cell is one named number of a row, or words.
type cell struct {
	name  string
	v     phys.Maybe
	words string // in place of a number
}

// MarshalJSON is the number, the words, or null.
func (c cell) MarshalJSON() ([]byte, error) {
	if c.words != "" {
		return json.Marshal(c.words)
	}
	return json.Marshal(c.v)
}

// distortionRow is a steady state as the columns of the contract: the outermost
// cone as x, the pressure as p, the current into the group, then the innermost
// cone of a stack whose air is a spring, then the sums, then every further cone
// and radiator by name.
func distortionRow(d *study.Distortion, p *study.DistortionPoint) []cell {
	out := []cell{{name: "frequency_hz", v: phys.Maybe(p.Frequency)}, {name: "drive_v_rms", v: phys.Maybe(p.Volts)}}
	add := func(name string, v phys.Maybe) {
		if p.Lost != "" {
			v = phys.None()
		}
		out = append(out, cell{name: name, v: v})
	}
	each := func(format string, value func(n int) phys.Maybe) {
		for n := 1; n <= study.DistortionLines; n++ {
			add(fmt.Sprintf(format, n), value(n))
		}
	}
	peak := func(l large.Lines, scale float64) func(n int) phys.Maybe {
		return func(n int) phys.Maybe { return phys.Maybe(scale * cmplx.Abs(l.Of[n-1])) }
	}
	angle := func(l large.Lines) func(n int) phys.Maybe {
		return func(n int) phys.Maybe {
			if l.Of[n-1] == 0 {
				return phys.None()
			}
			return phys.Maybe(cmplx.Phase(l.Of[n-1]) * 180 / math.Pi)
		}
	}
	x := &p.Cones[0]
	add("x_dc_mm", phys.Maybe(1e3*x.Lines.Mean))
	each("x_h%d_mm_peak", peak(x.Lines, 1e3))
	each("x_h%d_phase_deg", angle(x.Lines))
	each("p_h%d_db", func(n int) phys.Maybe { return study.LineLevel(p.Pressure, n) })
	each("p_h%d_phase_deg", angle(p.Pressure))
	each("i_total_h%d_a_peak", peak(p.Current, 1))
	add("x_max_mm", phys.Maybe(1e3*x.Max))
	add("x_min_mm", phys.Maybe(1e3*x.Min))
	if d.Coupled {
		inner := &p.Cones[d.Inner]
		add("inner_x_dc_mm", phys.Maybe(1e3*inner.Lines.Mean))
		each("inner_x_h%d_mm_peak", peak(inner.Lines, 1e3))
	}
	add("x_thd_percent", 100*study.THD(x.Lines))
	add("p_thd_percent", 100*study.THD(p.Pressure))
	add("compression_db", p.Compression)
	add("lasts", lasting(p.Standing.Lasting))
	add("jumped", yes(p.Standing.Jumped))
	out = append(out, cell{name: "lost", v: phys.None(), words: p.Lost})
	for k := range p.Cones[1:] {
		c := &p.Cones[k+1]
		add("x_dc_mm."+c.Name, phys.Maybe(1e3*c.Lines.Mean))
		add("x_max_mm."+c.Name, phys.Maybe(1e3*c.Max))
		add("x_min_mm."+c.Name, phys.Maybe(1e3*c.Min))
	}
	return out
}

// yes is 1 for what is so, and 0 for what is not.
func yes(so bool) phys.Maybe {
	if so {
		return 1
	}
	return 0
}

// lasting is whether a state lasts; none where that is not known.
func lasting(l large.Lasting) phys.Maybe {
	if l == large.Unknown {
		return phys.None()
	}
	return yes(l == large.Lasts)
}

// DistortionCSV writes steady states, one row each, with nine significant
// digits. What does not exist is an empty cell; where there is no state at all, lost says why.
func DistortionCSV(w io.Writer, d *study.Distortion) error {
	out := csv.NewWriter(w)
	for k := range d.Points {
		row := distortionRow(d, &d.Points[k])
		line := make([]string, len(row))
		if k == 0 {
			for i, c := range row {
				line[i] = c.name
			}
			if err := out.Write(line); err != nil {
				return err
			}
		}
		for i, c := range row {
			if line[i] = c.words; c.v.OK() {
				line[i] = strconv.FormatFloat(float64(c.v), 'g', 9, 64)
			}
		}
		if err := out.Write(line); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// DistortionJSON writes the same as a list of objects, with what the figures
// rest on, and the side tones of two tones where there are any, or why there are none.
// What does not exist is null.
func DistortionJSON(w io.Writer, name string, d *study.Distortion, tones []study.Modulation) error {
	type told struct {
		About string `json:"about"`
		Text  string `json:"text"`
		Mend  string `json:"mend"`
	}
	out := struct {
		Candidate string            `json:"candidate"`
		RestsOn   []told            `json:"rests_on"`
		States    []map[string]cell `json:"states"`
		TwoTones  []map[string]any  `json:"two_tones"`
	}{TwoTones: []map[string]any{}, Candidate: name, RestsOn: []told{}, States: []map[string]cell{}}
	for _, f := range d.Findings {
		out.RestsOn = append(out.RestsOn, told{f.ID, f.Text, f.Mend})
	}
	for k := range d.Points {
		m := map[string]cell{}
		for _, c := range distortionRow(d, &d.Points[k]) {
			m[c.name] = c
		}
		out.States = append(out.States, m)
	}
	for _, m := range tones {
		row := map[string]any{
			"low_hz": phys.Maybe(m.Low), "high_hz": phys.Maybe(m.High), "drive_low_v_rms": phys.Maybe(m.LowVolts), "drive_high_v_rms": phys.Maybe(m.HighVolts), "lost": nil,
		}
		if m.Lost != "" {
			row["lost"] = m.Lost
		}
		for name, v := range map[string]float64{
			"high_pa_peak":    m.Level,
			"below_1_pa_peak": cmplx.Abs(m.Below[0]), "below_2_pa_peak": cmplx.Abs(m.Below[1]),
			"above_1_pa_peak": cmplx.Abs(m.Above[0]), "above_2_pa_peak": cmplx.Abs(m.Above[1]),
			"share_percent": 100 * m.Share(),
		} {
			row[name] = phys.None()
			if m.Lost == "" {
				row[name] = phys.Maybe(v)
			}
		}
		out.TwoTones = append(out.TwoTones, row)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(out)
}
