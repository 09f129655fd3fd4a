package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// feed is the study's drive of one system: the same voltage means the same at
// the source for every candidate; the same power is the same in each group's Re
// behind the source's resistance.
type feed struct {
	fixed     float64    // V rms at the source
	amplifier *Amplifier // full, in place of a fixed voltage
	chain     *filter.Chain
	lift      float64 // by which the level is turned up behind the chain
	place     *Listener
}

func (st *Study) feed(sys *enclosure.System) feed {
	f := st.driven(sys)
	f.chain, f.place = &st.Chain, st.Listening.At
	if f.lift = 1; st.Amplifier != nil { // else there is no full power
		f.lift = st.makeUp()
	}
	return f
}

// driven is the drive before filters and place.
func (st *Study) driven(sys *enclosure.System) feed {
	d := st.Drive
	switch d.Kind {
	case DrivePower:
		return feed{fixed: st.volts(d.Value, sys)}
	case DrivePowerPerDriver:
		return feed{fixed: st.volts(d.Value*float64(sys.Group.Count()), sys)}
	case DriveAmplifierFull:
		return feed{amplifier: st.Amplifier}
	}
	return feed{fixed: d.Value}
}

// gain is what the line-level filters make of the drive at ω.
func (f feed) gain(w float64) complex128 { return f.chain.At(w) }

// voltage is the drive at the source, V rms, where the solver stands. The
// filters stand before the amplifier: what they lift beyond its limits is cut off.
func (f feed) voltage(sys *enclosure.System, sol *network.Solver) float64 {
	if f.amplifier != nil {
		return f.amplifier.most(sys, sol) * f.full(sol.Omega())
	}
	return f.fixed * phys.Abs(f.gain(sol.Omega()))
}

// late is the group delay of the filters at ω, s: by a central difference, as
// that of the pressure.
func (f feed) late(w float64) float64 {
	h := w * delayStep
	return -imag((f.gain(w+h)-f.gain(w-h))/f.gain(w)) / (2 * h)
}

// volts is the voltage at the source that puts a power, W, into a group's Re.
func (st *Study) volts(power float64, sys *enclosure.System) float64 {
	return math.Sqrt(power / st.nominal(1, sys))
}

// nominal is the power, W, that a voltage at the source puts into a group's Re
// behind the source's resistance, as if no parts were in between.
func (st *Study) nominal(volts float64, sys *enclosure.System) float64 {
	sum := 0.0
	for _, c := range sys.Channels {
		i := volts / (c.Re + st.SourceResistance())
		sum += i * i * c.Re
	}
	return sum
}

// loadShare is how far |Z| may fall below the rated load: the rule by which
// rated impedance relates to |Z| in IEC 60268-5.
const loadShare = 0.8

// Words is the drive in plain words: "2.83 V", "150 W in the coils".
func (d Drive) Words(u phys.System) string {
	switch d.Kind {
	case DrivePower:
		return phys.Brief(d.Value, phys.Power, u) + " into each group’s Re"
	case DrivePowerPerDriver:
		return phys.Brief(d.Value, phys.Power, u) + " into each driver’s Re"
	case DriveAmplifierFull:
		return "all that the amplifier gives"
	}
	return phys.Brief(d.Value, phys.Voltage, u)
}

// Plainly is the drive in a customer's words: "75 W".
func (d Drive) Plainly(u phys.System) string {
	switch d.Kind {
	case DrivePower:
		return phys.Brief(d.Value, phys.Power, u)
	case DrivePowerPerDriver:
		return phys.Brief(d.Value, phys.Power, u) + " for each driver"
	case DriveAmplifierFull:
		return "all that the amplifier gives"
	}
	return phys.Brief(d.Value, phys.Voltage, u)
}

// DriveWords is the drive in plain words. What stands in the wire before a group
// is no part of its watts: how much of them it takes depends on the frequency.
func (st *Study) DriveWords() string {
	w := st.Drive.Words(st.Units)
	if k := st.Drive.Kind; len(st.Parts) > 0 && (k == DrivePower || k == DrivePowerPerDriver) {
		w += " (were there no parts)"
	}
	return w
}

// Same is what all candidates have alike: "at the same voltage".
func (d Drive) Same() string {
	switch d.Kind {
	case DrivePower:
		return "at the same power"
	case DrivePowerPerDriver:
		return "at the same power per driver"
	case DriveAmplifierFull:
		return "with the amplifier at full"
	}
	return "at the same voltage"
}

// Terms is the line that says how the candidates are compared.
func (st *Study) Terms() string {
	return fmt.Sprintf("%s%s, %s, limits from %s up",
		st.DriveWords(), st.Through(), st.PlaceWords(), phys.Brief(st.LimitsFrom(), phys.Frequency, st.Units))
}

// Through names what the drive goes through: " through subsonic and lift, with
// choke before each group"; nothing where there is nothing.
func (st *Study) Through() string { return st.throughFilters() + st.withParts() }

// Fed says where a voltage stands that is a drive, and what comes behind it: " at the
// source", or " through subsonic", because a drive is what the filters are fed with,
// as in drive: {voltage: …}; with the parts before each group.
func (st *Study) Fed() string {
	where := st.throughFilters()
	if where == "" {
		where = " at the source"
	}
	return where + st.withParts()
}

// throughFilters is " through subsonic and lift"; nothing where there are no filters.
func (st *Study) throughFilters() string {
	var filters []string
	for _, f := range st.Filters {
		filters = append(filters, f.Name)
	}
	if len(filters) == 0 {
		return ""
	}
	return " through " + list(filters, "and")
}

// withParts is ", with choke before each group"; nothing where there are no parts.
func (st *Study) withParts() string {
	var parts []string
	for _, p := range st.Parts {
		parts = append(parts, p.Name)
	}
	if len(parts) == 0 {
		return ""
	}
	return ", with " + list(parts, "and") + " before each group"
}

// Left says what of a drive a column of volts at the source holds: ", what subsonic
// leaves of the drive"; nothing where there are no filters.
func (st *Study) Left() string {
	if len(st.Filters) == 0 {
		return ""
	}
	return ", what" + strings.TrimPrefix(st.throughFilters(), " through") + leave(len(st.Filters)) + " of the drive"
}

func leave(n int) string {
	if n == 1 {
		return " leaves"
	}
	return " leave"
}
