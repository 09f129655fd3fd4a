package study

import (
	"context"
	"errors"
	"math"
	"slices"

	"basswright/internal/heat"
	"basswright/internal/note"
)

// CompressionOptions say for which drives power compression is told, and after
// which times beside the end.
type CompressionOptions struct {
	Volts []float64 // V rms at the source, rising; none: up to Most
	Most  float64   // V rms, the greatest where none are given; 0: what the amplifier has for this group behind the filters, else the study’s drive
	Step  float64   // dB between two of them, where none are given; 0: 3 dB
	After []float64 // s, rising
}

// compressionSpan is how far below the most the least drive lies, dB: at a
// sixty-fourth of the watts a coil is hardly warm.
const compressionSpan = 18.0

// compressionSteps is how many steps fit into the time that has passed, once the
// quickest coil has long followed: what goes on then is as slow as the magnet.
const compressionSteps = 50

// CompressionPoint is what the heat of its coils does to a candidate at one drive.
type CompressionPoint struct {
	Volts float64 // V rms at the source
	Drive float64 // dB re the greatest of the drives
	Cold  float64 // W in all coils while they are as warm as the air
	After []Compressed
	End   Compressed // where it leads without a rest
}

// Compressed is what heat has done at one moment.
type Compressed struct {
	Watts float64 // in all coils
	Coil  float64 // °C, of the hottest
	Rise  float64 // its resistance over that in the air around it
	Loss  float64 // dB by which the mean level falls short of that of cold coils
}

// Compression is a candidate's power compression against level and time.
type Compression struct {
	Candidate *Candidate
	Air       float64 // °C
	After     []float64
	Wires     []heat.Wire // of the coils, each once
	Points    []CompressionPoint
	Findings  []note.Finding
}

// Hottest is the highest temperature that is told, °C.
func (c *Compression) Hottest() float64 {
	most := c.Air
	for i := range c.Points {
		most = math.Max(most, c.Points[i].End.Coil)
		for _, q := range c.Points[i].After {
			most = math.Max(most, q.Coil)
		}
	}
	return most
}

// Top is the point of the greatest drive.
func (c *Compression) Top() *CompressionPoint { return &c.Points[len(c.Points)-1] }

// Compress finds the power compression of candidate i: the noise and the model are
// those of Heat. The error is a *CandidateError, the context's, or says what is
// not known of a driver.
func (st *Study) Compress(ctx context.Context, i int, o CompressionOptions) (*Compression, error) {
	c := &st.Candidates[i]
	out := &Compression{Candidate: c, Air: st.ambient(), After: o.After}
	sys, _, err := st.Build(i)
	if err != nil {
		return nil, err
	}
	volts := slices.Clone(o.Volts)
	if len(volts) == 0 {
		most := o.Most
		switch {
		case most > 0:
		case st.Amplifier != nil: // whatever the drive: this is what it can come to
			one := &hot{st: st, c: c, box: resolved(sys.Spec), volts: 1}
			short, err := one.short(sys)
			if err != nil {
				return nil, &CandidateError{c, err}
			}
			if !(short.times > 0) {
				return nil, &CandidateError{c, Silence(sys)}
			}
			most = 1 / short.times
		default:
			most = st.feed(sys).fixed
		}
		step := o.Step
		if step == 0 {
			step = 3
		}
		for k := int(math.Floor(compressionSpan/step + 1e-9)); k >= 0; k-- {
			volts = append(volts, most*math.Pow(10, -float64(k)*step/20))
		}
	}
	var top *hot // that of the greatest drive
	for _, v := range volts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		h := &hot{st: st, c: c, volts: v, air: out.Air, steps: heatSteps}
		course := &HeatCourse{}
		if err := h.setUp(sys, course); err != nil {
			return nil, err
		}
		if math.IsInf(h.cold, -1) {
			return nil, &CandidateError{c, Silence(sys)}
		}
		out.Findings, out.Wires = course.Findings, course.Wires
		p := CompressionPoint{Volts: v, Drive: 20 * math.Log10(v/volts[len(volts)-1]), Cold: h.total}
		if err := h.compress(ctx, &p, o.After); err != nil {
			return nil, err
		}
		out.Points = append(out.Points, p)
		if v == slices.Max(volts) {
			top = h
		}
	}
	doubts := st.coilDoubt(c, out.Hottest(), top.wires[0], "")
	if len(o.Volts) > 0 || o.Most > 0 { // else it is what the amplifier has
		beyond, err := top.beyond(sys)
		if err != nil {
			return nil, &CandidateError{c, err}
		}
		doubts = append(doubts, beyond...)
	}
	out.Findings = append(doubts, out.Findings...)
	return out, nil
}

// compress follows one drive to each of the times, and to its end.
func (h *hot) compress(ctx context.Context, p *CompressionPoint, after []float64) error {
	at := 0.0
	for _, t := range after {
		for at < t-1e-9 {
			if err := ctx.Err(); err != nil {
				return err
			}
			step := math.Min(math.Max(h.quick()/float64(h.steps), at/compressionSteps), t-at)
			if err := h.advance(step, false); err != nil {
				return &CandidateError{h.c, err}
			}
			at += step
		}
		p.After = append(p.After, h.compressed())
	}
	if err := h.settle(); err != nil {
		return &CandidateError{h.c, err}
	}
	p.End = h.compressed()
	return nil
}

// compressed reads the state that it is in.
func (h *hot) compressed() Compressed {
	out := Compressed{Watts: h.total, Coil: h.air, Rise: 1, Loss: h.cold - h.mean}
	depth := h.c.Group.Depth()
	for k, class := range h.class {
		t := h.air + h.state[class].Coil
		wire := h.c.Group.Positions[k/depth][k%depth].Driver.Data.Wire
		out.Coil = math.Max(out.Coil, t)
		out.Rise = math.Max(out.Rise, wire.Resistance(t)/wire.Resistance(h.air))
	}
	return out
}

// CompressEach is Compress for every candidate of which a comparison tells heat:
// there is an amplifier that warms its coils, or their circuit is stated, it is
// known of all its drivers how they warm up, and they do not work against each other.
func (st *Study) CompressEach(ctx context.Context, o CompressionOptions) ([]*Compression, error) {
	var out []*Compression
	for i := range st.Candidates {
		if !st.tellsHeat(&st.Candidates[i]) {
			continue
		}
		c, err := st.Compress(ctx, i, o)
		var none *SilentError
		switch {
		case errors.As(err, &none): // a comparison says so already
			continue
		case err != nil:
			return nil, err
		}
		out = append(out, c)
	}
	return out, nil
}

func (st *Study) tellsHeat(c *Candidate) bool {
	stated, known := false, true
	for _, stack := range c.Group.Positions {
		for _, m := range stack {
			d := m.Driver
			if d.Data.Thermal != (heat.Circuit{}) {
				stated = true
			} else if _, err := heat.Default(d.RatedPower(), d.Data.CoilDiameter); err != nil {
				known = false
			}
		}
	}
	return c.Group.MovesTogether() && known && (stated || st.Amplifier != nil)
}
