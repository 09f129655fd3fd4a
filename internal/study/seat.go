package study

import "basswright/internal/driver"

// How drivers stand in boxes and ducts is told by package driver; the names by which
// boxes are laid out here.
type (
	// Frame is a driver’s size as a body.
	Frame = driver.Frame
	// Seat is where a driver of a stack stands.
	Seat = driver.Seat
	// Row is the drivers of one position.
	Row = driver.Row
)

// Ledge is the thickness of the boards of the tube that carries an inner driver, m.
const Ledge = driver.Ledge

// FrameOf is a driver’s size.
func FrameOf(d *driver.Driver) Frame { return driver.FrameOf(d) }
