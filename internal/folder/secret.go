package folder

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
)

const (
	secretFile  = hidden + "/token"
	leastSecret = 16 // signs
)

// Secret is a word that is kept beside the studies, so that who knows it still
// knows it after a restart. It is made where there is none; who may read it is its
// owner alone. Where one is there that others may read, or write, it is no secret,
// and another takes its place.
func (f *Folder) Secret() (string, error) {
	leave, err := f.enter(f.patience)
	if err != nil {
		return "", fmt.Errorf("keeping the token: %w", err)
	}
	defer leave()
	if known, err := f.secret(); err == nil {
		return known, nil
	}
	made := rand.Text()
	name := secretFile + "." + rand.Text()[:12] + partEnd
	out, err := f.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return "", fmt.Errorf("keeping the token: %w", err)
	}
	_, err = out.WriteString(made + "\n")
	if err = errors.Join(err, out.Sync(), out.Close()); err == nil {
		err = f.root.Rename(name, secretFile)
	}
	if err != nil {
		return "", errors.Join(fmt.Errorf("keeping the token: %w", err), f.root.Remove(name))
	}
	return made, nil
}

var errNoSecret = errors.New("it is none")

// secret reads the word that is kept.
func (f *Folder) secret() (string, error) {
	in, info, err := f.open(secretFile, os.O_RDONLY, 0)
	if err != nil {
		return "", err
	}
	defer in.Close()
	text, err := io.ReadAll(io.LimitReader(in, 1<<10))
	if err != nil {
		return "", err
	}
	word := strings.TrimSpace(string(text))
	if !private(info) || len(word) < leastSecret || strings.ContainsFunc(word, func(r rune) bool { return r <= ' ' || r > '~' }) {
		return "", errNoSecret
	}
	return word, nil
}
