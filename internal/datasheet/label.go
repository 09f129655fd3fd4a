package datasheet

import (
	"slices"
	"strings"

	"basswright/internal/phys"
)

// An entry is a key of a driver in the study file, with its range there and
// the names by which sheets print it.
type entry struct {
	key      string
	kind     phys.Kind
	min, max float64
	above    bool // min itself is not allowed
	symbols  []string
	names    []string
	why      string // of what no key stands for: why it is passed over
}

// entries are in the order in which a study lists the keys of a driver. A test
// holds the ranges against those of the study file.
var entries = []*entry{
	{key: "fs", kind: phys.Frequency, min: 1, max: 2000, symbols: []string{"fs", "f0", "fo", "fres"},
		names: []string{"resonance frequency", "resonant frequency", "free air resonance", "resonance", "frequency of resonance"}},
	{key: "qms", max: 1000, above: true, symbols: []string{"qms", "qm"},
		names: []string{"mechanical q", "q mechanical", "mechanical quality factor", "mechanical q factor"}},
	{key: "qes", max: 1000, above: true, symbols: []string{"qes", "qe"},
		names: []string{"electrical q", "electric q", "q electrical", "electrical quality factor", "electrical q factor"}},
	{key: "qts", max: 1000, above: true, symbols: []string{"qts", "qt"},
		names: []string{"total q", "q total", "total quality factor", "total q factor"}},
	{key: "vas", kind: phys.Volume, min: 1e-5, max: 50, symbols: []string{"vas"},
		names: []string{"equivalent volume", "equivalent air volume", "equivalent compliance volume", "compliance equivalent volume",
			"equivalent volume of compliance", "equivalent volume of suspension", "equivalent volume of air", "equivalent compliance air volume"}},
	{key: "re", kind: phys.Resistance, min: 0.01, max: 1000, symbols: []string{"re", "rdc", "dcr", "revc"},
		names: []string{"dc resistance", "d c resistance", "coil resistance", "voice coil resistance", "voice coil dc resistance",
			"voice coil d c resistance", "dc coil resistance", "dc voice coil resistance", "resistance"}},
	{key: "bl", kind: phys.ForceFactor, min: 0.01, max: 500, symbols: []string{"bl", "bxl"},
		names: []string{"force factor", "motor force factor", "bl product", "bl factor", "b l", "b x l", "b l product"}},
	{key: "mms", kind: phys.Mass, min: 1e-5, max: 20, symbols: []string{"mms"},
		names: []string{"moving mass", "moving mass including air load", "moving mass incl air load", "moving mass with air load",
			"total moving mass", "effective moving mass", "dynamic moving mass", "mechanical moving mass"}},
	{key: "cms", kind: phys.Compliance, min: 1e-7, max: 1, symbols: []string{"cms"},
		names: []string{"compliance", "suspension compliance", "mechanical compliance", "compliance of suspension"}},
	{key: "rms", kind: phys.MechanicalResistance, min: 1e-4, max: 1000, symbols: []string{"rms"},
		names: []string{"mechanical resistance", "suspension resistance", "mechanical loss resistance", "mechanical losses"}},
	{key: "sd", kind: phys.Area, min: 1e-5, max: 3, symbols: []string{"sd"},
		names: []string{"effective area", "piston area", "effective piston area", "cone area", "effective cone area", "diaphragm area",
			"effective diaphragm area", "radiating area", "effective radiating area", "surface area", "cone surface", "effective surface area"}},
	{key: "effective_diameter", kind: phys.Length, min: 0.003, max: 2,
		names: []string{"effective diameter", "piston diameter", "effective piston diameter", "effective cone diameter", "effective diaphragm diameter"}},
	{key: "sensitivity", kind: phys.Level, min: 30, max: 150, symbols: []string{"spl"},
		names: []string{"sensitivity", "sound pressure level", "rated sensitivity", "reference sensitivity", "average sensitivity",
			"characteristic sensitivity", "efficiency", "sensitivity spl", "sens"}},
	{key: "le", kind: phys.Inductance, max: 1, symbols: []string{"le", "lvc", "le1k", "l1k"},
		names: []string{"inductance", "voice coil inductance", "coil inductance"}},
	{key: "coils", kind: phys.Number, min: 1, max: 8,
		names: []string{"voice coils", "coils", "number of voice coils", "number of coils", "dual voice coil", "dual voice coils", "dvc", "voice coil configuration"}},
	{key: "rated_impedance", kind: phys.Resistance, min: 0.1, max: 1000, symbols: []string{"z", "znom", "zn"},
		names: []string{"impedance", "nominal impedance", "rated impedance"}},
	{key: "rated_power", kind: phys.Power, max: 1e5, above: true, symbols: []string{"pe", "pn", "pnom", "pmax"},
		names: []string{"power", "power handling", "power handling capacity", "rated power", "power rating", "power capacity", "nominal power",
			"continuous power", "continuous power handling", "rms power", "power rms", "aes power", "input power", "long term power", "thermal power",
			"nominal power handling", "rated power handling", "rms power handling", "power handling rms", "rated input power",
			"max power", "maximum power", "peak power", "music power", "program power", "programme power"}},
	{key: "xmax", kind: phys.Length, max: 0.2, above: true, symbols: []string{"xmax", "xlin"},
		names: []string{"linear excursion", "linear coil travel", "linear travel", "linear stroke", "linear voice coil travel", "linear cone excursion",
			"x max", "maximum linear excursion", "max linear excursion"}},
	{key: "xmax_peak_to_peak", kind: phys.Length, max: 0.4, above: true},
	{key: "xmech", kind: phys.Length, max: 0.2, above: true, symbols: []string{"xmech", "xdamage"},
		names: []string{"mechanical excursion", "maximum mechanical excursion", "max mechanical excursion", "excursion limit", "mechanical limit",
			"mechanical excursion limit", "damage excursion", "excursion before damage"}},
	{key: "mounting_depth", kind: phys.Length, max: 3, above: true,
		names: []string{"mounting depth", "installation depth", "depth behind flange", "built in depth"}},
	{key: "cutout", kind: phys.Length, max: 3, above: true,
		names: []string{"cutout", "cut out", "cutout diameter", "cut out diameter", "baffle cutout", "baffle cut out", "baffle cutout diameter",
			"baffle cut out diameter", "mounting cutout", "mounting hole diameter", "baffle hole diameter", "hole cutout"}},
	{key: "flange", kind: phys.Length, max: 3, above: true,
		names: []string{"overall diameter", "outer diameter", "outside diameter", "flange", "flange diameter", "frame diameter",
			"overall frame diameter", "outer frame diameter", "basket diameter", "chassis diameter"}},
	{key: "flange_thickness", kind: phys.Length, max: 0.3, above: true,
		names: []string{"flange thickness", "rim thickness", "frame thickness"}},
	{key: "magnet_diameter", kind: phys.Length, max: 3, above: true,
		names: []string{"magnet diameter", "magnet", "magnet outer diameter", "motor diameter"}},
	{key: "coil_diameter", kind: phys.Length, max: 3, above: true, symbols: []string{"dvoice"},
		names: []string{"voice coil diameter", "coil diameter", "voice coil", "vc diameter", "former diameter"}},
	{key: "winding_height", kind: phys.Length, max: 0.5, above: true,
		names: []string{"winding height", "winding length", "winding depth", "coil height", "voice coil height", "voice coil winding height",
			"coil length", "voice coil length", "coil winding height"}},
	{key: "gap_height", kind: phys.Length, max: 0.5, above: true,
		names: []string{"gap height", "air gap height", "magnetic gap height", "magnet gap height", "height of gap"}},
	{key: "displacement", kind: phys.Volume, max: 1, above: true,
		names: []string{"driver displacement", "volume displaced by driver", "driver volume", "driver volume displacement", "displaced by driver", "displacement"}},
	{key: "mass", kind: phys.Weight, max: 1000, above: true,
		names: []string{"weight", "net weight", "driver weight", "total weight", "unit weight", "net mass", "driver mass"}},
	{key: "price", kind: phys.Price, max: 1e7, names: []string{"price", "unit price", "retail price", "list price", "recommended price"}},

	{why: "it follows from the other values", symbols: []string{"ebp", "no", "n0", "η0", "ηo"},
		names: []string{"efficiency bandwidth product", "reference efficiency"}},
	{why: "it is sd times xmax", symbols: []string{"vd"}, names: []string{"volume displacement", "peak volume displacement", "displacement volume"}},
	{why: "it is the moving mass without the air that moves with it; mms counts the air in", symbols: []string{"mmd"}},
	{why: "a study takes its reciprocal, the compliance cms", symbols: []string{"kms"}, names: []string{"stiffness", "suspension stiffness"}},
	{why: "no key of a driver stands for it", symbols: []string{"zmin", "zmax"},
		names: []string{"minimum impedance", "maximum impedance", "frequency response", "frequency range", "response", "bandwidth", "flux density",
			"magnet weight", "magnet mass", "magnet system weight", "ferrite weight", "gap width", "coil layers", "voice coil layers",
			"magnet height", "magnet thickness", "bolt circle", "bolt circle diameter", "mounting holes", "number of mounting holes"}},
	{why: "it is of the parcel, not of the driver", names: []string{"shipping weight", "gross weight", "shipping mass", "packed weight"}},
	{why: "a depth in front of the flange may be in it; mounting_depth is what lies behind", names: []string{"depth", "overall depth", "total depth"}},
	{why: "a nominal size is a name, not a measure", names: []string{"nominal diameter", "nominal size", "size", "diameter"}},
	{why: "it may be the linear range or the mechanical stop; sheets call them xmax and xmech",
		names: []string{"excursion", "maximum excursion", "max excursion", "peak excursion"}},
	{why: "it may be the moving mass or the driver’s weight", names: []string{"mass"}},
}

