package main

import (
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

// tellSlack is a program that gathers its wake-ups and says how late its threads may be
// woken, ns, and what it was called with.
func tellSlack() {
	gatherWakeups()
	slack := make(chan int)
	go func() { // in a thread that the first has started
		now, err := unix.PrctlRetInt(unix.PR_GET_TIMERSLACK, 0, 0, 0, 0)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
		}
		slack <- now
	}()
	fmt.Println(<-slack, os.Args[1:])
}
