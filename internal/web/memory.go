package web

import (
	"math"
	"runtime/debug"
)

// memoryLimit is how much memory the program takes before it collects more often,
// in bytes. What is kept and what one turn makes is far below.
const memoryLimit = 512 << 20

// growth is by how many percent what is in use grows before it is collected. Answers while a
// number is dragged live for milliseconds, and a collection is in the way of one; but fresh
// memory for each of them costs more than to collect a little more often.
const growth = 250

// TuneMemory makes the program collect less often than usual. Whoever set a limit of the
// runtime keeps it.
func TuneMemory() {
	debug.SetGCPercent(growth)
	if debug.SetMemoryLimit(-1) == math.MaxInt64 {
		debug.SetMemoryLimit(memoryLimit)
	}
}
