package report

import "strings"

// units are those that stand behind a number in what is told and in the study’s own
// words. The house style has a thin space between the two, at which no line breaks; a
// person’s text, a piece of a study and what comes from outside have a plain one.
const units = " % A C F Hz K L N Pa V W cm cm2 cm² cm3 dB dBA deg ft ft³ g h in kHz kPa kg kohm lb m m/s m2 m3 m³ mH min mm ms nF ohm s uF Ω °C °F µF "

// together are the words of a text, a number and the unit behind it as one.
func together(s string) []string {
	var out []string
	for word := range strings.SplitSeq(s, " ") {
		if n := len(out) - 1; n >= 0 && endsInDigit(out[n]) && strings.Contains(units, " "+strings.TrimRight(word, ",;:.)}]’”")+" ") {
			out[n] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}

func endsInDigit(s string) bool {
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}
