package studyfile

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/heat"
	"basswright/internal/phys"
	listener "basswright/internal/place"
	"basswright/internal/study"
)

// A Beside reads a file of the study's folder, at most 1 MiB of it. It is given names
// that stay inside the folder, with / between their parts.
type Beside func(file string) ([]byte, error)

func (b *builder) listening(v *value) {
	here := &b.study.Listening
	here.Toward = toward(v)
	here.Distance = 1
	if d := v.get("distance"); d != nil {
		here.Distance = d.si()
	}
	for _, s := range []study.Surroundings{study.HalfSpace, study.FreeSpace, study.QuarterSpace, study.EighthSpace} {
		if s.String() == v.get("space").word() {
			here.Space = s
		}
	}
	if b.study.Air.C == 0 || !b.sound("listening") { // faulty, and told
		return
	}
	switch {
	case v.get("cabin") != nil:
		here.At = b.cabin(v.get("cabin"))
	case v.get("walls") != nil:
		here.At = b.walls(v.get("walls"))
	case v.get("transfer") != nil && !b.alone:
		here.At = b.transfer(v.get("transfer"))
	}
	b.study.Findings = append(b.study.Findings, b.place(here.At.Findings(b.study.Units))...)
	b.climateTold(v.get("cabin"))
}

// cabin is a pressure zone; nil if it cannot be, which is told.
func (b *builder) cabin(v *value) *study.Listener {
	leak, damping := v.get("leak"), v.get("damping")
	c := listener.Cabin{
		Volume: v.get("volume").si(), Length: v.get("length").si(), Distance: b.study.Listening.HalfSpaceDistance(),
		Leak: listener.Leak{Area: leak.get("area").si(), Length: leak.get("length").si(), Corner: leak.get("at").si(), Q: leak.get("q").si()},
		Q:    damping.get("q").si(), Absorption: damping.get("absorption").si(),
	}
	if w, h := v.get("width").si(), v.get("height").si(); w > 0 {
		c.Volume = c.Length * w * h
		c.Length = max(c.Length, w, h)
	}
	zone, err := listener.NewZone(c, b.study.Air)
	if err != nil {
		b.displaced(err, v, "listening.cabin")
		return nil
	}
	if !b.seated(v, c) {
		return nil
	}
	return &study.Listener{Zone: zone, Volume: c.Volume, Climate: b.climate(v)}
}

func (b *builder) walls(v *value) *study.Listener {
	var far []float64
	for _, d := range v.list() {
		far = append(far, d.si())
	}
	if space := b.study.Listening.Space; len(far) > space.MostWalls() {
		mend := "leave out those that the space counts already"
		if space.MostWalls() == 0 {
			mend = "leave walls out, or give a larger space"
		}
		b.add(v.node, "bad-place", "listening.walls", mend, "three walls can stand at right angles to each other, and %s space counts %s of them already",
			article(space.String()), study.Count(3-space.MostWalls()))
		return nil
	}
	walls, err := listener.NewWalls(b.study.Air, far...)
	if err != nil {
		b.displaced(err, v, "listening.walls")
		return nil
	}
	return &study.Listener{Walls: walls, Count: len(far)}
}

// transfer reads a measurement that lies beside the study.
func (b *builder) transfer(v *value) *study.Listener {
	const path = "listening.transfer"
	file := v.word()
	if why := outside(file); why != "" {
		b.add(v.node, "bad-file", path, "name a file of the study’s folder, such as van-seat.csv", "%s %s", shown(file), why)
		return nil
	}
	if b.beside == nil {
		b.add(v.node, "bad-file", path, "open the study as a file of a folder that holds the table too", "%s lies beside the study, and this study lies in no folder", shown(file))
		return nil
	}
	text, err := b.beside(file)
	if err != nil {
		b.add(v.node, "bad-file", path, "put the table into the study’s folder, or correct its name", "%s cannot be read: %s", shown(file), err)
		return nil
	}
	sum := sha256.Sum256(text)
	b.measured = hex.EncodeToString(sum[:])
	m, err := listener.ReadMeasured(file, string(text))
	var bad *listener.TableError
	if errors.As(err, &bad) {
		b.add(v.node, "bad-table", path, bad.Mend, "%s: %s", bad.At, bad.Reason)
		return nil
	}
	return &study.Listener{Measured: m, File: file}
}

