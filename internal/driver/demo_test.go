package driver

import (
	"fmt"
	"testing"

	"basswright/internal/phys"
)

func q(t string, k phys.Kind) phys.Quantity {
	v, err := phys.Parse(t, k)
	if err != nil {
		panic(err)
	}
	return v
}

func TestDemo(t *testing.T) {
	s := Sheet{Name: "merlin-10", Values: map[Symbol]phys.Quantity{
		Fs: q("30.5 Hz", phys.Frequency), Qms: q("4.9", phys.Number), Qes: q("0.49", phys.Number), Vas: q("44 L", phys.Volume),
		Sd: q("345 cm2", phys.Area), Re: q("3.3 ohm", phys.Resistance), Mms: q("98 g", phys.Mass), Sensitivity1W: q("86 dB", phys.Level), Sensitivity283V: q("92 dB", phys.Level), Qts: q("0.44", phys.Number),
	}, Coil: VoiceCoil{Le: 1.1e-3}, Data: Data{RatedPower: 350, Xmax: 12e-3}}
	d, st, f, err := Complete(s)
	fmt.Println(d, err)
	for _, x := range st {
		fmt.Printf("%-22s %-5s %-12s %-10s %s | %s | %s | %s\n", x.Name, x.Symbol, phys.Show(float64(x.Value), x.Kind, 0), x.Rule, x.Why, x.Formula, x.Numbers, x.Source)
	}
	for _, x := range f {
		fmt.Println(x)
	}
	for _, sp := range []GroupSpec{{Driver: d, SideBySide: 1, Stack: 2, Arrangement: Clamshell}, {Driver: d, SideBySide: 2, Stack: 2, Wiring: Wiring{WiringStrings, 2}}} {
		g, ff, err := NewGroup(sp)
		fmt.Println(ff, err)
		for _, x := range g.Ledger(phys.StandardAir()) {
			fmt.Printf("%-22s %-6s %-12s %-12s %-12s %s | %s | %s | %s\n", x.Name, x.Symbol, phys.Show(float64(x.Single), x.Kind, 0), phys.Show(float64(x.Value), x.Kind, 0), x.Rule, x.Why, x.Formula, x.Numbers, x.Source)
		}
	}
	for _, v := range []map[Symbol]phys.Quantity{{}, {Fs: {SI: 30}, Qts: {SI: .4}, Vas: {SI: .04}, Sd: {SI: .03}, Re: {SI: 6}}, {Fs: {SI: 30}, Qms: {SI: .4, Text: ".4"}, Qts: {SI: .5, Text: "0.5"}, Vas: {SI: .04}, Sd: {SI: .03}, Re: {SI: 6}}} {
		_, _, _, err := Complete(Sheet{Name: "x", Values: v})
		fmt.Println(err)
	}
	s.Creep.Lambda = .5
	_, _, _, err = Complete(s)
	fmt.Println(err)
}
