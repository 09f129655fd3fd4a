package studyfile

import (
	"slices"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/heat"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// allDrivers completes every sheet, in the order of the file.
func (b *builder) allDrivers(v *value) {
	b.drivers = map[string]*driver.Driver{}
	b.unnamed = v == nil || len(v.named) < len(v.node.entries)
	if v == nil {
		return
	}
	for k, n := range v.named {
		b.drivers[n.name] = nil
		b.names = append(b.names, n.name)
		if n.value == nil || !b.sound("drivers."+n.name) {
			continue
		}
		if b.driverAgain(k, n) {
			continue
		}
		path := "drivers." + n.name
		sheet := b.sheet(n, path)
		if !b.sound(path) {
			continue
		}
		d, steps, found, err := driver.Complete(sheet)
		if err != nil {
			b.refused(err, n.value.node, path)
			continue
		}
		d.Curves = b.curves(n.value.get("curves"), path+".curves")
		steps = append(steps, d.ReachSteps(b.study.Units)...)
		asWritten(found)
		found = append(found, d.XmaxDoubt(xmaxStep(n.value), path+".xmax", b.study.Units)...)
		d = b.acclimatised(d)
		b.drivers[n.name] = d
		b.study.Drivers = append(b.study.Drivers, study.Driver{Driver: d, Steps: slices.Clip(steps), Findings: b.place(slices.Concat(found, b.doubts(d, path), curveDoubts(d, path, b.study.Units), b.unsaidOfSheet(n.value, path)))})
	}
}

// asWritten puts what is told of a sheet in the file’s words where those differ from the
// trade’s: a printed sensitivity is one key, with what it was measured at beside it.
func asWritten(found []note.Finding) {
	for i := range found {
		f := &found[i]
		for _, s := range []driver.Symbol{driver.Sensitivity1W, driver.Sensitivity283V} {
			at, of := strings.CutSuffix(f.Where, "."+string(s))
			if !of {
				continue
			}
			f.Where = at + ".sensitivity.level"
			f.Text = strings.ReplaceAll(f.Text, string(s), "sensitivity.level")
			f.Mend = strings.ReplaceAll(f.Mend, string(s), "sensitivity")
			if f.Apart != nil {
				f.Apart.Key = "sensitivity.level"
			}
		}
	}
}

// xmaxStep is what one unit of the last printed digit of xmax stands for, m.
func xmaxStep(v *value) float64 {
	if x := v.get("xmax_peak_to_peak"); x != nil {
		return x.q.Step / 2
	}
	if x := v.get("xmax"); x != nil {
		return x.q.Step
	}
	return 0
}

// sound reports whether no fault was told at or below a path: what rests on a
// faulty value would only be told a second time.
func (b *builder) sound(path string) bool {
	for _, f := range b.list {
		if rest, ok := strings.CutPrefix(f.Where, path); ok && (rest == "" || rest[0] == '.') {
			return false
		}
	}
	return b.more == 0
}

// doubts are warnings about a sheet's other data.
func (b *builder) doubts(d *driver.Driver, path string) []note.Finding {
	if d.Coils.Other == driver.OtherOpen || d.Coils.Driven > 0 && d.Coils.Driven < d.Coils.Count {
		return nil
	}
	return []note.Finding{{
		ID: "no-other-coil", Severity: note.Warning, Where: path + ".coils.other",
		Text: "all coils are driven, so none is left that other could close", Mend: "leave other out, or drive fewer",
	}}
}

// sheet is a driver's datasheet.
func (b *builder) sheet(n namedValue, path string) driver.Sheet {
	v := n.value
	s := driver.Sheet{
		Name: n.name, Values: map[driver.Symbol]phys.Quantity{}, Units: b.study.Units,
		Air: b.air(v.get("air"), path+".air"), Coils: coils(v.get("coils")), Coil: voiceCoil(v),
	}
	for _, k := range sheetKeys {
		if q := v.get(k.name); q != nil {
			s.Values[k.symbol] = q.q
		}
	}
	if x := v.get("sensitivity"); x != nil {
		symbol := driver.Sensitivity1W
		if x.get("at").word() == "2.83 V" {
			symbol = driver.Sensitivity283V
		}
		s.Values[symbol] = x.get("level").q
	}
	for _, w := range v.get("trust").list() {
		s.Trust = append(s.Trust, driver.Symbol(w.text))
		if v.get(w.text) == nil {
			b.add(w.node, "bad-sheet", path+".trust", "give "+w.text+", or take it out of trust", "trust names %s, which the sheet does not give", w.text)
		}
	}
	if x := v.get("suspension"); x != nil {
		s.Creep = driver.Creep{Lambda: x.get("creep").si(), Real: x.get("form").word() == "real"}
	}
	s.Data = b.data(v, path)
	return s
}

func coils(v *value) driver.Coils {
	c := driver.Coils{Count: v.get("count").number(1), Driven: v.get("driven").number(0)}
	switch v.get("quoted").word() {
	case "series":
		c.Quoted = driver.QuotedSeries
	case "parallel":
		c.Quoted = driver.QuotedParallel
	}
	switch o := v.get("other"); {
	case o == nil || o.text == "open":
	case o.text == "shorted":
		c.Other = driver.OtherShorted
	default:
		c.Other, c.Load = driver.OtherLoaded, o.si()
	}
	return c
}

func voiceCoil(v *value) driver.VoiceCoil {
	if le := v.get("le"); le != nil {
		return driver.VoiceCoil{Le: le.si()}
	}
	m := v.get("voice_coil")
	c := driver.VoiceCoil{Le: m.get("le").si()}
	switch m.word() {
	case "lr2":
		c.Model, c.L2, c.R2 = driver.CoilLR2, m.get("l2").si(), m.get("r2").si()
	case "power_law":
		c.Model, c.K, c.N = driver.CoilPowerLaw, m.get("k").si(), m.get("n").si()
	}
	return c
}

func (b *builder) data(v *value, path string) driver.Data {
	d := driver.Data{
		RatedImpedance: v.get("rated_impedance").si(), RatedPower: v.get("rated_power").si(),
		Xmax: v.get("xmax").si() + v.get("xmax_peak_to_peak").si()/2, Xmech: v.get("xmech").si(),
		MountingDepth: v.get("mounting_depth").si(), Cutout: v.get("cutout").si(), Flange: v.get("flange").si(),
		FlangeThickness: v.get("flange_thickness").si(), MagnetDiameter: v.get("magnet_diameter").si(),
		CoilDiameter: v.get("coil_diameter").si(), WindingHeight: v.get("winding_height").si(), GapHeight: v.get("gap_height").si(),
		Displacement: v.get("displacement").si(), Weight: v.get("mass").si(), Price: v.get("price").si(),
	}
	if t := v.get("thermal"); t != nil {
		d.Thermal = heat.Circuit{Rtv: t.get("coil_resistance").si(), Ctv: t.get("coil_capacity").si(), Rtm: t.get("magnet_resistance").si(), Ctm: t.get("magnet_capacity").si()}
	}
	if w := v.get("coil_wire"); w != nil && w.text == "aluminium" {
		d.Wire = heat.Aluminium
	}
	d.Currency = b.prices.take(v.get("price"), path+".price")
	if c, f := v.get("cutout"), v.get("flange"); c != nil && f != nil && c.si() >= f.si() {
		b.add(c.node, "out-of-range", path+".cutout", "correct cutout or flange: both are diameters, and the flange covers the hole",
			"a cutout of %s is not inside the flange of %s", c.node.text, f.node.text)
	}
	return d
}
