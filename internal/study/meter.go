package study

import (
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// The ranges in which figures are looked for, Hz, and the steps per octave.
// The network costs well under a microsecond a point, so figures are read
// from it and not from the curves that happen to be drawn.
const (
	lowest      = 2.0
	bandLow     = 10.0
	bandHigh    = 1000.0
	highest     = 4000.0
	stepsPerOct = 48
	meanSteps   = 96 // an octave, of the reference level's mean
)

// meter reads figures from a system. An error of the solver is kept, and the
// reading that met it is NaN.
type meter struct {
	st   *Study
	sys  *enclosure.System
	sol  *network.Solver
	feed feed
	err  error

	// Many figures are read at one frequency, one after the other: at is where the
	// solver stands and fed the drive there, V, delayAt where the delay was found.
	at, fed         float64
	delayAt, delays float64

	trio  network.Trio // of which sol is one
	ahead [3]float64   // where they stand, if nothing has moved them since; NaN: nowhere

	sound sound

	vented []vent // nil: not looked for yet
}

func newMeter(st *Study, sys *enclosure.System) *meter {
	return meterOn(st, sys, sys.Program.NewSolver())
}

// meterOn is a meter with a solver of the system that is its own.
func meterOn(st *Study, sys *enclosure.System, sol *network.Solver) *meter {
	return &meter{st: st, sys: sys, sol: sol, trio: sol.Trio(), ahead: nowhere, feed: st.feed(sys), at: math.NaN(), delayAt: math.NaN(), sound: nothingRead}
}

var nowhere = [3]float64{math.NaN(), math.NaN(), math.NaN()}

// solve has the solver stand at f and gives the drive there.
func (m *meter) solve(f float64) (volts float64, ok bool) {
	if f == m.at {
		return m.fed, true
	}
	if err := m.put(f); err != nil {
		m.failed(err)
		return math.NaN(), false
	}
	m.at, m.fed = f, m.feed.voltage(m.sys, m.sol)
	return m.fed, true
}

// put takes the one of the trio that stands at f, or puts one there.
func (m *meter) put(f float64) error {
	w := 2 * math.Pi * f
	for i, there := range m.ahead {
		if there == f && m.trio[i].Omega() == w { // a delay moves it
			m.sol = m.trio[i]
			return nil
		}
	}
	return m.sol.Solve(w)
}

// ready solves at three frequencies at once, which solve will be asked for next.
func (m *meter) ready(f [3]float64) {
	m.at, m.ahead = math.NaN(), f
	if m.trio.Solve([3]float64{2 * math.Pi * f[0], 2 * math.Pi * f[1], 2 * math.Pi * f[2]}) != nil {
		m.ahead = nowhere // each tells its own
	}
}

// failed keeps the first error, where the solver stands nowhere.
func (m *meter) failed(err error) {
	m.at = math.NaN()
	if m.err == nil {
		m.err = err
	}
}

// pressure is |p| in Pa on the drive, in the plain space.
func (m *meter) pressure(f float64) float64 {
	e, ok := m.solve(f)
	if !ok {
		return e
	}
	return phys.Abs(m.sys.Pressure(m.sol)) * e
}

// level is that in the plain space, where extension and reference level are at home.
func (m *meter) level(f float64) float64 { return level(m.pressure(f)) }

// heard is the level at the listener's place.
func (m *meter) heard(f float64) float64 { return level(m.pressure(f) * m.feed.place.gain(f)) }

func (m *meter) impedance(f float64) float64 {
	if _, ok := m.solve(f); !ok {
		return math.NaN()
	}
	return phys.Abs(m.sys.Impedance(m.sol))
}

func (m *meter) delay(f float64) float64 {
	if f == m.delayAt {
		return m.delays
	}
	if !m.around(f) {
		return math.NaN()
	}
	m.delayAt, m.delays = f, groupDelay(m.sys, m.trio)+m.feed.late(2*math.Pi*f)
	return m.delays
}

// around has the first of the trio stand at f, and the others where a delay is read.
func (m *meter) around(f float64) bool {
	m.at, m.ahead = math.NaN(), nowhere
	if err := m.trio.Solve(aside(2 * math.Pi * f)); err != nil {
		m.failed(err)
		return false
	}
	m.sol = m.trio[0]
	m.at, m.fed = f, m.feed.voltage(m.sys, m.sol)
	return true
}

// roughDelay is that by a forward difference: good enough to tell where it is longest.
func (m *meter) roughDelay(f float64) float64 {
	if _, ok := m.solve(f); !ok {
		return math.NaN()
	}
	w, p := m.sol.Omega(), m.sys.Pressure(m.sol)
	h := w * delayStep
	m.at = math.NaN() // it solves beside f
	if err := m.sol.Solve(w + h); err != nil {
		m.failed(err)
		return math.NaN()
	}
	if p == 0 {
		return math.NaN()
	}
	return -imag((m.sys.Pressure(m.sol)-p)/p)/h + m.feed.late(w)
}

// coneShare is the largest excursion over its own limit among the drivers;
// limit 0 means each driver's xmax. NaN where no limit is known.
func (m *meter) coneShare(f, limit float64) float64 {
	return m.share(f, m.sys.Cones, limit)
}

func (m *meter) share(f float64, cones []enclosure.Cone, limit float64) float64 {
	x, own, _ := m.worst(f, cones, limit)
	return x / own // NaN where no limit is known
}

// worst is the cone whose excursion is the largest share of its own limit at
// f, with that excursion and limit, and its place in the list.
func (m *meter) worst(f float64, cones []enclosure.Cone, limit float64) (x, own float64, who int) {
	e, ok := m.solve(f)
	share := math.Inf(-1)
	for i := range cones {
		l := limit
		if l == 0 {
			l = cones[i].Xmax
		}
		if l > 0 && ok {
			if v := m.sys.Excursion(m.sol, &cones[i]) * e; v/l > share {
				share, x, own, who = v/l, v, l, i
			}
		}
	}
	return x, own, who
}

func (m *meter) excursion(f float64, cones []enclosure.Cone) float64 {
	e, ok := m.solve(f)
	if !ok {
		return e
	}
	most := 0.0
	for i := range cones {
		most = max(most, m.sys.Excursion(m.sol, &cones[i])*e)
	}
	return most
}

// portSpeed is the largest air speed of all openings whose size is known, m/s peak.
func (m *meter) portSpeed(f float64) float64 {
	e, ok := m.solve(f)
	most := math.NaN()
	for i := range m.sys.Openings {
		o := &m.sys.Openings[i]
		if o.Area > 0 && ok {
			if v := math.Sqrt2 * m.sys.OpeningFlow(m.sol, o) * e / o.Area; !(most >= v) {
				most = v
			}
		}
	}
	return most
}

// chamberPressure is the largest sound pressure of all chambers, Pa peak.
func (m *meter) chamberPressure(f float64) float64 {
	e, ok := m.solve(f)
	if !ok {
		return e
	}
	return e * m.chamberPressurePerVolt()
}

// chamberPressurePerVolt is the same for 1 V at the source, where the solver stands.
func (m *meter) chamberPressurePerVolt() float64 {
	most := 0.0
	for i := range m.sys.Chambers {
		most = max(most, math.Sqrt2*m.sys.ChamberPressure(m.sol, &m.sys.Chambers[i]))
	}
	return most
}

// heats is what each driver's driven coils turn into heat at f, W, into sums.
func (m *meter) heats(f float64, sums []float64) bool {
	e, ok := m.solve(f)
	clear(sums)
	for i := range m.sys.Coils {
		c := &m.sys.Coils[i]
		sums[c.Driver] += m.sys.CoilPower(m.sol, c) * e * e
	}
	return ok
}

// rated is a driver's rated power, W; 0 if the sheet gives none.
func (m *meter) rated(driver int) float64 {
	c := &m.sys.Cones[driver]
	return m.sys.Group.Positions[c.Position][c.Depth].Driver.RatedPower()
}

// hottest is the driver that takes the largest share of its rated power at f,
// or the most watts where none is rated: its watts and its rating.
func (m *meter) hottest(f float64, sums []float64) (watts, rated float64) {
	if !m.heats(f, sums) {
		return math.NaN(), 0
	}
	best := math.Inf(-1)
	for i, w := range sums {
		r := m.rated(i)
		score := w * 1e-12 // unrated drivers only compare among each other
		if r > 0 {
			score = w / r
		}
		if score > best {
			best, watts, rated = score, w, r
		}
	}
	return watts, rated
}

// coilPower is what one coil turns into heat at f, W.
func (m *meter) coilPower(f float64, coil int) float64 {
	e, ok := m.solve(f)
	if !ok {
		return e
	}
	return m.sys.CoilPower(m.sol, &m.sys.Coils[coil]) * e * e
}

// drawn is the power drawn from the source's terminals, W.
func (m *meter) drawn(f float64) float64 {
	e, ok := m.solve(f)
	if !ok {
		return e
	}
	return e * e * m.sys.Drawn(m.sol)
}
