package web

import (
	"encoding/binary"
	"encoding/json"
	"io"
	"slices"
	"sync"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/danielgtaylor/huma/v2"
)

// asciiJSON is JSON (RFC 8259) with every other character escaped. A browser keeps such a
// text at one byte a character, which is read faster, and the answers to a drag are read
// many times a second.
var asciiJSON = huma.Format{
	Marshal: func(w io.Writer, v any) error {
		enc := json.NewEncoder(ascii{w})
		enc.SetEscapeHTML(false)
		return enc.Encode(v)
	},
	Unmarshal: json.Unmarshal,
}

// ascii escapes what is not ASCII in JSON, which has that in its strings alone.
type ascii struct{ w io.Writer }

// escaping are texts being escaped, kept for the next.
var escaping = sync.Pool{New: func() any { return new([]byte) }}

// notASCII are the bits that no eight characters of ASCII have.
const notASCII = 0x8080808080808080

// Write takes a whole text: none of its characters may go on in the next.
func (a ascii) Write(p []byte) (int, error) {
	kept := escaping.Get().(*[]byte)
	defer escaping.Put(kept)
	out := slices.Grow((*kept)[:0], len(p)+len(p)/16)
	begun := 0 // of what can be written as it is
	for i := 0; i < len(p); {
		if i+8 <= len(p) && binary.NativeEndian.Uint64(p[i:])&notASCII == 0 {
			i += 8
			continue
		}
		if p[i] < utf8.RuneSelf {
			i++
			continue
		}
		r, size := utf8.DecodeRune(p[i:])
		out = appendEscaped(append(out, p[begun:i]...), r)
		i += size
		begun = i
	}
	*kept = append(out, p[begun:]...)
	if _, err := a.w.Write(*kept); err != nil {
		return 0, err
	}
	return len(p), nil
}

// appendEscaped writes a character as four hexadecimal digits for each half of its UTF-16.
func appendEscaped(out []byte, r rune) []byte {
	const digits = "0123456789abcdef"
	var halves [2]uint16
	for _, u := range utf16.AppendRune(halves[:0], r) {
		out = append(out, '\\', 'u', digits[u>>12], digits[u>>8&15], digits[u>>4&15], digits[u&15])
	}
	return out
}
