package study

import (
	"math"
	"math/cmplx"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// figures derives a candidate's figures from its network.
func (m *meter) figures(o *Outcome) Figures {
	f := blank()
	g := m.sys.Group
	f.Drivers, f.Re = g.Count(), g.Re()
	m.volumes(&f, o)
	m.tunings(&f)
	m.response(&f)
	f.Above = m.above(&f)
	m.extremes(&f, o)
	if c, err := g.Composite(); err == nil {
		f.Sensitivity1W, f.Sensitivity283V = phys.Maybe(c.Sensitivity1W(m.st.Air)), phys.Maybe(c.Sensitivity283V(m.st.Air))
	}
	if b := m.st.Brief.LevelAt; b > 0 {
		f.LevelAsked = phys.Maybe(m.heard(b))
	}
	m.costs(&f, o)
	return f
}

// blank is figures none of which exists.
func blank() Figures {
	n := phys.None()
	p := Peak{n, n}
	return Figures{
		Load: n, LowestZ: p, LowestZPhase: n, NetVolume: n, OccupiedVolume: n, VolumePerDriver: n,
		Tuning: n, RearTuning: n, Fc: n, Qtc: n, F3: n, F6: n, F10: n, F3High: n, F6High: n, F10High: n,
		PeakLevel: p, Above: p, Ripple: n, RippleHigh: n, RippleLow: n, HottestCoil: p, TotalPowerAt: n, BoardMass: n, GroupDelay: p, DelayCycles: p, Excursion: p, ExcursionShare: p,
		Reference: n, RadiatorExcursion: p, PortSpeed: p, Power: p, RatedPower: n, PowerShare: n, LevelAsked: n, Mass: n, Price: n,
		Sensitivity1W: n, Sensitivity283V: n,
	}
}

func (m *meter) volumes(f *Figures, o *Outcome) {
	s := m.sys
	f.CouplingVolume = s.Facts.CouplingVolume
	for p := range s.Facts.Ports {
		f.PortVolume += s.Facts.Ports[p].Volume
	}
	for _, stack := range s.Group.Positions {
		for _, mem := range stack {
			v, _ := driver.BodyVolume(mem.Driver)
			f.BodyVolume += v
		}
	}
	if s.Spec.Kind == enclosure.InfiniteBaffle || s.Facts.NetVolume == 0 { // a wall, in whatever words
		return
	}
	f.NetVolume = phys.Maybe(s.Facts.NetVolume)
	f.OccupiedVolume = phys.Maybe(s.Facts.NetVolume + f.CouplingVolume + f.BodyVolume + f.PortVolume)
	f.VolumePerDriver = phys.Maybe(s.Facts.NetVolume / float64(f.Drivers))
}

func (m *meter) tunings(f *Figures) {
	s := m.sys
	if s.Spec.Net != nil {
		if p := netPort(s); p != nil {
			f.Tuning = phys.Maybe(p.Tuning)
		}
		return
	}
	for _, p := range s.Facts.Ports {
		if p.Chamber == "rear" && s.Spec.Kind != enclosure.Vented {
			f.RearTuning = phys.Maybe(p.Tuning)
		} else {
			f.Tuning = phys.Maybe(p.Tuning)
		}
	}
	if s.Facts.RadiatorFb > 0 {
		f.Tuning = phys.Maybe(s.Facts.RadiatorFb)
	}
	if l := s.Facts.Line; l != nil && l.Quarter > 0 && (s.Spec.Kind == enclosure.TransmissionLine || s.Spec.Kind == enclosure.TappedWaveguide) {
		f.Tuning = phys.Maybe(l.Quarter)
	}
	if s.Facts.SealedFc > 0 {
		f.Fc, f.Qtc = phys.Maybe(s.Facts.SealedFc), phys.Maybe(s.Facts.SealedQtc)
	}
}

// response finds the reference level and what is told against it.
func (m *meter) response(f *Figures) {
	f.ReferenceBand, f.Reference = m.reference()
	if !f.Reference.OK() {
		return // no sound, so nothing to be told against it
	}
	band, reference := f.ReferenceBand, float64(f.Reference)
	edges := m.lowEdges(band, reference-halfPower, reference-6, reference-10)
	f.F3, f.F6, f.F10 = edges[0], edges[1], edges[2]
	if k := m.sys.Spec.Kind; k.TwoChambers() || k.Distributed() || k == enclosure.Network {
		up := func(drop float64) phys.Maybe {
			limit := squareOf(reference - drop)
			return m.falls(m.within(band, band.To, limit), highest, limit)
		}
		f.F3High, f.F6High, f.F10High = up(halfPower), up(6), up(10)
	}
	low := bandLow
	if f.F10.OK() {
		low = math.Max(low, float64(f.F10))
	}
	p := largestOn(m.lattice(), low, bandHigh, m.square)
	f.PeakLevel = Peak{phys.Maybe(levelOf(float64(p.Value))) - f.Reference, p.At}
	f.Ripple = m.ripple(f)
}

// lowEdge is where the level falls below a limit, going down from the reference band.
func (m *meter) lowEdge(band Band, limit float64) phys.Maybe { return m.lowEdges(band, limit)[0] }

// lowEdges are those of several limits, each below the last: the way down to one goes on
// from the one before, and where that is none, no other is.
func (m *meter) lowEdges(band Band, limits ...float64) []phys.Maybe {
	out := make([]phys.Maybe, len(limits))
	for i, limit := range limits {
		out[i] = phys.None()
		limit := squareOf(limit)
		start := m.within(band, band.From, limit)
		if i > 0 {
			if !out[i-1].OK() {
				continue
			}
			start = min(start, float64(out[i-1]))
		}
		out[i] = m.falls(start, lowest, limit)
	}
	return out
}

// within is where the sound is above a limit, Pa², for the way from there: an edge of
// the reference band, or where it is loudest within it.
func (m *meter) within(band Band, edge, limit float64) float64 {
	if m.square(edge) >= limit {
		return edge
	}
	return float64(largestOn(m.lattice(), band.From, band.To, m.square).At)
}

// ripple is the difference between the highest and the lowest of the response's
// turning points from F3 to the end of the reference band (or to the upper F3):
// 0 where it has no more than one.
func (m *meter) ripple(f *Figures) phys.Maybe {
	lo, hi := bandLow, f.ReferenceBand.To
	if f.F3.OK() {
		lo = float64(f.F3)
	}
	if f.F3High.OK() {
		hi = float64(f.F3High)
	}
	if !(lo < hi) {
		return phys.None()
	}
	top, bottom, turns := math.Inf(-1), math.Inf(1), 0
	before, last := math.NaN(), math.NaN()
	m.along(lo, hi, func(x float64) {
		p := m.square(x)
		if (last-before)*(last-p) > 0 { // above or below both neighbours
			top, bottom, turns = math.Max(top, last), math.Min(bottom, last), turns+1
		}
		before, last = last, p
	})
	if turns < 2 {
		return 0
	}
	f.RippleHigh, f.RippleLow = phys.Maybe(levelOf(top)), phys.Maybe(levelOf(bottom))
	return f.RippleHigh - f.RippleLow
}

// halfPower is the fall to half power, dB.
var halfPower = 10 * math.Log10(2)

// reference is the octave in which the power mean is largest (the idea of the
// effective frequency range in IEC 60268-5), or the band that the study names,
// and the mean's level: none where there is no sound.
func (m *meter) reference() (Band, phys.Maybe) {
	of := func(mean float64) phys.Maybe { return phys.Maybe(levelOf(mean)) }
	if b := m.st.Reference; b != nil {
		n := max(2, int(math.Ceil(math.Log2(b.To/b.From)*meanSteps)))
		return *b, of(mean(m.squares(b.From, b.To, n), 0, n))
	}
	p := m.squaresTo(int(math.Round(latticeAt(bandHigh))))
	best, at := math.Inf(-1), 0
	for k := 0; k+meanSteps < len(p); k++ {
		if v := mean(p, k, k+meanSteps); v > best*(1+1e-12) {
			best, at = v, k
		}
	}
	from := latticeHz(at)
	return Band{from, 2 * from}, of(best)
}

// squares is |p|² at n+1 points spaced evenly on a log scale.
func (m *meter) squares(from, to float64, n int) []float64 {
	p, octaves := make([]float64, n+1), math.Log2(to/from)
	for k := range p {
		p[k] = m.square(from * math.Exp2(octaves*float64(k)/float64(n)))
	}
	return p
}

// squaresTo is |p|² at the places of the lattice from bandLow to place n.
func (m *meter) squaresTo(n int) []float64 {
	for k := range n + 1 {
		if k%3 == 0 && !m.sound.knows(k) {
			m.ready([3]float64{latticeHz(k), latticeHz(k + 1), latticeHz(k + 2)})
		}
		m.squareAt(k)
	}
	return m.sound.lattice[-latticeFrom:][:n+1]
}

// mean is the trapezoidal mean of points i to j.
func mean(p []float64, i, j int) float64 {
	sum := (p[i] + p[j]) / 2
	for k := i + 1; k < j; k++ {
		sum += p[k]
	}
	return sum / float64(j-i)
}

func sq(x float64) float64 { return x * x }

// extremes finds what happens at worst from the limits' lower edge up.
func (m *meter) extremes(f *Figures, o *Outcome) {
	from, to := m.st.LimitsFrom(), m.st.limitsTo()
	var lowest, share, drawn Peak
	sums := make([]float64, len(m.sys.Cones))
	list := []reading{
		{of: func(x float64) float64 { return -m.impedance(x) }, to: &lowest},
		{of: func(x float64) float64 { return m.excursion(x, m.sys.Cones) }, to: &f.Excursion},
		{of: func(x float64) float64 { return m.coneShare(x, m.excursionLimit()) }, to: &f.ExcursionShare},
		{of: func(x float64) float64 { w, _ := m.hottest(x, sums); return w }, to: &f.Power},
		{of: func(x float64) float64 {
			if w, r := m.hottest(x, sums); r > 0 {
				return w / r
			}
			return math.NaN()
		}, to: &share},
		{of: m.drawn, to: &drawn},
	}
	if len(m.sys.Radiators) > 0 {
		list = append(list, reading{of: func(x float64) float64 { return m.excursion(x, m.sys.Radiators) }, to: &f.RadiatorExcursion})
	}
	if len(m.sys.Openings) > 0 {
		list = append(list, reading{of: m.portSpeed, to: &f.PortSpeed})
	}
	coils := make([]Peak, len(m.sys.Coils))
	for i := range coils {
		list = append(list, reading{of: func(x float64) float64 { return m.coilPower(x, i) }, to: &coils[i]})
	}
	first := m.firstLimit(o, f)
	list = append(list, first.readings()...)
	late := m.lateReadings(f.Reference, &f.GroupDelay, &f.DelayCycles)
	list = append(list, late[:]...) // last: they leave the solver beside the frequency
	largestEach(m.gridwise(), from, to, list)

	f.LowestZ = Peak{-lowest.Value, lowest.At}
	f.Load = f.LowestZ.Value / loadShare
	f.First = first.found(f.LowestZ)
	if _, ok := m.solve(float64(f.LowestZ.At)); ok {
		f.LowestZPhase = phys.Maybe(degrees(cmplx.Phase(m.sys.Impedance(m.sol))))
	}
	f.PowerShare = share.Value
	if share.Value.OK() {
		w, r := m.hottest(float64(share.At), sums)
		f.Power, f.RatedPower = Peak{phys.Maybe(w), share.At}, phys.Maybe(r)
	}
	f.TotalPower, f.TotalPowerAt = float64(drawn.Value), drawn.At
	for _, p := range coils {
		f.CoilPowers = append(f.CoilPowers, float64(p.Value))
		if !(p.Value <= f.HottestCoil.Value) {
			f.HottestCoil = p
		}
	}
}

// excursionLimit is the brief's own limit, or 0 for each driver's xmax.
func (m *meter) excursionLimit() float64 {
	if l := m.st.Brief.Limits; !l.ExcursionXmax {
		return l.Excursion
	}
	return 0
}

// costs adds up the drivers' prices and the weight of drivers and boards.
func (m *meter) costs(f *Figures, o *Outcome) {
	price, kg, priced, weighed := 0.0, 0.0, true, true
	for _, stack := range m.sys.Group.Positions {
		for _, mem := range stack {
			d := mem.Driver.Data
			price += d.Price
			kg += d.Weight
			priced = priced && d.Price > 0
			weighed = weighed && d.Weight > 0
		}
	}
	if priced {
		f.Price = phys.Maybe(price)
	}
	if weighed && m.walled() {
		f.Mass = phys.Maybe(kg) // the wall is not the candidate's
	}
	if laid := o.Body.Known || o.Body.Fold != nil && o.Body.Fold.Wood > 0; weighed && laid && m.st.Space != nil {
		if boards, ok := boardMass(o.Body, m.st.Space.Material); ok {
			f.BoardMass = phys.Maybe(boards)
			f.Mass = phys.Maybe(kg + boards)
		}
	}
}
