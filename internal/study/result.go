package study

import (
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// Result is an evaluated study.
type Result struct {
	Study      *Study
	Options    Options
	Candidates []*Outcome     // in the order of the study
	Yardstick  int            // index of the candidate that the others are told against
	BriefMet   bool           // some candidate meets everything that was asked
	HasBrief   bool           // anything was asked
	Told       string         // one line without full stop: whether the brief is met
	Lead       string         // two or three sentences: which candidate is nearest, and why
	Cautions   []note.Finding // that travel with the output
}

// Outcome is one candidate, evaluated.
type Outcome struct {
	Index      int
	Candidate  *Candidate
	System     *enclosure.System
	Curves     *Curves
	Greatest   *Greatest      // along the curves' frequencies; nil where no bound is known or nothing is heard
	Noise      *GreatestNoise // under the study's noise; nil without one
	Air        []PortAir      // of the openings of known size
	Protection *Protection    // nil where no amplifier is given or nothing limits the movement
	Figures    Figures
	Coupling   []StackFacts // one for a stack, none otherwise
	Checks     []Check      // against the brief and the limits, always in the same order
	Misses     []Miss       // what the brief asks and this does not give
	Verdict    []string     // how it differs from the yardstick, true statements only; empty for the yardstick
	Summary    [3]string    // what it costs, the space it takes, what it gives
	Plain      string       // one line of plain words: "clamshell stack of two in parallel, sealed, 16 L"
	Findings   []note.Finding
	Ledger     []note.Step   // the group against the single driver; nil, as the next, where it was left out
	BoxLedger  []note.Step   // what the box makes of it, and what lies before it
	Chain      *ChainFigures // nil for a group on one channel without cable and parts
	Body       Body          // for the section drawing

	loudest [weighings]tone // for the caution of hearing
}

// Look is which colour and dash the candidate has in figures, from 0.
func (o *Outcome) Look() int { return o.Candidate.LookAt(o.Index) }

// WrongPolarity reports whether the cones of the candidate work against each
// other, as it is wired.
func (o *Outcome) WrongPolarity() bool { return o.System != nil && !o.System.Group.MovesTogether() }

// Curves are sampled at Frequency. Phasors have become magnitude and phase;
// what does not exist is NaN. All levels are for the study's drive.
type Curves struct {
	Frequency      []float64  // Hz
	Voltage        []float64  // V rms at the source: the drive
	SPL            []float64  // dB re 20 µPa at the listener's place
	Plain          []float64  // dB in the plain space at the same distance; nil where SPL is that already
	Phase          []float64  // degrees in (−180, 180], at the listener's place, with the flight over the listening distance
	GroupDelay     []float64  // s, in the plain space, without the flight
	Impedance      []float64  // Ω, the amplifier’s load: behind the source’s resistance, before the parts, of the hardest channel
	ImpedancePhase []float64  // degrees
	Excursion      []Trace    // m peak, one a driver in member order, then the radiators
	Speed          []Trace    // m/s rms, one an opening
	VolumeVelocity []Trace    // m³/s rms, one an opening
	Pressure       []Trace    // Pa rms, one a chamber
	Power          []Trace    // W, one a coil
	ExcursionMax   []float64  // m peak, the largest over the drivers
	SpeedMax       []float64  // m/s rms, the largest over the openings; NaN where there is none
	Step, Impulse  *TimeCurve // pressure at the listening distance, per volt
}

// Trace is a named curve.
type Trace struct {
	Name string
	Y    []float64
}

// TimeCurve is a response over time.
type TimeCurve struct {
	T  []float64 // s
	Y  []float64 // Pa/V
	To float64   // Hz: the response is shown as it is below this frequency
}

// Peak is an extreme value and where it is.
type Peak struct {
	Value phys.Maybe `json:"value"`
	At    phys.Maybe `json:"at_hz"`
}

// Figures are a candidate's derived figures, SI.
type Figures struct {
	Drivers                                int
	Load                                   phys.Maybe // Ω, rated load: the lowest |Z| / 0.8
	LowestZ                                Peak       // Ω
	LowestZPhase                           phys.Maybe // degrees
	Re                                     float64    // Ω, the group's
	NetVolume                              phys.Maybe // m³
	OccupiedVolume                         phys.Maybe // m³: net + coupling + bodies + ports
	VolumePerDriver                        phys.Maybe // m³
	CouplingVolume, BodyVolume, PortVolume float64    // m³, parts of the occupied volume
	Tuning                                 phys.Maybe // Hz, of a tuned chamber (the front one of a bandpass)
	RearTuning                             phys.Maybe // Hz, sixth-order bandpass
	Fc, Qtc                                phys.Maybe // of a sealed box (or the closed rear chamber of a bandpass)
	F3, F6, F10                            phys.Maybe // Hz, low edge
	F3High, F6High, F10High                phys.Maybe // Hz, high edge, where it falls within the range computed
	Reference                              phys.Maybe // dB; none where the candidate gives no sound
	ReferenceBand                          Band
	PeakLevel                              Peak       // dB above the reference
	Above                                  Peak       // dB above the reference that the level comes back to above the upper F3; none: it stays away
	Ripple                                 phys.Maybe // dB, between the extremes within the F3 band
	RippleHigh, RippleLow                  phys.Maybe // dB, those extremes; none where there are no two
	GroupDelay                             Peak       // s, largest from the limits' lower edge up, where the sound is heard
	DelayCycles                            Peak       // the most of a cycle that it is anywhere, which is not where it is longest
	Excursion                              Peak       // m peak, the largest of all drivers from the limits' lower edge up
	ExcursionShare                         Peak       // the largest excursion over its own limit; NaN if no limit is known
	RadiatorExcursion                      Peak
	PortSpeed                              Peak         // m/s PEAK
	Power                                  Peak         // W, of the driver that takes the largest share of its rated power
	RatedPower                             phys.Maybe   // W, of that driver
	PowerShare                             phys.Maybe   // of its rated power
	CoilPowers                             []float64    // W, largest from the limits' lower edge up, by coil
	HottestCoil                            Peak         // W, of the coil that takes most
	TotalPower                             float64      // W drawn at the frequency where it is largest
	TotalPowerAt                           phys.Maybe   // Hz, that
	LevelAsked                             phys.Maybe   // dB at the brief's frequency, at the listener's place
	Greatest                               []GreatestAt // at the bass frequencies; empty where no bound is known
	First                                  *First       // what gives first; nil where no bound is known
	Mass                                   phys.Maybe   // kg, drivers and boards
	BoardMass                              phys.Maybe   // kg of it
	Price                                  phys.Maybe   // drivers
	Sensitivity1W, Sensitivity283V         phys.Maybe   // dB, of the group in half space at 1 m
}

// StackFacts says how far the trade's rule of the rigid link is off.
type StackFacts struct {
	Error      Peak       // dB, level minus that of the rigid stack, the largest
	Band       Band       // over which it was looked for
	Modes      []float64  // Hz: the cones move against each other
	AirMass    phys.Maybe // kg that move with the cones at one position
	Rigid      bool
	Excursions []Peak // m peak, of each cone at one position, from the listener inward
}

// CheckID names a check.
type CheckID string

// The checks, in the order in which they are told.
const (
	CheckSound         CheckID = "sound" // a miss without a gauge
	CheckF3            CheckID = "extension-f3"
	CheckF6            CheckID = "extension-f6"
	CheckF10           CheckID = "extension-f10"
	CheckLevel         CheckID = "level"
	CheckExcursion     CheckID = "excursion"
	CheckRadiator      CheckID = "radiator-excursion"
	CheckStop          CheckID = "stop"           // where it is nearer than the limit of excursion, or that is not known
	CheckExcursionFull CheckID = "excursion-full" // of a tuned box, at all that the amplifier gives
	CheckRadiatorFull  CheckID = "radiator-excursion-full"
	CheckHeat          CheckID = "heat"
	CheckLoad          CheckID = "load"
	CheckPortSpeed     CheckID = "port-speed"
	CheckPortFull      CheckID = "port-speed-full" // at all that the amplifier gives
	CheckPressure      CheckID = "chamber-pressure"
	CheckGroupDelay    CheckID = "group-delay"
	CheckFit           CheckID = "fit"
	CheckDuctAir       CheckID = "duct-air"   // of a duct that is not laid out: its air against the whole space
	CheckDuctFrame     CheckID = "duct-frame" // drivers against the clear width of the duct where they stand
	CheckMass          CheckID = "mass"
	CheckPrice         CheckID = "price"
)

// Checks are those with a gauge, in the order in which they are told.
func Checks() []CheckID {
	return []CheckID{
		CheckF3, CheckF6, CheckF10, CheckLevel, CheckExcursion, CheckStop, CheckRadiator, CheckExcursionFull, CheckRadiatorFull, CheckHeat,
		CheckLoad, CheckPortSpeed, CheckPortFull, CheckPressure, CheckGroupDelay, CheckFit, CheckDuctAir, CheckDuctFrame, CheckMass, CheckPrice,
	}
}

// atDrive is the check on the study's drive of what id checks at all that the
// amplifier gives; ok is false where id is of the drive itself.
func (id CheckID) atDrive() (drive CheckID, ok bool) {
	switch id {
	case CheckPortFull:
		return CheckPortSpeed, true
	case CheckExcursionFull:
		return CheckExcursion, true
	case CheckRadiatorFull:
		return CheckRadiator, true
	}
	return "", false
}

// A Check is a figure beside what it must not pass. Fill is the share of the
// limit that is used: above 1 the limit is passed.
type Check struct {
	ID     CheckID    `json:"id"`
	Name   string     `json:"name"` // "excursion of 12 mm"
	Kind   phys.Kind  `json:"-"`
	Value  phys.Maybe `json:"value"` // SI
	Limit  float64    `json:"limit"` // SI
	Fill   phys.Maybe `json:"fill"`
	At     phys.Maybe `json:"at_hz"` // where it is worst
	Asked  bool       `json:"asked"` // the brief asks for it (else it is told for safety)
	Passed bool       `json:"passed"`
	Varies bool       `json:"limit_varies,omitempty"` // the limit changes with frequency: it is that where it is worst
}

// A Miss is one thing that a candidate does not give, and the mend.
type Miss struct {
	Check CheckID `json:"check"`
	Short string  `json:"short"` // "short of extension"
	Text  string  `json:"text"`  // "excursion 16.9 mm at 20 Hz, limit 12 mm"
	Mend  string  `json:"mend"`  // "holds up to 76 W, or from 23 Hz up"
}

// Body is the outline of a candidate's box, for its section drawing and its
// fit: front at the bottom of the page, seen from above.
type Body struct {
	Known                bool    // a box can be drawn (false for an infinite baffle)
	Width, Height, Depth float64 // m, outside
	Panel                float64 // m
	InFront              float64 // m, what stands out before the box
	Boards               float64 // m³ of the boards inside: a dividing wall, the tubes of stacks
	Divider              float64 // m, from the front to the wall that carries the drivers; 0: the front itself does
	Rows                 []Row   // the drivers, by position
	Lanes                []Lane  // what stands side by side, from left to right
	Spare                float64 // m³ that the box holds beyond what is needed, because the drivers need the room
	Guessed              bool    // no space was given: proportions are the tool's own
	Fits                 bool
	Why                  string // why it does not fit
	Group                *driver.Group
	Spec                 enclosure.Spec
	Ports                []enclosure.PortFacts
	Line                 *LineBody // of a distributed enclosure
	Fold                 *Fold     // of its duct, in a space; nil: none was laid out
}

// Options are the settings of an evaluation.
type Options struct {
	From, To  float64 // Hz; 0: 10 and 400
	Points    int     // 0: 400
	Workers   int     // 0: one per core
	Yardstick string  // candidate's name; empty: the first
	Time      bool    // step and impulse responses too
	// WithoutMends leaves the mends of misses out, for they cost a search, and the
	// ledgers: for results that follow a value while it is being changed.
	WithoutMends bool
}
