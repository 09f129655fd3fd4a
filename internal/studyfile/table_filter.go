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

// bellKeys are those of an equaliser.
func bellKeys() []key {
	return []key{
		{name: "at", form: filterCorner, required: true, doc: "its middle", example: "45 Hz"},
		{name: "q", form: filterQ, required: true, doc: "how narrow it is; 0.71 is the steepest shelf without a hump", example: "1.2"},
		{name: "gain", form: filterGain, required: true, doc: "there, or on the shelf; negative takes away", example: "-3 dB"},
	}
}

// filterVariant is a line-level filter before the amplifier.
var filterVariant = &variant{
	tag: "kind", doc: "what the filter does",
	cases: []variantCase{
		{"highpass", "takes away what lies below its corner", &object{noun: "a highpass", keys: passKeys()}},
		{"lowpass", "takes away what lies above its corner", &object{noun: "a lowpass", keys: passKeys()}},
		{"bell", "lifts or lowers a band", &object{noun: "a bell", keys: bellKeys()}},
		{"low_shelf", "lifts or lowers all below", &object{noun: "a low_shelf", keys: bellKeys()}},
		{"high_shelf", "lifts or lowers all above", &object{noun: "a high_shelf", keys: bellKeys()}},
		{"pole_zero", "turns a closed box of one resonance and Q into one of others", &object{noun: "a pole_zero", keys: []key{
			{name: "fc", form: filterCorner, required: true, doc: "the resonance of the closed box as it is", example: "48.9 Hz"},
			{name: "qtc", form: filterQ, required: true, doc: "its total Q", example: "0.71"},
			{name: "to_fc", form: filterCorner, required: true, doc: "the resonance that it should have", example: "32 Hz"},
			{name: "to_qtc", form: filterQ, required: true, doc: "the total Q that it should have", example: "0.6"},
		}}},
	},
}
