// Command basswright compares ways of loading a woofer. See its --help, the
// manual in docs/ and the examples.
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"

	"golang.org/x/term"
)

// version is the release; the build may set it.
var version = "0.1.0"

func main() {
	if len(os.Args) > 1 && os.Args[1] == "serve" { // which answers while somebody waits
		gatherWakeups()
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	context.AfterFunc(ctx, stop) // a second interrupt ends what does not heed the first
	code := run(ctx, os.Args[1:], streams{in: os.Stdin, out: os.Stdout, err: os.Stderr, colour: colourful(os.Stdout), width: terminalWidth(os.Stdout)})
	stop()
	os.Exit(code)
}

// colourful says whether a stream is a terminal that wants colour
// (no-color.org: any value of NO_COLOR but the empty one switches it off).
func colourful(f *os.File) bool {
	return term.IsTerminal(int(f.Fd())) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}

// terminalWidth is the width of a terminal in columns, or 0 for a pipe.
func terminalWidth(f *os.File) int {
	w, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return w
}

// The exit codes.
const (
	exitDone    = 0
	exitFailed  = 1 // it could not be done
	exitInput   = 2 // the input or the usage is wrong
	exitNotMet  = 3 // done, and the brief is not met
	interrupted = 130
)

// run is the whole program but for the process around it.
func run(ctx context.Context, args []string, s streams) int {
	app := &app{streams: s}
	root := app.root()
	root.SetArgs(args)
	root.SetOut(s.out)
	root.SetErr(s.err)
	err := root.ExecuteContext(ctx)
	switch {
	case err == nil:
		return app.code
	case ctx.Err() != nil:
		fmt.Fprintln(s.err, "cancelled")
		return interrupted
	}
	return app.report(err)
}
