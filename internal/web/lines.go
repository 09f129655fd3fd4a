package web

import (
	"fmt"
	"strings"

	"basswright/internal/draw"
)

// Lines is how the page draws the candidates' lines, written for it: figures
// and page have one rule, that of draw.
func Lines() []byte {
	var b strings.Builder
	b.WriteString("// Made from internal/draw by go generate ./internal/web: not to be edited.\n\n")
	b.WriteString("/** The looks of candidates by their place: colour from 1, dash at a width of 2, whether it is of dots. Then they begin again. */\n")
	b.WriteString("export const looks: readonly (readonly [colour: number, dash: readonly number[], dotted: boolean])[] = [\n")
	for i := range draw.Looks {
		fmt.Fprintf(&b, "  [%d, [%s], %t],\n", i%draw.Candidates+1, strings.Trim(strings.Join(strings.Fields(fmt.Sprint(draw.Dash(i))), ", "), "[]"), draw.Dotted(i))
	}
	b.WriteString("]\n")
	return []byte(b.String())
}
