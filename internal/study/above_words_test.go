package study

import (
	"testing"

	"basswright/internal/phys"
)

// What comes back is compared only where it differs by what can be told, and where
// nothing can come back, because the band does not end, nothing is said.
func TestWhatComesBackIsCompared(t *testing.T) {
	at := func(over float64) Figures {
		return Figures{F3High: 110, Above: Peak{phys.Maybe(over), 150}}
	}
	none := Figures{F3High: 110, Above: Peak{phys.None(), phys.None()}}
	endless := Figures{F3High: phys.None(), Above: none.Above}
	for _, c := range []struct {
		a, b Figures
		want string
	}{
		{at(-4), none, "above its upper F3 it comes back at 150\u2009Hz, 4.0\u2009dB below the band"},
		{at(0.04), none, "above its upper F3 it comes back at 150\u2009Hz, as loud as the band"},
		{none, at(-4), "nothing comes back above its upper F3"},
		{endless, at(-4), ""},
		{at(2), at(-1.5), "what comes back above its upper F3, at 150\u2009Hz, is 3.5\u2009dB louder beside its band"},
		{at(-9), at(-6), "what comes back above its upper F3, at 150\u2009Hz, is 3.0\u2009dB quieter beside its band"},
		{at(-4), at(-4.04), ""},
		{none, none, ""},
	} {
		if got := (verdict{st: &Study{}, a: &c.a, b: &c.b}).above(); got != c.want {
			t.Errorf("%v beside %v: %q, want %q", c.a.Above, c.b.Above, got, c.want)
		}
	}
}

// Who is told of what comes back is told to take it away, unless the study has a low-pass
// already; another filter is none.
func TestALowPassIsAdvisedOnce(t *testing.T) {
	f := &Figures{Reference: 90, Above: Peak{-5, 150}}
	const said = "Above that it comes back at 150\u2009Hz with 85.0\u2009dB, 5.0\u2009dB below the band"
	st := &Study{}
	if got := st.back(f, "Above that"); got != said+", unless a low-pass takes it away" {
		t.Errorf("%q", got)
	}
	st.Filters = []Filter{{Name: "subsonic", Kind: "highpass"}}
	if got := st.back(f, "Above that"); got != said+", unless a low-pass takes it away" {
		t.Errorf("with a high-pass: %q", got)
	}
	st.Filters = append(st.Filters, Filter{Name: "top", Kind: "lowpass"})
	if got := st.back(f, "Above that"); got != said {
		t.Errorf("with a low-pass: %q", got)
	}
}
