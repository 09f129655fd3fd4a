package main

import (
	"bufio"
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"

	"basswright/internal/wav"
)

// noSound are the ends of names that promise something else than a WAV file.
var noSound = append([]string{"aif", "aiff", "flac", "htm", "html", "mp3", "ogg", "txt"}, otherFormats...)

// files refuses names that would be read as something else than they are, or under
// which one thing would write over another.
func (v *playing) files(study string) error {
	switch {
	case v.pressure != "" && sameFile(v.pressure, v.movement):
		return usagef("pressure and movement cannot go into one file; give them two names")
	case v.sound == "-" && study == "-":
		return usagef("the study and the piece cannot both come from standard input; name a file for one of them")
	}
	for _, f := range []struct{ flag, file string }{{"--pressure", v.pressure}, {"--movement", v.movement}} {
		switch {
		case f.file == "":
		case slices.Contains(noSound, extension(f.file)):
			return usagef("%s is written as WAV, and %s would not be read as one; name it .wav", f.flag, f.file)
		case !isStdout(f.file) && sameFile(f.file, v.out):
			return usagef("the text and %s would both be written to %s; name two files", f.flag, f.file)
		}
	}
	if extension(v.out) == "wav" {
		return usagef("--output takes the text, and %s would be read as sound; write sound with --pressure or --movement", v.out)
	}
	return v.spares()
}

// soundAlone says whether a sound takes the place of the text.
func (v *playing) soundAlone() bool {
	return isStdout(v.out) && (isStdout(v.pressure) || isStdout(v.movement))
}

// spares refuses to write over the piece that is played, under whatever name.
func (v *playing) spares() error {
	if v.sound == "-" {
		return nil
	}
	piece, err := os.Stat(v.sound)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return usagef("there is no file %s; name the piece that is played, a WAV file", v.sound)
	case err != nil:
		return usageError{err}
	case piece.IsDir():
		return usagef("%s is a folder; name the piece that is played, a WAV file", v.sound)
	}
	for _, f := range []struct{ flag, file string }{{"--pressure", v.pressure}, {"--movement", v.movement}, {"--output", v.out}} {
		if there, err := os.Stat(f.file); f.file != "" && err == nil && os.SameFile(piece, there) {
			return usagef("%s would write over %s, the piece that is played; give it another name", f.flag, v.sound)
		}
	}
	return nil
}

// piece is what is played, in words.
func (v *playing) piece() string {
	if v.sound == "-" {
		return "standard input"
	}
	return v.sound
}

// hear reads the sound.
func (v *playing) hear() (*wav.Sound, error) {
	in := io.Reader(v.app.in)
	if v.sound != "-" {
		f, err := os.Open(v.sound)
		if err != nil {
			return nil, usageError{err}
		}
		defer f.Close()
		in = f
	}
	s, err := wav.Read(bufio.NewReader(in))
	if err != nil {
		return nil, usagef("%s: %v", v.piece(), err)
	}
	return s, nil
}
