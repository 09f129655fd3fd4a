package folder

import (
	"bytes"
	"compress/flate"
	"encoding/json"
	"errors"
	"io"
	"time"
	"unicode/utf8"
)

// A record is one line of a history's file: a state with its whole text, or a
// move to another state. States come by increasing id, and a state that is not
// aside becomes the current one.
type record struct {
	ID       int       `json:"id,omitempty"`
	Parent   int       `json:"parent,omitempty"`
	Label    string    `json:"label,omitempty"`
	Saved    time.Time `json:"saved,omitzero"`
	Revision string    `json:"revision,omitempty"`
	Aside    bool      `json:"aside,omitempty"`
	Text     *string   `json:"text,omitempty"`
	Packed   []byte    `json:"packed,omitempty"` // the text by RFC 1951, where that is shorter
	At       int       `json:"at,omitempty"`     // a move
}

// line is the record as it stands in the file.
func (r record) line() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(r) // ends with a line feed
	return b.Bytes(), err
}

// put stores a text. JSON cannot hold every sequence of bytes, and a packed text
// is written in four signs for three bytes.
func (r *record) put(text []byte) {
	packed := pack(text)
	if !utf8.Valid(text) || len(packed)*4/3 < len(text) {
		r.Packed = packed
		return
	}
	s := string(text)
	r.Text = &s
}

var errDamaged = errors.New("damaged")

// text takes the text out again, and checks it against its revision.
func (r record) text() ([]byte, error) {
	var text []byte
	switch {
	case r.Text != nil:
		text = []byte(*r.Text)
	case r.Packed != nil:
		var err error
		in := flate.NewReader(bytes.NewReader(r.Packed))
		if text, err = io.ReadAll(io.LimitReader(in, mostBytes+1)); err != nil {
			return nil, errDamaged
		}
	}
	if len(text) > mostBytes || Revision(text) != r.Revision {
		return nil, errDamaged
	}
	return text, nil
}

func pack(text []byte) []byte {
	var b bytes.Buffer
	w, err := flate.NewWriter(&b, flate.DefaultCompression)
	if err != nil {
		panic("folder: the level of compression is not one")
	}
	w.Write(text) // a buffer takes everything
	w.Close()
	return b.Bytes()
}

// parse reads the lines of a log that starts at an offset of its file. It
// returns where the last whole line ends; what follows was torn off.
func (h *history) parse(data []byte, offset int64) (end int64) {
	end = offset
	for {
		i := bytes.IndexByte(data, '\n')
		if i < 0 {
			return end
		}
		place := span{end, int64(i) + 1}
		var r record
		if json.Unmarshal(data[:i], &r) == nil {
			h.take(r, place)
		}
		end += place.size
		data = data[i+1:]
	}
}
