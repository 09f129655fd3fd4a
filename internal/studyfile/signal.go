package studyfile

import (
	"fmt"

	"basswright/internal/noise"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// signalKey says what the greatest level is told for.
var signalKey = key{name: "signal", form: either(choice("sine", "noise"), varies(noiseVariant)), fallback: "sine", doc: "what the greatest level is told for: a sine alone, or a test noise beside it", example: "noise"}

// noiseVariant is a test noise: what stands in a study as signal.
var noiseVariant = &variant{
	tag: "spectrum", doc: "how the noise’s power is spread over frequency",
	cases: []variantCase{
		{"programme", "as IEC 60268-1 has it to simulate a programme", &object{noun: "programme noise", keys: []key{crestKey}}},
		{"pink", "alike in every octave of a band, and none outside", &object{noun: "pink noise", keys: bandOfNoise}},
		{"pink_filtered", "pink noise through a high-pass and a low-pass of 12 dB an octave at the ends of a band, as for power handling", &object{noun: "filtered pink noise", keys: bandOfNoise}},
	},
}

var (
	crestKey    = key{name: "crest", form: quantity(phys.Number, 1.42, 10), fallback: "2", doc: "its peak over its rms; no noise has less than a sine", example: "2"}
	bandOfNoise = []key{
		{name: "from", form: frequency, required: true, doc: "the lower end of the band", example: "20 Hz"},
		{name: "to", form: frequency, required: true, doc: "the upper end of the band", example: "200 Hz"},
		crestKey,
	}
)

// signal makes the noise that a study asks for.
func (b *builder) signal(v *value) {
	kind := v.word()
	switch kind {
	case "", "sine":
		return
	case "noise":
		kind = "programme"
		b.fill("noise-spectrum", "drive.signal", "noise of the spectrum of IEC 60268-1, which simulates a programme", "write {spectrum: …} to replace it")
	}
	crest := noise.Crest
	if c := v.get("crest"); c != nil {
		crest = c.si()
	} else {
		b.fill("noise-crest", "drive.signal.crest", fmt.Sprintf("the noise’s peak is %g times its rms, as IEC 60268-1 has it", crest), "write crest to replace it")
	}
	from, to := v.get("from"), v.get("to")
	n := study.Noise{Name: kind, From: from.si(), To: to.si(), Crest: crest}
	if _, err := n.Spectrum(); err != nil {
		if from != nil && to != nil {
			b.add(to.node, "out-of-range", "drive.signal.to", "give the lower frequency as from, the higher one as to", "the noise ends at %s, and begins at %s", to.node.text, from.node.text)
		}
		return
	}
	b.study.Noise = &n
}
