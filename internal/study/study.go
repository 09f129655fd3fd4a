// Package study is the heart of the program: one study (a brief, drivers and
// the candidates compared), its evaluation on a common drive, and the verdict.
// It knows nothing of files, drawing or terminals.
package study

import (
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// Study is a study whose words have been understood.
type Study struct {
	Name       string
	Note       string
	File       string // as it was named by whoever opened it; empty for standard input
	Digest     string // SHA-256 of its text, hex
	Units      phys.System
	Air        phys.Air
	Listening  Listening
	Drive      Drive
	Noise      *Noise       // what the greatest level is told for beside the sine; nil: the sine alone
	Source     float64      // Ω, stated for output and cable together; else they are known by themselves
	Cable      *Cable       // nil: none is described
	Parts      []Part       // passive parts between the cable and the group, in their order
	Filters    []Filter     // line-level, in their order
	Chain      filter.Chain // all of them
	Amplifier  *Amplifier
	Space      *Space
	Brief      Brief
	Reference  *Band // the band of the reference level, if named
	Model      Model
	Drivers    []Driver       // in the order of the file
	Candidates []Candidate    // in the order of the file
	Findings   []note.Finding // what was noticed while it was read: contradictions, defaults
}

// Filter is one line-level filter before the amplifier.
type Filter struct {
	Name  string
	Kind  string // as the study words it
	Chain filter.Chain
}

// Listening is where the level is told for.
type Listening struct {
	Distance float64 // m
	Toward   enclosure.Toward
	Space    Surroundings
	At       *Listener // what else surrounds the listener; nil: nothing
}

// Surroundings is the part of space that the sound goes into.
type Surroundings uint8

// The spaces.
const (
	HalfSpace Surroundings = iota
	FreeSpace
	QuarterSpace
	EighthSpace
)

// String is the space in the words of the study file.
func (s Surroundings) String() string { return [...]string{"half", "free", "quarter", "eighth"}[s] }

// DriveKind says how the drive is worded.
type DriveKind uint8

// The drives.
const (
	DriveVoltage        DriveKind = iota // the same voltage for all
	DrivePower                           // the same power into each group's Re
	DrivePowerPerDriver                  // the same power into the Re of each driver
	DriveAmplifierFull                   // all that the amplifier gives into the load, frequency by frequency
)

// Drive is what every candidate is fed.
type Drive struct {
	Kind  DriveKind
	Value float64 // V or W
}

// Amplifier is rated by continuous sine power into loads.
type Amplifier struct {
	Rated    []Rating // of each channel, by rising load
	Channels int      // 0: one, or two where they are bridged
	Bridged  bool     // two channels drive one load between them
	Output   float64  // Ω, of each channel
}

// Rating is a power into a load.
type Rating struct {
	Load  float64 // Ω
	Power float64 // W
}

// Space is the room that a candidate must fit into.
type Space struct {
	Width, Height, Depth float64 // m, outside of the box
	Panel                float64 // m, thickness of the boards; 0: default
	Material             string
}

// Band is a range of frequencies, Hz.
type Band struct{ From, To float64 }

// Model holds the choices of model.
type Model struct {
	FullRadiation bool
	RigidWalls    bool      // ducts without the loss of air at their walls
	LinearAir     bool      // large signals: the air of chambers is a linear spring
	AdiabaticAir  bool      // large signals: the air of closed chambers stays a spring down to dc
	Mismatch      *Mismatch // large signals: of the samples in a mirrored stack; nil: the usual one
}

// Brief is what the customer asks for. Zero values are not asked for.
type Brief struct {
	Extension Extension
	LevelAt   float64 // Hz
	Level     float64 // dB at LevelAt
	Limits    Limits
}

// Extension is the asked extension, Hz.
type Extension struct{ F3, F6, F10 float64 }

// Limits are what must not be exceeded.
type Limits struct {
	From          float64 // Hz: limits are held from here up; 0: default
	Excursion     float64 // m one way; 0: not limited
	ExcursionXmax bool    // each driver's own xmax (and each radiator's)
	PortSpeed     float64 // m/s peak
	Pressure      float64 // Pa peak, in any chamber
	GroupDelay    float64 // s
	Mass          float64 // kg
	Price         float64
	Currency      string
}

// Driver is a woofer of the shortlist with the account of its completion.
type Driver struct {
	Driver   *driver.Driver
	Steps    []note.Step
	Findings []note.Finding
}

// Candidate is a group in an enclosure.
type Candidate struct {
	Name      string
	Note      string
	Group     *driver.Group
	Axis      Axis
	GroupSpec driver.GroupSpec // as it was worded
	Enclosure enclosure.Spec
	At        note.Position
	Look      int    // which colour and dash it has in figures, from 1; 0: that of its place
	Digest    string // of all that its outcome is made from, for [Memory]; "": not known
	Undriven  string // of all of that but the drive
	Built     string // of all that it is built from, so not of the drive and of what is asked
	Wired     string // of all that it is wired by, so not of its box
}

// Changed forgets what the candidate was read from, which it is no longer made from.
func (c *Candidate) Changed() { c.Digest, c.Undriven, c.Built, c.Wired = "", "", "", "" }

// LookAt is which colour and dash the candidate has, from 0, its place being i.
func (c *Candidate) LookAt(i int) int {
	if c.Look > 0 {
		return c.Look - 1
	}
	return i
}
