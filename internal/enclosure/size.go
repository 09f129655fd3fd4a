package enclosure

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/airflow"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// The losses that apply where the study says nothing (common practice; QL = 7
// is Small's average for boxes of 25 to 100 dm³, 1973 part III section 11).
const (
	defaultLeakage = 7.0
	defaultPort    = 20.0
)

// size turns the words of the spec into numbers: losses, volumes, tunings,
// port lengths, radiator masses. After it, Spec says what the network uses.
func (b *builder) size() error {
	s := &b.Spec
	b.losses()
	if err := b.checkFills(); err != nil {
		return err
	}
	switch s.Kind {
	case InfiniteBaffle:
		return nil
	case Sealed:
		return b.sizeSealed()
	case Vented:
		if s.Alignment.Family != "" {
			if err := b.align(); err != nil {
				return err
			}
		}
		if err := needVolume(s.Rear, "volume"); err != nil {
			return err
		}
		return b.sizePort("port", "", "rear", &s.Rear)
	case PassiveRadiator:
		if err := needVolume(s.Rear, "volume"); err != nil {
			return err
		}
		return b.sizeRadiator()
	case FrontLoadedHorn:
		if err := needVolume(s.Rear, "rear.volume"); err != nil {
			return err
		}
		b.closedReference(&s.Rear)
		return b.sizeLine()
	case TransmissionLine, TappedWaveguide, BackLoadedHorn:
		return b.sizeLine()
	case Network:
		return b.sizeNet()
	}
	if !s.Kind.TwoChambers() {
		return fault("kind", "choose one of "+kindWords(), "no such kind of enclosure")
	}
	if err := needVolume(s.Rear, "rear.volume"); err != nil {
		return err
	}
	if err := needVolume(s.Front, "front.volume"); err != nil {
		return err
	}
	if err := b.sizePort("front.port", "front.", "front", &s.Front); err != nil {
		return err
	}
	if s.Kind == Bandpass {
		if s.Rear.Tuning != 0 || s.Rear.Port.Shape != NoPort {
			return fault("rear", "use bandpass_parallel or bandpass_series, or leave the rear port out", "the rear chamber of a bandpass box is closed")
		}
		b.closedReference(&s.Rear)
		return nil
	}
	return b.sizePort("rear.port", "rear.", "rear", &s.Rear)
}

// kindWords lists the kinds.
func kindWords() string {
	var out []string
	for _, k := range Kinds() {
		out = append(out, k.String())
	}
	return strings.Join(out, ", ")
}

func needVolume(c Chamber, key string) error {
	if !(c.Volume > 0) {
		return fault(key, "give a volume such as 28 L", "the volume is missing")
	}
	return nil
}

// losses fills in the losses of both chambers.
func (b *builder) losses() {
	s := &b.Spec
	for _, c := range []*Chamber{&s.Rear, &s.Front} {
		inherit(&c.Losses, s.Losses)
	}
	switch s.Kind {
	case Vented, PassiveRadiator:
		b.lossDefault(&s.Rear.Losses.Leakage, defaultLeakage, "leakage", "losses.leakage", "the box")
	case Bandpass:
		b.lossDefault(&s.Front.Losses.Port, defaultPort, "port", "front.losses.port", "the front chamber’s port")
	case BandpassParallel, BandpassSeries:
		b.lossDefault(&s.Rear.Losses.Port, defaultPort, "port", "rear.losses.port", "the rear chamber’s port")
		b.lossDefault(&s.Front.Losses.Port, defaultPort, "port", "front.losses.port", "the front chamber’s port")
	}
}

func inherit(l *Losses, from Losses) {
	for _, p := range [][2]*Loss{{&l.Leakage, &from.Leakage}, {&l.Absorption, &from.Absorption}, {&l.Port, &from.Port}} {
		if p[0].State == LossUnset {
			*p[0] = *p[1]
		}
	}
	if l.At == 0 {
		l.At = from.At
	}
}

