package studyfile

import (
	"math"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// curves are a driver's large-signal curves; nil where the study has none.
func (b *builder) curves(v *value, path string) *driver.Curves {
	if v == nil {
		return nil
	}
	c := &driver.Curves{
		Bl:  b.curve(v.get("bl"), path+".bl", curve.Settle),
		Kms: b.curve(v.get("kms"), path+".kms", curve.Onward),
		Le:  b.curve(v.get("le"), path+".le", curve.Settle),
		L2:  b.curve(v.get("l2"), path+".l2", curve.Settle),
	}
	if cms := b.curve(v.get("cms"), path+".cms", curve.Settle); cms != nil {
		c.Kms = cms.Reciprocal()
	}
	return c
}

// curve is one curve, nil where there is none or where it is faulty.
func (b *builder) curve(v *value, path string, tail curve.Tail) *curve.Curve {
	if v == nil || !b.sound(path) {
		return nil
	}
	numbers := func(key string) (out []float64) {
		for _, x := range v.get(key).list() {
			out = append(out, x.si())
		}
		return out
	}
	var c *curve.Curve
	var err error
	if v.get("poly_si") != nil {
		c, err = curve.Polynomial(numbers("poly_si"))
	} else {
		c, err = curve.Table(numbers("x"), numbers("value"), tail)
	}
	if err != nil {
		b.add(v.node, "bad-curve", path, "correct the list: displacements rise and reach both sides of 0, and values are positive", "%s", err)
		return nil
	}
	return c
}

// restOff is how far a curve may lie from the sheet at rest before it is told.
const restOff = 0.05

// curveDoubts are warnings about curves that do not fit the sheet.
func curveDoubts(d *driver.Driver, path string, units phys.System) []note.Finding {
	if d.Curves == nil {
		return nil
	}
	var out []note.Finding
	if d.Coils.Count > 1 { // what the curves of several coils refer to is not said, and only their shape counts
		return nil
	}
	for _, c := range []struct {
		key   string
		of    *curve.Curve
		sheet float64
		kind  phys.Kind
	}{
		{"bl", d.Curves.Bl, d.Bl, phys.ForceFactor},
		{"kms", d.Curves.Kms, 1 / d.Cms, phys.Stiffness},
		{"le", d.Curves.Le, d.Coil.Le, phys.Inductance},
		{"l2", d.Curves.L2, d.Coil.L2, phys.Inductance},
	} {
		if c.of == nil {
			continue
		}
		rest, _, _ := c.of.At(0)
		out = append(out, turned(d, c.key, c.of, path, units)...)
		if c.sheet == 0 {
			mend := "give le, or leave the curve out"
			if c.key == "l2" {
				mend = "give voice_coil: {model: lr2, …} with l2 and r2, or leave the curve out"
			}
			out = append(out, note.Finding{
				ID: "curve-without-part", Severity: note.Warning, Where: path + ".curves." + c.key,
				Text: "the sheet has no inductance " + c.key + " that this curve could shape; it is passed over", Mend: mend,
			})
			continue
		}
		if math.Abs(rest/c.sheet-1) > restOff {
			out = append(out, note.Finding{
				ID: "curve-off-the-sheet", Severity: note.Warning, Where: path + ".curves." + c.key,
				Text: "at rest the curve is " + phys.Brief(rest, c.kind, units) + ", and one coil of the sheet has " + phys.Brief(c.sheet, c.kind, units) + "; the curve’s shape is taken, and the sheet’s value",
				Mend: "correct the one that is wrong",
			})
		}
	}
	return out
}

// turned warns of a curve that changes its sign before the driver is at its xmax
// or its mechanical stop, as a polynomial does that was fitted to less.
func turned(d *driver.Driver, key string, of *curve.Curve, path string, units phys.System) []note.Finding {
	reach, name := d.Data.Xmax, "xmax"
	if d.Data.Xmech > reach {
		reach, name = d.Data.Xmech, "the mechanical stop"
	}
	for _, x := range []float64{reach, -reach} {
		zero, found := of.Zero(x)
		if !found {
			continue
		}
		way := "outwards"
		if x < 0 {
			way = "inwards"
		}
		return []note.Finding{{
			ID: "curve-turns-negative", Severity: note.Warning, Where: path + ".curves." + key,
			Text: "the curve is negative from " + phys.Brief(math.Abs(zero), phys.Length, units) + " " + way + ", and " + name + " is " + phys.Brief(reach, phys.Length, units) + ": no driver is like that",
			Mend: "give a table, or a polynomial that holds as far as the driver goes",
		}}
	}
	return nil
}
