package report

import (
	"basswright/internal/phys"
	"basswright/internal/study"
)

// channelJSON is what one channel of the amplifier meets, from the limits' lower
// edge up; volts, amperes and watts on the study's drive.
type channelJSON struct {
	Drivers   []string   `json:"drivers"`
	LowestZ   phys.Maybe `json:"lowest_impedance_ohm"`
	LowestZAt phys.Maybe `json:"lowest_impedance_at_hz"`
	Volts     phys.Maybe `json:"most_v"`
	Amps      phys.Maybe `json:"most_a"`
	AmpsAt    phys.Maybe `json:"most_a_at_hz"`
	Watts     phys.Maybe `json:"most_w"`
	WattsAt   phys.Maybe `json:"most_w_at_hz"`
}

func channelsJSON(f *study.ChainFigures) []channelJSON {
	if f == nil {
		return nil
	}
	var out []channelJSON
	for _, c := range f.Channels {
		out = append(out, channelJSON{c.Drivers, c.LowestZ.Value, c.LowestZ.At, c.Volts, c.Amps.Value, c.Amps.At, c.Watts.Value, c.Watts.At})
	}
	return out
}
