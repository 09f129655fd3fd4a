package driver

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"basswright/internal/phys"
)

// What follows from a sheet is held to the ranges of what is printed, although
// every printed value is inside its own; told is the parameter that follows
// from the fewest entries, so that few are left to look at.
func TestAbsurdDerivedValues(t *testing.T) {
	for _, c := range []struct {
		name         string
		sheet        []string
		reason, mend string
		about        []Symbol
	}{
		{
			// Rms and Bl are out of range, too, and follow from more
			"a slip of vas", []string{"fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "20 mL", "sd", "345 cm2", "re", "3.3 ohm"},
			"mms would be 229835 g, and no driver has more than 20000 g", "check sd, fs and vas, from which it follows, and their units", []Symbol{Sd, Fs, Vas},
		},
		{
			"a slip of sd", []string{"fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "44 L", "sd", "345 mm2", "re", "3.3 ohm"},
			"cms would be 2606 mm/N, and no driver has more than 1000 mm/N", "check sd and vas, from which it follows, and their units", []Symbol{Sd, Vas},
		},
		{
			"a disc of over 3 m²", []string{"fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "44 L", "effective_diameter", "1.98 m", "re", "3.3 ohm"},
			"sd would be 30791 cm², and no driver has more than 30000 cm²", "check effective_diameter, from which it follows, and its unit", []Symbol{EffectiveDiameter},
		},
		{
			"a spring of a hinge", []string{"mms", "146 g", "cms", "900 mm/N", "qms", "4.2", "qes", "0.41", "sd", "136 cm2", "re", "3.4 ohm"},
			"fs would be 0.4391 Hz, and no driver has less than 1 Hz", "check mms and cms", []Symbol{Mms, Cms},
		},
		{
			"more sound than power", []string{"re", "3.4 ohm", "bl", "400 T m", "mms", "5 g", "cms", "0.5 mm/N", "rms", "2.1 kg/s", "sd", "136 cm2"},
			"its efficiency would be 19441 %: more sound than the power it takes", "check re, bl, mms and sd", []Symbol{Re, Bl, Mms, Sd},
		},
	} {
		_, _, _, err := Complete(sheetOf(t, c.sheet...))
		var e *SheetError
		if !errors.As(err, &e) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if reason := strings.ReplaceAll(e.Reason, "\u2009", " "); reason != c.reason || !strings.HasPrefix(e.Mend, c.mend) || !slices.Equal(e.About, c.about) {
			t.Errorf("%s: %v: %s; %s", c.name, e.About, reason, e.Mend)
		}
	}
}

// A bound itself is inside, also where the unit that it is written in, or the
// way through logarithms, leaves the last bit off.
func TestBoundsAreInside(t *testing.T) {
	for q := quant(0); q < symbols; q++ {
		r := infoOf(q).span
		if !r.contain(r.Max) || r.contain(r.Max*1.001) || r.Min > 0 && (!r.contain(r.Min) || r.contain(r.Min*0.999)) || r.contain(0) || r.contain(-r.Max) {
			t.Errorf("%s: %v", infoOf(q).key, r)
		}
		if RangeOf(infoOf(q).key) != r {
			t.Errorf("%s: RangeOf tells %v", infoOf(q).key, RangeOf(infoOf(q).key))
		}
	}
	for s, text := range map[Symbol]string{Fs: "1 Hz", Mms: "20 kg", Sd: "30000 cm2", Re: "0.01 ohm"} {
		sheet := sheetOf(t, "fs", "30.5 Hz", "mms", "104 g", "qms", "4.9", "qes", "0.49", "sd", "345 cm2", "re", "3.3 ohm")
		sheet.Values[s] = printed(t, s, text)
		sheet.Trust = []Symbol{s}
		var e *SheetError
		if _, _, _, err := Complete(sheet); errors.As(err, &e) && strings.HasPrefix(e.Reason, string(s)+" ") {
			t.Errorf("%s at its bound: %s", s, e)
		}
	}
}

// The ranges bear on what the units of the study say, not on SI.
func TestAbsurdValuesAreToldInTheStudysUnits(t *testing.T) {
	s := sheetOf(t, "fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "20 mL", "sd", "345 cm2", "re", "3.3 ohm")
	s.Units = phys.Imperial
	if _, _, _, err := Complete(s); err == nil || !strings.Contains(err.Error(), "\u2009oz, and no driver has more than") {
		t.Error(err)
	}
}
