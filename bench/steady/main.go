// Command steady times one steady state of a vented box under a sine, with
// curves of its driver and adiabatic air: by harmonic balance, with what it takes
// to prepare the frequency, and by ngspice's transient of the exported netlist
// until it has come to rest, in one run on one core each. It prints both, and how
// far apart the states are. ngspice's start-up, reading and printing are taken
// out by subtracting a run over few periods. Of each the fastest run counts, because
// other work on a machine only ever adds.
package main

import (
	"bytes"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"time"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/export"
	"basswright/internal/large"
	"basswright/internal/phys"
)

// The state that is asked for.
const (
	frequency = 40.0 // Hz
	volts     = 15.0
	few       = 3 // periods of the run that is subtracted
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
}

func run() error {
	m, err := ventedBox()
	if err != nil {
		return err
	}
	ours, tone, err := balanced(m)
	if err != nil {
		return err
	}
	fmt.Printf("basswright                          %8.1f µs, %d harmonics\n", 1e6*ours.Seconds(), tone.Harmonics())
	p := tone.Pressure()
	for _, steps := range []int{export.UsualSteps, export.UsualSteps / 4} {
		theirs, lines, err := followed(m, steps)
		if err != nil {
			return err
		}
		worst := 0.0
		for n, a := range lines {
			worst = math.Max(worst, math.Abs(a-cmplx.Abs(p.Of[n]))/cmplx.Abs(p.Of[0]))
		}
		fmt.Printf("ngspice with %3d steps a period     %8.1f µs, ratio %.0f, lines off by at most %.1g of the fundamental\n", steps, 1e6*theirs.Seconds(), theirs.Seconds()/ours.Seconds(), worst)
	}
	return nil
}

func ventedBox() (*large.Model, error) {
	bl, err1 := curve.Polynomial([]float64{10.2, -60, -2.4e4, 0, 2e7})
	k, err2 := curve.Polynomial([]float64{1280, 0, 3e6})
	le, err3 := curve.Polynomial([]float64{0.9e-3, -0.025, -0.5})
	for _, err := range []error{err1, err2, err3} {
		if err != nil {
			return nil, err
		}
	}
	d := &driver.Driver{
		Name: "heron-8", Re: 5.6, Bl: 10.2, Mms: 0.0385, Cms: 0.78e-3, Rms: 1.9, Sd: 0.022, Coil: driver.VoiceCoil{Le: 0.9e-3}, Coils: driver.Coils{Count: 1},
		Curves: &driver.Curves{Bl: bl, Kms: k, Le: le},
	}
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
	if err != nil {
		return nil, err
	}
	box := enclosure.Chamber{Volume: 0.04, Tuning: 30, Losses: enclosure.Losses{Leakage: enclosure.Loss{State: enclosure.LossGiven, Q: 7}}}
	sys, _, err := enclosure.Build(g, enclosure.Spec{Kind: enclosure.Vented, Rear: box}, enclosure.Setting{Air: phys.StandardAir(), Space: 2 * math.Pi, Distance: 1, BareAir: true})
	if err != nil {
		return nil, err
	}
	return large.New(sys, large.Options{}), nil
}

// balanced is the fastest of fifteen rounds of a hundred steady states.
func balanced(m *large.Model) (best time.Duration, tone *large.Tone, err error) {
	const states = 100
	for round := range 15 {
		start := time.Now()
		for range states {
			if tone, err = m.Steady(frequency, volts); err != nil {
				return 0, nil, err
			}
		}
		if d := time.Since(start) / states; round == 0 || d < best {
			best = d
		}
	}
	return best, tone, nil
}

// followed is how much longer the transient until it is at rest takes than a short
// one, each the fastest of ten, and the lines of the pressure that it came to, Pa.
func followed(m *large.Model, steps int) (time.Duration, []float64, error) {
	short, _, err := fastest(m, steps, few)
	if err != nil {
		return 0, nil, err
	}
	whole, out, err := fastest(m, steps, 0)
	if err != nil {
		return 0, nil, err
	}
	var lines []float64
	for _, p := range regexp.MustCompile(`(?m)^p_h\d_pa = (\S+)$`).FindAllSubmatch(out, -1) {
		v, err := strconv.ParseFloat(string(p[1]), 64)
		if err != nil {
			return 0, nil, err
		}
		lines = append(lines, v)
	}
	if len(lines) == 0 {
		return 0, nil, fmt.Errorf("ngspice printed no lines:\n%s", out)
	}
	return whole - short, lines, nil
}

func fastest(m *large.Model, steps, periods int) (best time.Duration, out []byte, err error) {
	for round := range 10 {
		var d time.Duration
		if d, out, err = ngspice(m, steps, periods); err != nil {
			return 0, nil, err
		}
		if round == 0 || d < best {
			best = d
		}
	}
	return best, out, nil
}

// ngspice runs the exported netlist over a number of periods, 0 until it has come to rest.
func ngspice(m *large.Model, steps, periods int) (time.Duration, []byte, error) {
	var net bytes.Buffer
	if _, err := export.Transient(&net, m, export.TransientOptions{Title: "vented box", Frequency: frequency, Volts: volts, Steps: steps, Periods: periods}); err != nil {
		return 0, nil, err
	}
	dir, err := os.MkdirTemp("", "steady")
	if err != nil {
		return 0, nil, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "net.cir")
	if err := os.WriteFile(file, net.Bytes(), 0o644); err != nil {
		return 0, nil, err
	}
	start := time.Now()
	out, err := exec.Command("ngspice", "-b", file).CombinedOutput()
	took := time.Since(start)
	if err != nil {
		return 0, nil, fmt.Errorf("ngspice: %w\n%s", err, out)
	}
	return took, out, nil
}