// outside says why a name is not that of a file inside the study's folder.
func outside(file string) string {
	if strings.ContainsAny(file, "\\:\x00") {
		return "is no plain name of a file"
	}
	if strings.HasPrefix(file, "/") {
		return "leads out of the study’s folder"
	}
	for part := range strings.SplitSeq(file, "/") {
		switch {
		case part == "..":
			return "leads out of the study’s folder"
		case part == "" || part[0] == '.':
			return "is no plain name of a file"
		}
	}
	return ""
}

// displaced tells an error of package place at the key that is to blame.
func (b *builder) displaced(err error, v *value, path string) {
	var e *listener.Error
	if !errors.As(err, &e) {
		return
	}
	key, at := e.About, v
	if x := v.get(key); x != nil {
		at, path = x, under(path, key)
	}
	b.add(at.node, "bad-place", path, e.Mend, "%s: %s", key, e.Reason)
}

// airHere is the air of the study: that of a cabin whose temperature is stated
// has this temperature.
func (b *builder) airHere(v, cabin *value) phys.Air {
	t := cabin.get("temperature")
	if t == nil {
		return b.air(v, "air")
	}
	for _, key := range []string{"temperature", "speed_of_sound"} {
		if x := v.get(key); x != nil {
			b.add(x.node, "said-twice", "air."+key, "keep one of them", "air’s %s and the cabin’s temperature say one thing in two ways", key)
			return phys.Air{}
		}
	}
	standard := phys.StandardAir()
	h, p := standard.Humidity, standard.Pressure
	if x := v.get("humidity"); x != nil {
		h = x.si()
	}
	if x := v.get("pressure"); x != nil {
		p = x.si()
	}
	air, err := phys.NewAir(t.si(), h, p)
	if err != nil && b.count() == 0 {
		b.add(t.node, "bad-air", "listening.cabin.temperature", "correct it, or leave it out", "%s", err)
	}
	return air
}

// climate is what a cabin's temperature does to drivers, nil where none is stated.
func (b *builder) climate(v *value) *listener.Climate {
	t := v.get("temperature")
	if t == nil {
		return nil
	}
	stiffness := 1.0
	if s := v.get("stiffness"); s != nil {
		stiffness = s.si()
	}
	c, err := listener.NewClimate(t.si(), stiffness)
	if err != nil {
		b.displaced(err, v, "listening.cabin")
		return nil
	}
	return &c
}

// climateTold says what a cabin's temperature is taken to change, and what not.
func (b *builder) climateTold(v *value) {
	at := b.study.Listening.At
	if at == nil || at.Climate == nil {
		return
	}
	u := b.study.Units
	c := at.Climate
	stiffness, mend := "the stiffness of suspensions is left as on the sheet, because no law of it is known", "give stiffness in cabin, from a measurement of a cold or hot driver"
	if v.get("stiffness") != nil {
		stiffness, mend = "suspensions have "+phys.Brief(c.Stiffness, phys.Ratio, u)+" of the sheet’s stiffness, as given, with rms unchanged", "leave temperature out of cabin for 20 °C"
	}
	b.fill("climate", "listening.cabin.temperature", fmt.Sprintf(
		"at %s the speed of sound is %s and the air’s density %s, from the temperature; each coil has %s of the Re of its sheet, as copper from 20\u2009°C; %s",
		phys.Brief(b.study.Air.Temperature, phys.Temperature, u), phys.Show(b.study.Air.C, phys.Speed, u), phys.Show(b.study.Air.Rho, phys.Density, u),
		phys.Show(heat.Copper.Resistance(c.Temperature), phys.Ratio, u), stiffness), mend)
}

// acclimatised is a driver at the temperature of the place: the sheet's at 20 °C.
func (b *builder) acclimatised(d *driver.Driver) *driver.Driver {
	at := b.study.Listening.At
	if at == nil || at.Climate == nil {
		return d
	}
	out := *d
	out.Re *= d.Data.Wire.Resistance(at.Climate.Temperature)
	out.Cms = at.Climate.Compliance(d.Cms)
	return &out
}
