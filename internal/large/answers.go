package large

import (
	"math"

	"basswright/internal/network"
)

// answers is what the network answers to its source and to each port, for dc
// and every harmonic.
type answers struct {
	source []complex128   // by port: what it sees of 1 V at the fundamental
	z      [][]complex128 // by harmonic: [p·ports + q], what p sees of a gift of 1 to q
	out    [][]complex128 // by harmonic: [k·(ports+1) + q], output k of a gift of 1 to q; the last is of 1 V
}

// answer solves the network for the harmonics of f.
func (m *Model) answer(f float64, harmonics int) (answers, error) {
	ports := len(m.ports)
	outputs := m.outputs()
	in := m.Sys.Program.NewInjector(m.injections())
	a := answers{source: make([]complex128, ports)}
	for n := range harmonics + 1 {
		w, shunts := 2*math.Pi*f*float64(n), []network.Shunt(nil)
		if n == 0 {
			w, shunts = 2*math.Pi*staticFrequency, m.shunts
		}
		if err := in.Factor(w, shunts...); err != nil {
			return answers{}, err
		}
		s := complex(0, w)
		z, out := make([]complex128, ports*ports), make([]complex128, len(outputs)*(ports+1))
		for q, p := range m.ports {
			in.Inject(q)
			k := p.drive(s)
			if n == 0 && (p.kind == coil || p.kind == eddy) {
				k = 0 // a flux that does not change drives nothing
			}
			for r := range m.ports {
				z[r*ports+q] = k * m.ports[r].read(in, s)
			}
			if p.kind == eddy {
				z[q*ports+q] += p.filter(s) / complex(p.l, 0)
			}
			for o := range outputs {
				out[o*(ports+1)+q] = k * outputs[o].read(in, s)
			}
		}
		if n > 0 {
			in.Source()
			for r := range m.ports {
				if n == 1 {
					a.source[r] = m.ports[r].read(in, s)
				}
			}
			for o := range outputs {
				out[o*(ports+1)+ports] = outputs[o].read(in, s)
			}
		}
		a.z, a.out = append(a.z, z), append(a.out, out)
	}
	return a, nil
}

// output is a quantity that is read of the steady state.
type output struct {
	read func(in *network.Injector, s complex128) complex128
}

// outputs lists what is read, in the order that Result expects: everything that
// moves air outside, the current into the group, then cones and radiators,
// openings, chambers, coils.
func (m *Model) outputs() []output {
	sys := m.Sys
	outs := []output{
		{func(in *network.Injector, s complex128) complex128 {
			var u complex128
			for _, r := range sys.Radiating() {
				u += r.Share(imag(s), sys.Setting.Air.C) * in.Flow(r.Element)
			}
			return u
		}},
		{func(in *network.Injector, _ complex128) complex128 { return sys.Current(&in.Solver) }},
	}
	for _, c := range sys.Cones {
		outs = append(outs, output{func(in *network.Injector, s complex128) complex128 {
			return complex(c.Ratio, 0) * in.Potential(c.Node) / s
		}})
	}
	for _, c := range sys.Radiators {
		outs = append(outs, output{func(in *network.Injector, s complex128) complex128 {
			return complex(c.Ratio, 0) * in.Potential(c.Node) / s
		}})
	}
	for _, o := range sys.Openings {
		outs = append(outs, output{func(in *network.Injector, _ complex128) complex128 { return in.Flow(o.Element) }})
	}
	for _, p := range sys.Chambers {
		outs = append(outs, output{func(in *network.Injector, _ complex128) complex128 { return in.Potential(p.Node) }})
	}
	for _, c := range sys.Coils {
		outs = append(outs, output{func(in *network.Injector, _ complex128) complex128 {
			return complex(c.Share, 0) * in.Flow(c.Element)
		}})
	}
	return outs
}
