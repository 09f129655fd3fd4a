package export

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/network"
)

type pipe struct{}

func (pipe) At(w float64) (y11, y12, y22 complex128) {
	return complex(1e-6, w*1e-9), 0, complex(1e-6, w*1e-9)
}

type oddLaw struct{}

func (oddLaw) At(float64) complex128 { return 1 }

// What has no circuit is refused by the name of the part, whatever kind of
// element it is, and nothing is written.
func TestNetlistRefuses(t *testing.T) {
	for name, add := range map[string]func(net *network.Network, a network.Node){
		"line": func(net *network.Network, a network.Node) { net.AddTwoPort("line", a, network.Outside, pipe{}) },
		"slit": func(net *network.Network, a network.Node) {
			net.AddAdmittance("slit", a, network.Outside, network.Triple{}, oddLaw{})
		},
		"mouth": func(net *network.Network, a network.Node) {
			net.AddImpedance("mouth", a, network.Outside, network.Triple{}, oddLaw{})
		},
		"motor": func(net *network.Network, _ network.Node) {
			net.AddMotor(network.MotorData{Name: "motor", Mech: net.AddNode(network.Mechanical, "cone"), Bl: 8, Law: oddLaw{}})
		},
	} {
		net := network.New()
		net.AddSource("source")
		add(net, net.AddNode(network.Acoustic, "box"))
		var b bytes.Buffer
		_, err := Netlist(&b, net)
		var refused *RefusedError
		if !errors.As(err, &refused) || refused.Part != name || refused.Reason == "" || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, b.Len())
		}
	}
}

func simpleSystem(t *testing.T) *enclosure.System {
	t.Helper()
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: heron(driver.VoiceCoil{Le: 0.9e-3}), SideBySide: 2, Stack: 1})
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := enclosure.Build(g, enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.06, Tuning: 30}}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	return sys
}

// A title cannot break out of its line, and the same system gives the same bytes.
func TestNetlistTitleAndBytes(t *testing.T) {
	sys := simpleSystem(t)
	var a, b bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if _, err := SPICE(w, sys, SPICEOptions{Title: "van\nR1 1 0 1\rbench", From: 10, To: 400, Points: 40}); err != nil {
			t.Fatal(err)
		}
	}
	if !strings.HasPrefix(a.String(), "* van R1 1 0 1 bench\n") {
		t.Errorf("the title is %q", a.String()[:40])
	}
	if a.String() != b.String() {
		t.Error("two runs differ")
	}
	for _, bad := range []string{"NaN", "Inf", "%!"} {
		if strings.Contains(a.String(), bad) {
			t.Errorf("the netlist holds %q", bad)
		}
	}
}

func TestNetlistRange(t *testing.T) {
	sys := simpleSystem(t)
	for _, o := range []SPICEOptions{{From: 0, To: 100, Points: 9}, {From: 100, To: 100, Points: 9}, {From: 100, To: 10, Points: 9}, {From: 10, To: 100, Points: 1}} {
		var b bytes.Buffer
		if _, err := SPICE(&b, sys, o); err == nil || b.Len() > 0 {
			t.Errorf("%+v: %v, %d bytes", o, err, b.Len())
		}
	}
}
