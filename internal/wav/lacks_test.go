package wav

import (
	"bytes"
	"encoding/binary"
	"testing"
)

// What a header promises and a file does not have is counted in whole samples of
// each channel; where the header does not know the length, nothing is lacking.
func TestWhatAFileLacks(t *testing.T) {
	whole := file(1, 2, 48000, 16, nil, make([]byte, 4*100))
	at := len(whole) - 400 - 4 // where the length of the samples stands
	for _, c := range []struct {
		name     string
		promised uint32
		cut      int
		has      int
		lacks    int
	}{
		{"whole", 400, 0, 100, 0},
		{"cut after a frame", 400, 40, 90, 10},
		{"cut inside a frame", 400, 41, 89, 11},
		{"half a frame promised", 402, 0, 100, 0},
		{"written as it was recorded", 0, 40, 90, 0},
		{"the same with all bits set", 0xFFFFFFFF, 40, 90, 0},
		{"more behind it", 360, 0, 90, 0},
	} {
		data := bytes.Clone(whole[:len(whole)-c.cut])
		binary.LittleEndian.PutUint32(data[at:], c.promised)
		s, err := Read(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if len(s.Channels[0]) != c.has || s.Lacks != c.lacks {
			t.Errorf("%s: %d samples, %d lacking; want %d and %d", c.name, len(s.Channels[0]), s.Lacks, c.has, c.lacks)
		}
		if want := float64(c.has+c.lacks) / 48000; s.Promised() != want {
			t.Errorf("%s: promised %g s, want %g", c.name, s.Promised(), want)
		}
	}
}
