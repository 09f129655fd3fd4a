package section_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

const courses = `study: Courses
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, mounting_depth: 132 mm, cutout: 232 mm, flange: 262 mm}
candidates:
  round: {group: {driver: merlin-10}, enclosure: {kind: back_loaded_horn, duct: {profile: [{at: 0 m, area: 300 cm2}, {at: 0.7 m, area: 500 cm2}, {at: 1.4 m, area: 1500 cm2}]}}}
  wide: {group: {driver: merlin-10}, enclosure: {kind: transmission_line, duct: {profile: [{at: 0 m, area: 600 cm2}, {at: 0.9 m, area: 450 cm2}, {at: 1.7 m, area: 300 cm2}], width: 300 mm, between: parabolic}, driver_at: 0.5 m}}
  aspect: {group: {driver: merlin-10}, enclosure: {kind: tapped_waveguide, duct: {profile: [{at: 0 m, area: 300 cm2}, {at: 1 m, area: 300 cm2}, {at: 1 m, area: 400 cm2}, {at: 2 m, area: 700 cm2}], aspect: 1.5}, front_at: 0.1 m, rear_at: 1.8 m}}
  straight: {group: {driver: merlin-10}, enclosure: {kind: transmission_line, duct: {length: 1.7 m, area: 400 cm2}}}
  sealed: {group: {driver: merlin-10}, enclosure: {kind: sealed, volume: 28 L}}
`

// The marks lie on the inner faces of the walls that are drawn, and what the course
// says of a place gives back the point’s own numbers.
func TestCourseLiesOnTheWalls(t *testing.T) {
	st, err := studyfile.Parse([]byte(courses), "courses.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range r.Candidates {
		for _, opt := range []section.Options{{Scale: 0.3, Theme: draw.Page(), Dims: true, Size: 12}, {Scale: 0.7, Theme: draw.Page()}} {
			c := section.CourseOf(o, opt)
			name := o.Candidate.Name
			if name == "straight" || name == "sealed" {
				if c != nil {
					t.Errorf("%s has no points, and a course", name)
				}
				continue
			}
			points := o.System.Spec.Line.Run.Points
			if len(c.Points) != len(points) || len(c.Between) != map[string]int{"round": 2, "wide": 2, "aspect": 2}[name] {
				t.Fatalf("%s: %d points, %d between", name, len(c.Points), len(c.Between))
			}
			s := section.Draw(o, opt)
			corners := shapes(t, write(t, s))
			for i, m := range append(append([]section.Mark{}, c.Points...), c.Between...) {
				if i < len(points) && (m.At != points[i].X || m.Area != points[i].Area) {
					t.Errorf("%s: point %d is %v", name, i, m)
				}
				// both are the same arithmetic in another order
				if back := c.Factor * math.Pow(m.Half, c.Power); math.Abs(back-m.Area) > 1e-12*m.Area {
					t.Errorf("%s: %g cm² comes back as %g cm²", name, 1e4*m.Area, 1e4*back)
				}
				if i >= len(points) {
					continue
				}
				x, y := c.Start+m.At*c.PerMetre, c.Axis-m.Half
				near := math.Inf(1)
				for _, p := range corners {
					for _, q := range p.pts {
						near = math.Min(near, math.Hypot(q.X-x, q.Y-y))
					}
				}
				// the walls are drawn through 1 µm beside each point, and written with two decimals
				if near > 0.02 {
					t.Errorf("%s at %g: point %d at (%.2f, %.2f) lies %.3f beside the wall", name, opt.Scale, i, x, y, near)
				}
			}
		}
	}
}

// Where there is no width and no aspect a duct is round, also by what the course says.
func TestCourseOfARoundDuct(t *testing.T) {
	st, err := studyfile.Parse([]byte(courses[:strings.Index(courses, "  wide:")]), "courses.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	c := section.CourseOf(r.Candidates[0], section.Options{Scale: 0.5, Theme: draw.Page()})
	// 300 cm² is a circle of 97.72 mm radius, 0.5 units a mm
	if got := c.Points[0].Half; math.Abs(got-48.86) > 0.01 {
		t.Errorf("half is %g, not 48.86", got)
	}
}
