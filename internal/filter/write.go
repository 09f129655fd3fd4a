package filter

import (
	"encoding/json"
	"strconv"
	"strings"
)

// What the signs of the coefficients mean, for people and in letters that every
// program reads.
const (
	equation   = "y[n] = b0*x[n] + b1*x[n-1] + b2*x[n-2] - a1*y[n-1] - a2*y[n-2], a0 = 1"
	convention = "a1 and a2 are subtracted; a processor that adds them needs both with the other sign"
)

// CSV is the coefficients as text: lines that begin with # and say what the
// signs of a1 and a2 mean, the rate and the delay, a header row, then a row for
// each biquad in the order of the signal. Numbers have as many digits as give the
// same number when they are read. Where the names of the filters are known, they
// are the last column.
func (d *Digital) CSV() string {
	var b strings.Builder
	b.WriteString("# " + equation + "\n# " + convention + "\n")
	b.WriteString("# rate " + number(d.Rate) + " Hz, delay " + strconv.Itoa(d.Delay) + " samples after the sections\n")
	head := "section,b0,b1,b2,a1,a2"
	if d.Names != nil {
		head += ",filter"
	}
	b.WriteString(head + "\n")
	for i, q := range d.Biquads {
		b.WriteString(strconv.Itoa(i + 1))
		for _, v := range []float64{q.B0, q.B1, q.B2, q.A1, q.A2} {
			b.WriteString("," + number(v))
		}
		if d.Names != nil {
			b.WriteString("," + quoted(d.Names[i]))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// quoted is a text as a field of CSV.
func quoted(s string) string {
	if !strings.ContainsAny(s, ",\"\r\n") {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// section is a biquad and the filter that it is part of.
type section struct {
	Filter string `json:"filter,omitempty"`
	Biquad
}

// JSON is the same as CSV as one object. The error is that of a value that no
// constructor makes: a coefficient that is not finite.
func (d *Digital) JSON() ([]byte, error) {
	sections := []section{} // [], not null
	for i, q := range d.Biquads {
		s := section{Biquad: q}
		if d.Names != nil {
			s.Filter = d.Names[i]
		}
		sections = append(sections, s)
	}
	text, err := json.MarshalIndent(struct {
		Equation   string    `json:"equation"`
		Convention string    `json:"convention"`
		Rate       float64   `json:"rate_hz"`
		Delay      int       `json:"delay_samples"`
		Sections   []section `json:"sections"`
	}{equation, convention, d.Rate, d.Delay, sections}, "", " ")
	if err != nil {
		return nil, err
	}
	return append(text, '\n'), nil
}
