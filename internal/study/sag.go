package study

import (
	"errors"

	"basswright/internal/driver"
	"basswright/internal/note"
	"basswright/internal/place"
)

// Axis says where the axes of a group's cones point.
type Axis uint8

// The axes.
const (
	AxisLevel Axis = iota // the cones stand upright and hang from nothing
	AxisUp
	AxisDown
)

// Axes are the words of the axes, in their order.
func Axes() []string { return []string{"level", "up", "down"} }

// String is the axis in the word of the study file.
func (a Axis) String() string { return Axes()[a] }

// sags warns of the drivers of a candidate whose cones sag too far where its axis is upright.
// The cones of a stack hang each on its own suspension, or, rigidly coupled,
// together on all of them, which is the same for like drivers.
func (st *Study) sags(c *Candidate) []note.Finding {
	if c.Axis == AxisLevel {
		return nil
	}
	var out []note.Finding
	seen := map[*driver.Driver]bool{}
	for _, stack := range c.Group.Positions {
		for _, m := range stack {
			d := m.Driver
			if seen[d] {
				continue
			}
			seen[d] = true
			where := "candidates." + c.Name + ".group.axis"
			tell := func(f note.Finding) {
				f.Where, f.At, f.Text = where, c.At, d.Name+": "+f.Text
				out = append(out, f)
			}
			if !(d.Data.Xmax > 0) {
				tell(note.Finding{ID: "sag-unknown", Severity: note.Warning, Text: "its xmax is not given, so that it is not known how far its cone may sag with its axis " + c.Axis.String(), Mend: "give its xmax"})
				continue
			}
			s, err := place.NewSag(place.Cone{Mms: d.Mms, Cms: d.Cms, Sd: d.Sd, Xmax: d.Data.Xmax}, st.Air)
			var odd *place.Error
			if errors.As(err, &odd) {
				tell(note.Finding{ID: "sag-unknown", Severity: note.Warning, Text: "its sag cannot be told: " + odd.Reason, Mend: odd.Mend})
				continue
			}
			for _, f := range s.Findings(where) {
				tell(f)
			}
		}
	}
	return out
}
