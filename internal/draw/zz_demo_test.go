package draw

import (
	"encoding/json"
	"os"
	"testing"
)

func TestZZDemo(t *testing.T) {
	b, err := os.ReadFile("/tmp/h2data.json")
	if err != nil {
		t.Skip()
	}
	var d map[string]any
	json.Unmarshal(b, &d)
	fl := func(v any) []float64 {
		var o []float64
		for _, x := range v.([]any) {
			o = append(o, x.(float64))
		}
		return o
	}
	f := fl(d["f"])
	var ser = func(key string) []Series {
		var out []Series
		for i, c := range d["candidates"].([]any) {
			m := c.(map[string]any)
			out = append(out, Series{Index: i, Name: m["name"].(string), X: f, Y: fl(m[key])})
		}
		return out
	}
	marks := []Mark{}
	for i, q := range []float64{48.5, 49.7, 47.0, 31.6} {
		marks = append(marks, Mark{i, q})
	}
	save := func(name string, s *Scene, mm float64, scale float64) {
		w, _ := os.Create("/tmp/h2out/" + name + ".svg")
		s.SVG(w, SVGOptions{WidthMM: mm})
		w.Close()
		w, _ = os.Create("/tmp/h2out/" + name + ".png")
		if err := s.PNG(w, scale); err != nil {
			t.Fatal(err)
		}
		w.Close()
		w, _ = os.Create("/tmp/h2out/" + name + ".pdf")
		if err := s.PDF(w, PDFOptions{WidthMM: mm}); err != nil {
			t.Fatal(err)
		}
		w.Close()
	}
	os.MkdirAll("/tmp/h2out", 0o755)
	lv := Plot{W: 453.54, H: 240, Size: 8, Stroke: 1.5, X: FrequencyAxis(10, 400), Series: ser("level"), Marks: marks, Labels: true,
		Goals: []Goal{{32, "asked: 32 Hz"}}, Note: "150 W in the coils, 1 m, half space; bar: −3 dB"}
	lv.Y = DecibelAxis("Sound pressure level in dB re 20 µPa", 45, lv.Series[0].Y, lv.Series[1].Y)
	lv.H = lv.HeightFor(50)
	s := NewScene(lv.W, lv.H, Page())
	s.Title = "Level"
	s.Desc = "Four"
	lv.Draw(s, 0, 0)
	save("page", s, 160, 3)
	for _, th := range []Theme{Slide(), Overlay()} {
		p := lv
		p.W, p.H, p.Size, p.Stroke = 1600-80, 900-60, 27, 5
		p = p.FitLevels("Sound pressure level in dB re 20 µPa", 50)
		s := NewScene(1600, 900, th)
		s.Title = "Level"
		p.Draw(s, 40, 30)
		save(th.Name, s, 0, 1)
	}
	// small ones
	s = NewScene(700, 640, Page())
	s.Title = "small"
	ex := Plot{W: 340, H: 170, Size: 11, Stroke: 1.6, X: XAxis{From: 10, To: 400}, Series: ser("excursion"), Labels: true, Limits: []Limit{{At: 12, From: 20, Label: "12 mm"}}}
	ex.Y = RiseAxis("", []float64{12}, ex.Series[0].Y, ex.Series[3].Y)
	ex.Draw(s, 0, 0)
	im := Plot{W: 340, H: 170, Size: 11, Stroke: 1.6, X: XAxis{From: 10, To: 400}, Series: ser("impedance"), Labels: true, Limits: []Limit{{At: 2, Side: Below}}}
	var ys [][]float64
	for _, e := range im.Series {
		ys = append(ys, e.Y)
	}
	im.Y = LogAxis("Impedance in Ω", []float64{1.5}, ys...)
	im.Draw(s, 355, 0)
	gd := Plot{W: 700, H: 200, Size: 12, Stroke: 1.6, X: XAxis{From: 10, To: 400, Name: "Frequency in Hz"}, Series: ser("delay"), Labels: true, Limits: []Limit{{At: 25, From: 20, Label: "limit 25 ms"}}, Note: "without the flight over 1 m"}
	gd.Y = RiseAxis("Group delay in ms", []float64{25}, gd.Series[3].Y)
	gd.Draw(s, 0, 190)
	// wide, bandpass-like, eight curves, gap
	wide := Plot{W: 700, H: 220, Size: 12, X: FrequencyAxis(20, 20000), Labels: true, Goals: []Goal{{15000, "asked: 15 kHz"}}, Note: "eight"}
	for k := 0; k < 8; k++ {
		var x, y []float64
		for _, t := range Thirds(20, 20000) {
			x = append(x, t.F)
			v := 90 - float64(k)*1.5 - (t.F/1000)*float64(k)
			if k == 2 && t.F == 1000 {
				v = nan()
			}
			y = append(y, v)
		}
		wide.Series = append(wide.Series, Series{Index: k, Name: []string{"heron-8 one", "merlin-10", "pair", "wren-6 in a very long named bandpass box", "e", "f", "g", "h"}[k], X: x, Y: y})
	}
	wide.Y = DecibelAxis("dB", 50, wide.Series[0].Y)
	wide.Draw(s, 0, 400)
	save("small", s, 0, 2)
}
