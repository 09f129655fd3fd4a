package filter

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
)

// The texts as a person finds them.
func TestCoefficientsAsText(t *testing.T) {
	c := must(t)(Join(must(t)(HighPass(Butterworth, 3, 25)), must(t)(Peak(40, 3, -6)), must(t)(Gain(-3)), must(t)(Delay(0.002))))
	d := digital(t, c, 48000)
	check.Golden(t, "testdata/coefficients.csv", d.CSV())
	text, err := d.JSON()
	if err != nil {
		t.Fatal(err)
	}
	check.Golden(t, "testdata/coefficients.json", string(text))
}

// What is read again are the same numbers, to the last bit, in both.
func TestCoefficientsReadAgain(t *testing.T) {
	for _, c := range []Chain{{}, must(t)(LowPass(Bessel, 7, 12345.6)), must(t)(HighPass(LinkwitzRiley, 8, 0.5))} {
		d := digital(t, c, 96000)
		text, err := d.JSON()
		if err != nil {
			t.Fatal(err)
		}
		var got struct {
			Equation string
			Rate     float64 `json:"rate_hz"`
			Sections []Biquad
		}
		if err := json.Unmarshal(text, &got); err != nil || got.Rate != 96000 || got.Sections == nil || len(got.Sections) != len(d.Biquads) {
			t.Fatalf("%+v, %v", got, err)
		}
		r := csv.NewReader(strings.NewReader(d.CSV()))
		r.Comment = '#'
		rows, err := r.ReadAll()
		if err != nil || len(rows) != len(d.Biquads)+1 || strings.Join(rows[0], " ") != "section b0 b1 b2 a1 a2" {
			t.Fatalf("%q, %v", rows, err)
		}
		for i, b := range d.Biquads {
			if got.Sections[i] != b {
				t.Errorf("JSON has %+v, want %+v", got.Sections[i], b)
			}
			for k, want := range []float64{float64(i + 1), b.B0, b.B1, b.B2, b.A1, b.A2} {
				if v, err := strconv.ParseFloat(rows[i+1][k], 64); err != nil || v != want {
					t.Errorf("CSV has %q, want %g", rows[i+1][k], want)
				}
			}
		}
	}
}

// The equation in the header is the one by which the signs are right: the first
// samples of a one, worked out from it by hand.
func TestTheSignsAreThoseOfTheHeader(t *testing.T) {
	d := digital(t, must(t)(LowPassQ(1000, 0.7)), 48000)
	if !strings.Contains(d.CSV(), "- a1*y[n-1] - a2*y[n-2], a0 = 1\n") {
		t.Fatal(d.CSV())
	}
	b := d.Biquads[0]
	y := [3]float64{b.B0, b.B1 - b.A1*b.B0, 0}
	y[2] = b.B2 - b.A1*y[1] - b.A2*y[0]
	block := []float64{1, 0, 0}
	d.Processor().Process(block)
	for n, want := range y {
		check.Near(t, "sample", block[n], want, 1e-18, "rounding")
	}
	if b.A1 >= 0 || b.A2 <= 0 { // a low corner: poles near z = 1
		t.Errorf("%+v", b)
	}
}

func TestCoefficientsThatNoConstructorMakes(t *testing.T) {
	d := Digital{Rate: 48000, Biquads: []Biquad{{B0: math.NaN()}}}
	if text, err := d.JSON(); err == nil {
		t.Errorf("wrote %s", text)
	}
}
