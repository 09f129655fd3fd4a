// Package studyfile reads a study file (YAML 1.2) into a study. One table of
// keys says what may stand in it; the same table checks the file, makes the
// JSON Schema that editors use, and lists the keys for the manual.
//
// All faults of a file are reported, each with file, line, column and a mend.
//
// Fields lists what stands in a file and what may be added; Edit changes its
// text and nothing but what is named: comments, order and layout stay. Both
// work on spots (spot.go), which know the bytes that a value stands on; what
// a change means is worked out apart (model.go), and the new text is read and
// held against it.
package studyfile

//go:generate go run ./schemagen ../../docs
