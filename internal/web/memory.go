package web

import (
	"math"
	"runtime/debug"
)

// memoryLimit is how much memory the program takes before it collects more often,
// in bytes. What is kept and what one turn makes is far below.
const memoryLimit = 512 << 20

// LimitMemory makes the program collect more often once it has taken much. Whoever set a
// limit of the runtime keeps it.
func LimitMemory() {
	if debug.SetMemoryLimit(-1) == math.MaxInt64 {
		debug.SetMemoryLimit(memoryLimit)
	}
}
