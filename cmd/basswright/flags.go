package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// released dates the manual pages, so that they are the same from every build.
var released = time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)

// frequency is a flag whose value carries its unit.
type frequency float64

func (f *frequency) Set(text string) error {
	q, err := phys.Parse(text, phys.Frequency)
	if err != nil {
		return err
	}
	if q.SI < study.LowestFrequency || q.SI > study.HighestFrequency {
		return fmt.Errorf("%s lies outside %g Hz to %g Hz", text, study.LowestFrequency, study.HighestFrequency)
	}
	*f = frequency(q.SI)
	return nil
}

func (f *frequency) Type() string { return "FREQUENCY" }
func (f *frequency) String() string {
	if *f == 0 {
		return ""
	}
	return phys.Digits(float64(*f), 4) + " Hz"
}

// frequencies is a list of frequencies: 20Hz,31.5Hz.
type frequencies []float64

func (l *frequencies) Set(text string) error {
	for _, part := range strings.Split(text, ",") {
		var f frequency
		if err := f.Set(strings.TrimSpace(part)); err != nil {
			return err
		}
		*l = append(*l, float64(f))
	}
	return nil
}

func (l *frequencies) Type() string { return "FREQUENCIES" }
func (l *frequencies) String() string {
	var s []string
	for _, f := range *l {
		s = append(s, phys.Digits(f, 4)+" Hz")
	}
	return strings.Join(s, ",")
}

// choice is a flag that takes one of a few words.
type choice struct {
	value string
	words []string
}

func oneOf(words ...string) *choice { return &choice{value: words[0], words: words} }

func (c *choice) Set(text string) error {
	for _, w := range c.words {
		if w == text {
			c.value = text
			return nil
		}
	}
	return fmt.Errorf("choose one of %s", strings.Join(c.words, ", "))
}

func (c *choice) Type() string   { return strings.Join(c.words, "|") }
func (c *choice) String() string { return c.value }

// addChoice adds a choice to a command, with its completion.
func addChoice(cmd *cobra.Command, c *choice, name, help string) {
	cmd.Flags().Var(c, name, help)
	_ = cmd.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(c.words, cobra.ShellCompDirectiveNoFileComp))
}

// span is the range and number of points of the curves.
type span struct {
	from, to frequency
	points   int
}

func (s *span) add(f *pflag.FlagSet) {
	s.from, s.to = 10, 400
	f.Var(&s.from, "from", "lower end of the curves")
	f.Var(&s.to, "to", "upper end of the curves")
	f.IntVar(&s.points, "points", 400, "points of each curve, spaced evenly on a log scale")
}

func (s *span) options() (study.Options, error) {
	switch {
	case s.from >= s.to:
		return study.Options{}, usagef("--from %s must be below --to %s", s.from.String(), s.to.String())
	case s.points < 2 || s.points > study.MostPoints:
		return study.Options{}, usagef("--points takes 2 to %d", study.MostPoints)
	}
	return study.Options{From: float64(s.from), To: float64(s.to), Points: s.points}, nil
}

// spanFlags are the flags of a span.
var spanFlags = []string{"from", "to", "points"}

// frequencies lists those of the span.
func (s *span) frequencies() ([]float64, error) {
	opt, err := s.options()
	if err != nil {
		return nil, err
	}
	return study.Frequencies(opt.From, opt.To, opt.Points), nil
}

// given names those of some flags that are on the command line, "" if none is.
func given(cmd *cobra.Command, flags ...string) string {
	var out []string
	for _, name := range flags {
		if cmd.Flags().Changed(name) {
			out = append(out, "--"+name)
		}
	}
	return strings.Join(out, ", ")
}

// extension is the format that the name of a file ends in.
func extension(file string) string {
	return strings.ToLower(strings.TrimPrefix(filepath.Ext(file), "."))
}

// agree refuses a file whose name ends in another of the formats than the one
// that was asked for: one of the two is a slip.
func agree(cmd *cobra.Command, format *choice, file string) error {
	ext := extension(file)
	if cmd.Flags().Changed("format") && ext != format.value && slices.Contains(format.words, ext) {
		return usagef("the file %s and --format %s contradict each other; change one of them", file, format.value)
	}
	return nil
}

// nearestFlag is the flag of a command that is spelled most like name, if any
// is near enough.
func nearestFlag(cmd *cobra.Command, name string) string {
	best, near := 3, ""
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if d := distance(name, f.Name); d < best || strings.HasPrefix(f.Name, name) && near == "" {
			best, near = d, f.Name
		}
	})
	return near
}

// distance is the number of letters to change, add or leave out (Levenshtein 1966).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
