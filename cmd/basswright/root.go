package main

import "github.com/spf13/cobra"

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
  6. basswright serve FOLDER     the workbench: all of it on a page in the browser

Exit codes: 0 done; 1 it could not be done; 2 the input or the usage is wrong;
3 done, and the brief is not met; 130 interrupted.`

// root builds the command tree.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "basswright",
		Short:         "Compare ways of loading a woofer",
		Long:          about,
		Version:       version,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          unknown("verb"),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return cmd.Help()
		},
	}
	root.SetVersionTemplate("basswright {{.Version}}\n")
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(a.compare(), a.explain(), a.sweep(), a.distortion(), a.heat(), a.signal(), a.figure(), a.check(), a.serve(), a.export(), a.man())
	ownWords(root)
	return root
}
