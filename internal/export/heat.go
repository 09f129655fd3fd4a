package export

import (
	"encoding/csv"
	"io"
	"strconv"

	"basswright/internal/study"
)

// HeatCSV writes how coils warm up, one row a moment, with nine significant
// digits. The steady state, where there is one, is not in it: it has no time.
func HeatCSV(w io.Writer, c *study.HeatCourse) error {
	out := csv.NewWriter(w)
	head := []string{"time_s", "watts", "loss_db", "resting"}
	for _, d := range c.Drivers {
		head = append(head, "coil_c."+d, "magnet_c."+d)
	}
	if err := out.Write(head); err != nil {
		return err
	}
	num := func(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }
	for _, p := range c.Points {
		line := []string{num(p.At), num(p.Watts), num(p.Loss), strconv.FormatBool(p.Resting)}
		for k := range c.Drivers {
			line = append(line, num(p.Coil[k]), num(p.Magnet[k]))
		}
		if err := out.Write(line); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}
