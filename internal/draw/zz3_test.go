package draw

import (
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"testing"
)

func TestZZw(t *testing.T) {
	for _, r := range "-\u00ad−_¯" {
		f := Regular.font()
		var b sfnt.Buffer
		gi, _ := f.GlyphIndex(&b, r)
		bb, a, _ := f.GlyphBounds(&b, gi, fixed.I(2048), 0)
		t.Logf("%U %d %v %v", r, gi, bb, a)
	}
}
