package main

import (
	"os"
	"runtime"

	"golang.org/x/sys/unix"
)

// wakeSlack is how late a thread may be woken, ns. Nothing here is as urgent.
const wakeSlack = 1_000_000

// gatherWakeups starts the program anew as one whose threads may be woken a little late
// (prctl(2), PR_SET_TIMERSLACK), which the first thread alone can say for those that the
// runtime starts before main. One of them looks after the others every 20 µs for as long as
// something is done, whatever that is: where a system gives it the same processor and takes
// 65 µs to change over and back, an answer of 3 ms took 6. Where it cannot be done, all is
// as it was.
func gatherWakeups() {
	slack, err := unix.PrctlRetInt(unix.PR_GET_TIMERSLACK, 0, 0, 0, 0)
	if err != nil || slack >= wakeSlack {
		return
	}
	program, err := os.Executable()
	if err != nil {
		return
	}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	if unix.Prctl(unix.PR_SET_TIMERSLACK, wakeSlack, 0, 0, 0) == nil {
		_ = unix.Exec(program, os.Args, os.Environ()) // whoever comes back from it goes on
	}
}
