package studyfile

import "basswright/internal/phys"

var (
	filterCorner = quantity(phys.Frequency, 0.1, 20000)
	filterQ      = quantity(phys.Number, 0.1, 50)
	filterGain   = quantity(phys.Level, -40, 40)
)

// passKeys are those of a high-pass or low-pass.
func passKeys() []key {
	return []key{
		{name: "at", form: filterCorner, required: true, doc: "the corner: half power, or 6 dB for linkwitz_riley", example: "24 Hz"},
		{name: "order", form: count(1, 8), required: true, doc: "6 dB an octave for each; even for linkwitz_riley", example: "4"},
		{name: "family", form: choice("butterworth", "bessel", "linkwitz_riley"), required: true, doc: "the shape around the corner", example: "bessel"},
	}
}

// resonantKeys are those of a high-pass or low-pass of second order by its Q.
func resonantKeys() []key {
	return []key{
		{name: "at", form: filterCorner, required: true, doc: "the frequency of its poles", example: "26 Hz"},
		{name: "q", form: filterQ, required: true, doc: "the level there as a factor; above 1 it lifts the end of the range", example: "1.9"},
	}
}

// equaliser is a bell or a shelf; how wide it is is said by q, or by another key.
func equaliser(noun string, wide key) *object {
	return &object{
		noun: noun,
		keys: []key{
			{name: "at", form: filterCorner, required: true, doc: "its middle", example: "45 Hz"},
			{name: "q", form: filterQ, doc: "how narrow it is; 0.71 is the steepest shelf without a hump", example: "1.2"},
			wide,
			{name: "gain", form: filterGain, required: true, doc: "there, or on the shelf; negative takes away", example: "-3 dB"},
		},
		rules: []rule{{exactlyOne, []string{"q", wide.name}, "keep one of the two, such as q: 0.7"}},
	}
}

var (
	bellWidth  = key{name: "bandwidth", form: quantity(phys.Number, 0.02, 8), doc: "octaves between the frequencies with half its gain, in place of q", example: "1"}
	shelfSlope = key{name: "slope", form: quantity(phys.Number, 0.05, 2), doc: "as a share of the steepest without a hump, in place of q", example: "1"}
)

// filterVariant is a line-level filter before the amplifier.
var filterVariant = &variant{
	tag: "kind", doc: "what the filter does",
	cases: []variantCase{
		{"highpass", "takes away what lies below its corner", &object{noun: "a highpass", keys: passKeys()}},
		{"lowpass", "takes away what lies above its corner", &object{noun: "a lowpass", keys: passKeys()}},
		{"resonant_highpass", "takes away what lies below, of second order with a Q of its own: the auxiliary filter of a sixth-order vented box", &object{noun: "a resonant_highpass", keys: resonantKeys()}},
		{"resonant_lowpass", "takes away what lies above, of second order with a Q of its own", &object{noun: "a resonant_lowpass", keys: resonantKeys()}},
		{"bell", "lifts or lowers a band", equaliser("a bell", bellWidth)},
		{"low_shelf", "lifts or lowers all below", equaliser("a low_shelf", shelfSlope)},
		{"high_shelf", "lifts or lowers all above", equaliser("a high_shelf", shelfSlope)},
		{"gain", "lifts or lowers all", &object{noun: "a gain", keys: []key{
			{name: "gain", form: quantity(phys.Level, -120, 60), required: true, doc: "of the whole; negative turns the level down", example: "-6 dB"},
		}}},
		{"allpass", "turns the phase alone", &object{noun: "an allpass", keys: []key{
			{name: "at", form: filterCorner, required: true, doc: "where it turns by a quarter, with q by a half", example: "60 Hz"},
			{name: "q", form: filterQ, doc: "of one of second order; left out it is of first order", example: "0.7"},
		}}},
		{"delay", "comes later", &object{noun: "a delay", keys: []key{
			{name: "time", form: quantity(phys.Time, 0, 1), required: true, doc: "by which all is late, as in a processor", example: "2.5 ms"},
		}}},
		{"invert", "reverses the polarity", &object{noun: "an invert"}},
		{"pole_zero", "turns a closed box of one resonance and Q into one of others", &object{noun: "a pole_zero", keys: []key{
			{name: "fc", form: filterCorner, required: true, doc: "the resonance of the closed box as it is", example: "48.9 Hz"},
			{name: "qtc", form: filterQ, required: true, doc: "its total Q", example: "0.71"},
			{name: "to_fc", form: filterCorner, required: true, doc: "the resonance that it should have", example: "32 Hz"},
			{name: "to_qtc", form: filterQ, required: true, doc: "the total Q that it should have", example: "0.6"},
		}}},
	},
}
