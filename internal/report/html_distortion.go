package report

import (
	"fmt"
	"html/template"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/study"
)

// distortion adds the figures of distortion to the page: the whole of it for all
// candidates where there are several, then the harmonics of each.
func (d *pageData) distortion(st *study.Study, list []*study.DistortionCurve) error {
	var sets [][]*study.DistortionCurve
	if len(list) > 1 {
		sets = append(sets, list)
	}
	for i := range list {
		sets = append(sets, list[i:i+1])
	}
	for i, set := range sets {
		p, ok := distortionPlot(st, set)
		if !ok {
			continue
		}
		f := pageFigure{Number: len(d.Figures) + 1, Title: "Distortion of " + set[0].Candidate.Name, Caption: "the harmonics of its sound pressure"}
		w := halfPx
		if f.Wide = len(set) > 1; f.Wide {
			f.Title, f.Caption, w = "Distortion", "all harmonics together (THD)", widePx
		}
		f.Caption += " in dB against the fundamental, against Hz; " + distortionDrive(st, set) + "; " + percents + "."
		if len(p.told) > 0 {
			f.Caption += " " + capital(strings.Join(p.told, "; ")) + "."
		}
		var err error
		if f.SVG, err = distortionOnPage(st, set, p, w, fmt.Sprintf("d%d", i)); err != nil {
			return err
		}
		if f.Wide {
			if f.Narrow, err = distortionOnPage(st, set, p, phoneSVG, "dp"); err != nil {
				return err
			}
		}
		d.Figures = append(d.Figures, f)
	}
	return nil
}

// distortionOnPage is a figure of distortion as large as its place on the page.
func distortionOnPage(st *study.Study, set []*study.DistortionCurve, p picture, w float64, prefix string) (template.HTML, error) {
	p.W, p.H, p.Size, p.Stroke = w, halfHigh, 11, 1.6
	if w == widePx {
		p.H, p.Size, p.Stroke = 1.6*halfHigh, 12, 2
	}
	p.X.Name, p.Y.Name = "", "dB"
	scene := draw.NewScene(p.W, p.H, draw.Screen())
	scene.Title, scene.Desc = distortionTitle(st, set), distortionDesc(st, set, p.told)
	p.Draw(scene, 0, 0)
	return inline(scene, prefix, 0)
}
