package draw

import (
	"fmt"
	"image/color"
	"strconv"
)

// Theme turns roles into colours. Make one with [Page], [Slide], [Overlay], [Screen] or [ThemeNamed].
type Theme struct {
	Name   string
	Ground bool // the paper is painted; otherwise the ground stays transparent
	Halo   bool // lines and text stand on an edging of paper, to be read over any picture
	Vars   bool // SVG names CSS variables (--ink, --c1, --c1-text, …) and the page that holds it decides

	colours [roleCount]color.NRGBA
}

// ThemeNamed finds a theme by its name.
func ThemeNamed(name string) (Theme, error) {
	switch name {
	case "page":
		return Page(), nil
	case "slide":
		return Slide(), nil
	case "overlay":
		return Overlay(), nil
	case "screen":
		return Screen(), nil
	}
	return Theme{}, fmt.Errorf("no theme %q: use page, slide, overlay or screen", name)
}

// Page is for print: white paper.
func Page() Theme {
	return Theme{Name: "page", Ground: true, colours: palette(
		"#FFFFFF", "#F5F2EA", "#1B1E23", "#4A4F56", "#85827A", "#DDDAD2", "#9B1B3B", "#6E4E00",
		"#0072B2", "#CC79A7", "#D55E00", "#009E73", "#B07D00", "#5B3AA8", "#6E9400", "#7A4A3A",
		"#00629A", "#9C3F73", "#A84A00", "#00704F", "#7D5900", "#5B3AA8", "#4F6B00", "#6B3A2E")}
}

// Slide is for a projector or a dark screen: a near-black ground.
func Slide() Theme {
	return Theme{Name: "slide", Ground: true, colours: dark("#2C343D")}
}

// Overlay is for laying over a picture: no ground, light colours, everything edged with the dark of [Slide].
func Overlay() Theme {
	c := dark("#76818D")
	// Between two dark edgings grey looks darker than on a ground: second text and axes are nearer to the ink.
	c[Soft] = color.NRGBA{R: 0xCF, G: 0xD4, B: 0xDA, A: 255}
	c[Rule] = color.NRGBA{R: 0xA3, G: 0xAB, B: 0xB5, A: 255}
	return Theme{Name: "overlay", Halo: true, colours: c}
}

// Screen is for SVG inside a page of ours, whose style sheet owns the colours and may turn dark. PNG and PDF, which
// know no style sheet, take the light values.
func Screen() Theme {
	return Theme{Name: "screen", Vars: true, colours: palette(
		"#FEFDFA", "#F5F2EA", "#1B1E23", "#5A5F66", "#85827A", "#DEDACF", "#9B1B3B", "#6E4E00",
		"#0072B2", "#CC79A7", "#D55E00", "#009E73", "#B07D00", "#5B3AA8", "#6E9400", "#7A4A3A",
		"#00629A", "#9C3F73", "#A84A00", "#00704F", "#7D5900", "#5B3AA8", "#4F6B00", "#6B3A2E")}
}

// The lines are the palette of Okabe and Ito (2008), in the order blue, reddish purple, vermilion, bluish green,
// orange, where that has 3:1 on the ground: sky blue stands in for blue on dark, a deepened orange on light. What is left
// of it (black, yellow, the other blue) is ink, too light, or too near to one that is there: violet, olive and brown
// of ours follow.
func dark(hair string) [roleCount]color.NRGBA {
	return palette(
		"#12171D", "#1C232B", "#E8EAED", "#A3ABB5", "#76818D", hair, "#FF9AAE", "#F0CF85",
		"#56B4E9", "#CC79A7", "#D55E00", "#009E73", "#E69F00", "#8F78E8", "#A8C64A", "#A9806B",
		"#74C3EF", "#DE9CC0", "#F08A3E", "#3FC49C", "#EDB338", "#A692F7", "#B6D45C", "#C49C86")
}

// palette takes the colours of all roles but None, in their order.
func palette(hex ...string) [roleCount]color.NRGBA {
	var out [roleCount]color.NRGBA
	for i, h := range hex {
		v, err := strconv.ParseUint(h[1:], 16, 32)
		if err != nil || len(h) != 7 || i+1 >= roleCount {
			panic("draw: malformed palette")
		}
		out[i+1] = color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 255}
	}
	return out
}

// haloWidth is how wide the edging of a text is, both sides together. Paper on paper cannot be seen and may be wide;
// over a picture it must not fill the letters' insides.
func (t Theme) haloWidth(size float64) float64 {
	if t.Halo {
		return size / 4.5
	}
	return size / 3
}

// Colour is the colour of a role; fully transparent for [None] and for roles that do not exist.
func (t Theme) Colour(r Role) color.NRGBA {
	if int(r) >= roleCount {
		return color.NRGBA{}
	}
	return t.colours[r]
}

// CSS is the colour of a role as SVG and CSS write it: "#1B1E23", "var(--ink)", or "none".
func (t Theme) CSS(r Role) string {
	if r == None || int(r) >= roleCount {
		return "none"
	}
	if t.Vars {
		return "var(--" + variable(r) + ")"
	}
	c := t.colours[r]
	return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B)
}

func variable(r Role) string {
	switch {
	case r >= textRoles:
		return "c" + strconv.Itoa(int(r-textRoles)+1) + "-text"
	case r >= lineRoles:
		return "c" + strconv.Itoa(int(r-lineRoles)+1)
	}
	return [...]string{"", "paper", "wash", "ink", "ink-soft", "rule", "hair", "stop", "heed"}[r]
}
