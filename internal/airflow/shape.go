package airflow

// Ending is what the shape of one end makes of a port, as whoever reckons the
// port’s mass and room needs it.
type Ending struct {
	Axial float64 // m, the part of the port’s length that the end’s flare takes
	Mass  float64 // m of bore with the same mass of air as the flare and the air outside it
	Room  float64 // m³ of air in the flare
}

// Ends are the two ends of a port: what Least reckons its length with.
func (p Port) Ends() (inner, outer Ending) {
	of := func(s stream) Ending { return Ending{s.axial, s.mass, s.room} }
	return of(p.inner), of(p.outer)
}

// Section is the bore.
func (p Port) Section() Section { return p.section }
