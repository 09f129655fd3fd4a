package enclosure

import (
	"math"

	"basswright/internal/duct"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// Stuffing is fibrous fill in a chamber.
type Stuffing struct {
	duct.Fill
	Share float64 // of the volume that it fills; 0: there is none
}

// FilledAir is the admittance of a chamber with fill: jω·V/K of what is filled, beside
// that of what is not. The pressure is taken to be the same all through, so that the
// heat which the fibres take is counted and their resistance to flow is not.
type FilledAir struct {
	gas          duct.Gas
	fill         duct.Fill
	filled, free float64 // m³, and m³/Pa of the rest
}

// At is the admittance at w, m³/(Pa·s).
func (s FilledAir) At(w float64) complex128 {
	_, k := s.fill.At(s.gas, w)
	y := complex(s.filled, 0)/k + complex(s.free, 0)
	return complex(-w*imag(y), w*real(y))
}

var _ network.Law = FilledAir{}

func (b *builder) filledAir(c *Chamber) FilledAir {
	return FilledAir{
		gas: duct.GasOf(b.Setting.Air), fill: c.Fill.Fill,
		filled: c.Volume * c.Fill.Share, free: b.compliance(c.Volume * (1 - c.Fill.Share)),
	}
}

// gain is by how much larger a chamber appears for its fill at a frequency: 1 to γ.
func (b *builder) gain(c *Chamber, f float64) float64 {
	if c.Fill.Share == 0 || !(f > 0) {
		return 1
	}
	return 1 + c.Fill.Share*(c.Fill.Gain(duct.GasOf(b.Setting.Air), 2*math.Pi*f)-1)
}

// spring is the compliance of a chamber with its fill at a frequency, m³/Pa.
func (b *builder) spring(c *Chamber, f float64) float64 { return b.compliance(c.Volume) * b.gain(c, f) }

// tuned is where a mass is in resonance with a chamber, Hz: its spring is asked for
// there, which takes a few rounds where there is fill.
func (b *builder) tuned(c *Chamber, mass float64) float64 {
	f := 0.0
	for range 40 {
		f = 1 / (2 * math.Pi * math.Sqrt(mass*b.spring(c, f)))
		if c.Fill.Share == 0 {
			break
		}
	}
	return f
}

// checkFills refuses fill beside what says the same or cannot know of it.
func (b *builder) checkFills() error {
	s := &b.Spec
	for _, at := range []struct {
		key string
		*Chamber
	}{{b.rearKey(), &s.Rear}, {"front.", &s.Front}, {"throat_chamber.", &s.Line.Throat}} {
		if at.Fill.Share == 0 {
			continue
		}
		switch sigma := at.Fill.Resistivity; {
		case at.Losses.Absorption.State == LossGiven:
			return fault(at.key+"losses.absorption", "leave absorption out: fill has its own loss", "absorption and fill say one thing in two ways")
		case s.Alignment.Family != "":
			return fault("fill", "leave fill out, or give volume and tuning", "an alignment is one of a box without fill")
		case !(sigma >= duct.LeastResistivity && sigma <= duct.MostResistivity):
			return fault(at.key+"fill", "pack it otherwise, or give its resistivity, from 1 Pa·s/m² to 1 000 000 Pa·s/m²", "fill of %s Pa·s/m²", phys.Digits(sigma, 3))
		}
		b.fillDoubt(at.Fill.Fill, at.key+"fill")
	}
	return nil
}

// rearKey leads to the rear chamber’s keys.
func (b *builder) rearKey() string {
	if b.Spec.Kind.TwoChambers() || b.Spec.Kind == FrontLoadedHorn {
		return "rear."
	}
	return ""
}

// fillFacts are those of a chamber at its reference frequency; of one without any, at
// the group’s resonance.
func (b *builder) fillFacts(name string, c *Chamber) FillFacts {
	f := c.Losses.At
	if f == 0 {
		f = math.Sqrt(1/(b.rigid.Cms*b.rigid.Mms)) / (2 * math.Pi)
	}
	y := b.filledAir(c).At(2 * math.Pi * f)
	return FillFacts{Chamber: name, At: f, Gain: b.gain(c, f), Q: imag(y) / real(y)}
}
