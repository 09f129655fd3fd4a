package wav

import (
	"bytes"
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// file builds a WAV file by hand, byte by byte as the format’s description has it.
func file(tag uint16, channels, rate, bits int, extra []byte, data []byte) []byte {
	var b bytes.Buffer
	le := func(v any) {
		if err := binary.Write(&b, binary.LittleEndian, v); err != nil {
			panic(err)
		}
	}
	b.WriteString("RIFF")
	le(uint32(0)) // nobody should trust it
	b.WriteString("WAVE")
	b.WriteString("LIST")
	le(uint32(3))
	b.WriteString("abc\x00") // odd chunks are padded
	b.WriteString("fmt ")
	le(uint32(16 + len(extra)))
	le(tag)
	le(uint16(channels))
	le(uint32(rate))
	le(uint32(rate * channels * bits / 8))
	le(uint16(channels * bits / 8))
	le(uint16(bits))
	b.Write(extra)
	b.WriteString("data")
	le(uint32(len(data)))
	b.Write(data)
	return b.Bytes()
}

func TestSamplesOfEveryFormat(t *testing.T) {
	f32, f64 := make([]byte, 8), make([]byte, 16)
	binary.LittleEndian.PutUint32(f32, math.Float32bits(0.25))
	binary.LittleEndian.PutUint32(f32[4:], math.Float32bits(-1.5))
	binary.LittleEndian.PutUint64(f64, math.Float64bits(0.25))
	binary.LittleEndian.PutUint64(f64[8:], math.Float64bits(-1.5))
	extensible := append(append([]byte{22, 0, 24, 0, 0, 0, 0, 0}, 1, 0), make([]byte, 14)...)
	for _, c := range []struct {
		tag  uint16
		bits int
		more []byte
		data []byte
		want []float64
	}{
		{1, 8, nil, []byte{128, 255, 0, 192}, []float64{0, 127.0 / 128, -1, 0.5}},
		{1, 16, nil, []byte{0, 0x40, 0, 0x80}, []float64{0.5, -1}},
		{1, 24, nil, []byte{0, 0, 0x40, 0, 0, 0x80, 1, 0, 0}, []float64{0.5, -1, 1.0 / (1 << 23)}},
		{1, 32, nil, []byte{0, 0, 0, 0x40, 0, 0, 0, 0x80}, []float64{0.5, -1}},
		{3, 32, nil, f32, []float64{0.25, -1.5}},
		{3, 64, nil, f64, []float64{0.25, -1.5}},
		{0xFFFE, 24, extensible, []byte{0, 0, 0x40}, []float64{0.5}},
	} {
		s, err := Read(bytes.NewReader(file(c.tag, 1, 48000, c.bits, c.more, c.data)))
		if err != nil {
			t.Errorf("format %d, %d bits: %v", c.tag, c.bits, err)
			continue
		}
		if s.Rate != 48000 || len(s.Channels[0]) != len(c.want) {
			t.Fatalf("format %d, %d bits: %+v", c.tag, c.bits, s)
		}
		for k, v := range s.Channels[0] {
			if v != c.want[k] {
				t.Errorf("format %d, %d bits: sample %d is %g, want %g", c.tag, c.bits, k, v, c.want[k])
			}
		}
	}
	s, err := Read(bytes.NewReader(file(1, 2, 44100, 16, nil, []byte{0, 0x40, 0, 0xC0, 0, 0x20}))) // half a frame at the end
	if err != nil || len(s.Channels) != 2 || s.Channels[0][0] != 0.5 || s.Channels[1][0] != -0.5 || len(s.Channels[0]) != 1 {
		t.Errorf("two channels: %+v, %v", s, err)
	}
}

func TestWhatIsNoSound(t *testing.T) {
	nan := make([]byte, 4)
	binary.LittleEndian.PutUint32(nan, math.Float32bits(float32(math.NaN())))
	for name, c := range map[string]struct {
		data []byte
		why  string
	}{
		"empty":          {nil, "no WAV file"},
		"text":           {[]byte("once upon a time there was a woofer"), "no WAV file"},
		"cut":            {file(1, 1, 48000, 16, nil, nil)[:30], "ends"},
		"no samples":     {file(1, 1, 48000, 16, nil, nil), "no samples"},
		"compressed":     {file(2, 1, 48000, 4, nil, []byte{1}), "not read"},
		"many channels":  {file(1, 99, 48000, 16, nil, []byte{1, 2}), "channels"},
		"rate":           {file(1, 1, 1, 16, nil, []byte{1, 2}), "sampling rate"},
		"not a number":   {file(3, 1, 48000, 32, nil, nan), "not a number"},
		"short extended": {file(0xFFFE, 1, 48000, 16, nil, []byte{1, 2}), "too short"},
	} {
		if _, err := Read(bytes.NewReader(c.data)); err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// What is written is read back as it was.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float32Range(-2, 2), 1, 200).Draw(t, "samples")
		var b bytes.Buffer
		if err := Write(&b, 96000, y); err != nil {
			t.Fatal(err)
		}
		s, err := Read(&b)
		if err != nil || s.Rate != 96000 || len(s.Channels[0]) != len(y) {
			t.Fatalf("%+v, %v", s, err)
		}
		for k, v := range y {
			if s.Channels[0][k] != float64(v) {
				t.Fatalf("sample %d is %g, was %g", k, s.Channels[0][k], v)
			}
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add(file(1, 2, 44100, 16, nil, []byte{0, 0x40, 0, 0xC0}))
	f.Add([]byte("RIFF\x00\x00\x00\x00WAVEdata"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := Read(bytes.NewReader(data))
		if err == nil && (len(s.Channels) == 0 || len(s.Channels[0]) == 0 || s.Seconds() <= 0) {
			t.Fatalf("a sound without samples: %+v", s)
		}
	})
}
