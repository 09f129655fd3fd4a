// Package studyfile reads a study file (YAML 1.2) into a study. One table of
// keys says what may stand in it; the same table checks the file, makes the
// JSON Schema that editors use, and lists the keys for the manual.
//
// All faults of a file are reported, each with file, line, column and a mend.
package studyfile

//go:generate go run ./schemagen ../../docs
