package large

import (
	"basswright/internal/curve"
	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// Parts are the remainders of a model, for who has to write it down elsewhere.
type Parts struct {
	Motors []MotorPart
	Airs   []AirPart
	Leaks  []Leak // the closed chambers whose static pressure leaks away
}

// MotorPart is a motor whose parameters change with displacement; a Shape without
// a curve is one that does not.
type MotorPart struct {
	*enclosure.Motor
	Bl, Kms, Le, L2 Shape
}

// Shape is a parameter over displacement, Per·Curve, of which Rest is in the
// network already.
type Shape struct {
	Curve     *curve.Curve
	Per, Rest float64
}

// AirPart is a chamber whose spring follows the law of the gas: with C the
// Compliance in the network, it gives way as C·(1 + p/Static)^−Power does, and
// below Thinnest goes on straight.
type AirPart struct {
	Node                    network.Node
	Compliance              float64 // m³/Pa
	Static, Power, Thinnest float64 // Pa; of (1 + p/Static)
}

// Parts lists what of the model is not linear.
func (m *Model) Parts() Parts {
	var p Parts
	for i := range m.motors {
		mt := &m.motors[i]
		l := &mt.law
		p.Motors = append(p.Motors, MotorPart{mt.Motor, Shape{l.bl, l.perBl, l.bl0}, Shape{l.k, l.perK, l.k0}, Shape{l.le, l.perLe, l.le0}, Shape{l.l2, l.perL2, l.l20}})
	}
	for _, a := range m.airs {
		p.Airs = append(p.Airs, AirPart{m.ports[a.port].node, a.law.compliance, a.law.static, 1/phys.Gamma + 1, thinnest})
	}
	p.Leaks = m.closed()
	return p
}
