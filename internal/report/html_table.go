package report

import (
	"fmt"
	"strings"

	"basswright/internal/study"
)

// mostBeside is how many candidates stand beside each other in a table of A4
// width.
const mostBeside = 4

// tableOf shares n candidates out evenly over as few tables as hold them.
func tableOf(n int) int {
	tables := (n + mostBeside - 1) / mostBeside
	return (n + tables - 1) / tables
}

// key lists the rows that stand on the first page.
var key = map[string]bool{
	"drivers": true, "mounting": true, "wiring": true, "polarity": true, "net_volume": true, "outside": true, "f3_hz": true, "f10_hz": true,
	"reference_level_db": true, "level_asked_db": true, "lowest_impedance_ohm": true, "price": true, "weight_kg": true, "weight_lb": true,
}

func (d *pageData) blocks(r *study.Result) error {
	list := rows(r)
	perBlock := tableOf(len(r.Candidates))
	for from := 0; from < len(r.Candidates); from += perBlock {
		some := r.Candidates[from:min(len(r.Candidates), from+perBlock)]
		b := pageBlock{Names: d.Candidates[from : from+len(some)], Span: len(some) + 1}
		for _, w := range list {
			line := pageRow{Group: w.group, Name: w.name, Unit: w.unit, Span: b.Span}
			for _, o := range some {
				c := w.cell(o)
				missed := askedOf(r.Study, o, w.key)
				line.Cells = append(line.Cells, pageCell{Text: c.text, At: c.at, Asked: missed, Bad: c.bad || missed != ""})
			}
			line.Name = capital(line.Name)
			b.Rows = append(b.Rows, line)
			if key[w.key] {
				b.Key = append(b.Key, line)
			}
		}
		if r.HasBrief {
			line := pageRow{Name: "Against the brief"}
			for _, o := range some {
				line.Cells = append(line.Cells, against(r, o))
			}
			b.Key = append(b.Key, line)
		}
		if err := b.limits(r, some); err != nil {
			return err
		}
		d.Blocks = append(d.Blocks, b)
	}
	return nil
}

// against is what a candidate misses, in a few words.
func against(r *study.Result, o *study.Outcome) pageCell {
	if len(o.Misses) == 0 {
		return pageCell{Text: o.Kept(r.Study)}
	}
	var parts []string
	seen := map[string]bool{}
	for _, m := range o.Misses {
		if !seen[m.Short] {
			seen[m.Short] = true
			parts = append(parts, m.Short)
		}
	}
	return pageCell{Text: strings.Join(parts, "; "), Bad: true}
}

func (b *pageBlock) limits(r *study.Result, some []*study.Outcome) error {
	for _, k := range checksOf(r) {
		line := pageRow{Name: capital(k.Name)}
		for _, o := range some {
			c, ok := checkOf(o, k.ID)
			if !ok || !c.Fill.OK() {
				line.Cells = append(line.Cells, pageCell{Text: "–"})
				continue
			}
			g, err := gaugeSVG(float64(c.Fill), fmt.Sprintf("g%d%s", o.Index, c.ID))
			if err != nil {
				return err
			}
			line.Cells = append(line.Cells, pageCell{Text: checkValue(c, r.Study.Units), At: strings.TrimSpace(ownLimit(k, c) + " " + at(study.Peak{At: c.At}, r.Study.Units)), Bad: !c.Passed, Gauge: g})
		}
		b.Limits = append(b.Limits, line)
	}
	return nil
}
