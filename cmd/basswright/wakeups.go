//go:build !linux

package main

// gatherWakeups does nothing where no system call is known for it.
func gatherWakeups() {}
