// Package wav reads and writes sound files: RIFF WAVE with PCM of 8 to 32 bits or
// floating point of 32 or 64 bits, plain or in the extensible form.
package wav

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
)

// Sound is a sound file: one list of samples, full scale 1, for each channel.
type Sound struct {
	Rate     int // Hz
	Channels [][]float64
	Lacks    int // samples of each channel that its header promises and the file does not have
}

// Promised is how long it lasts by its header, s.
func (s *Sound) Promised() float64 { return s.Seconds() + float64(s.Lacks)/float64(s.Rate) }

// Seconds is how long it lasts.
func (s *Sound) Seconds() float64 { return float64(len(s.Channels[0])) / float64(s.Rate) }

// The bounds of what is read.
const (
	mostChannels = 8
	mostSamples  = 1 << 28 // in all: an hour and a half in mono at 48 kHz
	mostHeader   = 1 << 20 // bytes of chunks that are passed over
)

// The formats of samples.
const (
	formatPCM        = 1
	formatFloat      = 3
	formatExtensible = 0xFFFE
)

// format is what a fmt chunk says.
type format struct {
	tag             uint16
	channels, bytes int
	rate            int
}

// Read reads a sound file. What its data chunk says of its length is not trusted: it
// ends where the file does, and what is lacking then is counted.
func Read(r io.Reader) (*Sound, error) {
	b := bufio.NewReaderSize(r, 1<<16)
	var riff [12]byte
	if _, err := io.ReadFull(b, riff[:]); err != nil || string(riff[:4]) != "RIFF" || string(riff[8:]) != "WAVE" {
		return nil, errors.New("it is no WAV file: it does not begin with RIFF and WAVE")
	}
	var f *format
	passed := 0
	for {
		var head [8]byte
		if _, err := io.ReadFull(b, head[:]); err != nil {
			return nil, errors.New("the WAV file ends before its samples begin")
		}
		size := int64(binary.LittleEndian.Uint32(head[4:]))
		switch string(head[:4]) {
		case "data":
			if f == nil {
				return nil, errors.New("the WAV file does not say what its samples are: it has no fmt chunk before them")
			}
			if size == 0 || size == math.MaxUint32 { // written as it was recorded: the length is not known
				return samples(b, f)
			}
			s, err := samples(io.LimitReader(b, size), f)
			if err == nil {
				s.Lacks = int(size)/(f.bytes*f.channels) - len(s.Channels[0])
			}
			return s, err
		case "fmt ":
			if size < 16 || size > 1024 {
				return nil, fmt.Errorf("a fmt chunk of %d bytes cannot be", size)
			}
			chunk := make([]byte, size+size%2)
			if _, err := io.ReadFull(b, chunk); err != nil {
				return nil, errors.New("the WAV file ends inside its fmt chunk")
			}
			var err error
			if f, err = parse(chunk[:size]); err != nil {
				return nil, err
			}
		default:
			if passed += int(min(size, mostHeader)); size > mostHeader || passed > mostHeader {
				return nil, errors.New("more than 1 MiB of other data stands before the samples")
			}
			if _, err := b.Discard(int(size + size%2)); err != nil {
				return nil, errors.New("the WAV file ends before its samples begin")
			}
		}
	}
}

// parse understands a fmt chunk.
func parse(c []byte) (*format, error) {
	le := binary.LittleEndian
	f := &format{tag: le.Uint16(c), channels: int(le.Uint16(c[2:])), rate: int(le.Uint32(c[4:]))}
	bits := int(le.Uint16(c[14:]))
	if f.tag == formatExtensible {
		if len(c) < 40 {
			return nil, errors.New("the extensible fmt chunk is too short")
		}
		f.tag = le.Uint16(c[24:])
	}
	switch {
	case f.tag == formatPCM && (bits == 8 || bits == 16 || bits == 24 || bits == 32):
	case f.tag == formatFloat && (bits == 32 || bits == 64):
	default:
		return nil, fmt.Errorf("samples of format %d with %d bits are not read: save it as PCM of 16, 24 or 32 bits, or as floating point", f.tag, bits)
	}
	f.bytes = bits / 8
	if f.channels < 1 || f.channels > mostChannels {
		return nil, fmt.Errorf("%d channels are not read: 1 to %d are", f.channels, mostChannels)
	}
	if f.rate < 8000 || f.rate > 768000 {
		return nil, fmt.Errorf("a sampling rate of %d Hz is not read: 8 kHz to 768 kHz are", f.rate)
	}
	return f, nil
}

// samples reads whole frames until the data end.
func samples(r io.Reader, f *format) (*Sound, error) {
	s := &Sound{Rate: f.rate, Channels: make([][]float64, f.channels)}
	frame := make([]byte, f.bytes*f.channels)
	for {
		if _, err := io.ReadFull(r, frame); err != nil {
			break // the end, or half a frame, which is no sample
		}
		for c := range s.Channels {
			v := f.sample(frame[c*f.bytes:])
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, fmt.Errorf("sample %d is not a number", len(s.Channels[c])+1)
			}
			s.Channels[c] = append(s.Channels[c], v)
		}
		if len(s.Channels[0])*f.channels > mostSamples {
			return nil, errors.New("the sound is too long to be held: cut it to an hour")
		}
	}
	if len(s.Channels[0]) == 0 {
		return nil, errors.New("the WAV file has no samples")
	}
	return s, nil
}

// sample is one sample, full scale 1.
func (f *format) sample(b []byte) float64 {
	le := binary.LittleEndian
	switch {
	case f.tag == formatFloat && f.bytes == 4:
		return float64(math.Float32frombits(le.Uint32(b)))
	case f.tag == formatFloat:
		return math.Float64frombits(le.Uint64(b))
	case f.bytes == 1: // the one form without a sign
		return (float64(b[0]) - 128) / 128
	case f.bytes == 2:
		return float64(int16(le.Uint16(b))) / (1 << 15)
	case f.bytes == 3:
		return float64(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)>>8) / (1 << 23)
	}
	return float64(int32(le.Uint32(b))) / (1 << 31)
}

// Write writes one channel as 32-bit floating point (WAVE_FORMAT_IEEE_FLOAT).
func Write(w io.Writer, rate uint32, y []float32) error {
	size := uint32(4 * len(y))
	head := []any{
		[4]byte{'R', 'I', 'F', 'F'}, 4 + 8 + 18 + 8 + 4 + 8 + size, [4]byte{'W', 'A', 'V', 'E'},
		[4]byte{'f', 'm', 't', ' '}, uint32(18), uint16(3), uint16(1), rate, rate * 4, uint16(4), uint16(32), uint16(0),
		[4]byte{'f', 'a', 'c', 't'}, uint32(4), uint32(len(y)),
		[4]byte{'d', 'a', 't', 'a'}, size,
	}
	for _, v := range head {
		if err := binary.Write(w, binary.LittleEndian, v); err != nil {
			return err
		}
	}
	return binary.Write(w, binary.LittleEndian, y)
}
