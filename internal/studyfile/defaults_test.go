package studyfile

import (
	"context"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"basswright/internal/note"
	"basswright/internal/study"
)

// filledIn evaluates a study and gives what is told of what was filled in, by
// the path in the study.
func filledIn(t *testing.T, text string) map[string]string {
	t.Helper()
	st := mustParse(t, []byte(text))
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 3})
	if err != nil {
		t.Fatal(err)
	}
	found := slices.Clone(st.Findings)
	for _, d := range st.Drivers {
		found = append(found, d.Findings...)
	}
	for _, o := range r.Candidates {
		found = append(found, o.Findings...)
	}
	out := map[string]string{}
	for _, f := range found {
		if f.Severity == note.Default {
			out[f.Where] = strings.ReplaceAll(f.Text, "\u2009", " ")
			if f.At.Line == 0 && !strings.HasPrefix(f.ID, "default-frame") && !strings.HasPrefix(f.ID, "default-body") && f.ID != "default-panel" {
				t.Errorf("%s has no position", f.ID)
			}
		}
	}
	return out
}

// A study that says the least is told all that was put in for it.
func TestAllThatIsFilledInIsTold(t *testing.T) {
	have := filledIn(t, `study: The least
air: {temperature: 23 C}
drivers:
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, winding_height: 24 mm, gap_height: 8 mm, coils: {count: 2, driven: 1}, suspension: {creep: 0.1}}
  heron-8: {mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, re: 5.6 ohm, bl: 10.2 T m, sd: 220 cm2, coils: {count: 2}}
candidates:
  stack:
    group: {driver: wren-6, stack: 2}
    enclosure: {kind: vented, volume: 20 L, tuning: 40 Hz, port: {diameter: 60 mm}}
  turned:
    group: {driver: heron-8, stack: 2, arrangement: clamshell, coupling: 2 L}
    enclosure: {kind: bandpass, rear: {volume: 14 L}, front: {volume: 16 L, tuning: 52 Hz, port: {diameter: 80 mm, outer_end: free}}}
`)
	want := map[string]string{
		"air":                              "air of 0 % humidity and 101.325 kPa",
		"listening.distance":               "the level is told for 1 m",
		"listening.space":                  "the sound goes into a half space",
		"drive":                            "every candidate is driven with 2.83 V",
		"model.radiation":                  "cones and ports radiate without loading the motion (classical)",
		"brief.limits.from":                "limits are held from 20 Hz up",
		"brief.limits.port_speed":          "the air in candidates.turned.enclosure.front.port is held to 10.0 m/s at 50.9 Hz, a cautious limit; Salvatti, Devantier & Button 2002 (from memory): little compression up to about 10 m/s",
		"space.panel":                      "boards of 18 mm",
		"drivers.wren-6.air":               "the sheet is read for air of 20 °C, 0 % humidity and 101.325 kPa",
		"drivers.wren-6.xmax":              "xmax is taken as half of what the coil and the gap differ by in height: 8 mm (common practice, no source)",
		"drivers.wren-6.coils.quoted":      "re, le, bl and qes are of each coil",
		"drivers.wren-6.coils.other":       "the coils that are not driven are open",
		"drivers.wren-6.suspension.form":   "the creep is causal",
		"drivers.heron-8.coils.quoted":     "re, le, bl and qes are of each coil",
		"drivers.heron-8.coils.driven":     "all 2 coils are driven",
		"candidates.stack.group.wiring":    "all 2 coils are wired in parallel",
		"candidates.stack.group.coupling":  "the cones of the stack are rigidly coupled",
		"candidates.turned.group.wiring":   "all 4 coils are wired in parallel",
		"candidates.turned.group.polarity": "drivers that turn their rear to the listener are wired reversed",

		"candidates.stack.group.arrangement":               "the drivers of the stack all face the listener (tandem)",
		"candidates.stack.enclosure.losses.leakage":        "leakage Q 7.00 for the box",
		"candidates.stack.enclosure.port":                  "the inner end is free, the outer end is flanged",
		"candidates.turned.enclosure.front.port.inner_end": "the inner end is free",
		"candidates.turned.enclosure.front.losses.port":    "port Q 20.0 for the front chamber’s port",
	}
	for _, d := range []string{"drivers.wren-6", "drivers.heron-8"} { // sizes of the body, told by study
		if have[d] == "" {
			t.Errorf("nothing is told of the size of %s", d)
		}
		delete(have, d)
	}
	if d := cmp.Diff(want, have); d != "" {
		t.Error(d)
	}
}

