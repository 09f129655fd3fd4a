package web

import "strings"

// mostCompared bounds the lines of a comparison: the table below grows with the
// product of what differs.
const mostCompared = 4000

// diff compares two texts line by line: what both have, in the longest common
// order, and between that what only one has. Beyond mostCompared differing lines
// it is told as all gone and all new.
func diff(was, is string) []Lined {
	a, b := lines(was), lines(is)
	head := 0
	for head < len(a) && head < len(b) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < len(a)-head && tail < len(b)-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	out := make([]Lined, 0, len(a)+len(b))
	same := func(i, j int) { out = append(out, Lined{"same", i + 1, j + 1, a[i]}) }
	for i := range head {
		same(i, i)
	}
	out = between(out, a[:len(a)-tail], b[:len(b)-tail], head)
	for k := tail; k > 0; k-- {
		same(len(a)-k, len(b)-k)
	}
	return out
}

func lines(text string) []string {
	text = strings.TrimSuffix(strings.ReplaceAll(text, "\r\n", "\n"), "\n")
	if text == "" {
		return nil
	}
	return strings.Split(text, "\n")
}

// between compares what follows the common head.
func between(out []Lined, a, b []string, head int) []Lined {
	n, m := len(a)-head, len(b)-head
	var common [][]int // length of the longest common order from (i, j) on
	if n*m <= mostCompared*mostCompared/16 {
		common = make([][]int, n+1)
		for i := range common {
			common[i] = make([]int, m+1)
		}
		for i := n - 1; i >= 0; i-- {
			for j := m - 1; j >= 0; j-- {
				if a[head+i] == b[head+j] {
					common[i][j] = common[i+1][j+1] + 1
				} else {
					common[i][j] = max(common[i+1][j], common[i][j+1])
				}
			}
		}
	}
	i, j := 0, 0
	for i < n || j < m {
		switch {
		case common != nil && i < n && j < m && a[head+i] == b[head+j]:
			out = append(out, Lined{"same", head + i + 1, head + j + 1, a[head+i]})
			i, j = i+1, j+1
		case i < n && (j == m || common == nil || common[i+1][j] >= common[i][j+1]):
			out = append(out, Lined{"gone", head + i + 1, 0, a[head+i]})
			i++
		default:
			out = append(out, Lined{"new", 0, head + j + 1, b[head+j]})
			j++
		}
	}
	return out
}
