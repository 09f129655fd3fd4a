package web

import (
	"math"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync/atomic"
)

// memoryLimit is what the server takes before the runtime collects more often,
// in bytes. What is kept and what one turn makes is far below.
const memoryLimit = 512 << 20

// LimitMemory makes the program collect more often once it has taken much. Whoever set a
// limit of the runtime keeps it.
func LimitMemory() {
	if debug.SetMemoryLimit(-1) == math.MaxInt64 {
		debug.SetMemoryLimit(memoryLimit)
	}
}

// A collector collects what is past while nothing is asked. Left to itself the runtime
// begins when an answer has taken what is left, and that answer pays for all those before:
// one of twenty while a number is dragged, which then takes twice as long.
type collector struct {
	under atomic.Bool
	seen  atomic.Uint64 // how many collections there had been at the last look
}

// soon is how far from what was left by the last collection to the size at which the
// runtime means to have ended the next it is time for one: the runtime begins at seven
// tenths at the earliest.
const soon = 0.55

// due says whether it is time, in bytes: what was left, where the runtime means to end, what is taken.
func due(left, ends, now float64) bool { return now-left >= soon*(ends-left) }

// spare tells that there is time: it collects if it soon has to be.
func (c *collector) spare() {
	s := [...]metrics.Sample{{Name: "/gc/heap/live:bytes"}, {Name: "/gc/heap/goal:bytes"}, {Name: "/memory/classes/heap/objects:bytes"}, {Name: "/gc/cycles/total:gc-cycles"}}
	metrics.Read(s[:])
	of := func(k int) float64 { return float64(s[k].Value.Uint64()) }
	if n := s[3].Value.Uint64(); c.seen.Swap(n) != n {
		return // there has just been one, of which what is free may still count as taken
	}
	if !due(of(0), of(1), of(2)) || !c.under.CompareAndSwap(false, true) {
		return
	}
	go func() {
		defer c.under.Store(false)
		runtime.GC()
	}()
}
