package airflow

import "slices"

// remedies are worked out in the order of how little they change.
func (n Need) remedies(f Fit) []Remedy {
	var out []Remedy
	for _, of := range []func(Need, Fit) (Remedy, bool){Need.flare, Need.fold, Need.toSlot, Need.lessPower} {
		if r, ok := of(n, f); ok {
			out = append(out, r)
		}
	}
	return append(out, Remedy{Kind: Radiator, Displacement: n.Flow / omega(n.Frequency)})
}

// flare looks for the smallest rounding of both edges that lets the port fit.
func (n Need) flare(Fit) (Remedy, bool) {
	if n.Inner.Mouth > 1 || n.Outer.Mouth > 1 {
		return Remedy{}, false
	}
	for _, edge := range [...]float64{5e-3, 10e-3, 15e-3, 20e-3, 25e-3, 30e-3, 40e-3, 50e-3, 75e-3} {
		if edge <= min(n.Inner.Edge, n.Outer.Edge) {
			continue
		}
		with := n
		with.Inner.Edge, with.Outer.Edge = max(edge, n.Inner.Edge), max(edge, n.Outer.Edge)
		if f, err := with.size(); err == nil && len(with.troubles(f)) == 0 {
			return Remedy{Kind: Flare, Section: f.Section, Length: f.Length, Edge: edge}, true
		}
	}
	return Remedy{}, false
}

// fold leads a port around a corner that is too long and nothing else.
func (n Need) fold(f Fit) (Remedy, bool) {
	return Remedy{Kind: Fold, Section: f.Section, Length: f.Length}, slices.Equal(f.Troubles, []Trouble{TooLong})
}

// toSlot is a slot instead of a round port, which a wall can lead around a corner.
func (n Need) toSlot(Fit) (Remedy, bool) {
	if n.Slot || n.Width == 0 {
		return Remedy{}, false
	}
	with := n
	with.Slot = true
	f, err := with.size()
	ok := err == nil
	for _, t := range with.troubles(f) {
		ok = ok && t == TooLong
	}
	return Remedy{Kind: ToSlot, Section: f.Section, Length: f.Length}, ok
}

// lessPower is the widest port that fits.
func (n Need) lessPower(f Fit) (Remedy, bool) {
	size := f.Section.Diameter
	if n.Slot {
		size = f.Section.Height
	}
	low, _ := n.bounds()
	long := func(f Fit) bool { return f.Length >= f.ends(n) }
	low = least(low, size, func(x float64) bool { return long(n.fit(x)) })
	if len(n.troubles(n.fit(low))) > 0 {
		return Remedy{}, false
	}
	// Length, volume and pipe mode all get worse as a port gets wider.
	high := size
	for range 60 {
		if middle := (low + high) / 2; len(n.troubles(n.fit(middle))) == 0 {
			low = middle
		} else {
			high = middle
		}
	}
	fits := n.fit(low)
	share := n.capacity(low) / n.Flow
	return Remedy{Kind: LessPower, Section: fits.Section, Length: fits.Length, Power: share * share}, share < 1
}
