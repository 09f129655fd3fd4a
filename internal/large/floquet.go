package large

// floquet follows a disturbance of a steady state, whose slopes S repeat themselves
// with the sine. At each point of the period it holds what the ports see, K = (I −
// D·S)⁻¹·C, and what a whole step does, A + B·S·K.
type floquet struct {
	*disturbance
	slopes     []float64 // by point: [q·ports + r], how gift q changes with what r sees
	seen, step []float64 // by point: K, ports × states, and states × states
	z, next, y []float64 // where it stands, and what the ports see there
	g          []float64 // S·K
	j, v       []float64 // of the elimination
}

func (l *disturbance) floquet(points int) *floquet {
	n, p := l.states, l.ports
	return &floquet{
		disturbance: l,
		slopes:      make([]float64, points*p*p), seen: make([]float64, points*p*n), step: make([]float64, points*n*n),
		z: make([]float64, n), next: make([]float64, n), y: make([]float64, p),
		g: make([]float64, p*n), j: make([]float64, p*p), v: make([]float64, p),
	}
}

// at is the slopes, K and the step of a point.
func (f *floquet) at(point int) (slopes, seen, step []float64) {
	n, p := f.states, f.ports
	return f.slopes[point*p*p : (point+1)*p*p], f.seen[point*p*n : (point+1)*p*n], f.step[point*n*n : (point+1)*n*n]
}

// prepare makes K and the step of a point out of its slopes. It says whether they
// exist.
func (f *floquet) prepare(point int) bool {
	n, p := f.states, f.ports
	slopes, seen, step := f.at(point)
	clear(seen)
	for q := range p { // a column of the inverse at a time
		clear(f.v)
		f.v[q] = 1
		if !f.solve(slopes) {
			return false
		}
		for r, v := range f.v {
			addTo(seen[r*n:(r+1)*n], v, f.c[q*n:(q+1)*n])
		}
	}
	clear(f.g)
	for q := range p {
		for r := range p {
			addTo(f.g[q*n:(q+1)*n], slopes[q*p+r], seen[r*n:(r+1)*n])
		}
	}
	copy(step, f.a)
	for r := range n {
		for q := range p {
			addTo(step[r*n:(r+1)*n], f.b[r*p+q], f.g[q*n:(q+1)*n])
		}
	}
	return true
}

// solve turns v into (I − D·S)⁻¹·v.
func (f *floquet) solve(slopes []float64) bool {
	p := f.ports
	for r := range p {
		row := f.j[r*p : (r+1)*p]
		clear(row)
		row[r] = 1
		for q := range p {
			addTo(row, -f.d[r*p+q], slopes[q*p:(q+1)*p])
		}
	}
	return solveSmall(f.j, f.v, p)
}

// to goes through the step to a point.
func (f *floquet) to(point int) {
	_, seen, step := f.at(point)
	times(f.y, seen, f.z)
	times(f.next, step, f.z)
	f.z, f.next = f.next, f.z
}

// pushed is to, where the ports are given something besides. It says whether there is
// an answer.
func (f *floquet) pushed(point int, by float64, push []float64) bool {
	n, p := f.states, f.ports
	slopes, _, _ := f.at(point)
	f.to(point)
	times(f.v, f.d, push)
	if !f.solve(slopes) {
		return false
	}
	addTo(f.y, by, f.v)
	for q := range p {
		given := by * push[q]
		for r, v := range f.v {
			given += by * slopes[q*p+r] * v
		}
		for r := range n {
			f.z[r] += f.b[r*p+q] * given
		}
	}
	return true
}

// addTo adds by·row.
func addTo(to []float64, by float64, row []float64) {
	if by == 0 {
		return
	}
	row = row[:len(to)]
	for k := range to {
		to[k] += by * row[k]
	}
}

// times writes the product of a matrix, by rows, and a vector.
func times(to, m, x []float64) {
	n := len(x)
	for r := range to {
		row, sum := m[r*n:(r+1)*n], 0.0
		for k, v := range x {
			sum += row[k] * v
		}
		to[r] = sum
	}
}
