package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// chambers clears what a horn has before its duct, beside the first leg, with the way from
// it to the throat.
func (f *folded) chambers() {
	if f.block == 0 {
		return
	}
	t := f.box.t
	throat, rear := 1e3*f.fold.Throat, 1e3*f.fold.Rear
	ink := draw.Style{Fill: draw.Paper, Stroke: draw.Ink, Width: f.thick}
	if throat > 0 {
		f.s.Path(f.rect(0, throat, -t, -f.block), ink)
		f.through(math.Min(2*f.half(0, 0), throat))
	}
	if rear > 0 {
		from := 0.0
		if throat > 0 {
			from = throat + t
		}
		f.s.Path(f.rect(from, from+rear, -t, -f.block), ink)
	}
	f.closed(f.sys.Spec.Line.Throat.Volume, f.fold.Throat, "throat")
	f.closed(f.sys.Spec.Rear.Volume, f.fold.Rear, "rear")
}

// through opens the board between the block and the first leg from its start.
func (f *folded) through(wide float64) {
	over := f.thick / f.k
	f.s.Path(f.rect(over, wide-over, -f.box.t-2*over, 1e3*f.fold.Legs[0].Axis-f.half(0, 0)+2*over), draw.Style{Fill: draw.Paper})
}

// closed says how much of a chamber is to be closed off, because its drivers ask for more
// room than its air.
func (f *folded) closed(air, long float64, name string) {
	if long == 0 || f.sys.Spec.Kind == enclosure.FrontLoadedHorn && air == 0 {
		return
	}
	before, behind := f.sys.Bodies()
	bodies := behind
	if name == "throat" && f.sys.Spec.Kind == enclosure.FrontLoadedHorn {
		bodies = before
	}
	room := long * (f.fold.Block - f.box.t/1e3) * (f.fold.Deep - 2*f.box.t/1e3)
	if spare := room - air - bodies; spare > 0.02*room {
		f.say("the "+name+" chamber is as large as its drivers ask, with "+phys.Show(spare, phys.Volume, f.o.Units)+" of it to be closed off", draw.Soft)
	}
}

// inBlock draws the drivers in the chambers beside the first leg.
func (f *folded) inBlock(row study.Row, members []driver.Member) {
	t := f.box.t
	r := 500 * row.Seats[0].Frame.Cutout
	at := 500 * math.Max(row.Outside(), row.Seats[0].Frame.Flange) // where the first of several stands
	if f.sys.Group.SideBySide() == 1 && f.sys.Spec.Kind == enclosure.BackLoadedHorn {
		at = 500 * f.fold.Throat
	}
	hole := func(y0, y1 float64) {
		f.s.Path(new(draw.Path).Box(f.x(at-r), f.line.y(math.Min(y0, y1)), 2*r*f.k, math.Abs(y1-y0)*f.k), draw.Style{Fill: draw.Paper})
	}
	middle := (f.y(-(t+f.block)/2) - f.y0) / f.k // mm on the page
	leg := f.oy + f.total                        // where the board towards the first leg begins
	switch {
	case f.fold.Out == study.AboveLegs:
		f.above(middle, at)
		f.say("in the fold the drivers stand in "+f.wall()+" the throat chamber", draw.Soft)
	case f.sys.Spec.Kind == enclosure.BackLoadedHorn:
		outer := leg + f.block + t
		hole(outer-t-1, outer+1)
		f.stackFrom(stand{f.ox + at, outer, 1, f.ox, leg + t, 0}, row, members)
	case f.fold.Throat == 0: // out of the rear chamber, up into the start of the duct
		hole(f.axisOnPage(0)+f.half(0, at), leg+t+1)
		f.stackFrom(stand{f.ox + at, leg, -1, f.ox, leg + f.block, 0}, row, members)
	default:
		line, body := *f.line, *f.line.body
		body.Outward = -1
		line.body, line.axis = &body, middle
		board := f.ox + 1e3*f.fold.Throat
		f.s.Path(new(draw.Path).Box(f.line.x(board-1), f.line.y(middle-r), (t+2)*f.k, 2*r*f.k), draw.Style{Fill: draw.Paper})
		line.along(board, row, members)
	}
}
