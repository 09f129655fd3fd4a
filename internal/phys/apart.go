package phys

// mostApart is how many digits are shown at the most to tell two values apart.
const mostApart = 6

// ShowApart is Show with as many digits as tell a value from another one that
// stands beside it: what passes 14 mm is 14.05 mm, and not 14.0 mm. Values that six
// digits do not tell apart are shown alike.
func ShowApart(si, from float64, k Kind, s System) string {
	u := k.Unit(s)
	digits := func(v float64, more int) string {
		switch k {
		case Level:
			return Fixed(v, 1+more)
		case Mass:
			return Digits(v, 4+more)
		}
		return Digits(v, 3+more)
	}
	v, other := u.Of(si), u.Of(from)
	text := digits(v, 0)
	for more := 1; more <= mostApart-3 && text == digits(other, more-1); more++ {
		text = digits(v, more)
	}
	return withUnit(text, u)
}
