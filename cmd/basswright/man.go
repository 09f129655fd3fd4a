package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// released dates the manual pages, so that they are the same from every build.
var released = time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)

// man writes the manual pages.
func (a *app) man() *cobra.Command {
	return &cobra.Command{
		Use:     "man FOLDER",
		Short:   "Write the manual pages of all verbs into a folder",
		Example: "  basswright man ./man && man -l ./man/basswright-compare.1",
		Args:    one("folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.writeManual(cmd.Root(), args[0])
		},
	}
}

func (a *app) writeManual(root *cobra.Command, folder string) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return fmt.Errorf("cannot make the folder %s: %w; name one in another place", folder, because(err))
	}
	root.DisableAutoGenTag = true
	n, err := a.manualPages(root, folder)
	if err != nil {
		return err
	}
	fmt.Fprintf(a.err, "%d manual pages in %s\n", n, folder)
	return nil
}

// manualPages writes the pages of a command and of those below it, and counts
// them.
func (a *app) manualPages(cmd *cobra.Command, folder string) (int, error) {
	page, err := manualPage(cmd)
	if err != nil {
		return 0, err
	}
	name := strings.ReplaceAll(cmd.CommandPath(), " ", "-") + ".1"
	err = a.write(filepath.Join(folder, name), func(w io.Writer) error {
		_, err := w.Write(page)
		return err
	})
	if err != nil {
		return 0, err
	}
	n := 1
	for _, c := range cmd.Commands() {
		if !c.IsAvailableCommand() || c.IsAdditionalHelpTopicCommand() {
			continue
		}
		below, err := a.manualPages(c, folder)
		if err != nil {
			return 0, err
		}
		n += below
	}
	return n, nil
}

// The generator writes the default of every flag as if it were to be typed: in
// brackets for a flag that needs no value, --help[=false], and as nothing where
// there is no default, --at= or --report="".
var (
	needless = regexp.MustCompile(`(?m)^(\\fB-.*\\fP)\[=.*\]$`)
	nameless = regexp.MustCompile(`(?m)^(\\fB-.*\\fP)=(?:""|\[\])?$`)
)

// manualPage is the page of one command, in roff.
func manualPage(cmd *cobra.Command) ([]byte, error) {
	header := &doc.GenManHeader{Title: "BASSWRIGHT", Section: "1", Source: "basswright " + version, Manual: "basswright manual", Date: &released}
	cmd.InitDefaultVersionFlag() // like that of help, which the generator does add
	var page bytes.Buffer
	if err := doc.GenMan(cmd, header, &page); err != nil {
		return nil, err
	}
	text := needless.ReplaceAll(page.Bytes(), []byte("$1"))
	return nameless.ReplaceAll(text, []byte(`$1=\fIVALUE\fP`)), nil
}