func (b *builder) lossDefault(l *Loss, q float64, name, key, of string) {
	if l.State != LossUnset {
		return
	}
	*l = Loss{LossGiven, q}
	b.note(note.Default, "default-"+name, key, fmt.Sprintf("%s Q %s for %s", name, phys.Digits(q, 3), of), fmt.Sprintf("write losses: {%s: …} or {%s: none}", name, name))
}

func (b *builder) note(sev note.Severity, id, key, text, mend string) {
	where := "enclosure"
	if key != "" {
		where += "." + key
	}
	b.findings = append(b.findings, note.Finding{ID: id, Severity: sev, Where: where, Text: text, Mend: mend})
}

// closedResonance is the resonance of the rigid composite on a closed chamber
// (Small 1972 part I): the reference frequency of a sealed chamber's losses.
func (b *builder) closedResonance(volume float64) float64 {
	c := b.rigid
	return math.Sqrt((1/c.Cms+c.Sd*c.Sd/b.compliance(volume))/c.Mms) / (2 * math.Pi)
}

func (b *builder) closedReference(c *Chamber) {
	if c.Losses.At == 0 {
		c.Losses.At = b.closedResonance(c.Volume)
	}
}

// sizePort finds a chamber's tuning and the port's length and mass from what
// was given of size, length and tuning.
func (b *builder) sizePort(name, key, chamber string, c *Chamber) error {
	b.ends(key, &c.Port)
	ca := b.spring(c, c.Tuning)
	f := PortFacts{Name: name, Chamber: chamber}
	if c.Port.Shape == NoPort {
		if !(c.Tuning > 0) {
			return fault(key+"tuning", "give a tuning such as 29 Hz, or a port with its length", "neither a tuning nor a port is given")
		}
		f.Tuning = c.Tuning
		f.Mass = 1 / (sq(2*math.Pi*c.Tuning) * ca)
	} else if err := b.sizedPort(&f, key, c, ca); err != nil {
		return err
	}
	f.Gain = b.gain(c, f.Tuning)
	if c.Losses.At == 0 {
		c.Losses.At = f.Tuning
	}
	c.Tuning = f.Tuning
	f.Port = c.Port
	b.Facts.Ports = append(b.Facts.Ports, f)
	return nil
}

func (b *builder) sizedPort(f *PortFacts, key string, c *Chamber, ca float64) error {
	p := &c.Port
	given := p.Length > 0
	rho := b.Setting.Air.Rho
	flares, err := b.bore(f, key, p)
	if err != nil {
		return err
	}
	switch {
	case given:
		b.asLong(f, p)
		f.Tuning = b.tuned(c, f.Mass)
		if c.Tuning > 0 && math.Abs(c.Tuning/f.Tuning-1) > tuningAgreement {
			return fault(key+"tuning", "leave out the tuning or the port’s length", "the port as sized tunes to %s, not to %s", hz(f.Tuning), hz(c.Tuning))
		}
	case c.Tuning > 0:
		f.Tuning = c.Tuning
		f.Mass = 1 / (sq(2*math.Pi*c.Tuning) * ca)
		f.Effective = f.Mass * f.Area / rho
		p.Length = f.Effective - f.InnerEnd - f.OuterEnd
		if p.Length <= flares.Axial {
			highest := 1 / (2 * math.Pi * math.Sqrt(rho*(flares.Axial+f.InnerEnd+f.OuterEnd)/f.Area*ca))
			return fault(key+"port", fmt.Sprintf("make the port narrower, or tune below %s", hz(highest)), "the port cannot be short enough: even a hole of this size tunes to %s, below the %s asked", hz(highest), hz(c.Tuning))
		}
	default:
		return fault(key+"port", "give the port’s length or the tuning", "the port has neither a length nor a tuning to take it from")
	}
	b.finish(f, p, flares)
	return f.fit(key+"port", c.Volume, given)
}

