package large

// Pressure is the sound pressure in chamber k after the last step, Pa.
func (c *Course) Pressure(k int) float64 { return c.s.Potential(c.m.Sys.Chambers[k].Node) }

// ChannelCurrent is the current that channel k of the source gives after the last
// step, A.
func (c *Course) ChannelCurrent(k int) float64 {
	var i float64
	for _, id := range c.m.Sys.Channels[k].Feeds() {
		i += c.s.Flow(id)
	}
	return i
}
