package main

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// byName tells how a format that is not asked for is found.
const byName = "(or by the file’s name)"

// addChoice adds a choice to a command, with its completion.
func addChoice(cmd *cobra.Command, c *choice, name, help string) {
	if c.many() {
		help += ": " + strings.Join(c.words, ", ")
	}
	cmd.Flags().Var(c, name, help)
	complete(cmd, name, cobra.FixedCompletions(c.words, cobra.ShellCompDirectiveNoFileComp))
}

// addCandidate adds a flag that names a candidate of the study.
func (a *app) addCandidate(cmd *cobra.Command, name *string, flag, help string) {
	cmd.Flags().Var(word{name, "CANDIDATE"}, flag, help)
	complete(cmd, flag, a.candidateNames)
}

// complete says how a flag's value is completed; it fails only if there is no
// such flag.
func complete(cmd *cobra.Command, flag string, words cobra.CompletionFunc) {
	if err := cmd.RegisterFlagCompletionFunc(flag, words); err != nil {
		panic(err)
	}
}

// span is the range and number of points of the curves.
type span struct {
	from, to frequency
	points   count
}

func (s *span) add(f *pflag.FlagSet) {
	s.from, s.to, s.points = 10, 400, 400
	f.Var(&s.from, "from", "lower end of the curves")
	f.Var(&s.to, "to", "upper end of the curves")
	f.Var(&s.points, "points", "points of each curve, spaced evenly on a log scale")
}

func (s *span) options() (study.Options, error) {
	if s.from >= s.to {
		return study.Options{}, usagef("--from %s must be below --to %s; change one of them", s.from.String(), s.to.String())
	}
	return study.Options{From: float64(s.from), To: float64(s.to), Points: int(s.points)}, nil
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

// settle takes the format from the file's name where none is asked for, and
// refuses a name that ends in another format than the one asked for: one of the
// two is a slip.
func (c *choice) settle(cmd *cobra.Command, file string) error {
	ext := extension(file)
	switch {
	case !slices.Contains(c.words, ext):
		return nil
	case !cmd.Flags().Changed("format"):
		c.value = ext
	case ext != c.value:
		return usagef("the file %s and --format %s contradict each other; change one of them", file, c.value)
	}
	return nil
}

// flagError tells of a flag that cannot be, in our own words.
func flagError(cmd *cobra.Command, err error) error {
	var (
		unknown *pflag.NotExistError
		lacking *pflag.ValueRequiredError
		wrong   *pflag.InvalidValueError
		garbled *pflag.InvalidSyntaxError
	)
	help := "see: " + cmd.CommandPath() + " --help"
	switch {
	case errors.As(err, &unknown):
		if words := cmd.Flags().Args(); cmd.HasSubCommands() && len(words) > 0 { // the verb is wrong before the flag is
			if err := cmd.ValidateArgs(words); err != nil {
				return err
			}
		}
		name := unknown.GetSpecifiedName()
		if unknown.GetSpecifiedShortnames() != "" {
			return usagef("there is no flag -%s; %s", name, help)
		}
		if near := nearestFlag(cmd, name); near != "" {
			return usagef("there is no flag --%s; did you mean --%s?", name, near)
		}
		return usagef("there is no flag --%s; %s", name, help)
	case errors.As(err, &lacking):
		f := lacking.GetFlag()
		return usagef("--%s takes a value after it, %s; %s", f.Name, f.Value.Type(), help)
	case errors.As(err, &wrong):
		f := wrong.GetFlag()
		if f.Value.Type() == "bool" {
			return usagef("--%s takes nothing after it; leave out %q", f.Name, wrong.GetValue())
		}
		return usagef("--%s %q: %v", f.Name, wrong.GetValue(), wrong.Unwrap())
	case errors.As(err, &garbled):
		return usagef("%s is no flag; %s", garbled.GetSpecifiedFlag(), help)
	}
	return usagef("%v; %s", err, help)
}

// nearestFlag is the flag of a command that is spelled most like name, if any
// is near enough.
func nearestFlag(cmd *cobra.Command, name string) string {
	best, near := 3, ""
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if d := phys.Edits(name, f.Name); d < best || strings.HasPrefix(f.Name, name) && near == "" {
			best, near = d, f.Name
		}
	})
	return near
}
