package study

import (
	"fmt"
	"math"

	"basswright/internal/airflow"
	"basswright/internal/driver"
	"basswright/internal/heat"
	"basswright/internal/phys"
	"basswright/internal/place"
)

// A Threshold is a figure by which something is judged or warned of, and where it
// is from.
type Threshold struct {
	About      string // "Hearing"
	What       string // "level for 8 h of a working day"
	Figure     string // with its unit
	Source     string
	Provenance Provenance
}

// Provenance says how a source was come by.
type Provenance uint8

// The origins.
const (
	Published  Provenance = iota // the figure was seen where it was published, or in print that quotes it
	FromMemory                   // from memory: look it up before much hangs on it
	Practice                     // common practice, no source
	Own                          // a rule of our own
)

// String is how the page says it.
func (o Provenance) String() string {
	return [...]string{"seen", "from memory", "common practice, no source", "our own"}[o]
}

// Thresholds lists them, made from what the calculation itself uses.
func Thresholds() []Threshold {
	var out []Threshold
	about := ""
	add := func(o Provenance, what, figure, source string) {
		out = append(out, Threshold{about, what, figure, source, o})
	}
	percent := func(v float64) string { return phys.Brief(v, phys.Ratio, phys.Metric) }
	unit := func(v float64, u string) string { return phys.Brief(v, phys.Number, phys.Metric) + "\u2009" + u }
	hours := func(s float64) string { return unit(s/3600, "h") }

	about = "Hearing"
	add(Published, "level for "+hours(place.DailySpan)+" of a working day; half the time for each "+unit(place.DailyExchange, "dB"), unit(place.DailyLevel, "dBA"), "NIOSH 98-126, 1998")
	add(Published, "level for "+hours(place.WeeklySpan)+" a week, adults", unit(place.WeeklyAdult, "dBA"), "WHO-ITU, Rec. ITU-T H.870, mode 1; written for devices worn at the ear")
	add(Published, "level for "+hours(place.WeeklySpan)+" a week, children and the sensitive", unit(place.WeeklyChild, "dBA"), "WHO-ITU, Rec. ITU-T H.870, mode 2")
	add(FromMemory, "peak, even for a moment", unit(place.PeakLimit, "dB(C)"), "2003/10/EC; NIOSH 98-126")

	about = "Air in ports, peak speed"
	add(FromMemory, "the air moves as far as the bore is half wide: loss and noise begin", "ωa", "Vanderkooy 1998")
	add(FromMemory, "little compression past sharp edges", unit(airflow.CoreSpeed, "m/s"), "Salvatti, Devantier & Button 2002")
	add(FromMemory, "old guide", percent(airflow.GuideMach)+" of the speed of sound", "Small 1973, part II")
	add(FromMemory, "Reynolds number û·δ/ν of the layer at the wall: bursts begin", phys.Digits(airflow.Transition, 3), "Merkli & Thomann 1975")
	add(FromMemory, "the same: half of each cycle is turbulent", phys.Digits(airflow.Turbulence, 3), "Hino, Sawamoto & Takasu 1976")
	add(Published, "most that a flare gains, of the first two", unit(math.Round(20*math.Log10(airflow.MostGain)), "dB"), "Bezzola, Devantier & McMullin 2019, the lower end of what they print; how it grows up to there is our own")
	add(Practice, "losses are known up to", percent(airflow.MaxMach)+" of the speed of sound", "the usual bound of incompressible flow")

	about = "Excursion"
	const iec = "IEC 62458:2010, 10 % distortion"
	add(Published, "force factor: Bl(x) over Bl(0), at the least", percent(driver.ReachBl), iec+", as measurement sheets print it")
	add(Published, "compliance: Cms(x) over Cms(0), at the least", percent(driver.ReachCms), iec+", as measurement sheets print it")
	add(Published, "inductance: change of |Z| of the blocked coil, at the most", percent(driver.ReachZ), iec+", as measurement sheets print it")
	add(Published, "Doppler: side tones over the tone, at the most", percent(driver.ReachDoppler), iec+", as measurement sheets print it")
	add(FromMemory, "upper tone, for inductance and Doppler", phys.Brief(driver.ReachTone, phys.Number, phys.Metric)+"\u2009fs", iec)
	add(Practice, "xmax of coil and gap", "half the difference of their heights", "for an overhung coil often ascribed to Small 1972")
	add(Practice, "sag of a cone that faces up or down", percent(place.MostSag)+" of xmax", "a shift of a twentieth takes as much off one side")

	about = "Heat"
	add(FromMemory, "rise of a voice coil that is taken as permitted where nothing is given", unit(heat.PermittedRise, "K"), "usual rating of voice coils")
	add(FromMemory, "temperature beyond which no coil is taken to live", phys.Brief(heat.GivesWay, phys.Temperature, phys.Metric), "enamelled wires are classed up to 240\u2009°C by IEC 60317")
	add(FromMemory, "copper’s resistance, per kelvin from 20 °C", percent(heat.Copper.Resistance(21)-1), "IEC 60028")
	add(FromMemory, "aluminium’s resistance, per kelvin from 20 °C", percent(heat.Aluminium.Resistance(21)-1), "IEC 60889")

	about = "Amplifier and cable"
	add(FromMemory, "lowest |Z| over the rated load, at the least", percent(loadShare), "IEC 60268-5, of rated impedance")
	add(FromMemory, "current density in a copper cable that deserves a look", unit(cautiousDensity/1e6, "A/mm²"), "common practice")

	about = "Distortion"
	add(Own, "second harmonic of a same-way stack that is no reason to mirror it", fmt.Sprintf("below %s", unit(tinyShare, "dB")), "no threshold of audibility is used")
	add(Own, "gain of mirroring that is called next to nothing; loss that is called none", fmt.Sprintf("below %s", unit(little, "dB")), "")
	add(Own, "difference of a driver’s curves between in and out up to which they are called symmetrical", "up to "+percent(evenShare), "a spring that differs by so much has a second harmonic of a quarter of it in its force")
	return out
}
