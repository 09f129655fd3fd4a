package report

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// compareJSON is the comparison for programs. Everything is in SI units, which
// stand in the names; what does not exist is null.
type compareJSON struct {
	Study      string          `json:"study"`
	Digest     string          `json:"sha256,omitempty"`
	Terms      string          `json:"terms"`
	Yardstick  string          `json:"yardstick"`
	HasBrief   bool            `json:"has_brief"`
	BriefMet   bool            `json:"brief_met"`
	Lead       string          `json:"lead"`
	Candidates []candidateJSON `json:"candidates"`
	Findings   []note.Finding  `json:"findings"`
	Cautions   []note.Finding  `json:"cautions"`
}

type candidateJSON struct {
	Name     string                `json:"name"`
	Plain    string                `json:"in_words"`
	Group    groupJSON             `json:"group"`
	Box      string                `json:"enclosure"`
	Figures  map[string]phys.Maybe `json:"figures"`
	Coils    []float64             `json:"watts_by_coil"`
	Greatest []greatestJSON        `json:"greatest_level"`
	First    *firstJSON            `json:"gives_first"`
	Noise    *noiseJSON            `json:"greatest_level_noise"`
	Air      []airJSON             `json:"port_air"`
	Protect  *protectionJSON       `json:"protection"`
	Checks   []study.Check         `json:"checks"`
	Misses   []study.Miss          `json:"misses"`
	Verdict  []string              `json:"against_yardstick"`
	Summary  [3]string             `json:"summary"`
	Stack    []stackJSON           `json:"stack"`
	Channels []channelJSON         `json:"channels,omitempty"`
	Findings []note.Finding        `json:"findings"`
}

// greatestJSON is the most that a candidate gives under a sine at a frequency.
type greatestJSON struct {
	Frequency float64       `json:"frequency_hz"`
	Level     float64       `json:"level_db"`
	By        study.BoundID `json:"ended_by"`
	Volts     float64       `json:"drive_v"`
	Watts     float64       `json:"watts_in_coils"`
}

type firstJSON struct {
	By    study.BoundID `json:"bound"`
	At    float64       `json:"at_hz"`
	Volts float64       `json:"drive_v"`
	Watts float64       `json:"watts_into_re"`
}

type groupJSON struct {
	Drivers    string `json:"drivers"`
	Mounting   string `json:"mounting"`
	Wiring     string `json:"wiring"`
	SideBySide int    `json:"side_by_side"`
	Stack      int    `json:"stack"`
}

type stackJSON struct {
	Rigid      bool         `json:"rigid_coupling"`
	ErrorDB    phys.Maybe   `json:"rigid_rule_error_db"`
	ErrorAt    phys.Maybe   `json:"rigid_rule_error_at_hz"`
	From       float64      `json:"looked_from_hz"`
	To         float64      `json:"looked_to_hz"`
	Modes      []float64    `json:"cones_against_each_other_hz"`
	AirMass    phys.Maybe   `json:"air_moving_along_kg"`
	Excursions []phys.Maybe `json:"excursion_peak_m_from_listener_inward"`
}

// figuresJSON names a candidate's figures.
func figuresJSON(f *study.Figures) map[string]phys.Maybe {
	m := map[string]phys.Maybe{
		"drivers": phys.Maybe(f.Drivers), "re_ohm": phys.Maybe(f.Re), "rated_load_ohm": f.Load,
		"lowest_impedance_ohm": f.LowestZ.Value, "lowest_impedance_at_hz": f.LowestZ.At, "lowest_impedance_phase_deg": f.LowestZPhase,
		"net_volume_m3": f.NetVolume, "occupied_volume_m3": f.OccupiedVolume, "volume_per_driver_m3": f.VolumePerDriver,
		"coupling_volume_m3": phys.Maybe(f.CouplingVolume), "body_volume_m3": phys.Maybe(f.BodyVolume), "port_volume_m3": phys.Maybe(f.PortVolume),
		"tuning_hz": f.Tuning, "rear_tuning_hz": f.RearTuning, "fc_hz": f.Fc, "qtc": f.Qtc,
		"f3_hz": f.F3, "f6_hz": f.F6, "f10_hz": f.F10, "f3_high_hz": f.F3High, "f6_high_hz": f.F6High, "f10_high_hz": f.F10High,
		"reference_level_db": f.Reference, "reference_from_hz": phys.Maybe(f.ReferenceBand.From), "reference_to_hz": phys.Maybe(f.ReferenceBand.To),
		"peak_db": f.PeakLevel.Value, "peak_at_hz": f.PeakLevel.At, "above_band_db": f.Above.Value, "above_band_at_hz": f.Above.At, "ripple_db": f.Ripple,
		"group_delay_s": f.GroupDelay.Value, "group_delay_at_hz": f.GroupDelay.At, "group_delay_cycles": f.DelayCycles.Value,
		"excursion_peak_m": f.Excursion.Value, "excursion_at_hz": f.Excursion.At, "excursion_share": f.ExcursionShare.Value,
		"radiator_excursion_peak_m": f.RadiatorExcursion.Value, "port_speed_peak_m_s": f.PortSpeed.Value, "port_speed_at_hz": f.PortSpeed.At,
		"driver_power_w": f.Power.Value, "driver_power_share": f.PowerShare, "total_power_w": phys.Maybe(f.TotalPower),
		"level_asked_db": f.LevelAsked, "mass_kg": f.Mass, "price": f.Price,
		"sensitivity_1w_db": f.Sensitivity1W, "sensitivity_2v83_db": f.Sensitivity283V,
	}
	return m
}