// So are ducts and fill.
func TestAllThatIsFilledInOfDuctsIsTold(t *testing.T) {
	have := filledIn(t, `study: Ducts
air: {temperature: 20 C, humidity: 0 %, pressure: 101.325 kPa}
listening: {distance: 2 m, space: quarter}
drive: {voltage: 2 V}
model: {radiation: classical}
brief: {limits: {from: 25 Hz}}
drivers:
  heron-8: {mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, re: 5.6 ohm, bl: 10.2 T m, sd: 220 cm2, flange: 220 mm, mounting_depth: 100 mm, displacement: 1 L}
candidates:
  line:
    group: {driver: heron-8}
    enclosure: {kind: transmission_line, duct: {profile: [{at: 0 m, area: 200 cm2}, {at: 1 m, area: 200 cm2}, {at: 1 m, area: 100 cm2}, {at: 2 m, area: 100 cm2}]}, fill: [{resistivity: 900 Pa s/m2, model: miki, to: 1 m}, {resistivity: 900 Pa s/m2, model: miki, from: 1 m, to: 1.5 m}]}
  horn:
    group: {driver: heron-8}
    enclosure: {kind: front_loaded_horn, duct: {length: 1 m, start: 100 cm2, end: 900 cm2}, mouth: {end: flanged}, rear: {volume: 9 L, fill: {resistivity: 900 Pa s/m2, frame: rigid}}, throat_chamber: {volume: 1 L, fill: {resistivity: 900 Pa s/m2, share: 50 %}}}
  all:
    group: {driver: heron-8}
    enclosure: {kind: transmission_line, duct: {length: 1 m, start: 100 cm2, end: 90 cm2, flare: cone, aspect: 2}, driver_at: 0.3 m, mouth: {end: flanged, load: pipe}, fill: {resistivity: 900 Pa s/m2, model: allard_champoux, frame: rigid, from: 0 m, to: 0.3 m}}
`)
	want := map[string]string{
		"model.wall_loss": "the air in ducts loses energy at their walls (Zwikker & Kosten 1949)",

		"candidates.line.enclosure.duct":         "the duct is round",
		"candidates.line.enclosure.duct.between": "between the points of the profile the duct is a cone",
		"candidates.all.enclosure.baffle":        "cone and mouth count at one place, and do not hear each other",
		"candidates.line.enclosure.baffle":       "cone and mouth count at one place, and do not hear each other",
		"candidates.all.enclosure.duct.bodies":   "the driver takes 1.00 L off the duct from 0.197 m to 0.403 m, where it leaves 48.0 cm²",
		"candidates.line.enclosure.duct.bodies":  "the driver takes 1.00 L off the duct from 0.00 m to 0.100 m, where it leaves 100 cm²",
		"candidates.line.enclosure.duct.jumps":   "where the area jumps the air that flows together has a mass (Kergomard & Garcia 1987, from memory)",
		"candidates.line.enclosure.driver_at":    "the cone looks into the duct at its closed end",
		"candidates.line.enclosure.mouth":        "the mouth is that of a pipe in a flange",
		"candidates.line.enclosure.fill":         "its fibres stand still and it begins at the start of the duct",

		"candidates.horn.enclosure.duct":                "the duct is round",
		"candidates.horn.enclosure.duct.flare":          "the duct is a cone from start to end",
		"candidates.horn.enclosure.mouth.load":          "the mouth is a piston in a baffle",
		"candidates.horn.enclosure.rear.fill":           "its air is that of Allard & Champoux 1992 and it fills all of the chamber",
		"candidates.horn.enclosure.throat_chamber.fill": "its fibres stand still and its air is that of Allard & Champoux 1992",
	}
	if d := cmp.Diff(want, have); d != "" {
		t.Error(d)
	}
}

