package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

const about = `basswright helps a bass-system designer to decide how to load woofers: how many,
side by side or in isobaric stacks, how wired, in what enclosure, how large, how
tuned; and to prove that the choice meets the brief inside every limit.

Everything starts from a study: one YAML file with the brief, the woofers of the
shortlist and the candidates to be compared. Every quantity in it carries its
unit. All verbs read the same physical model of a candidate, a network of
electrical, mechanical and acoustic elements, so they never disagree.

  1. Write a study, or copy one from examples/.
  2. basswright check STUDY      is it sound?
  3. basswright compare STUDY    which candidate does what, side by side?
  4. basswright explain STUDY    where does each number come from?
  5. basswright figure STUDY     a picture for a lesson or a catalogue

Exit codes: 0 done; 1 it could not be done; 2 the input or the usage is wrong;
3 done, and the brief is not met.`

// root builds the command tree.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "basswright",
		Short:         "Compare ways of loading a woofer",
		Long:          about,
		Version:       version,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return cmd.Help()
		},
	}
	root.SuggestionsMinimumDistance = 2
	root.SetVersionTemplate("basswright {{.Version}}\n")
	root.CompletionOptions.HiddenDefaultCmd = false
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(a.compare(), a.explain(), a.sweep(), a.figure(), a.check(), a.export(), a.man())
	for _, c := range root.Commands() {
		c.Args = usageArgs(c.Args)
		for _, sub := range c.Commands() {
			sub.Args = usageArgs(sub.Args)
		}
	}
	root.Args = unknownVerb
	return root
}

// unknownVerb answers a word that is no verb with the nearest ones.
func unknownVerb(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	msg := fmt.Sprintf("there is no verb %q", args[0])
	if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
		msg += "; did you mean " + strings.Join(near, " or ") + "?"
	} else {
		msg += "; the verbs are listed by: basswright --help"
	}
	return usagef("%s", msg)
}

// usageArgs makes a wrong number of arguments a usage error.
func usageArgs(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if check == nil {
			return nil
		}
		if err := check(cmd, args); err != nil {
			return usagef("%s takes one study, such as: %s\n(%v)", cmd.CommandPath(), strings.TrimSpace(strings.Split(cmd.Example, "\n")[0]), err)
		}
		return nil
	}
}

// flagError answers a mistyped flag with the nearest one.
func flagError(cmd *cobra.Command, err error) error {
	text := err.Error()
	if name, ok := strings.CutPrefix(text, "unknown flag: --"); ok {
		if near := nearestFlag(cmd, name); near != "" {
			return usagef("there is no flag --%s; did you mean --%s?", name, near)
		}
		return usagef("there is no flag --%s; see: %s --help", name, cmd.CommandPath())
	}
	return usagef("%s; see: %s --help", text, cmd.CommandPath())
}

// study takes exactly one study and completes its name.
func oneStudy(c *cobra.Command) *cobra.Command {
	c.Args = cobra.ExactArgs(1)
	c.ValidArgsFunction = studies
	return c
}

// man writes the manual pages.
func (a *app) man() *cobra.Command {
	return &cobra.Command{
		Use:     "man FOLDER",
		Short:   "Write the manual pages of all verbs into a folder",
		Example: "  basswright man ./man && man -l ./man/basswright-compare.1",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return err
			}
			root := cmd.Root()
			root.DisableAutoGenTag = true
			header := &doc.GenManHeader{Title: "BASSWRIGHT", Section: "1", Source: "basswright " + version, Manual: "basswright manual", Date: &released}
			if err := doc.GenManTree(root, header, args[0]); err != nil {
				return err
			}
			pages, err := filepath.Glob(filepath.Join(args[0], "basswright*.1"))
			if err != nil {
				return err
			}
			fmt.Fprintf(a.err, "%d manual pages in %s\n", len(pages), args[0])
			return nil
		},
	}
}
