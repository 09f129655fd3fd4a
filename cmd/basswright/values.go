package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// The types of the flags' values. Each refuses what it cannot take with a mend;
// flagError puts the flag's name in front.

// frequency is a flag whose value carries its unit.
type frequency float64

func (f *frequency) Set(text string) error {
	q, err := phys.Parse(text, phys.Frequency)
	if err != nil {
		return err
	}
	if q.SI < study.LowestFrequency || q.SI > study.HighestFrequency {
		return fmt.Errorf("outside what can be computed; write %g Hz to %g Hz", study.LowestFrequency, study.HighestFrequency)
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
	if !slices.Contains(c.words, text) {
		return fmt.Errorf("choose one of %s", strings.Join(c.words, ", "))
	}
	c.value = text
	return nil
}

func (c *choice) Type() string {
	if c.many() {
		return "WORD"
	}
	return strings.Join(c.words, "|")
}

func (c *choice) String() string { return c.value }

// many says that the words would fill a line of the help by themselves.
func (c *choice) many() bool { return len(c.words) > 5 }

// count is a number of points.
type count int

func (c *count) Set(text string) error {
	n, err := strconv.Atoi(text)
	if err != nil || n < 2 || n > study.MostPoints {
		return fmt.Errorf("write a whole number from 2 to %d", study.MostPoints)
	}
	*c = count(n)
	return nil
}

func (c *count) Type() string   { return "NUMBER" }
func (c *count) String() string { return strconv.Itoa(int(*c)) }

// seconds is the length of a recording.
type seconds float64

func (s *seconds) Set(text string) error {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= 0.01 && v <= 5) {
		return errors.New("write a number of seconds from 0.01 to 5, such as 0.5")
	}
	*s = seconds(v)
	return nil
}

func (s *seconds) Type() string   { return "SECONDS" }
func (s *seconds) String() string { return strconv.FormatFloat(float64(*s), 'g', -1, 64) }

// word is a name that is not empty: a variable of the shell that is not set must
// not count as a flag that is not given.
type word struct {
	value *string
	kind  string // as the help shows it
}

func (w word) Set(text string) error {
	if text == "" {
		return fmt.Errorf("write a %s, or leave the flag out", strings.ToLower(w.kind))
	}
	*w.value = text
	return nil
}

func (w word) Type() string   { return w.kind }
func (w word) String() string { return *w.value }

// list is some names, each once: one,two.
type list []string

func (l *list) Set(text string) error {
	for _, part := range strings.Split(text, ",") {
		switch part = strings.TrimSpace(part); {
		case part == "":
			return errors.New("write names with a comma between two, or leave the flag out")
		case slices.Contains(*l, part):
			return fmt.Errorf("%s stands there twice; leave one out", part)
		}
		*l = append(*l, part)
	}
	return nil
}

func (l *list) Type() string   { return "NAMES" }
func (l *list) String() string { return strings.Join(*l, ",") }
