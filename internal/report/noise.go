package report

import (
	"slices"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// noiseRows are how loud a candidate can be under the study's noise: one voltage
// for all of it, and the level in bands at that voltage.
func noiseRows(r *study.Result) []row {
	n := r.Study.Noise
	if n == nil {
		return nil
	}
	u := r.Study.Units
	of := func(v func(g *study.GreatestNoise) float64) func(o *study.Outcome) phys.Maybe {
		return func(o *study.Outcome) phys.Maybe {
			if o.Noise == nil {
				return phys.None()
			}
			return phys.Maybe(v(o.Noise))
		}
	}
	some := func(r *study.Result) bool {
		return slices.ContainsFunc(r.Candidates, func(o *study.Outcome) bool { return o.Noise != nil })
	}
	all := of(func(g *study.GreatestNoise) float64 { return g.Level })
	list := []row{{
		group: "Greatest level, " + n.Words(u),
		key:   "greatest_noise_db", kind: rowValue, unit: "dB", all: some, from: study.Origin.Noise,
		name: "in all, up to " + phys.Show(study.NoiseTo(), phys.Frequency, u),
		cell: func(o *study.Outcome) cell {
			c := decibels(all(o))
			if o.Noise != nil {
				c.at = o.Noise.By.Words()
			}
			return c
		},
		ended: func(o *study.Outcome) study.BoundID {
			if o.Noise == nil {
				return ""
			}
			return o.Noise.By
		},
	}}
	for _, f := range study.LevelFrequencies() {
		v := of(func(g *study.GreatestNoise) float64 { return g.Band(f) })
		name := strings.ReplaceAll(phys.Digits(f, 3), ".0", "")
		list = append(list, row{key: "greatest_noise_" + name + "hz_db", kind: rowValue, unit: "dB", all: some,
			name: "third-octave " + phys.Brief(f, phys.Frequency, u), cell: func(o *study.Outcome) cell { return decibels(v(o)) },
			from: func(g study.Origin) note.Step { return g.NoiseBand(f) }})
	}
	volts, watts := of(func(g *study.GreatestNoise) float64 { return g.Volts }), of(func(g *study.GreatestNoise) float64 { return g.Watts })
	return append(list,
		row{key: "greatest_noise_v", name: "drive, rms", kind: rowValue, unit: phys.Voltage.Unit(u).Name, all: some, cell: func(o *study.Outcome) cell { return number(volts(o), phys.Voltage, u) }, from: study.Origin.NoiseVolts},
		row{key: "greatest_noise_w", name: "heat in all coils", kind: rowValue, unit: phys.Power.Unit(u).Name, all: some, cell: func(o *study.Outcome) cell { return number(watts(o), phys.Power, u) }, from: study.Origin.NoiseWatts})
}

// noiseJSON is the most that a candidate gives under the study's noise.
type noiseJSON struct {
	Spectrum string           `json:"spectrum"`
	Source   string           `json:"source"`
	Crest    float64          `json:"crest_factor"`
	By       study.BoundID    `json:"ended_by"`
	Volts    float64          `json:"drive_rms_v"`
	Watts    float64          `json:"watts_in_coils"`
	Level    float64          `json:"level_db"`
	From     float64          `json:"level_from_hz"`
	To       float64          `json:"level_to_hz"`
	Bands    []noiseBandJSON  `json:"third_octaves"`
	Bounds   []noiseBoundJSON `json:"bounds"`
}

type noiseBandJSON struct {
	Nominal float64 `json:"nominal_hz"`
	Level   float64 `json:"level_db"`
}

type noiseBoundJSON struct {
	ID    study.BoundID `json:"bound"`
	Volts float64       `json:"drive_rms_v"`
	Level float64       `json:"level_db"`
}

func noiseOf(r *study.Result, o *study.Outcome) *noiseJSON {
	n, g := r.Study.Noise, o.Noise
	if n == nil || g == nil {
		return nil
	}
	out := &noiseJSON{Spectrum: n.Name, Source: n.Source(), Crest: n.Crest, By: g.By, Volts: g.Volts, Watts: g.Watts, Level: g.Level, From: g.From, To: study.NoiseTo()}
	for _, b := range g.Bands {
		out.Bands = append(out.Bands, noiseBandJSON(b))
	}
	for _, b := range g.Bounds {
		out.Bounds = append(out.Bounds, noiseBoundJSON(b))
	}
	return out
}
