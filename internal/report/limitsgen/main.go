// Command limitsgen writes the table of thresholds into a page of the manual. Its
// argument is the page.
package main

import (
	"fmt"
	"os"

	"basswright/internal/report"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "limitsgen:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("usage: limitsgen PAGE")
	}
	page, err := os.ReadFile(args[0])
	if err != nil {
		return err
	}
	if page, err = report.WithThresholds(page); err != nil {
		return err
	}
	return os.WriteFile(args[0], page, 0o644)
}
