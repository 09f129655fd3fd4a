package curve

// Reach is how far, m, a curve is known on both sides of rest, at most upTo.
func (c *Curve) Reach(upTo float64) float64 {
	if from, to, bounded := c.Range(); bounded {
		return min(upTo, -from, to)
	}
	return upTo
}
