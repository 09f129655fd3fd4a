package main

import (
	"fmt"
	"io"
	"strings"
	"time"
)

// patience is how long a verb says nothing of what it is at.
const patience = time.Second

// watched tells on a terminal what share of something long is over. What comes of it
// is nil where nobody watches; done wipes it away.
func (a *app) watched(of string) (progress func(part float64), done func()) {
	if a.width == 0 {
		return nil, func() {}
	}
	begun, most := time.Now(), 0
	return func(part float64) {
			if time.Since(begun) > patience {
				most = max(most, tell(a.err, fmt.Sprintf("%3.0f %% of %s", 100*part, of)))
			}
		}, func() {
			wipe(a.err, most)
		}
}

// busy tells on a terminal, second by second, that something goes on of which nobody
// knows the end; done ends that and wipes it away.
func (a *app) busy(at string) (done func()) {
	if a.width == 0 {
		return func() {}
	}
	stop, stopped := make(chan struct{}), make(chan int)
	go func() {
		begun, most := time.Now(), 0
		tick := time.NewTicker(patience)
		defer tick.Stop()
		for {
			select {
			case <-stop:
				stopped <- most
				return
			case <-tick.C:
				most = max(most, tell(a.err, fmt.Sprintf("%s, for %.0f s", at, time.Since(begun).Seconds())))
			}
		}
	}()
	return func() {
		close(stop)
		wipe(a.err, <-stopped)
	}
}

// tell writes over the line, and says how long it is now.
func tell(w io.Writer, text string) int {
	fmt.Fprint(w, "\r"+text)
	return len([]rune(text))
}

func wipe(w io.Writer, columns int) {
	if columns > 0 {
		fmt.Fprint(w, "\r"+strings.Repeat(" ", columns)+"\r")
	}
}
