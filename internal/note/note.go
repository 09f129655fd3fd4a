// Package note holds what the program tells people, as data: findings and
// the steps of a derivation. Whoever makes a number makes the note beside it;
// the terminal, the page and the print render the same notes alike.
package note

import (
	"fmt"

	"basswright/internal/phys"
)

// Severity orders findings from the harmless to the fatal.
type Severity int

// The severities. A Default is a value that was filled in because the study
// left it out; a Caution travels with an output because a result can hurt
// someone; a Warning is a doubtful result; an Error is a thing that cannot be.
const (
	Default Severity = iota + 1
	Caution
	Warning
	Error
)

// String names the severity in the word that is shown to people.
func (s Severity) String() string {
	switch s {
	case Default:
		return "default"
	case Caution:
		return "caution"
	case Warning:
		return "warning"
	case Error:
		return "error"
	}
	return fmt.Sprintf("severity %d", int(s))
}

// Position is a place in a study file. Line and Column count from 1; a zero
// Line means that the place is not known.
type Position struct {
	File   string `json:"file,omitempty"`
	Line   int    `json:"line,omitempty"`
	Column int    `json:"column,omitempty"`
}

// String is file:line:column, as far as it is known.
func (p Position) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.File == "":
		return fmt.Sprintf("%d:%d", p.Line, p.Column)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// A Finding is one thing that a person should know.
type Finding struct {
	ID       string   `json:"id"` // stable, kebab-case: "sheet-disagrees", "default-leakage"
	Severity Severity `json:"severity"`
	Where    string   `json:"where,omitempty"` // path in the study: "candidates.tuned.enclosure.port"
	At       Position `json:"at,omitzero"`
	Text     string   `json:"text"`           // one sentence or clause, no full stop
	Mend     string   `json:"mend,omitempty"` // what to do about it, if anything

	Instead []string `json:"instead,omitempty"` // texts, any of which may stand in place of what is faulty at At
	Apart   *Apart   `json:"apart,omitempty"`   // what is said twice, differently
}

// Apart is a value that a sheet gives and that also follows from others.
type Apart struct {
	Key     string `json:"key"`              // "bl"
	Says    string `json:"says"`             // as the sheet has it
	Follows string `json:"follows"`          // what the others give
	From    string `json:"from"`             // those: "re, sd and fs"
	Formula string `json:"formula"`          // by which it follows
	Allows  string `json:"allows,omitempty"` // what their printed digits leave open: "11.4 T m to 11.9 T m"
	Leads   bool   `json:"leads"`            // it may be trusted in place of the others
}

// A Step is one line of a derivation: a quantity, how it came about and why.
type Step struct {
	Name    string     `json:"name"`              // "Moving mass"
	Symbol  string     `json:"symbol,omitempty"`  // "Mms"
	Kind    phys.Kind  `json:"-"`                 // what is measured; its unit follows from it
	Single  phys.Maybe `json:"single"`            // the single driver's value, SI
	Value   phys.Maybe `json:"value"`             // the group's value, SI
	Factor  phys.Maybe `json:"factor"`            // Value/Single, where that has a meaning
	Rule    string     `json:"rule,omitempty"`    // "× n", "÷ n", "unchanged"
	Why     string     `json:"why"`               // the reason in one plain sentence
	Formula string     `json:"formula,omitempty"` // "Mms = n · m · Mms₁"
	Numbers string     `json:"numbers,omitempty"` // the formula with the numbers in it
	Source  string     `json:"source,omitempty"`  // author, year, equation; or "common practice, no source"
}