// bore is what a port’s cross-section and its ends give, whatever its length.
func (b *builder) bore(f *PortFacts, key string, p *Port) (airflow.Ending, error) {
	f.Sized = true
	f.Area = float64(p.Count) * p.crossSection()
	f.InnerEnd, f.OuterEnd = p.endCorrection(p.Inner), p.endCorrection(p.Outer)
	return b.flares(f, key, p)
}

// asLong is the mass of air in a port of a given length.
func (b *builder) asLong(f *PortFacts, p *Port) {
	f.Effective = p.Length + f.InnerEnd + f.OuterEnd
	f.Mass = b.Setting.Air.Rho * f.Effective / f.Area
}

// finish is what follows once the length is known, given or found.
func (b *builder) finish(f *PortFacts, p *Port, flares airflow.Ending) {
	f.PipeMode = b.Setting.Air.C / (2 * f.Effective)
	f.Volume = f.Area*(p.Length-flares.Axial) + float64(p.Count)*flares.Room
	f.Port = *p
}

// fit refuses a port that is none any more. Its length was given, or would
// follow from the tuning.
func (f *PortFacts) fit(key string, box float64, given bool) error {
	long, hold, what := "would be", "hold", "smaller in area"
	if given {
		long, hold, what = "is", "holds", "shorter or smaller in area"
	}
	mend := "make the port " + what + ", or use a passive radiator"
	if f.Port.Count > 1 {
		mend = "take fewer ports, make each " + what + ", or use a passive radiator"
	}
	if f.PipeMode < 2*f.Tuning {
		return fault(key, mend, "the port %s %s long: its own pipe mode at %s comes so near the tuning that it is no port any more", long, mm(f.Port.Length), hz(f.PipeMode))
	}
	if f.Volume > box {
		return fault(key, mend, "the port cannot fit: it %s %s long and %s %s, more than the %s of the box", long, mm(f.Port.Length), hold, litres(f.Volume), litres(box))
	}
	return nil
}

// tuningAgreement is how far a stated tuning may be off the one that the
// port's size gives: tunings and lengths are printed to about 1 %.
const tuningAgreement = 0.01

// ends completes a port's count and ends.
func (b *builder) ends(key string, p *Port) {
	if p.Shape == NoPort {
		return
	}
	p.Count = max(p.Count, 1)
	inner, outer := p.Inner == EndUnset, p.Outer == EndUnset
	if inner {
		p.Inner = EndFree
	}
	if outer {
		p.Outer = EndFlanged
	}
	slot := ""
	if p.Shape == Slot {
		slot = "; a slot’s ends by the rectangular piston of Ingard 1953"
	}
	switch key += "port"; {
	case inner && outer:
		b.note(note.Default, "default-ends", key, "the inner end is free, the outer end is flanged"+slot, "write inner_end and outer_end to replace them")
	case inner:
		b.note(note.Default, "default-ends", key+".inner_end", "the inner end is free"+slot, "write inner_end to replace it")
	case outer:
		b.note(note.Default, "default-ends", key+".outer_end", "the outer end is flanged"+slot, "write outer_end to replace it")
	}
}

// crossSection is the area of one port, m².
func (p Port) crossSection() float64 {
	switch p.Shape {
	case Round:
		return math.Pi * sq(p.Diameter) / 4
	case Slot:
		return p.Width * p.Height
	}
	return p.Area
}

// endCorrection is what an end adds to the length, m: for a round pipe
// 0.8217 a flanged and 0.6133 a free (Nomura et al. 1960; Levine & Schwinger
// 1948), for a slot see phys.RectangularEndFlanged.
func (p Port) endCorrection(e End) float64 {
	if p.Shape == Slot {
		if e == EndFlanged {
			return phys.RectangularEndFlanged(p.Width, p.Height)
		}
		return phys.RectangularEndFree(p.Width, p.Height)
	}
	a := math.Sqrt(p.crossSection() / math.Pi)
	if e == EndFlanged {
		return phys.EndFlanged * a
	}
	return phys.EndFree * a
}

