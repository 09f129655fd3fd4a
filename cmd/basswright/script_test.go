package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"slack": tellSlack,
		"basswright": func() {
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
			defer stop()
			os.Exit(run(ctx, os.Args[1:], streams{in: os.Stdin, out: os.Stdout, err: os.Stderr}))
		},
	})
}

// The scripts drive the whole program: arguments in; standard output, standard
// error, files and exit codes out. $EXAMPLES is the folder of the examples.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			return nil
		},
		Condition: func(cond string) (bool, error) { // [realtime]: this user may give a program a real-time policy
			if cond != "realtime" {
				return false, fmt.Errorf("%s is no condition", cond)
			}
			return exec.Command("chrt", "-f", "1", "true").Run() == nil, nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exit": exits, "fetch": fetch, "await": await},
	})
}

// exits runs "exit N basswright …" and checks the exit code, which exec cannot.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exit CODE COMMAND …")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := 0
	if err != nil {
		code = -1
		if e, ok := err.(interface{ ExitCode() int }); ok {
			code = e.ExitCode()
		}
	}
	if want := args[0]; want != strconv.Itoa(code) {
		ts.Fatalf("exit code %d, want %s", code, want)
	}
}