// CompareJSON writes the comparison for programs.
func CompareJSON(w io.Writer, r *study.Result) error {
	out := compareJSON{
		Study: r.Study.Name, Digest: r.Study.Digest, Terms: r.Study.Terms(), Yardstick: r.Candidates[r.Yardstick].Candidate.Name,
		HasBrief: r.HasBrief, BriefMet: r.BriefMet, Lead: r.Lead, Cautions: r.Cautions,
	}
	doubts, defaults := findings(r)
	out.Findings = append(doubts, defaults...)
	for _, o := range r.Candidates {
		g := o.System.Group
		c := candidateJSON{
			Name: o.Candidate.Name, Plain: o.Plain, Box: o.System.Spec.Kind.String(), Figures: figuresJSON(&o.Figures), Coils: o.Figures.CoilPowers,
			Group:  groupJSON{study.Drivers(g), study.Mounting(g), study.Wiring(g), g.SideBySide(), g.Depth()},
			Checks: o.Checks, Misses: o.Misses, Verdict: o.Verdict, Summary: o.Summary, Findings: o.Findings,
		}
		for _, g := range o.Figures.Greatest {
			c.Greatest = append(c.Greatest, greatestJSON(g))
		}
		if f := o.Figures.First; f != nil {
			c.First = &firstJSON{f.By, f.At, f.Volts, f.Watts}
		}
		c.Noise, c.Air, c.Protect = noiseOf(r, o), airOf(o), protectionOf(o)
		for _, s := range o.Coupling {
			j := stackJSON{Rigid: s.Rigid, ErrorDB: s.Error.Value, ErrorAt: s.Error.At, From: s.Band.From, To: s.Band.To, Modes: s.Modes, AirMass: s.AirMass}
			for _, x := range s.Excursions {
				j.Excursions = append(j.Excursions, x.Value)
			}
			c.Stack = append(c.Stack, j)
		}
		c.Channels = channelsJSON(o.Chain)
		out.Candidates = append(out.Candidates, c)
	}
	return writeJSON(w, out)
}

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// CompareCSV writes one row a candidate and one column a figure of the text,
// in the study's units; beside a greatest level stands the bound that ends it.
func CompareCSV(w io.Writer, r *study.Result) error {
	list := rows(r)
	head := []string{"candidate"}
	for _, x := range list {
		head = append(head, x.key+unitSuffix(x, r))
		if x.ended != nil {
			head = append(head, strings.TrimSuffix(x.key, "_db")+"_ended_by")
		}
	}
	head = append(head, "misses")
	c := csv.NewWriter(w)
	if err := c.Write(head); err != nil {
		return err
	}
	for _, o := range r.Candidates {
		line := []string{o.Candidate.Name}
		for _, x := range list {
			v := x.cell(o)
			switch {
			case x.kind == rowText && v.text != "–":
				line = append(line, v.text)
			case x.kind != rowText && v.value.OK():
				line = append(line, strconv.FormatFloat(float64(v.value), 'g', 9, 64))
			default:
				line = append(line, "")
			}
			if x.ended != nil {
				line = append(line, string(x.ended(o)))
			}
		}
		misses := ""
		for i, m := range o.Misses {
			if i > 0 {
				misses += "; "
			}
			misses += m.Text
		}
		if err := c.Write(append(line, misses)); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// unitSuffix puts the unit into a column's name where the key does not hold it.
func unitSuffix(x row, r *study.Result) string {
	names := map[string]string{"L": "_l", "ft³": "_ft3", "mm": "_mm", "in": "_in", "m/s": "_m_s", "ft/s": "_ft_s"}
	return names[x.unit]
}
