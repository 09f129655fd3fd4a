package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
)

func svg(t testing.TB, s *Scene, o SVGOptions) string {
	t.Helper()
	var b bytes.Buffer
	if err := s.SVG(&b, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// elements reads SVG as XML, which fails on anything that is not well formed, and gives each start tag's attributes.
func elements(t testing.TB, doc string) []xml.StartElement {
	t.Helper()
	var out []xml.StartElement
	d := xmlDecoder(doc)
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, doc)
		}
		if e, ok := tok.(xml.StartElement); ok {
			out = append(out, e.Copy())
		}
	}
}

func xmlDecoder(doc string) *xml.Decoder { return xml.NewDecoder(strings.NewReader(doc)) }

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// birds is the plot of the tests: three invented candidates over three decades, 100 units to the decade.
// one rises by 12 dB/octave to 90 dB; two lies 6 dB below it; three leaves the frame downwards at 200 Hz.
func birds() Plot {
	p := Plot{
		W: 400, H: 160, Margin: &Margin{Left: 40, Right: 60, Top: 10, Bottom: 50},
		Size: 10, X: FrequencyAxis(10, 10000), Labels: true,
		Goals: []Goal{{At: 1000, Label: "asked: 1 kHz"}},
		Marks: []Mark{{Index: 0, At: 100}},
		Note:  "1 W, 1 m",
		Limits: []Limit{
			{At: 95, From: 100, Label: "limit"},
		},
	}
	p.Y = YAxis{Lo: 50, Hi: 100, Ticks: []float64{50, 60, 70, 80, 90, 100}, Name: "Level in dB"}
	var x, one, two, three []float64
	for _, f := range Thirds(10, 10000) {
		x = append(x, f.F)
		v := min(90, 90+40*math.Log10(f.F/100))
		one = append(one, v)
		two = append(two, v-6)
		three = append(three, 84-40*math.Max(0, math.Log10(f.F/31.5)))
	}
	p.Series = []Series{
		{Index: 0, Name: "one", X: x, Y: one},
		{Index: 1, Name: "pair", X: x, Y: two},
		{Index: 2, Name: "boxed & tuned", X: x, Y: three},
	}
	return p
}

func birdScene(th Theme) *Scene {
	p := birds()
	s := NewScene(p.W, p.H, th)
	s.Title, s.Desc = "Level of three candidates", "At 1 W < 10 W; µ Ω −"
	p.Draw(s, 0, 0)
	return s
}

// themeNames are those that ThemeNamed knows.
var themeNames = []string{"page", "slide", "overlay", "screen"}
