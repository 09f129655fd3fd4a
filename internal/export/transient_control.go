package export

import (
	"fmt"
	"io"
	"math"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/network"
)

// Unsettled is what is told of a sine that does not come to rest.
const Unsettled = "this sine has not come to rest after 1000 periods and may never repeat itself; the harmonics are of the last period"

// transientHead says what the netlist is.
func transientHead(w io.Writer, n *netlist, o TransientOptions) {
	title := strings.NewReplacer("\n", " ", "\r", " ").Replace(o.Title)
	fmt.Fprintf(w, "* %s\n", title)
	fmt.Fprintf(w, "* Large signals: a sine of %.6g Hz at %.6g V rms, turned up over %g periods and followed over %d,\n", o.Frequency, o.Volts, rampPeriods, o.Periods)
	fmt.Fprintf(w, "* %d steps a period. Run: ngspice -b FILE\n", o.Steps)
	fmt.Fprintln(w, "* Voltages: V, m/s (mechanical places), Pa (acoustic places). Currents: A, N, m3/s. SI throughout.")
	fmt.Fprintln(w, "* The linear network stands first. Each part that is not linear is its linear part beside a")
	fmt.Fprintln(w, "* behavioural source with what is beyond it.")
	for k := range n.net.NodeCount() {
		if k > 2 {
			fmt.Fprintf(w, "* n%d is %s (%s)\n", k, n.net.NodeName(network.Node(k)), n.net.NodeDomain(network.Node(k)))
		}
	}
	for _, l := range n.report.Ladders {
		fmt.Fprintf(w, "* %s\n", l)
	}
	if n.report.Unsettled {
		fmt.Fprintf(w, "* %s\n", Unsettled)
	}
	// The step is the one that is asked for, all the way: trtol takes the
	// simulator's own choice out, whose errors would not go with the step. The
	// tolerances go with the drive: small beside a displacement, m, or a volume
	// velocity, m³/s, and still above the rounding of a pressure, Pa, that crosses 0.
	fmt.Fprintf(w, ".options method=trap trtol=1e12 reltol=1e-7 abstol=%s vntol=%s itl4=100\n", num(1e-12*o.Volts), num(1e-11*o.Volts))
}

// transientControl writes the analysis and what it prints.
func transientControl(w io.Writer, n *netlist, sys *enclosure.System, o TransientOptions) {
	period := 1 / o.Frequency
	step, end := num(period/float64(o.Steps)), float64(o.Periods)*period
	vectors, lets := []string{"far"}, []string(nil)
	saved, seen := []string{"far"}, map[network.Node]bool{}
	cone := func(name string, c *enclosure.Cone) {
		lets = append(lets, fmt.Sprintf("* %s is the displacement of %s in mm towards the listener\nlet %s = %s*v(d%d)", name, c.Name, name, num(1e3*c.Ratio), c.Node))
		vectors = append(vectors, name)
		if !seen[c.Node] {
			saved, seen[c.Node] = append(saved, fmt.Sprintf("d%d", c.Node)), true
		}
	}
	for i := range sys.Cones {
		cone(fmt.Sprintf("x%d_mm", i+1), &sys.Cones[i])
	}
	for i := range sys.Radiators {
		cone(fmt.Sprintf("xr%d_mm", i+1), &sys.Radiators[i])
	}
	fmt.Fprintf(w, ".control\nset nopage\nset width=240\nset numdgt=12\nsave %s\n", strings.Join(saved, " "))
	fmt.Fprintf(w, "tran %s %s %s %s uic\n", step, num(end), num(end-2.5*period), step)
	for _, l := range lets {
		fmt.Fprintln(w, l)
	}
	fmt.Fprintln(w, "* What a period still changes of the largest displacement; far below 1 once all has come to rest.")
	for _, v := range vectors[1:] {
		fmt.Fprintf(w, "let n = length(%s)\nlet now = maximum(%s[n-%d,n-2])\nlet before = maximum(%s[n-%d,n-%d])\n", v, v, o.Steps+1, v, 2*o.Steps+1, o.Steps+2)
		fmt.Fprintf(w, "let change_%s = (now-before)/(abs(before)+1e-30)\nprint change_%s\n", v, v)
	}
	fmt.Fprintln(w, "* The last period: harmonic 0 is the mean, the others are peak, with the phase of a sine in degrees.")
	fmt.Fprintf(w, "set nfreqs=%d\nset fourgridsize=%d\nset polydegree=3\nfourier %s %s\n", lines+1, o.Steps, num(o.Frequency), strings.Join(vectors, " "))
	fmt.Fprintf(w, "* p_hN_pa is the sound pressure of harmonic N in Pa peak at %.4g m; its phase is far's and 90 degrees.\n", sys.Setting.Distance)
	for k := 1; k <= lines; k++ {
		fmt.Fprintf(w, "let p_h%d_pa = %s*fourier11[1][%d]\nprint p_h%d_pa\n", k, num(sys.Setting.PressurePerFlow(2*math.Pi*o.Frequency*float64(k))), k, k)
	}
	fmt.Fprint(w, "quit\n.endc\n.end\n")
}