// fillers may stand beside a name and change nothing.
var fillers = strings.Fields(`a an the of in at with and free air driver drive unit loudspeaker speaker woofer subwoofer nominal rated typical typ approx ca
 about value mean average max maximum min test condition per each coil coils voice both series parallel connected wired one way peak to p pk pp single
 direction either side rms aes iec nom continuous long term sine music program programme short total effective parameter symbol excl incl including
 diameter dia ø height linear mechanical m w v k q factor small signal dual double two dc is x 1 2 half space plus minus cu sq`)

// foreign words say that a line is about something else than the driver.
var foreign = strings.Fields(`box enclosure cabinet closed sealed vented ported port tuning tuned reflex recommended passive radiator f3 fb vb vbox qtc amplifier
 crossover filter carton package shipping warranty temperature bolt screw spacer grille terminal`)

// a label is an entry named by words i to i+n of a line.
type label struct {
	entry  *entry
	i, n   int
	symbol bool
}

// labels are all names of entries among the words of a line, the longest at
// each place.
func labels(words []word) []label {
	var out []label
	for i := 0; i < len(words); {
		best := label{}
		for _, entry := range entries {
			for _, sym := range entry.symbols {
				if best.n < 1 && words[i].text == sym {
					best = label{entry, i, 1, true}
				}
			}
			for _, name := range entry.names {
				if n := match(words[i:], name); n > best.n || n == best.n && n > 0 && !best.symbol && entry.key != "" && best.entry.key == "" {
					best = label{entry, i, n, false}
				}
			}
		}
		if best.n == 0 {
			i++
			continue
		}
		out = append(out, best)
		i += best.n
	}
	return out
}

// match is the number of words that a name has, if they begin with it.
func match(words []word, name string) int {
	n := 0
	for want := range strings.FieldsSeq(name) {
		if n >= len(words) || words[n].text != want {
			return 0
		}
		n++
	}
	return n
}

// entryOf is the entry of a key.
func entryOf(key string) *entry {
	return entries[slices.IndexFunc(entries, func(e *entry) bool { return e.key == key })]
}
