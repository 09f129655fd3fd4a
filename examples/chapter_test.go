package examples_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"basswright/examples"
	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// told evaluates a study of the examples, changed by pairs of old and new text.
func told(t *testing.T, name string, change ...string) map[string]*study.Outcome {
	t.Helper()
	text := string(examples.All()[name])
	for i := 0; i < len(change); i += 2 {
		if !strings.Contains(text, change[i]) {
			t.Fatalf("%s has no %q", name, change[i])
		}
		text = strings.ReplaceAll(text, change[i], change[i+1])
	}
	st, err := studyfile.Parse([]byte(text), name+".yaml")
	if err != nil {
		t.Fatal(err)
	}
	res, err := study.Evaluate(context.Background(), st, study.Options{Points: 400})
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*study.Outcome{}
	for _, o := range res.Candidates {
		out[o.Candidate.Name] = o
	}
	return out
}

func show(v phys.Maybe, k phys.Kind) string { return phys.Show(float64(v), k, phys.Metric) }

// extremes are those of the level between two frequencies, dB.
func extremes(o *study.Outcome, from, to float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for i, f := range o.Curves.Frequency {
		if f >= from && f <= to {
			least, most = math.Min(least, o.Curves.SPL[i]), math.Max(most, o.Curves.SPL[i])
		}
	}
	return least, most
}

// greatest is what a candidate gives at most at a frequency, dB.
func greatest(f *study.Figures, hz float64) phys.Maybe {
	for _, g := range f.Greatest {
		if g.Frequency == hz {
			return phys.Maybe(g.Level)
		}
	}
	return phys.Maybe(math.NaN())
}

