package duct

import (
	"fmt"
	"math"
	"testing"

	"basswright/internal/network"
)

// profile is a waveguide of n points, as a designer would drag them: a widening
// line with uneven steps.
func profile(n int, length float64) Shape {
	var points []Point
	for i := range n {
		x := float64(i) / float64(n-1)
		points = append(points, Point{x * length, 0.012 + 0.03*x + 0.004*math.Sin(7*x)})
	}
	return must(Points(points))
}

var sink complex128

// What a duct costs at a frequency. The bounds of the whole, with the driver and
// the mouth, are 1 µs for an offset filled line and 4 µs for a tapped waveguide
// with 20 points.
func BenchmarkDuct(b *testing.B) {
	fill := []Filling{{Fill: Fill{Resistivity: 1500}}}
	miki := []Filling{{Fill: Fill{Resistivity: 1500, Model: Miki}}}
	for _, c := range []struct {
		name   string
		shape  Shape
		making Making
	}{
		{"cylinder, free", must(Cylinder(1.5, 0.01)), Making{}},
		{"cylinder, walls", must(Cylinder(1.5, 0.01)), Making{Walls: true}},
		{"cylinder, filled", must(Cylinder(1.5, 0.01)), Making{Fills: fill}},
		{"cylinder, Miki", must(Cylinder(1.5, 0.01)), Making{Fills: miki}},
		{"exponential, walls", must(Exponential(1.2, 0.008, 0.12)), Making{Walls: true}},
		{"tractrix, walls", must(Tractrix(0.008, 0.12)), Making{Walls: true}},
		{"20 points, free", profile(20, 2.4), Making{}},
		{"20 points, walls", profile(20, 2.4), Making{Walls: true}},
		{"20 points, filled", profile(20, 2.4), Making{Fills: fill}},
	} {
		c.making.Gas = plainAir
		d := must(New(c.shape, c.making))
		b.Run(fmt.Sprintf("%s, %d segments", c.name, d.Segments()), func(b *testing.B) {
			b.ReportAllocs()
			k := 0
			for b.Loop() {
				k++
				sink, _, _ = d.At(omega(20 + float64(k%400)))
			}
		})
	}
}

// The two whole loadings whose cost is bounded, with the driver and the load of a
// mouth: what is read at each frequency is the pressure outside, the impedance and the
// excursion.
func BenchmarkLoading(b *testing.B) {
	c := reference{Length: 1.5, Area: 0.0113, Offset: 0.5, Front: 0.15, Rear: 2.2}
	c.Driver.Re, c.Driver.Le, c.Driver.Bl, c.Driver.Mms, c.Driver.Cms, c.Driver.Rms, c.Driver.Sd = 5.6, 0.9e-3, 10.2, 0.0385, 0.78e-3, 1.9, 0.022
	line := func() *built {
		n := c.driver(false, true)
		pipe := must(Cylinder(c.Length, c.Area))
		m := Making{Gas: plainAir, Fills: []Filling{{Fill: Fill{Resistivity: 1500}}}}
		mouth := n.net.AddNode(network.Acoustic, "inside the mouth")
		closed := n.net.AddNode(network.Acoustic, "closed end")
		n.net.AddTwoPort("behind the cone", closed, n.rear, must(New(pipe.Between(0, c.Offset), m)))
		n.net.AddTwoPort("pipe", n.rear, mouth, must(New(pipe.Between(c.Offset, c.Length), m)))
		n.open(mouth, c.Area)
		return n
	}
	c2 := c
	c2.Length = 2.4
	for name, n := range map[string]*built{
		"offset filled line":           line(),
		"tapped waveguide of 20, free": tappedLine(c2, profile(20, 2.4), Making{Gas: plainAir}),
		"tapped waveguide of 20":       tappedLine(c2, profile(20, 2.4), Making{Gas: plainAir, Walls: true}),
	} {
		n.ready(b)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			k := 0
			for b.Loop() {
				k++
				if err := n.solver.Solve(omega(20 + float64(k%400))); err != nil {
					b.Fatal(err)
				}
				sink = n.outflow() + n.solver.Flow(n.coil) + n.solver.Potential(n.cone)
			}
		})
	}
}

// What it takes to make one: while a profile is dragged, each step makes its ducts anew.
func BenchmarkNew(b *testing.B) {
	for name, s := range map[string]Shape{"cone": must(Cone(1.2, 0.008, 0.12)), "tractrix": must(Tractrix(0.008, 0.12)), "20 points": profile(20, 2.4)} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := New(s, Making{Gas: plainAir, Walls: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
