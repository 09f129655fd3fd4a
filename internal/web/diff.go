package web

import (
	"fmt"
	"strings"
)

const (
	// mostTable bounds the table of a comparison, which has a place for every pair of
	// lines between what both texts begin and end with: a thousand by a thousand.
	mostTable = 1000 * 1000
	around    = 3   // lines that both have, told before and behind each that differs
	mostRun   = 400 // lines told of those that follow each other and differ alike
	mostTold  = 4000
)

// diff compares two texts line by line: what only one has, with some lines that
// both have around it, in the longest common order. Where that is beyond mostTable
// all lines in between are told as gone and as new. What is left out is told as a
// gap, so that the answer is bounded whatever the texts are.
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
	var runs []run
	runs = add(runs, "same", 0, 0, head)
	runs = between(runs, a[:len(a)-tail], b[:len(b)-tail], head)
	runs = add(runs, "same", len(a)-tail, len(b)-tail, tail)
	return told(runs, a, b)
}

// run is lines that follow each other and are alike in being the same, gone or new.
type run struct {
	sort        string
	left, right int // index of the first, in either text
	count       int
}

func add(runs []run, sort string, left, right, count int) []run {
	if n := len(runs) - 1; n >= 0 && runs[n].sort == sort {
		runs[n].count += count
		return runs
	}
	if count == 0 {
		return runs
	}
	return append(runs, run{sort, left, right, count})
}

// told is the lines of the runs that are told.
func told(runs []run, a, b []string) []Lined {
	out := []Lined{}
	for n, r := range runs {
		line := func(k int) {
			switch r.sort {
			case "gone":
				out = append(out, Lined{r.sort, r.left + k + 1, 0, a[r.left+k]})
			case "new":
				out = append(out, Lined{r.sort, 0, r.right + k + 1, b[r.right+k]})
			default:
				out = append(out, Lined{r.sort, r.left + k + 1, r.right + k + 1, a[r.left+k]})
			}
		}
		first, last := mostRun, 0 // of the run
		if r.sort == "same" {
			first, last = around, around
			if n == 0 {
				first = 0
			}
			if n == len(runs)-1 {
				last = 0
			}
		}
		if first+last+1 >= r.count && (r.sort != "same" || len(runs) > 1) {
			first, last = r.count, 0
		}
		if len(out)+first+last > mostTold {
			rest := 0
			for _, r := range runs[n:] {
				if r.sort != "same" {
					rest += r.count
				}
			}
			return append(out, Lined{Sort: "gap", Text: fmt.Sprintf("%d further lines differ", rest)})
		}
		for k := range first {
			line(k)
		}
		if left := r.count - first - last; left > 0 && (r.sort != "same" || len(runs) > 1) {
			words := map[string]string{"same": "%d lines are the same", "gone": "%d further lines are gone", "new": "%d further lines are new"}
			out = append(out, Lined{Sort: "gap", Text: fmt.Sprintf(words[r.sort], left)})
		}
		for k := r.count - last; k < r.count && first < r.count; k++ {
			line(k)
		}
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
func between(runs []run, a, b []string, head int) []run {
	n, m := len(a)-head, len(b)-head
	if n*m > mostTable {
		return add(add(runs, "gone", head, head, n), "new", len(a), head, m)
	}
	common := make([][]int, n+1) // length of the longest common order from (i, j) on
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
	i, j := 0, 0
	for i < n || j < m {
		switch {
		case i < n && j < m && a[head+i] == b[head+j]:
			runs = add(runs, "same", head+i, head+j, 1)
			i, j = i+1, j+1
		case i < n && (j == m || common[i+1][j] >= common[i][j+1]):
			runs = add(runs, "gone", head+i, head+j, 1)
			i++
		default:
			runs = add(runs, "new", head+i, head+j, 1)
			j++
		}
	}
	return runs
}
