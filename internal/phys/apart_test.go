package phys

import "testing"

func TestShowApart(t *testing.T) {
	for _, c := range []struct {
		v, from float64
		k       Kind
		s       System
		want    string
	}{
		{14.034e-3, 14e-3, Length, Metric, "14.03\u2009mm"},
		{14.0034e-3, 14e-3, Length, Metric, "14.003\u2009mm"},
		{16.3e-3, 14e-3, Length, Metric, "16.3\u2009mm"},
		{14.0000001e-3, 14e-3, Length, Metric, "14.0000\u2009mm"}, // not to be told apart
		{100.96, 101, Level, Metric, "100.96\u2009dB"},
		{96.6, 101, Level, Metric, "96.6\u2009dB"},
		{1819, 1818.7, Pressure, Metric, "1819.0\u2009Pa"},
		{25.4e-3, 25e-3, Length, Imperial, "1.00\u2009in"},
	} {
		if got := ShowApart(c.v, c.from, c.k, c.s); got != c.want {
			t.Errorf("%g beside %g: %q, want %q", c.v, c.from, got, c.want)
		}
	}
}
