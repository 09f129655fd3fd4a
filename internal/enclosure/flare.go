package enclosure

import (
	"errors"
	"math"

	"basswright/internal/airflow"
	"basswright/internal/phys"
)

// Airflow is one of the ports as the air in it sees it: the one place where what
// was worded becomes what [airflow] knows. A port of no stated shape counts as
// round, as its end corrections do. The error is an *airflow.PortError, for a
// port of a size that no loss or limit is known for.
func (p Port) Airflow(air phys.Air) (airflow.Port, error) {
	inner, outer := p.Airends()
	return airflow.New(p.Bore(), inner, outer, air)
}

// Airends are its ends.
func (p Port) Airends() (inner, outer airflow.End) {
	return airflow.End{Flanged: p.Inner == EndFlanged, Edge: p.Flare}, airflow.End{Flanged: p.Outer == EndFlanged, Edge: p.Flare}
}

// Bore is its cross-section; a slot's flares widen its narrower side.
func (p Port) Bore() airflow.Section {
	switch p.Shape {
	case Round:
		return airflow.Section{Diameter: p.Diameter}
	case Slot:
		return airflow.Section{Width: max(p.Width, p.Height), Height: min(p.Width, p.Height)}
	}
	return airflow.Section{Diameter: 2 * math.Sqrt(p.crossSection()/math.Pi)}
}

// flares turns the end corrections of a flared port into those of its flares: a
// flare is part of the length, and holds less air than bore as long would. Both
// flares together are returned.
func (b *builder) flares(f *PortFacts, key string, p *Port) (airflow.Ending, error) {
	if p.Flare == 0 {
		return airflow.Ending{}, nil
	}
	flow, err := p.Airflow(b.Setting.Air)
	var why *airflow.PortError
	if errors.As(err, &why) {
		return airflow.Ending{}, fault(key+"port.flare", why.Mend+", or leave flare out", "the port with its flares cannot be reckoned: %s", why.Reason)
	}
	inner, outer := flow.Ends()
	f.InnerEnd, f.OuterEnd = inner.Mass-inner.Axial, outer.Mass-outer.Axial
	both := airflow.Ending{Axial: inner.Axial + outer.Axial, Mass: inner.Mass + outer.Mass, Room: inner.Room + outer.Room}
	if p.Length > 0 && p.Length < both.Axial {
		return both, fault(key+"port.flare", "make the port longer than "+mm(both.Axial)+", or its flares smaller", "the flares of %s at both ends are longer than the port of %s", mm(p.Flare), mm(p.Length))
	}
	return both, nil
}
