package study

import (
	"strings"
	"testing"

	"basswright/internal/phys"
)

// What is said of rows made up for it: the sentences have to follow them.
func TestMirrorTalk(t *testing.T) {
	none := [2]phys.Maybe{phys.None(), phys.None()}
	at := func(f, same2, now2, same4, now4 float64) MirrorRow {
		pair := func(a, b float64) [2]phys.Maybe { return [2]phys.Maybe{phys.Maybe(a), phys.Maybe(b)} }
		return MirrorRow{Frequency: f, Volts: 5, SameWay: pair(same2, same4), Facing: pair(now2, now4), Tight: none, BoxAir: none, GapAir: none, Unlike: none, OddSame: pair(-30, -50), Odd: pair(-30.5, -50)}
	}
	for _, c := range []struct {
		about          string
		rows           func() []MirrorRow
		says, saysNone []string
	}{
		{"better at one, worse at another", func() []MirrorRow { return []MirrorRow{at(20, -30, -45, -70, -70), at(50, -50, -40, -70, -70)} },
			[]string{"Where it is largest, at 20\u2009Hz and 5\u2009V, mirroring brings the second harmonic from −30.0\u2009dB to −45.0\u2009dB.", "Elsewhere it makes it worse: at 50\u2009Hz and 5\u2009V from −50.0\u2009dB to −40.0\u2009dB, 10.0\u2009dB more."}, []string{"fourth"}},
		{"worse where it is largest, better elsewhere", func() []MirrorRow { return []MirrorRow{at(20, -30, -25, -70, -70), at(50, -40, -52, -70, -70)} },
			[]string{"worse: at 20\u2009Hz and 5\u2009V it takes it from −30.0\u2009dB to −25.0\u2009dB, 5.0\u2009dB more.", "Elsewhere it helps: at 50\u2009Hz and 5\u2009V from −40.0\u2009dB to −52.0\u2009dB, 12.0\u2009dB less."}, nil},
		{"worse at several, the loudest is told and not the greatest difference", func() []MirrorRow {
			return []MirrorRow{at(20, -20, -45, -70, -70), at(80, -60.7, -50, -70, -70), at(81, -24.2, -20.2, -70, -70)}
		}, []string{"Elsewhere it makes it worse: at 81\u2009Hz and 5\u2009V from −24.2\u2009dB to −20.2\u2009dB, 4.0\u2009dB more."}, []string{"−60.7"}},
		{"better at several, the same", func() []MirrorRow {
			return []MirrorRow{at(20, -20, -10, -70, -70), at(80, -50, -70, -70, -70), at(81, -24, -28, -70, -70)}
		}, []string{"Elsewhere it helps: at 81\u2009Hz and 5\u2009V from −24.0\u2009dB to −28.0\u2009dB, 4.0\u2009dB less."}, []string{"−50.0"}},
		{"worse only where nobody hears it", func() []MirrorRow { return []MirrorRow{at(20, -30, -45, -70, -70), at(50, -90, -70, -90, -75)} },
			[]string{"brings the second harmonic"}, []string{"worse", "fourth"}},
		{"next to nothing, a little more", func() []MirrorRow { return []MirrorRow{at(20, -30, -29, -70, -70)} },
			[]string{"Mirroring buys next to nothing: it takes the second harmonic from −30.0\u2009dB to −29.0\u2009dB at 20\u2009Hz and 5\u2009V, where it is largest."}, []string{"worse"}},
		{"all of it cancelled", func() []MirrorRow {
			r := at(20, -30, 0, -70, 0)
			r.Facing = none
			return []MirrorRow{r}
		}, []string{"brings the second harmonic from −30.0\u2009dB to none."}, []string{"worse", "fourth"}},
		{"odd harmonics stay", func() []MirrorRow { return []MirrorRow{at(20, -30, -45, -70, -70)} },
			[]string{"The odd harmonics stay: at 20\u2009Hz and 5\u2009V the third is −30.5\u2009dB mirrored, and −30.0\u2009dB turned the same way."}, []string{"Not all odd"}},
		{"a fifth that does not", func() []MirrorRow {
			r := at(50, -40, -45, -70, -70)
			r.OddSame[1], r.Odd[1] = -55, -42
			return []MirrorRow{at(20, -30, -45, -70, -70), r}
		}, []string{"Not all odd harmonics stay: at 50\u2009Hz and 5\u2009V the fifth goes from −55.0\u2009dB, turned the same way, to −42.0\u2009dB, mirrored, 13.0\u2009dB more."}, []string{"odd harmonics stay: at 20"}},
		{"a fourth by the gap", func() []MirrorRow {
			r := at(20, -30, -45, -70, -50)
			r.GapAir[1], r.BoxAir[1] = -51, -62
			return []MirrorRow{at(25, -31, -45, -60, -56), r}
		}, []string{"The fourth even rises, from −70.0\u2009dB to −50.0\u2009dB at 20\u2009Hz and 5\u2009V: where the cones move against each other on the air between them, nothing is cancelled, and that alone leaves −51.0\u2009dB."}, []string{"which no mirror touches"}},
		{"a fourth by nothing alone", func() []MirrorRow {
			r := at(20, -30, -45, -70, -50)
			r.GapAir[1], r.BoxAir[1] = -58, -60
			return []MirrorRow{r}
		}, []string{"The fourth even rises, from −70.0\u2009dB to −50.0\u2009dB at 20\u2009Hz and 5\u2009V."}, []string{"which no mirror touches", "against each other"}},
	} {
		m := &Mirror{Mirrored: true, Coupled: true, Rows: c.rows()}
		st := &Study{}
		talk := mirrorTalk{st, m, &m.Rows[0]}
		all := strings.Join(append(append(talk.second(), talk.odd()...), talk.fourth()...), " ")
		for _, w := range c.says {
			if !strings.Contains(all, w) {
				t.Errorf("%s: it does not say %q: %q", c.about, w, all)
			}
		}
		for _, w := range c.saysNone {
			if strings.Contains(all, w) {
				t.Errorf("%s: it says %q: %q", c.about, w, all)
			}
		}
	}
}
