package draw

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"basswright/internal/check"
)

// contrast is the ratio of WCAG 2.2, by its definition of relative luminance.
func contrast(a, b color.NRGBA) float64 {
	lum := func(c color.NRGBA) float64 {
		lin := func(v uint8) float64 {
			s := float64(v) / 255
			if s <= 0.04045 {
				return s / 12.92
			}
			return math.Pow((s+0.055)/1.055, 2.4)
		}
		return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
	}
	x, y := lum(a), lum(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func TestContrastFormula(t *testing.T) {
	// Black on white is 21:1 and #767676 on white 4.54:1, as WCAG 2.2 and its techniques (G18) say.
	check.Near(t, "black on white", contrast(color.NRGBA{A: 255}, color.NRGBA{255, 255, 255, 255}), 21, 1e-9, "float64")
	check.Near(t, "grey on white", contrast(color.NRGBA{0x76, 0x76, 0x76, 255}, color.NRGBA{255, 255, 255, 255}), 4.54, 0.005, "printed with two decimals")
}

func TestThemesHaveContrast(t *testing.T) {
	// WCAG 2.2: 4.5 for text (1.4.3), 3.0 for graphical objects (1.4.11). For the overlay the paper is its edging.
	for _, name := range themeNames {
		th, err := ThemeNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		text := map[string]Role{"ink": Ink, "soft": Soft, "stop": Stop, "heed": Heed}
		lines := map[string]Role{"rule": Rule}
		for i := range Candidates {
			text["text "+string(rune('1'+i))] = Text(i)
			lines["line "+string(rune('1'+i))] = Line(i)
		}
		for what, r := range text {
			if c := contrast(th.Colour(r), th.Colour(Paper)); c < 4.5 {
				t.Errorf("%s: %s has %.2f on paper, wants 4.5", name, what, c)
			}
		}
		for what, r := range lines {
			// Two decimals: the published purple #CC79A7 has 2.998 on the screen's warm paper.
			if c := contrast(th.Colour(r), th.Colour(Paper)); math.Round(c*100)/100 < 3 {
				t.Errorf("%s: %s has %.3f on paper, wants 3", name, what, c)
			}
		}
		if c := contrast(th.Colour(Ink), th.Colour(Wash)); c < 4.5 {
			t.Errorf("%s: ink has %.2f on wash", name, c)
		}
	}
}

func TestThemeNamed(t *testing.T) {
	for _, name := range themeNames {
		if th, err := ThemeNamed(name); err != nil || th.Name != name {
			t.Errorf("%s: got %q, %v", name, th.Name, err)
		}
	}
	_, err := ThemeNamed("poster")
	if err == nil || !strings.Contains(err.Error(), `"poster"`) || !strings.Contains(err.Error(), "overlay") {
		t.Errorf("an unknown theme must be named with what there is: %v", err)
	}
}

func TestCSS(t *testing.T) {
	for _, c := range []struct {
		th   Theme
		r    Role
		want string
	}{
		{Page(), Ink, "#1B1E23"}, {Page(), None, "none"}, {Page(), Role(200), "none"}, {Page(), Line(8), "#0072B2"},
		{Screen(), Paper, "var(--paper)"}, {Screen(), Soft, "var(--ink-soft)"}, {Screen(), Line(0), "var(--c1)"},
		{Screen(), Text(4), "var(--c5-text)"}, {Screen(), Heed, "var(--heed)"}, {Slide(), Line(0), "#56B4E9"},
	} {
		if got := c.th.CSS(c.r); got != c.want {
			t.Errorf("%s, role %d: %s, want %s", c.th.Name, c.r, got, c.want)
		}
	}
	if c := Page().Colour(Role(250)); c.A != 0 {
		t.Errorf("a role that does not exist has the colour %v", c)
	}
}

func TestEveryRoleHasAColour(t *testing.T) {
	for _, name := range themeNames {
		th, _ := ThemeNamed(name)
		for r := Paper; int(r) < roleCount; r++ {
			if th.Colour(r).A != 255 {
				t.Errorf("%s: role %d is not opaque", name, r)
			}
		}
	}
}

func TestCandidatesAreToldApart(t *testing.T) {
	seen := map[string]int{}
	for i := range Patterns {
		for k := range i {
			if string(mustJSON(Dash(i))) == string(mustJSON(Dash(k))) {
				t.Errorf("candidates %d and %d share their dash", k, i)
			}
		}
	}
	for i := range Looks {
		key := Page().CSS(Line(i)) + " " + strings.Join(strings.Fields(string(mustJSON(Dash(i)))), "")
		if k, ok := seen[key]; ok {
			t.Errorf("candidates %d and %d look the same: %s", k, i, key)
		}
		seen[key] = i
	}
	if Line(-1) != Ink || Text(-3) != Ink || Dash(-1) != nil || Dotted(-1) {
		t.Error("a measured curve must be ink and solid")
	}
}

// Where there is no dash, in words, the first eight are still told apart, if by a person with normal sight: the distance is
// that of Oklab (B. Ottosson, 2020), times 100.
func TestNoTwoOfEightNamesHaveOneColour(t *testing.T) {
	const least = 7 // three just noticeable differences, which are about 2 in this scale
	for _, name := range themeNames {
		th, _ := ThemeNamed(name)
		for i := range 8 {
			for k := range i {
				if d := apart(th.Colour(Text(i)), th.Colour(Text(k))); d < least {
					t.Errorf("%s: the names of candidates %d and %d are %.1f apart", name, k, i, d)
				}
			}
		}
	}
	check.Near(t, "white from black", apart(color.NRGBA{255, 255, 255, 255}, color.NRGBA{}), 100, 0.01, "the matrices are printed with ten decimals")
}

func apart(a, b color.NRGBA) float64 {
	oklab := func(c color.NRGBA) (l, m, s float64) {
		lin := func(v uint8) float64 {
			x := float64(v) / 255
			if x <= 0.04045 {
				return x / 12.92
			}
			return math.Pow((x+0.055)/1.055, 2.4)
		}
		r, g, b := lin(c.R), lin(c.G), lin(c.B)
		x := math.Cbrt(0.4122214708*r + 0.5363325363*g + 0.0514459929*b)
		y := math.Cbrt(0.2119034982*r + 0.6806995451*g + 0.1073969566*b)
		z := math.Cbrt(0.0883024619*r + 0.2817188376*g + 0.6299787005*b)
		return 0.2104542553*x + 0.7936177850*y - 0.0040720468*z,
			1.9779984951*x - 2.4285922050*y + 0.4505937099*z,
			0.0259040371*x + 0.7827717662*y - 0.8086757660*z
	}
	l1, a1, b1 := oklab(a)
	l2, a2, b2 := oklab(b)
	return 100 * math.Sqrt((l1-l2)*(l1-l2)+(a1-a2)*(a1-a2)+(b1-b2)*(b1-b2))
}

func mustJSON(d []float64) []byte {
	var b []byte
	for _, v := range d {
		b = append(b, num(v)...)
		b = append(b, ',')
	}
	return b
}

func TestDash(t *testing.T) {
	// The patterns of the house style at a width of 2: solid, 14 4, 10 3 2 3, 5 3, 1.5 3.5.
	want := []string{"", "14,4,", "10,3,2,3,", "5,3,", "1.5,3.5,"}
	for i, w := range want {
		if got := string(mustJSON(Dash(i))); got != w {
			t.Errorf("dash %d is %s, want %s", i, got, w)
		}
	}
	if got := string(mustJSON(DashAt(3, 4))); got != "10,6," {
		t.Errorf("at twice the width: %s", got)
	}
	Dash(1)[0] = 99
	if Dash(1)[0] != 14 {
		t.Error("a caller can change the pattern of others")
	}
	if !Dotted(4) || Dotted(3) || Dotted(8) || !Dotted(9) {
		t.Error("dots are the fifth pattern, and pairs of them the tenth")
	}
}
