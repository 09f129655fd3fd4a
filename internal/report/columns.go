package report

import "strings"

// apartBy is the least space between two columns of numbers, in letters: with less,
// two numbers look like one.
const apartBy = 2

// columnWidths are as wide as asked for, the last one for all further columns too,
// or as what stands in a column needs.
func columnWidths(rows [][]string, least ...int) []int {
	var out []int
	for _, row := range rows {
		for i, c := range row {
			if i == len(out) {
				out = append(out, least[min(i, len(least)-1)])
			}
			need := width(c)
			if i > 0 {
				need += apartBy
			}
			out[i] = max(out[i], need)
		}
	}
	return out
}

// ranged is a row with each cell at the right edge of its column.
func ranged(row []string, widths []int) string {
	var out strings.Builder
	for i, c := range row {
		out.WriteString(left(c, widths[i]))
	}
	return out.String()
}

// columns writes rows under each other, with what stands behind each, of which the
// last may have none; one without cells is an empty line.
func (p *printer) columns(rows [][]string, behind []string, least ...int) {
	widths := columnWidths(rows, least...)
	for i, row := range rows {
		p.line("%s", ranged(row, widths)+lineOf(behind, i))
	}
}
