package studyfile

import "slices"

// What the file says after a change, as far as meaning goes: the second
// account of each change, against which the text is checked. None of it
// touches the spots that it is made from.

// changed is a value in which the part at the end of the indices is handled
// by f, which is given the list or map that holds it.
func changed(s *spot, at []int, f func(holder *spot, i int)) *spot {
	c := *s.self()
	c.target, c.parts = nil, slices.Clone(c.parts)
	if len(at) == 1 {
		f(&c, at[0])
		return &c
	}
	p := &c.parts[at[0]]
	p.value = changed(p.value, at[1:], f)
	return &c
}

// with is a value whose place at the end of the indices holds v.
func with(root *spot, at []int, v *spot) *spot {
	return changed(root, at, func(h *spot, i int) { h.parts[i].value = v })
}

// without is a value that lacks the place at the end of the indices.
func without(root *spot, at []int) *spot {
	return changed(root, at, func(h *spot, i int) { h.parts = slices.Delete(h.parts, i, i+1) })
}

// swapped is a value in which some others stand in place of those inside it.
func swapped(s *spot, by map[*spot]*spot) *spot {
	if v, ok := by[s]; ok {
		return v
	}
	if s.target != nil || len(s.parts) == 0 {
		return s
	}
	c := *s
	c.parts = slices.Clone(c.parts)
	for i := range c.parts {
		c.parts[i].value = swapped(c.parts[i].value, by)
	}
	return &c
}

// wrapped is v in lists and maps that hold nothing else.
func wrapped(rest []step, v *spot) *spot {
	for _, st := range slices.Backward(rest) {
		sh := shapeMap
		if st.item >= 0 {
			sh = shapeList
		}
		v = &spot{shape: sh, style: styleFlow, parts: []part{{key: st.key, value: v}}}
	}
	return v
}
