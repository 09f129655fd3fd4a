package web

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// toldShort is a comparison in short: "=3/3 a", "-4 b", "+5 c", "… words".
func toldShort(list []Lined) string {
	var out []string
	for _, l := range list {
		switch l.Sort {
		case "same":
			out = append(out, fmt.Sprintf("=%d/%d %s", l.Left, l.Right, l.Text))
		case "gone":
			out = append(out, fmt.Sprintf("-%d %s", l.Left, l.Text))
		case "new":
			out = append(out, fmt.Sprintf("+%d %s", l.Right, l.Text))
		default:
			out = append(out, "… "+l.Text)
		}
	}
	return strings.Join(out, "; ")
}

func numbered(from, to int) string {
	var b strings.Builder
	for n := from; n <= to; n++ {
		fmt.Fprintf(&b, "l%d\n", n)
	}
	return b.String()
}

func TestDiff(t *testing.T) {
	for _, c := range []struct{ was, is, want string }{
		{"", "", ""},
		{"a\nb\n", "a\r\nb", ""},
		{"", "a\n", "+1 a"},
		{"a\n", "", "-1 a"},
		{"a\nb\nc\n", "a\nx\nc\n", "=1/1 a; -2 b; +2 x; =3/3 c"},
		{"a\nb\n", "b\na\n", "-1 a; =2/1 b; +2 a"},
		{numbered(1, 9), numbered(1, 8) + "x\n", "… 5 lines are the same; =6/6 l6; =7/7 l7; =8/8 l8; -9 l9; +9 x"},
		{"x\n" + numbered(1, 9) + "y\n", numbered(1, 9), "-1 x; =2/1 l1; =3/2 l2; =4/3 l3; … 3 lines are the same; =8/7 l7; =9/8 l8; =10/9 l9; -11 y"},
		{"x\n" + numbered(1, 7) + "y\n", numbered(1, 7), "-1 x; =2/1 l1; =3/2 l2; =4/3 l3; =5/4 l4; =6/5 l5; =7/6 l6; =8/7 l7; -9 y"},
	} {
		if have := toldShort(diff(c.was, c.is)); have != c.want {
			t.Errorf("%q to %q:\n%s\nwant\n%s", c.was, c.is, have, c.want)
		}
	}
}

// Whatever two texts are, their comparison is bounded, and says what it leaves out.
func TestDiffIsBounded(t *testing.T) {
	const lines = 520_000
	for name, c := range map[string]struct {
		was, is, says string
	}{
		"nothing alike":  {strings.Repeat("a\n", lines), strings.Repeat("b\n", lines), "519600 further lines are gone"},
		"nothing before": {"", strings.Repeat("b\n", lines), "519600 further lines are new"},
	} {
		list := diff(c.was, c.is)
		data, err := json.Marshal(list)
		if err != nil {
			t.Fatal(err)
		}
		if len(list) > mostTold+1 || len(data) > 1<<20 {
			t.Errorf("%s: %d lines, %d kB", name, len(list), len(data)>>10)
		}
		if !strings.Contains(toldShort(list), c.says) {
			t.Errorf("%s: %s is not said in %.300s", name, c.says, toldShort(list))
		}
	}
	// Many small places of those that the table takes: 950 lines, every second another.
	var was, is strings.Builder
	for n := range 480 {
		fmt.Fprintf(&was, "both %d\nx%d\n", n, n)
		fmt.Fprintf(&is, "both %d\ny%d\n", n, n)
	}
	list := diff(was.String(), is.String())
	gone, fresh := 0, 0
	for _, l := range list {
		switch l.Sort {
		case "gone":
			gone++
		case "new":
			fresh++
		}
	}
	if gone != 480 || fresh != 480 {
		t.Errorf("%d gone and %d new of 480 each", gone, fresh)
	}
}