// sizeRadiator completes the radiator and solves its added mass.
func (b *builder) sizeRadiator() error {
	r, c := &b.Spec.Radiator, &b.Spec.Rear
	if err := b.completeRadiator(r); err != nil {
		return err
	}
	air, err := b.radiatorAir(r)
	if err != nil {
		return err
	}
	mass := r.Mms + air
	stiff := func(f float64) float64 { return 1/r.Cms + float64(r.Count)*sq(r.Sd)/b.spring(c, f) }
	resonance := func(mass float64) float64 { // its spring is asked for there, in a few rounds where there is fill
		f := 0.0
		for range 40 {
			f = math.Sqrt(stiff(f)/mass) / (2 * math.Pi)
			if c.Fill.Share == 0 {
				break
			}
		}
		return f
	}
	if c.Tuning > 0 {
		bare := resonance(mass) // worded as below, so that a tuning told can be asked for
		if c.Tuning > bare {
			return fault("tuning", fmt.Sprintf("tune below %s, or use a lighter or larger radiator", hz(bare)), "the radiator is too heavy: bare, it tunes this box to %s, below the %s asked", hz(bare), hz(c.Tuning))
		}
		r.AddedMass = math.Max(0, stiff(c.Tuning)/sq(2*math.Pi*c.Tuning)-mass)
	}
	b.Facts.RadiatorFb = resonance(mass + r.AddedMass)
	c.Tuning = b.Facts.RadiatorFb
	if c.Losses.At == 0 {
		c.Losses.At = c.Tuning
	}
	return nil
}

// completeRadiator finds the compliance and the loss of a diaphragm in whatever words
// they were given.
func (b *builder) completeRadiator(r *Radiator) error {
	r.Count = max(r.Count, 1)
	if !(r.Sd > 0) {
		return fault("radiator.sd", "give the radiator’s sd, such as 345 cm2", "the radiator’s area is missing")
	}
	if !(r.Mms > 0) {
		return fault("radiator.mms", "give the bare moving mass, such as 120 g", "the radiator’s mass is missing")
	}
	switch rc := b.Setting.Air.Rho * sq(b.Setting.Air.C); {
	case r.Cms > 0:
	case r.Fs > 0:
		r.Cms = 1 / (sq(2*math.Pi*r.Fs) * r.Mms)
	case r.Vas > 0:
		r.Cms = r.Vas / (rc * sq(r.Sd))
	default:
		return fault("radiator.cms", "give cms, fs or vas of the radiator", "the radiator’s suspension is not known")
	}
	r.Fs = 1 / (2 * math.Pi * math.Sqrt(r.Cms*r.Mms))
	switch {
	case r.Rms > 0:
	case r.Qms > 0:
		r.Rms = 2 * math.Pi * r.Fs * r.Mms / r.Qms
	default:
		return fault("radiator.rms", "give rms or qms of the radiator", "the radiator’s loss is not known")
	}
	return nil
}

// radiatorAir is the mass of air that a radiator's moving mass lacks, kg: with
// full radiation the outer face carries the load of a baffled piston, twice at
// low frequency what its stated mass holds for that face in free air. What the
// load leaves of that as it rises with ka, (2ka)²/15 of itself, is not counted.
func (b *builder) radiatorAir(r *Radiator) (float64, error) {
	if !b.Setting.FullRadiation {
		return 0, nil
	}
	held := b.heldMass(r.Sd)
	if r.Mms <= held {
		return 0, fault("radiator.mms", "give the mass with its air load, or use model: {radiation: classical}", "the radiator’s mass is less than the air load that full radiation takes out of it")
	}
	return held, nil
}

func sq(x float64) float64    { return x * x }
func hz(f float64) string     { return phys.Show(f, phys.Frequency, phys.Metric) }
func mm(l float64) string     { return phys.Show(l, phys.Length, phys.Metric) }
func litres(v float64) string { return phys.Show(v, phys.Volume, phys.Metric) }
func area(s float64) string   { return phys.Show(s, phys.Area, phys.Metric) }
