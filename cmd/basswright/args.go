package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// oneStudy takes exactly one study and completes its name.
func oneStudy(c *cobra.Command) *cobra.Command {
	c.Args = one("study")
	c.ValidArgsFunction = studies
	return c
}

// one takes exactly one argument of a kind; its name stands in the verb's usage.
func one(kind string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 1 {
			return nil
		}
		_, name, _ := strings.Cut(cmd.Use, " ")
		example, _, _ := strings.Cut(strings.TrimSpace(cmd.Example), "\n")
		return usagef("%s takes one %s, %s, and got %d; for example: %s", cmd.CommandPath(), kind, name, len(args), example)
	}
}

// atMostOne takes one argument of a kind or none.
func atMostOne(kind string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) <= 1 {
			return nil
		}
		return usagef("%s takes at most one %s, and got %d", cmd.CommandPath(), kind, len(args))
	}
}

// none takes no argument.
func none(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return usagef("%s takes nothing after it; leave out %q", cmd.CommandPath(), args[0])
}

// unknown answers a word that is none of the commands below with the nearest
// ones and with all there are.
func unknown(kind string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		var names []string
		for _, c := range cmd.Commands() {
			if c.IsAvailableCommand() {
				names = append(names, c.Name())
			}
		}
		all := fmt.Sprintf("%ss are %s", kind, strings.Join(names, ", "))
		cmd.SuggestionsMinimumDistance = 2
		if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
			return usagef("there is no %s %q; did you mean %s? The %s", kind, args[0], strings.Join(near, " or "), all)
		}
		return usagef("there is no %s %q; the %s", kind, args[0], all)
	}
}

// ownWords makes the verbs that come with the library, completion and help,
// refuse what they do not know like all others: by themselves they answer it
// with their help and exit code 0.
func ownWords(root *cobra.Command) {
	root.InitDefaultCompletionCmd()
	root.InitDefaultHelpCmd()
	for _, c := range root.Commands() {
		switch c.Name() {
		case "completion":
			c.Args = unknown("shell")
			c.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
			for _, shell := range c.Commands() {
				shell.Args = none
			}
		case "help":
			c.Args = func(_ *cobra.Command, args []string) error {
				about, rest, err := root.Find(args)
				if err != nil || !about.HasSubCommands() {
					return err
				}
				return about.Args(about, rest)
			}
		}
	}
}
