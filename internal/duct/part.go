package duct

import (
	"math"
	"slices"

	"basswright/internal/phys"
)

// NewParts makes a duct as parts that meet at the given places, m from the start, for
// what is joined to it there: one more than there are places. Fills lie where they lie
// in the whole, so that the parts behind one another are the duct; a jump of the area
// at a place itself has no mass of a step.
func NewParts(s Shape, m Making, at []float64) ([]*Duct, error) {
	length := s.Length()
	places := slices.Clone(at)
	slices.Sort(places)
	places = append(places, length)
	fills, err := m.fillings(length)
	if err != nil {
		return nil, err
	}
	var out []*Duct
	from := 0.0
	for _, to := range places {
		if !(to-from >= minLength && to <= length) {
			return nil, fault("length", "put the places inside the duct, and apart from its ends and from each other", "a part of a duct from %s m to %s m", phys.Digits(from, 4), phys.Digits(to, 4))
		}
		part := m
		part.Fills = nil
		for _, f := range fills {
			f.From, f.To = max(f.From, from)-from, min(f.To, to)-from
			if f.To-f.From > 1e-9*length {
				part.Fills = append(part.Fills, f)
			}
		}
		d, err := New(s.Between(from, to), part)
		if err != nil {
			return nil, err
		}
		out = append(out, d)
		from = to
	}
	return out, nil
}

// Narrowed is the shape with something in it, such as the frames of a stack, that takes
// a volume, m³, off it from one place to another: everywhere the same share of the
// cross-section, so that each stretch keeps its law and costs no segment.
func (s Shape) Narrowed(from, to, volume float64) (Shape, error) {
	length := s.Length()
	if !(from >= 0 && to <= length*(1+1e-9) && to-from >= minLength && volume >= 0) {
		return Shape{}, fault("length", "put it inside the duct", "something from %s m to %s m in a duct of %s m", phys.Digits(from, 4), phys.Digits(to, 4), phys.Digits(length, 4))
	}
	var out Shape
	if from >= minLength {
		out = s.Between(0, from)
	}
	part := s.Between(from, to)
	all := part.Volume()
	if !(volume <= MostTaken*all) {
		return Shape{}, fault("area", "make the duct wider there, or what stands in it smaller", "%s L of the duct’s %s L are taken up", phys.Digits(1e3*volume, 3), phys.Digits(1e3*all, 3))
	}
	by := math.Sqrt(1 - volume/all)
	for _, t := range part.stretches {
		t.r, t.d = t.r*by, t.d*by
		if curve := t.curve; curve != nil {
			t.curve = func(x float64) float64 { return by * curve(x) }
		}
		out.stretches = append(out.stretches, t)
	}
	if length-to >= minLength {
		out = out.Then(s.Between(to, length))
	}
	return out, nil
}

// MostTaken is the share of a duct that something in it may take.
const MostTaken = 0.95
