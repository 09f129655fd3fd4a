package enclosure

import (
	"errors"
	"fmt"
	"math"

	"basswright/internal/duct"
)

// Body is what stands in a duct of a network and takes its volume off the
// cross-section. What a line’s drivers take follows from their sheets; a network does
// not know what is inside which of its ducts, so that it is told.
type Body struct {
	From, To float64 // m from where the duct begins; To 0: to its end
	Volume   float64 // m³ that it takes
}

// narrowedBy is a duct of a network less what stands in it, and what that leaves.
func (p *NetPart) narrowedBy(i int, shape duct.Shape) (duct.Shape, []Standing, error) {
	length := shape.Length()
	var all []Standing
	for k := range p.Bodies {
		o := &p.Bodies[k]
		key := fmt.Sprintf("bodies[%d].", k)
		if o.To == 0 {
			o.To = length
		}
		switch {
		case o.From >= length*(1-1e-9):
			return shape, nil, netFault(i, key+"from", "let it begin before the duct’s end, "+metres(length)+" away", "a body from %s on in a duct of %s", metres(o.From), metres(length))
		case o.To > length*(1+1e-9):
			return shape, nil, netFault(i, key+"to", "let it end at the duct’s end, "+metres(length)+" away, or leave to out", "a body up to %s in a duct of %s", metres(o.To), metres(length))
		case o.To-o.From < least:
			return shape, nil, netFault(i, key+"to", "let it end behind "+metres(o.From)+", where it begins", "a body from %s to %s", metres(o.From), metres(o.To))
		}
		o.To = math.Min(o.To, length)
		out, err := shape.Narrowed(o.From, o.To, o.Volume)
		var d *duct.Error
		if errors.As(err, &d) {
			return shape, nil, netFault(i, key+"volume", d.Mend, "a body of %s from %s to %s, where the duct holds %s", litres(o.Volume), metres(o.From), metres(o.To), litres(shape.Between(o.From, o.To).Volume()))
		}
		if err != nil {
			return shape, nil, err
		}
		all = append(all, Standing{At: p.Name, From: o.From, To: o.To, Volume: o.Volume, Left: leastArea(out, o.From, o.To)})
		shape = out
	}
	return shape, all, nil
}

// leastArea is the least cross-section of a duct from one place to another.
func leastArea(shape duct.Shape, from, to float64) float64 {
	out := math.Inf(1)
	const parts = 50
	for i := range parts + 1 {
		out = math.Min(out, shape.Area(from+(to-from)*(1e-9+(1-2e-9)*float64(i)/parts)))
	}
	return out
}
