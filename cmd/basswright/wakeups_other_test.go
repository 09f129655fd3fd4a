//go:build !linux

package main

import (
	"fmt"
	"os"
)

// tellSlack is a program that gathers its wake-ups.
func tellSlack() {
	gatherWakeups()
	fmt.Println(os.Args[1:])
}
