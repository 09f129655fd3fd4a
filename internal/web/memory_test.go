package web

import (
	"runtime"
	"runtime/metrics"
	"testing"
	"time"
)

// It is time once most of what there is till the next collection is taken, and not before.
func TestCollectionIsDue(t *testing.T) {
	for _, c := range []struct {
		left, ends, now float64
		due             bool
	}{
		{10, 20, 10, false}, {10, 20, 10 + 10*soon - 1e-9, false}, {10, 20, 10 + 10*soon, true}, {10, 20, 25, true},
		{10, 10, 10, true}, // at the limit of its memory the runtime collects again and again, in answers too
	} {
		if got := due(c.left, c.ends, c.now); got != c.due {
			t.Errorf("%g left, %g taken, %g at the end: %v", c.left, c.now, c.ends, got)
		}
	}
}

var rubbish []byte

// What answers have taken is collected between them.
func TestSpareTimeCollects(t *testing.T) {
	forced := func() uint64 {
		s := []metrics.Sample{{Name: "/gc/cycles/forced:gc-cycles"}}
		metrics.Read(s)
		return s[0].Value.Uint64()
	}
	var c collector
	runtime.GC()
	before := forced()
	for end := time.Now().Add(20 * time.Second); forced() == before; {
		if time.Now().After(end) {
			t.Fatal("nothing is collected, however much is taken")
		}
		rubbish = make([]byte, 64<<10)
		c.spare()
	}
}
