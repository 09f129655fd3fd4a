package studyfile

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"unicode/utf8"

	"basswright/internal/study"
)

// mostBytes is the largest file that is read, in bytes.
const mostBytes = 1 << 20

// Read is [Open] of what a reader gives, of which no more is read than a study of
// 1 MiB, the most that is understood. The error is the reader's.
func Read(r io.Reader, name string) (*File, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, err
	}
	return Open(data, name), nil
}

// Parse reads a study from its text, and what it names in its folder by beside,
// without which that is an error. The error is an *Error.
func Parse(data []byte, name string, beside ...Beside) (*study.Study, error) {
	return Open(data, name).Study(beside...)
}

// study makes a study of the tree of a text, of which some may be known.
func (f *faults) study(data []byte, root *node, known reading, build func(*study.Study, int) error, beside ...Beside) (*study.Study, error) {
	if root == nil {
		return nil, f.err()
	}
	w := walker{faults: f, known: known.values}
	v := w.value(root, studyForm, "")
	b := newBuilder(f, v)
	b.was, b.box = known.made, build
	for _, read := range beside {
		b.beside = read
	}
	b.build()
	if len(f.list) > 0 {
		b.study.Candidates = nil // some may be whole, but what they rest on may not be
		return nil, f.errWith(b.study)
	}
	sum := sha256.Sum256(data)
	b.study.Digest = hex.EncodeToString(sum[:])
	return b.study, nil
}

// clean checks that the bytes are text and brings them into the form that the
// parser of YAML wants: no byte order mark, plain line ends.
func clean(data []byte, f *faults) (text []byte, ok bool) {
	start := place{1, 1}
	if len(data) > mostBytes {
		f.at(start, "file-too-large", "", "see whether this is the right file: a study is a few kilobytes", "the file is larger than the %d KiB that are read", mostBytes>>10)
		return nil, false
	}
	text = bytes.TrimPrefix(data, []byte("\ufeff"))
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	if len(bytes.TrimSpace(text)) == 0 {
		f.at(start, "file-empty", "", "begin with study: and a name; the manual has a complete example", "the file is empty")
		return nil, false
	}
	if why, at := notText(text); why != "" {
		if utf16(data) {
			f.at(place{1, 1}, "not-text", "", "save it as UTF-8, which every text editor offers", "the text is written in UTF-16, and a study is read as UTF-8")
			return nil, false
		}
		f.at(placeOf(text, at), "not-text", "", "see whether this is the right file: a study is a text file in UTF-8", "%s", why)
		return nil, false
	}
	return text, true
}

// utf16 says that a text looks written with two bytes a sign: by the mark that begins it, or
// because in its first signs every other byte is 0.
func utf16(data []byte) bool {
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
		return true
	}
	const signs = 8 // "study: x" has no less
	if len(data) < 2*signs {
		return false
	}
	for _, zero := range []int{0, 1} {
		all := true
		for k := range signs {
			all = all && data[2*k+zero] == 0 && data[2*k+1-zero] != 0
		}
		if all {
			return true
		}
	}
	return false
}

// notText finds the first byte that no text in UTF-8 has.
func notText(text []byte) (why string, at int) {
	for i := 0; i < len(text); {
		r, n := utf8.DecodeRune(text[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			return fmt.Sprintf("the byte 0x%02X is not UTF-8", text[i]), i
		case r < ' ' && r != '\t' && r != '\n', r == 0x7f:
			return fmt.Sprintf("the byte 0x%02X has no place in a text", text[i]), i
		}
		i += n
	}
	return "", 0
}

// placeOf is the line and column, counted in characters, of a byte.
func placeOf(text []byte, at int) place {
	before := text[:at]
	line := bytes.Count(before, []byte("\n"))
	start := bytes.LastIndexByte(before, '\n') + 1
	return place{line + 1, utf8.RuneCount(before[start:]) + 1}
}
