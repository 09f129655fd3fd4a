// Command perpoint times one frequency of a vented box in basswright's compiled
// network and in ngspice on the exported netlist, in one run on one core, and
// prints both. ngspice's start-up and reading are taken out by subtracting a
// run with few points from one with many.
package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/export"
	"basswright/internal/phys"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "error:", err)
		os.Exit(1)
	}
}

func run() error {
	sys, err := ventedBox()
	if err != nil {
		return err
	}
	ours, err := oursPerPoint(sys)
	if err != nil {
		return err
	}
	theirs, err := theirsPerPoint(sys)
	if err != nil {
		return err
	}
	fmt.Printf("basswright %8.1f ns per point\nngspice    %8.1f ns per point\nratio      %8.1f\n", 1e9*ours.Seconds(), 1e9*theirs.Seconds(), theirs.Seconds()/ours.Seconds())
	return nil
}

func ventedBox() (*enclosure.System, error) {
	d := &driver.Driver{Name: "heron-8", Re: 5.6, Bl: 10.2, Mms: 0.0385, Cms: 0.78e-3, Rms: 1.9, Sd: 0.022, Coil: driver.VoiceCoil{Le: 0.9e-3}, Coils: driver.Coils{Count: 1}}
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
	if err != nil {
		return nil, err
	}
	sys, _, err := enclosure.Build(g, enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.04, Tuning: 30}},
		enclosure.Setting{Air: phys.StandardAir(), Space: 2 * math.Pi, Distance: 1})
	return sys, err
}

// oursPerPoint is the median of nine rounds of a million points.
func oursPerPoint(sys *enclosure.System) (time.Duration, error) {
	const points = 1_000_000
	s := sys.Program.NewSolver()
	return median(9, func() (time.Duration, error) {
		start := time.Now()
		for k := range points {
			if err := s.Solve(2 * math.Pi * (20 + float64(k%400))); err != nil {
				return 0, err
			}
		}
		return time.Since(start) / points, nil
	})
}

// theirsPerPoint is the median of five differences between many and few points.
func theirsPerPoint(sys *enclosure.System) (time.Duration, error) {
	const few, many = 1000, 201000
	return median(5, func() (time.Duration, error) {
		a, err := ngspice(sys, few)
		if err != nil {
			return 0, err
		}
		b, err := ngspice(sys, many)
		return (b - a) / (many - few), err
	})
}

// ngspice runs the exported netlist with a number of points and no output.
func ngspice(sys *enclosure.System, points int) (time.Duration, error) {
	var net bytes.Buffer
	net.WriteString("* vented box\n")
	if _, err := export.Netlist(&net, sys.Net); err != nil {
		return 0, err
	}
	fmt.Fprintf(&net, ".control\nsave n%d\nac lin %d 10 400\nquit\n.endc\n.end\n", sys.Channels[0].Terminal, points)
	dir, err := os.MkdirTemp("", "perpoint")
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "net.cir")
	if err := os.WriteFile(file, net.Bytes(), 0o644); err != nil {
		return 0, err
	}
	start := time.Now()
	if out, err := exec.Command("ngspice", "-b", file).CombinedOutput(); err != nil {
		return 0, fmt.Errorf("ngspice: %w\n%s", err, out)
	}
	return time.Since(start), nil
}

func median(n int, f func() (time.Duration, error)) (time.Duration, error) {
	var all []time.Duration
	for range n {
		d, err := f()
		if err != nil {
			return 0, err
		}
		all = append(all, d)
		for i := len(all) - 1; i > 0 && all[i] < all[i-1]; i-- {
			all[i], all[i-1] = all[i-1], all[i]
		}
	}
	return all[n/2], nil
}
