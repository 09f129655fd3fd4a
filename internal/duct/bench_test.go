package duct

import (
	"fmt"
	"math"
	"testing"
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
