package study_test

import (
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/note"
	"basswright/internal/study"
)

// A line that rings above its band as loud as in it is told with the F3 of the sound above
// the dip, and is warned of: the warning names the band below, and with that band as the
// reference the F3 is the one that was named. With a low-pass, which takes the ringing
// away, nothing is told, and nothing of a line whose own band is the loudest.
func TestExtensionToldFromAboveADip(t *testing.T) {
	const text = `study: Rings
#filters
#reference
drivers:
  heron-8: {re: 5.6 ohm, le: 0.9 mH, bl: 10.2 T m, mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, sd: 220 cm2, mounting_depth: 98 mm, cutout: 186 mm, flange: 222 mm, magnet_diameter: 130 mm}
candidates:
  narrow:
    group: {driver: heron-8, stack: 2, arrangement: clamshell, coupling: 1.2 L}
    enclosure: {kind: transmission_line, duct: {tuning: 33.7 Hz, area: 213 cm2, width: 195 mm}, driver_at: quiet, fill: {material: polyester, packing: 12 kg/m3, to: 0.917 m}}
`
	told := func(text string) (*study.Outcome, *note.Finding) {
		o := evaluated(t, parsed(t, text)).Candidates[0]
		for i := range o.Findings {
			if o.Findings[i].ID == "band-below-dip" {
				return o, &o.Findings[i]
			}
		}
		return o, nil
	}
	o, f := told(text)
	if f == nil || float64(o.Figures.F3) < 200 || !strings.Contains(f.Text, "ends at a dip at 196\u2009Hz") || !strings.Contains(f.Text, "down to an F3 of 42.7\u2009Hz") {
		t.Fatalf("F3 %g Hz: %+v", o.Figures.F3, f)
	}
	_, band, _ := strings.Cut(f.Mend, "reference: ")
	named, none := told(strings.Replace(text, "#reference", "reference: "+band, 1))
	check.Near(t, "F3 with the band that is named, Hz", float64(named.Figures.F3), 42.7, 0.05, "both are told with three digits")
	if none != nil {
		t.Errorf("with a band that is named: %s", none.Text)
	}
	if o, f := told(strings.Replace(text, "#filters", "filters: {top: {kind: lowpass, at: 120 Hz, order: 4, family: linkwitz_riley}}", 1)); f != nil || float64(o.Figures.F3) > 50 {
		t.Errorf("with a low-pass: F3 %g Hz, %+v", o.Figures.F3, f)
	}
	for _, file := range []string{"rope-walk", "ferry-quay", "mill-loft", "workshop-stool"} {
		for _, o := range evaluated(t, read(t, "../../examples/"+file+".yaml")).Candidates {
			for _, f := range o.Findings {
				if f.ID == "band-below-dip" {
					t.Errorf("%s: %s", file, f.Text)
				}
			}
		}
	}
}
