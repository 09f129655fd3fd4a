// Package enclosure turns a group of drivers and the words of a study into a
// network: every enclosure kind is a recipe that assembles elements, and
// nothing else. No kind has a response formula of its own.
package enclosure

// Kind is a kind of enclosure.
type Kind uint8

// The kinds of enclosure.
const (
	InfiniteBaffle Kind = iota + 1
	Sealed
	Vented
	PassiveRadiator
	Bandpass         // fourth order: rear chamber closed, front chamber tuned to the outside
	BandpassParallel // sixth order: both chambers tuned to the outside
	BandpassSeries   // sixth order: the rear chamber tuned into the front one, that one to the outside
	TransmissionLine // the rear of the cone looks into a duct, at its closed end or along it
	TappedWaveguide  // front and rear of the cone look into one duct at two places
	FrontLoadedHorn  // the front looks into a horn, the rear into a closed chamber
	BackLoadedHorn   // the rear looks into a horn, the front outside
	Network          // places joined by parts, as a designer puts them together
)

// Kinds lists all of them, in the order in which they are offered.
func Kinds() []Kind {
	var out []Kind
	for k := InfiniteBaffle; k <= Network; k++ {
		out = append(out, k)
	}
	return out
}

// TwoChambers says that the kind is made of a rear and a front chamber.
func (k Kind) TwoChambers() bool { return k >= Bandpass && k <= BandpassSeries }

// Distributed says that a duct does the work of the kind.
func (k Kind) Distributed() bool { return k >= TransmissionLine && k <= BackLoadedHorn }

// String is the kind in the words of the study file.
func (k Kind) String() string {
	return [...]string{"", "infinite_baffle", "sealed", "vented", "passive_radiator", "bandpass", "bandpass_parallel", "bandpass_series",
		"transmission_line", "tapped_waveguide", "front_loaded_horn", "back_loaded_horn", "network"}[k]
}

// Spec is an enclosure as a study words it. Zero values mean "not given".
// Sealed, vented and passive-radiator boxes use Rear only; kinds with a duct use
// Line, and a front-loaded horn Rear beside it; a network uses Net alone.
type Spec struct {
	Kind      Kind
	Rear      Chamber
	Front     Chamber
	Losses    Losses // at the enclosure: loss by loss, for every chamber without a word of its own
	Radiator  Radiator
	Alignment Alignment
	Line      Line
	Net       *Net    // of a network; else nil
	Baffle    *Baffle // nil: all that radiates counts at one place
}

// Chamber is an enclosed volume.
type Chamber struct {
	Volume  float64 // m³ of net air
	SystemQ float64 // sealed only: the total Q to be reached instead of a volume
	Tuning  float64 // Hz
	Port    Port
	Losses  Losses
	Fill    Stuffing
}

// Loss is one Q of Small's papers, or its absence.
type Loss struct {
	State LossState
	Q     float64 // with LossGiven
}

// LossState says whether a loss was worded.
type LossState uint8

// The states of a loss.
const (
	LossUnset LossState = iota // the kind's default applies
	LossGiven
	LossNone
)

// Losses are the losses of a chamber, as Q at the chamber's reference
// frequency (Small 1972, 1973).
type Losses struct {
	Leakage    Loss    // R = Q/(ω0 C), from the chamber to the outside
	Absorption Loss    // R = 1/(ω0 C Q), in series with C
	Port       Loss    // R = ω0 M/Q, in series with the port's mass
	At         float64 // Hz; 0: the chamber's own reference frequency
}

// Shape is the shape of a port's cross-section.
type Shape uint8

// The shapes.
const (
	NoPort Shape = iota
	Round
	Slot
	AreaOnly // an area without a shape: its end corrections are those of a circle
)

// Port is an opening with a length. Several ports are alike.
type Port struct {
	Shape         Shape
	Diameter      float64 // m, Round
	Width, Height float64 // m, Slot
	Area          float64 // m², AreaOnly (one port)
	Length        float64 // m; 0: from the tuning
	Count         int     // 0: one
	Inner, Outer  End
	Flare         float64 // m, radius of the rounding of the edges at both ends; 0: sharp
}

// End is how a port ends.
type End uint8

// The ends of a port.
const (
	EndUnset End = iota // inner free, outer flanged
	EndFlanged
	EndFree
)

// Radiator is a passive radiator. Several are alike and share the load.
type Radiator struct {
	Sd        float64 // m², one
	Mms       float64 // kg, one, bare
	Cms       float64 // m/N, one
	Fs        float64 // Hz, with the bare mass
	Vas       float64 // m³, one
	Rms       float64 // kg/s, one
	Qms       float64 // at Fs with the bare mass
	Count     int     // 0: one
	Xmax      float64 // m
	AddedMass float64 // kg, one; solved from a tuning
	Depth     float64 // m, for the drawing; 0: not known
}

// Alignment asks for a volume and a tuning by the name of a response shape.
type Alignment struct {
	Family string  // "b4", "qb3", "c4"; empty: none
	Ripple float64 // dB, c4
}