// So are the parts of a network.
func TestAllThatIsFilledInOfNetworksIsTold(t *testing.T) {
	have := filledIn(t, `study: Rooms
air: {temperature: 20 C, humidity: 0 %, pressure: 101.325 kPa}
listening: {distance: 2 m, space: quarter}
drive: {voltage: 2 V}
model: {radiation: classical}
brief: {limits: {from: 25 Hz, port_speed: 12 m/s}}
drivers:
  heron-8: {mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, re: 5.6 ohm, bl: 10.2 T m, sd: 220 cm2, flange: 220 mm, mounting_depth: 100 mm, displacement: 1 L}
candidates:
  rooms:
    group: {driver: heron-8}
    enclosure:
      kind: network
      front: outside
      rear: cellar
      parts:
        - {kind: chamber, at: cellar, volume: 20 L, fill: {resistivity: 900 Pa s/m2, share: 50 %}}
        - {kind: duct, between: [cellar, end], duct: {length: 1 m, start: 100 cm2, end: 90 cm2}}
        - {kind: opening, at: end}
        - {kind: duct, at: cellar, duct: {length: 1 m, area: 90 cm2, aspect: 1}}
        - {kind: port, at: cellar, port: {diameter: 60 mm, length: 90 mm, inner_end: free}}
`)
	want := map[string]string{
		"model.wall_loss": "the air in ducts loses energy at their walls (Zwikker & Kosten 1949)",

		"candidates.rooms.enclosure.parts[0].fill":           "its fibres stand still and its air is that of Allard & Champoux 1992",
		"candidates.rooms.enclosure.parts[1].duct":           "the duct is round",
		"candidates.rooms.enclosure.parts[1].duct.flare":     "the duct is a cone from start to end",
		"candidates.rooms.enclosure.parts[2].mouth":          "opening is that of a pipe in a flange",
		"candidates.rooms.enclosure.parts[4].port.outer_end": "the outer end is flanged",
		"candidates.rooms.enclosure.baffle":                  "all that radiates counts at one place, and no part of it hears another",
	}
	if d := cmp.Diff(want, have); d != "" {
		t.Error(d)
	}
}

// A study that says all is told nothing.
func TestNothingIsFilledInWhereAllIsSaid(t *testing.T) {
	have := filledIn(t, `study: All
air: {temperature: 23 C, humidity: 40 %, pressure: 101 kPa}
listening: {distance: 2 m, space: quarter}
drive: {voltage: 2 V}
model: {radiation: classical}
space: {width: 700 mm, height: 400 mm, depth: 500 mm, panel: 18 mm}
brief: {limits: {from: 25 Hz, port_speed: 12 m/s}}
drivers:
  wren-6:
    {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 5 mm, air: {speed_of_sound: 343.2 m/s, density: 1.2041 kg/m3},
     coils: {count: 2, quoted: each, driven: 1, other: open}, suspension: {creep: 0.1, form: causal},
     mounting_depth: 80 mm, flange: 165 mm, magnet_diameter: 100 mm, displacement: 0.5 L}
candidates:
  stack:
    group: {driver: wren-6, stack: 2, arrangement: clamshell, coupling: 1 L, wiring: series, polarity: [reversed, normal]}
    enclosure: {kind: vented, volume: 20 L, tuning: 40 Hz, port: {diameter: 60 mm, inner_end: free, outer_end: free}, losses: {leakage: 7}}
`)
	if len(have) != 0 {
		t.Errorf("told: %v", have)
	}
}

