package web

import (
	"math"
	"strconv"

	"basswright/internal/phys"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// Drive is what every candidate gets, as it can be turned up and down.
type Drive struct {
	Path  string  `json:"path" doc:"of the field that sets it; empty if it is all that the amplifier gives"`
	Value float64 `json:"value" doc:"in unit"`
	Unit  string  `json:"unit" doc:"as written"`
	PerDB float64 `json:"per_db" doc:"by how much the value grows for one decibel"`
	First int     `json:"first" doc:"index of the candidate that gives first of all; -1 if none is known to"`
}

// Gives is what gives first as a candidate is turned up, and where.
type Gives struct {
	Words   string             `json:"words" doc:"excursion at 75.6 W; empty if no limit is known"`
	At      string             `json:"at" doc:"where it gives: 42.1 Hz"`
	Gain    Num                `json:"gain" doc:"dB from the drive to there"`
	Changes []studyfile.Change `json:"changes" nullable:"false" doc:"what sets the drive to it; empty if no drive does"`
}

// drivePaths are the fields of a drive, with the units in which they are written.
var drivePaths = map[study.DriveKind][2]string{
	study.DriveVoltage:        {"drive.voltage", "V"},
	study.DrivePower:          {"drive.power", "W"},
	study.DrivePowerPerDriver: {"drive.power_per_driver", "W"},
}

// drive is the drive of a result.
func drive(r *study.Result) Drive {
	d := r.Study.Drive
	p := drivePaths[d.Kind]
	return Drive{Path: p[0], Unit: p[1], Value: d.Value, PerDB: d.PerDecibel(), First: r.LoudestOfAll()}
}

// gives is what of a candidate gives first.
func gives(r *study.Result, o *study.Outcome) Gives {
	out := Gives{Changes: []studyfile.Change{}}
	f := o.Figures.First
	if f == nil {
		return out
	}
	out.Words, out.At = report.FirstWords(f, r.Study.Units), phys.Show(f.At, phys.Frequency, r.Study.Units)
	if l, ok := r.Study.Louder(o); ok {
		out.Gain, out.Changes = num(l.Gain), turned(r.Study, l.Drive)
	}
	return out
}

// turned are the changes of the file that set a drive.
func turned(st *study.Study, d study.Drive) []studyfile.Change {
	p := drivePaths[d.Kind]
	value := driveText(d.Value) + " " + p[1]
	if st.Drive.Kind == study.DriveAmplifierFull { // one takes the place of the other
		return []studyfile.Change{{Do: "remove", Path: "drive.amplifier"}, {Do: "set", Path: p[0], Value: value}}
	}
	return []studyfile.Change{{Do: "set", Path: p[0], Value: value}}
}

// driveText writes a drive in four digits, never more than it is: what holds every
// limit still does when it is written down.
func driveText(v float64) string {
	digits := 3 - int(math.Floor(math.Log10(v)))
	unit := math.Pow(10, float64(digits))
	return strconv.FormatFloat(math.Floor(v*unit*(1+1e-12))/unit, 'f', max(0, digits), 64)
}
