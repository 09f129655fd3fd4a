package export

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"

	"basswright/internal/study"
)

// compressionHead names the columns of CompressionCSV.
var compressionHead = []string{"drive_v_rms", "drive_db", "watts_cold", "after_s", "watts", "coil_c", "resistance_ratio", "loss_db"}

// CompressionCSV writes power compression, one row a drive and time, with nine
// significant digits. The end, which has no time, has none in its column.
func CompressionCSV(w io.Writer, c *study.Compression) error {
	out := csv.NewWriter(w)
	if err := out.Write(compressionHead); err != nil {
		return err
	}
	num := func(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }
	for _, p := range c.Points {
		row := func(at string, q study.Compressed) error {
			return out.Write([]string{num(p.Volts), num(p.Drive), num(p.Cold), at, num(q.Watts), num(q.Coil), num(q.Rise), num(q.Loss)})
		}
		for k, q := range p.After {
			if err := row(num(c.After[k]), q); err != nil {
				return err
			}
		}
		if err := row("", p.End); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

type compressedJSON struct {
	After *float64 `json:"after_s"` // null: in the end
	Watts float64  `json:"watts"`
	Coil  float64  `json:"coil_c"`
	Rise  float64  `json:"resistance_ratio"`
	Loss  float64  `json:"loss_db"`
}

type compressionPointJSON struct {
	Volts float64          `json:"drive_v_rms"`
	Drive float64          `json:"drive_db"`
	Cold  float64          `json:"watts_cold"`
	At    []compressedJSON `json:"moments"`
}

// CompressionJSON writes the same, drive by drive.
func CompressionJSON(w io.Writer, c *study.Compression) error {
	data := struct {
		Candidate string                 `json:"candidate"`
		Air       float64                `json:"air_c"`
		Drives    []compressionPointJSON `json:"drives"`
	}{c.Candidate.Name, c.Air, []compressionPointJSON{}}
	for _, p := range c.Points {
		j := compressionPointJSON{Volts: p.Volts, Drive: p.Drive, Cold: p.Cold}
		for k := range p.After {
			q := p.After[k]
			j.At = append(j.At, compressedJSON{&c.After[k], q.Watts, q.Coil, q.Rise, q.Loss})
		}
		q := p.End
		j.At = append(j.At, compressedJSON{nil, q.Watts, q.Coil, q.Rise, q.Loss})
		data.Drives = append(data.Drives, j)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(data)
}
