package datasheet

import (
	"errors"
	"fmt"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// complete writes what was understood as a driver of a study, makes the driver
// from it, and tells what contradicts and what is missing.
func (s *sheet) complete(r *Reading) {
	sheet := driver.Sheet{Name: s.name, Values: map[driver.Symbol]phys.Quantity{}, Coils: driver.Coils{Count: 1}}
	var b strings.Builder
	for _, e := range entries {
		if e.key == "coils" {
			if s.coils > 1 {
				fmt.Fprintf(&b, "coils: %s\n", s.coilText())
			}
			continue
		}
		if e.key == "" {
			continue
		}
		if p := s.first(e.key); p != nil {
			fmt.Fprintf(&b, "%s: %s\n", e.key, p.line.Value)
			p.put(&sheet)
		}
	}
	r.Driver = strings.TrimSuffix(b.String(), "\n")
	if s.coils > 1 {
		sheet.Coils = driver.Coils{Count: s.coils, Quoted: map[string]driver.Quoted{
			"series": driver.QuotedSeries, "parallel": driver.QuotedParallel,
		}[s.quoted]}
	}
	if r.Driver == "" {
		r.Findings = append(r.Findings, note.Finding{
			ID: "nothing-understood", Severity: note.Error, Where: "drivers." + s.name,
			Text: "no line gives a parameter of a driver", Mend: "paste lines such as fs 30.5 Hz",
		})
		return
	}
	d, steps, findings, err := driver.Complete(sheet)
	r.Findings = append(r.Findings, findings...)
	if bad := (*driver.SheetError)(nil); errors.As(err, &bad) {
		f := note.Finding{ID: "bad-sheet", Severity: note.Error, Where: "drivers." + s.name, Text: bad.Reason, Mend: bad.Mend}
		if len(bad.About) == 1 {
			f.Where += "." + string(bad.About[0])
		}
		r.Findings = append(r.Findings, f)
		return
	}
	r.Steps = append(append(r.Steps, steps...), d.ReachSteps(phys.Metric)...)
}

// put gives a part's value to the sheet that the driver is made from.
func (p *part) put(s *driver.Sheet) {
	v, d := p.value.si, &s.Data
	switch p.line.Key {
	case "le":
		s.Coil.Le = v
	case "sensitivity":
		symbol := driver.Sensitivity1W
		if strings.HasSuffix(p.line.Value, "V}") {
			symbol = driver.Sensitivity283V
		}
		s.Values[symbol] = p.quantity()
	case "rated_impedance":
		d.RatedImpedance = v
	case "rated_power":
		d.RatedPower = v
	case "xmax":
		d.Xmax = v
	case "xmax_peak_to_peak":
		d.Xmax = v / 2
	case "xmech":
		d.Xmech = v
	case "mounting_depth":
		d.MountingDepth = v
	case "cutout":
		d.Cutout = v
	case "flange":
		d.Flange = v
	case "flange_thickness":
		d.FlangeThickness = v
	case "magnet_diameter":
		d.MagnetDiameter = v
	case "coil_diameter":
		d.CoilDiameter = v
	case "winding_height":
		d.WindingHeight = v
	case "gap_height":
		d.GapHeight = v
	case "displacement":
		d.Displacement = v
	case "mass":
		d.Weight = v
	case "price":
		d.Price, d.Currency = v, p.chosen.unit
	default:
		s.Values[driver.Symbol(p.line.Key)] = p.quantity()
	}
}

func (p *part) quantity() phys.Quantity {
	return phys.Quantity{SI: p.value.si, Step: p.value.step, Text: p.value.text}
}
