package variant

import (
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// The tapped waveguide that is begun with (common practice, no source): a cone twice as
// wide at its mouth, tuned below the goal, as its band begins above its quarter wave.
const (
	tappedTuning = 0.8
	tappedMouth  = 2.0
	tappedRear   = 0.08 // of its length
)

// startTapped is a waveguide folded in two: the rear of the cone looks into it near the
// closed end, and the front into the other leg through the same board.
func (d draft) startTapped() (draft, string, bool) {
	goal, what := d.goal()
	seats := d.st.SeatingOf(d.sys.Group, true)
	lengths := map[float64]float64{}
	wants := d.wants(d.sections(), seats)
	straight := d.st.Air.C / (4 * tappedTuning * goal)
	e, _, ok := standing(d, wants, func(w want) (draft, bool) {
		if d.far(w, wants[len(wants)-1], (1+tappedMouth)/2*straight) {
			return d, false
		}
		rear := max(tappedRear*straight, seats.Wall/2)
		if _, tried := lengths[w.area]; !tried {
			e := d.tapped(w, straight, rear)
			e.box.Line.Run.Length, e.box.Line.Run.Tuning = 0, tappedTuning*goal
			e.box.Line.Front = 0.6 * straight
			if sys, ok := e.build(); ok {
				lengths[w.area] = sys.Spec.Line.Run.Length
			} else {
				lengths[w.area] = 0
			}
		}
		length := lengths[w.area]
		if length < 3*rear {
			return d, false
		}
		return d.tapped(w, length, rear), true
	})
	if !ok {
		return d, "", false
	}
	return e, "its quarter wave at four fifths of " + what + "; " + d.coneWords(e.box.Line.Run.Start) + " at its start and twice that at its mouth; front and rear of the cone on either side of one board of a fold in two", true
}

func (d draft) tapped(w want, length, rear float64) draft {
	box := enclosure.Spec{Kind: enclosure.TappedWaveguide}
	k, run := words{u: d.st.Units}, words{u: d.st.Units}
	r := &box.Line.Run
	r.Length = run.size("length", length, phys.Distance)
	r.Start = run.size("start", w.area, phys.Area)
	r.End = run.size("end", tappedMouth*w.area, phys.Area)
	r.Section.Width = run.size("width", w.width, phys.Length)
	k.in("duct", run)
	box.Line.Front = k.size("front_at", r.Length-rear, phys.Distance)
	box.Line.Rear = k.size("rear_at", rear, phys.Distance)
	box.Line.Bodies = enclosure.BodiesUnset
	return d.boxed(box, k)
}
