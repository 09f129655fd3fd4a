// Command schemagen writes what is made from the table of the study file's
// keys: the JSON Schema and the list of keys for the manual. Its argument is
// the folder that they belong in.
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"basswright/internal/studyfile"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "schemagen:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("usage: schemagen FOLDER")
	}
	for _, f := range []struct {
		name string
		text []byte
	}{
		{"study.schema.json", studyfile.Schema()},
		{"study-keys.md", studyfile.KeysMarkdown()},
	} {
		if err := os.WriteFile(filepath.Join(args[0], f.name), f.text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