// Every default that the table of keys states is told as filled in, or is one of
// those of which nothing needs to be told; a key that is added has to say which.
func TestEveryDefaultIsToldOrNone(t *testing.T) {
	told := []string{
		"the study.air", "the study.listening", "the study.drive", "air.temperature", "air.humidity", "air.pressure", "listening.distance", "listening.space", "a cabin.length", "a cabin.stiffness",
		"space.panel", "model.radiation", "limits.from", "a driver.air", "a driver.displacement", "coils.quoted", "coils.driven", "coils.other", "suspension.form",
		"a group.arrangement", "a group.coupling", "a group.wiring", "a group.polarity", "losses.leakage", "losses.port",
		"a port.inner_end", "a port.outer_end", "limits.port_speed", "programme noise.crest", "pink noise.crest", "filtered pink noise.crest", "an amplifier.channels",
		"model.wall_loss", "a duct.flare", "a duct.between", "a duct.width", "a duct.aspect", "a duct.jumps", "a duct.bodies", "a transmission_line.baffle", "a back_loaded_horn.baffle", "a transmission_line.driver_at",
		"a transmission_line.mouth", "a tapped_waveguide.mouth", "a front_loaded_horn.mouth", "a back_loaded_horn.mouth", "a mouth.load",
		"an opening.mouth", "a network.baffle", "fill of a duct.frame", "fill of a duct.model", "fill of a duct.from", "fill of a duct.to", "fill of a chamber.frame", "fill of a chamber.model", "fill of a chamber.share",
	}
	why := map[string][]string{
		"there is none of it": {"a network.parts", "losses of a chamber.leakage", "losses of a chamber.absorption", "losses of a port.port", "a front_loaded_horn.throat_chamber", "a back_loaded_horn.throat_chamber", "a mismatch.bl", "a mismatch.kms", "a mismatch.offset", "an amplifier.bridged", "an amplifier.output_resistance", "a group.split", "an inductor.resistance", "a capacitor.resistance", "a series_resonant circuit.resistance", "a parallel_resonant circuit.resistance", "a cabin.leak", "a cabin.damping", "a leak.length", "a leak.q", "a group.axis", "the study.source", "source.resistance", "coils.count", "suspension.creep", "a group.side_by_side", "a group.stack", "coupling.length", "losses.absorption", "a port.count", "a port.flare", "a radiator.count",
			"an infinite_baffle.baffle", "a sealed enclosure.baffle", "a vented enclosure.baffle", "a passive_radiator enclosure.baffle", "a bandpass_parallel enclosure.baffle", "listening.aside", "listening.above", "a place on the baffle.x", "a place on the baffle.y",
			"a vented enclosure’s baffle.cones", "a vented enclosure’s baffle.port", "a passive_radiator enclosure’s baffle.cones", "a passive_radiator enclosure’s baffle.radiator", "a bandpass_parallel enclosure’s baffle.rear_port", "a bandpass_parallel enclosure’s baffle.front_port", "a transmission_line’s baffle.cones", "a transmission_line’s baffle.mouth", "a back_loaded_horn’s baffle.cones", "a back_loaded_horn’s baffle.mouth",
			"a network’s baffle.cones", "a network’s baffle.parts"},
		"it follows from what is given, by a rule that the results tell": {"a chamber of a network.name", "a port of a network.name", "a duct of a network.name", "a diaphragm.name", "an opening.name", "a leak of a network.name", "an absorber.name", "losses of a chamber.at", "losses of a port.at", "an opening.area", "an opening.width", "the study.reference", "limits.excursion", "a driver.trust", "losses.at", "a port.shape", "a port.length", "an alignment.ripple", "a radiator.added_mass"},
		"it changes no result":                    {"the study.units", "drive.signal"},
		"large-signal results tell it themselves": {"model.chamber_air", "model.static_air", "model.mismatch", "a driver.thermal", "a driver.coil_wire"},
	}
	known := map[string]bool{}
	for _, k := range slices.Concat(told, slices.Concat(slices.Collect(maps.Values(why))...)) {
		known[k] = false // not met yet
	}
	seen := map[*object]bool{}
	var visit func(f *form)
	object := func(o *object) {
		if seen[o] {
			return
		}
		seen[o] = true
		for i := range o.keys {
			k := &o.keys[i]
			name := strings.TrimSuffix(o.noun, " of a chamber without a port") + "." + k.name
			if o == studyForm.object {
				name = "the study." + k.name
			}
			if _, ok := known[name]; k.fallback != "" && !ok {
				t.Errorf("%s: nobody says whether its default (%s) is told", name, k.fallback)
			}
			if k.fallback != "" {
				known[name] = true
			}
			visit(k.form)
		}
	}
	visit = func(f *form) {
		if f.object != nil {
			object(f.object)
		}
		if f.variant != nil {
			for _, c := range f.variant.cases {
				object(c.object)
			}
		}
		for _, g := range f.of {
			visit(g)
		}
	}
	visit(studyForm)
	for name, met := range known {
		if !met {
			t.Errorf("%s has no default any more", name)
		}
	}
}
