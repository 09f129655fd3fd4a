package study_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// What is told of room is true of the boxes themselves: over spaces and ports, a
// least port that fits, and every port that is offered instead of one that does
// not, is put into the study, and the box then fits its space; the port is large
// enough for the amplifier, but where the level has to come down for it. Sizes are
// told with three digits, so that they are made so much wider (and the lengths
// left to the tuning) where the limit is held, and so much narrower where the room is.
func TestWhatIsToldOfRoomIsTrue(t *testing.T) {
	number := `([0-9.]+)\x{2009}mm`
	rounded := regexp.MustCompile(`^with its ends rounded to ` + number + ` it is a port of ` + number)
	slot := regexp.MustCompile(`^a slot of ` + number + ` × ` + number + `.* along a wall fits$`)
	widest := regexp.MustCompile(`^the widest that has room, a port of ` + number)
	seen := map[string]int{}
	for _, space := range []string{
		"{width: 600 mm, height: 400 mm, depth: 450 mm}", "{width: 900 mm, height: 450 mm, depth: 330 mm}", "{width: 520 mm, height: 420 mm, depth: 480 mm}",
		"{width: 1400 mm, height: 600 mm, depth: 700 mm}", "{width: 1200 mm, height: 420 mm, depth: 900 mm}", "{width: 480 mm, height: 400 mm, depth: 440 mm}", "{width: 540 mm, height: 400 mm, depth: 400 mm}",
	} {
		for _, watts := range []float64{15, 40, 120, 400} {
			made := func(port string) *study.Outcome {
				st := vented(t, port, "{limits: {from: 28 Hz}}", watts)
				st.Space = &study.Space{Panel: 18e-3}
				for i, part := range strings.Split(strings.Trim(space, "{}"), ", ") {
					q, err := phys.Parse(strings.SplitN(part, ": ", 2)[1], phys.Length)
					if err != nil {
						t.Fatal(err)
					}
					*[]*float64{&st.Space.Width, &st.Space.Height, &st.Space.Depth}[i] = q.SI
				}
				return evaluated(t, st).Candidates[0]
			}
			try := func(what, port string, full bool) {
				t.Helper()
				o := made(port)
				if !o.Body.Fits {
					t.Errorf("%s, %g W: %s (%s) does not fit: %s", space, watts, what, port, o.Body.Why)
				}
				if m := portMiss(o); full && m != nil && float64(o.Air[0].Share.Value) > 1.01 { // the digits that are told
					t.Errorf("%s, %g W: %s (%s): %s", space, watts, what, port, m.Text)
				}
				seen[what]++
			}
			for _, l := range made("{diameter: 80 mm}").Air[0].Least {
				switch {
				case l.Enough:
					seen["enough"]++
				case l.Fits:
					try("a least port", fmt.Sprintf("{diameter: %.6f mm}", 1e3*l.Port.Diameter), true)
				}
				for _, s := range l.Instead {
					if m := rounded.FindStringSubmatch(s); m != nil {
						try("rounded edges", fmt.Sprintf("{diameter: %s mm, flare: %s mm}", m[2], m[1]), true)
					}
					if m := slot.FindStringSubmatch(s); m != nil {
						try("a slot", fmt.Sprintf("{width: %s mm, height: %s mm}", m[1], m[2]), true)
					}
					if m := widest.FindStringSubmatch(s); m != nil {
						try("the widest", fmt.Sprintf("{diameter: %s mm}", shorter(t, m[1])), false)
					}
					if strings.Contains(s, "around a corner") {
						seen["around a corner"]++
					}
				}
			}
		}
	}
	for _, what := range []string{"a least port", "rounded edges", "a slot", "the widest", "around a corner"} {
		if seen[what] == 0 {
			t.Errorf("nowhere is it %s that is told: the check does not reach it; seen %v", what, seen)
		}
	}
}

// shorter is a size told with three digits at its lower end.
func shorter(t *testing.T, mm string) string {
	t.Helper()
	var v float64
	scan(t, mm, "%f", &v)
	return fmt.Sprintf("%.6f", v*0.995)
}
