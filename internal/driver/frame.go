package driver

import "math"

// Frame is a driver's size as a body, m: from its sheet, or from its cone by
// the proportions of common woofers (common practice, no source).
type Frame struct {
	Flange, Cutout  float64 // diameters
	FlangeThickness float64
	Depth           float64 // behind the flange's mounting face
	Cone, Surround  float64 // radii of the cone's edge and of the surround's
	Coil, Magnet    float64 // radii
	Guessed         bool    // depth or flange are not from the sheet
}

// FrameOf is a driver's size.
func FrameOf(d *Driver) Frame {
	a := math.Sqrt(d.Sd / math.Pi)
	f := Frame{
		Flange: 2.5 * a, Cutout: 2.22 * a, FlangeThickness: 7e-3, Depth: 1.26 * a,
		Cone: 0.92 * a, Surround: 1.09 * a, Coil: 0.24 * a, Magnet: 0.71 * a,
	}
	s := d.Data
	f.Guessed = s.Flange == 0 || s.MountingDepth == 0
	for _, x := range []struct {
		to    *float64
		given float64
	}{
		{&f.Flange, s.Flange}, {&f.Cutout, s.Cutout}, {&f.FlangeThickness, s.FlangeThickness}, {&f.Depth, s.MountingDepth},
		{&f.Coil, s.CoilDiameter / 2}, {&f.Magnet, s.MagnetDiameter / 2},
	} {
		if x.given > 0 {
			*x.to = x.given
		}
	}
	f.Cutout = math.Min(f.Cutout, 0.97*f.Flange)
	f.Surround = math.Min(f.Surround, f.Cutout/2)
	f.Cone = math.Min(f.Cone, 0.9*f.Surround)
	f.Magnet = math.Min(f.Magnet, 0.48*f.Cutout)
	f.Coil = math.Min(f.Coil, 0.45*f.Magnet)
	return f
}

// BodyVolume is what a driver's body takes from the air behind its flange, m³:
// its displacement as given, or estimated as the hollow of the cone, which
// belongs to the front, and the magnet (a cylinder of two fifths of the depth).
func BodyVolume(d *Driver) (volume float64, estimated bool) {
	if d.Data.Displacement > 0 {
		return d.Data.Displacement, false
	}
	f := FrameOf(d)
	return Hollow(d) + Disc(f.Magnet)*0.4*f.Depth, true
}

// Hollow is the air in a cone before its flange, m³: a frustum from the
// surround to the coil, two fifths of the depth high.
func Hollow(d *Driver) float64 {
	f := FrameOf(d)
	return math.Pi / 3 * 0.4 * f.Depth * (f.Surround*f.Surround + f.Surround*f.Coil + f.Coil*f.Coil)
}