// Every figure of the chapter on ducts is one that the examples give: levels, F3, group
// delays, lengths, what fits and by how much not.
func TestChapterOnDuctsTellsItsExamples(t *testing.T) {
	page, err := os.ReadFile("../docs/ducts.md")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(page)), " ") // thin spaces are spaces too
	says := func(format string, a ...any) {
		t.Helper()
		if want := strings.Join(strings.Fields(fmt.Sprintf(format, a...)), " "); !strings.Contains(text, want) {
			t.Errorf("docs/ducts.md does not say: %s", want)
		}
	}
	row := func(name string, outcomes []*study.Outcome, cell func(f *study.Figures) string) {
		t.Helper()
		for _, o := range outcomes {
			name += " | " + cell(&o.Figures)
		}
		says("| %s |", name)
	}

	rope := told(t, "rope-walk")
	full, half, vented := rope["full"], rope["half"], rope["vented"]
	three := []*study.Outcome{full, half, vented}
	row("net air", three, func(f *study.Figures) string { return show(f.NetVolume, phys.Volume) })
	row("F3", three, func(f *study.Figures) string { return show(f.F3, phys.Frequency) })
	row("level at 40 Hz, on 9 V", three, func(f *study.Figures) string { return show(f.LevelAsked, phys.Level) })
	row("longest group delay", three, func(f *study.Figures) string { return show(f.GroupDelay.Value, phys.Time) })
	row("excursion", three, func(f *study.Figures) string { return show(f.Excursion.Value, phys.Length) })
	row("load, lowest", three, func(f *study.Figures) string { return show(f.LowestZ.Value, phys.Resistance) })
	row("power drawn, the most", three, func(f *study.Figures) string { return show(phys.Maybe(f.TotalPower), phys.Power) })
	row("woofers", three, func(f *study.Figures) string { return fmt.Sprintf("%.0f EUR", f.Price) })
	f, h, v := &full.Figures, &half.Figures, &vented.Figures
	line := half.System.Facts.Line
	says("Here F3 moves by %.1f Hz", h.F3-f.F3)
	says("which takes %.0f mm more duct", 1e3*(line.Length-full.System.Facts.Line.Length))
	says("a group delay that is %s shorter, air in the mouth that moves at %s instead of %s,", show(v.GroupDelay.Value-h.GroupDelay.Value, phys.Time),
		show(h.PortSpeed.Value, phys.Speed), show(v.PortSpeed.Value, phys.Speed))
	frame := checked(t, half, study.CheckDuctFrame)
	says("magnet and the air behind it need %.0f mm, and the half line is %.0f mm deep", 1e3*frame.Value, 1e3*frame.Limit)
	says("two legs into its space")
	if fold := half.Body.Fold; !fold.Fits || len(fold.Legs) != 2 || len(full.Misses) != 1 || full.Misses[0].Check != study.CheckDuctAir || len(half.Misses) != 0 {
		t.Errorf("the half line is folded in %d legs, fits %v; the full one misses %v, the half one %v", len(fold.Legs), fold.Fits, full.Misses, half.Misses)
	}

	const fill = "      fill: {material: polyester, packing: 12 kg/m3, from: 0 m, to: 0.8 m}\n"
	for _, c := range []struct {
		name   string
		change []string
	}{
		{"as it is", nil},
		{"cone at the closed end", []string{"driver_at: quiet", "driver_at: 0 m"}},
		{"no fill", []string{fill, ""}},
		{"neither", []string{"driver_at: quiet", "driver_at: 0 m", fill, ""}},
	} {
		o := told(t, "rope-walk", c.change...)["half"]
		least, most := extremes(o, 40, 180) // to 1 dB: they are narrow
		says("| %s | %.0f dB | %.0f dB |", c.name, least, most)
	}
	says("here at %s of %s", phys.Show(half.System.Spec.Line.Driver, phys.Distance, phys.Metric), phys.Show(line.Length, phys.Distance, phys.Metric))
	says("the upper F3 is %s", show(h.F3High, phys.Frequency))
	c := half.System.Setting.Air.C
	says("the line is %s long and not the %s of c/4f", phys.Show(line.Length, phys.Distance, phys.Metric), phys.Show(c/(4*36), phys.Distance, phys.Metric))
	says("to %s in this fill at 36 Hz", step(t, half, "Sound in the fill", phys.Speed))
	all := told(t, "rope-walk", ", from: 0 m, to: 0.8 m", "")["half"]
	says("F3 goes from %s to %s", show(h.F3, phys.Frequency), show(all.Figures.F3, phys.Frequency))

	quay := told(t, "ferry-quay")
	single, stack, narrow := &quay["single"].Figures, quay["stack"], quay["narrow"]
	says("%s instead of %s, at the same F3 of %.0f Hz and a level of %s instead of %s at 45 Hz", show(stack.Figures.NetVolume, phys.Volume), show(single.NetVolume, phys.Volume),
		stack.Figures.F3, show(stack.Figures.LevelAsked, phys.Level), show(single.LevelAsked, phys.Level))
	fits := checked(t, stack, study.CheckDuctFrame)
	says("| `stack` | %.0f mm | fits, with %.0f mm to spare |", 1e3*fits.Limit, 1e3*(fits.Limit-float64(fits.Value)))
	if len(stack.Misses) != 0 || len(narrow.Misses) != 1 {
		t.Fatalf("the stack misses %v, the narrow one %v", stack.Misses, narrow.Misses)
	}
	says("| `narrow` | %.0f mm | %s |", 1e3*checked(t, narrow, study.CheckDuctFrame).Limit, narrow.Misses[0].Text)
	says("a peak of %s is left at %s", show(stack.Figures.PeakLevel.Value, phys.Level), show(stack.Figures.PeakLevel.At, phys.Frequency))
	plain := &quay["vented"].Figures
	says("The longest group delay is %s, that of the vented box %s", show(stack.Figures.GroupDelay.Value, phys.Time), show(plain.GroupDelay.Value, phys.Time))
	says("gives %s more at 40 Hz and %s more at 80 Hz", show(greatest(&stack.Figures, 40)-greatest(plain, 40), phys.Level), show(greatest(&stack.Figures, 80)-greatest(plain, 80), phys.Level))
	if plain.F3-stack.Figures.F3 > 2 || plain.F3 < stack.Figures.F3-2 {
		t.Errorf("F3 of the stack %g Hz, of the vented box %g Hz", stack.Figures.F3, plain.F3)
	}

	stair := told(t, "tower-stair")
	horn, box := stair["horn"], stair["vented"]
	three = []*study.Outcome{horn, box, stair["closed"]}
	row("net air", three, func(f *study.Figures) string { return show(f.NetVolume, phys.Volume) })
	row("F3", three, func(f *study.Figures) string { return show(f.F3, phys.Frequency) })
	row("level at 50 Hz, on 9 V", three, func(f *study.Figures) string { return show(f.LevelAsked, phys.Level) })
	for _, hz := range []float64{50, 80} {
		row(fmt.Sprintf("greatest level at %g Hz", hz), three, func(f *study.Figures) string { return show(greatest(f, hz), phys.Level) })
	}
	says("%s at 50 Hz and %s at 80 Hz over the vented box", show(greatest(&horn.Figures, 50)-greatest(&box.Figures, 50), phys.Level),
		show(greatest(&horn.Figures, 80)-greatest(&box.Figures, 80), phys.Level))
	flare := horn.System.Facts.Line
	says("this mouth reaches it at %.0f Hz", flare.Cutoff/flare.MouthKa)
	says("Its cut-off is %s, but the mouth of %s has a ka of %s there", phys.Show(flare.Cutoff, phys.Frequency, phys.Metric), phys.Show(flare.Mouth, phys.Area, phys.Metric), phys.Digits(flare.MouthKa, 3))

	wide, deep := half.System.Section(0)
	says("that is %.0f mm of %s: %.0f %% of the tuning", 2e3*deep, phys.Show(line.Length, phys.Distance, phys.Metric), 200*deep/line.Length)
	across, _ := horn.System.Section(0)
	says("%.0f Hz for the %.0f mm of the line, %.0f Hz for the %.0f mm of the horn", c/(2*wide), 1e3*wide, c/(2*across), 1e3*across)
	speed := speedAt(half, 40) * math.Pow(10, (float64(greatest(h, 40))-float64(h.LevelAsked))/20)
	says("the half line has %s in its mouth, which makes %.1f %% at 40 Hz", phys.Show(speed, phys.Speed, phys.Metric), 100*0.6*2*math.Pi*40/c*line.Length*speed/c)
}

// checked is a check of a candidate by its name.
func checked(t *testing.T, o *study.Outcome, id study.CheckID) study.Check {
	t.Helper()
	for _, k := range o.Checks {
		if k.ID == id {
			return k
		}
	}
	t.Fatalf("%s has no check %s", o.Candidate.Name, id)
	return study.Check{}
}

// step is a figure of the box’s ledger.
func step(t *testing.T, o *study.Outcome, name string, k phys.Kind) string {
	t.Helper()
	for _, s := range o.BoxLedger {
		if s.Name == name {
			return show(s.Value, k)
		}
	}
	t.Fatalf("%s has no %s", o.Candidate.Name, name)
	return ""
}

// speedAt is the peak speed of the air in the mouth, m/s, at the curves’ point next to a
// frequency.
func speedAt(o *study.Outcome, hz float64) float64 {
	best := 0
	for i, f := range o.Curves.Frequency {
		if math.Abs(f-hz) < math.Abs(o.Curves.Frequency[best]-hz) {
			best = i
		}
	}
	return math.Sqrt2 * o.Curves.SpeedMax[best]
}
