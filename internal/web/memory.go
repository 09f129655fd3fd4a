package web

import (
	"math"
	"runtime/debug"
)

// memoryLimit is how much memory the program takes before it collects more often,
// in bytes. What is kept and what one turn makes is far below.
const memoryLimit = 512 << 20

// TuneMemory makes the program collect seldom while there is room: answers while a
// number is dragged live for milliseconds, and a collection is a pause. Whoever set
// a limit of the runtime keeps it.
func TuneMemory() {
	debug.SetGCPercent(800)
	if debug.SetMemoryLimit(-1) == math.MaxInt64 {
		debug.SetMemoryLimit(memoryLimit)
	}
}
