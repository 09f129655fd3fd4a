// Package draw turns figures into SVG, PNG and PDF.
//
// It has two halves. A [Scene] is a list of shapes and texts in units of its own (px-like, y down) whose colours are
// roles ("ink", "the line of candidate 2"); a [Theme] turns roles into colours, and one back end for each file type
// writes the same geometry. A [Plot] is a set of axes with curves, limits and labels that draws itself onto a scene.
//
// The package knows no audio: only that a frequency axis is logarithmic and carries the preferred numbers of ISO 266.
// It does no I/O but to the writer that it is given, reads no clock, and the same scene always gives the same bytes.
//
// Text in PNG and PDF is set in the Go fonts (Bigelow & Holmes, in golang.org/x/image); SVG names the reader's own
// system face. [MeasureText] answers for the Go fonts, which are wider than most system faces, so room that is
// measured here is room enough there.
package draw
