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
// 65 µs to change over and back, an answer of 3 ms took 6. Where it cannot be done, as of
// a thread under a real-time policy, which keeps its own time, the program goes on.
func gatherWakeups() {
	runtime.LockOSThread() // what is said is said of a thread
	defer runtime.UnlockOSThread()
	slack, err := wakesLate()
	if err != nil || slack >= wakeSlack {
		return
	}
	program, err := os.Executable()
	if err != nil || unix.Prctl(unix.PR_SET_TIMERSLACK, wakeSlack, 0, 0, 0) != nil {
		return
	}
	if now, err := wakesLate(); err == nil && now >= wakeSlack { // else it would begin again and again
		_ = unix.Exec(program, os.Args, os.Environ()) // who comes back from it goes on
	}
	_ = unix.Prctl(unix.PR_SET_TIMERSLACK, uintptr(slack), 0, 0, 0)
}

// wakesLate is how late the thread may be woken, ns.
func wakesLate() (int, error) { return unix.PrctlRetInt(unix.PR_GET_TIMERSLACK, 0, 0, 0, 0) }
