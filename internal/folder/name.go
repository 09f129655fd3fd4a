package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"
)

// mostName bounds a file's name, in bytes. What lies in .basswright has longer
// names made of it, and file systems end at 255.
const mostName = 100

// A study is named by its file without the extension. Where that would be
// unclear (two files that differ in the extension alone; a further extension
// within the name), the file's whole name is the study's.

// file finds the file of a study. It only says where the file would be, if
// there is one.
func (f *Folder) file(name string) (string, error) {
	if err := checkName(name); err != nil {
		return "", err
	}
	if hasExtension(name) {
		return name, nil
	}
	for _, ext := range extensions {
		if _, err := f.root.Lstat(name + ext); err == nil {
			return name + ext, nil
		} else if !errors.Is(err, fs.ErrNotExist) {
			return "", fmt.Errorf("looking for %s: %w", name, err)
		}
	}
	return "", &NotFoundError{name}
}

// newFile is the file that a new study of this name gets. A name that would hide
// another study, or be hidden by one, is taken; so is one that looks the same.
// except is the file that gives up its name for it.
func (f *Folder) newFile(name, ext, except string) (string, error) {
	if err := checkName(name); err != nil {
		return "", err
	}
	_, err := f.file(stem(name))
	var missing *NotFoundError
	switch {
	case errors.As(err, &missing):
	case err != nil:
		return "", err
	default:
		return "", &ExistsError{name}
	}
	if same, err := f.looksLike(name, except); err != nil {
		return "", fmt.Errorf("looking for names like %s: %w", name, err)
	} else if same {
		return "", &NameError{name, "looks the same as the name of another study", "choose another name"}
	}
	if !hasExtension(name) {
		name += ext
	}
	return name, nil
}

// name is the inverse of file.
func (f *Folder) name(file string) string {
	short := stem(file)
	if hasExtension(short) {
		return file
	}
	if path.Ext(file) != extensions[0] {
		if _, err := f.root.Lstat(short + extensions[0]); err == nil {
			return file
		}
	}
	return short
}

var extensions = []string{".yaml", ".yml"} // the first is what new files get, and comes first

func hasExtension(name string) bool { return stem(name) != name }

func stem(name string) string {
	for _, ext := range extensions {
		if short, ok := strings.CutSuffix(name, ext); ok && short != "" {
			return short
		}
	}
	return name
}

// checkName refuses what could lead out of the folder, what a screen would show
// as something else, and what other systems cannot store, since folders travel.
func checkName(name string) error {
	refuse := func(reason, mend string) error { return &NameError{name, reason, mend} }
	room := mostName
	if !hasExtension(name) {
		room -= len(extensions[0])
	}
	switch {
	case name == "":
		return refuse("is no name", "give the study one")
	case len(name) > room:
		return refuse(fmt.Sprintf("is longer than %d bytes", room), "choose a shorter name")
	case !utf8.ValidString(name):
		return refuse("is not UTF-8 text", "rename the file")
	case strings.ContainsAny(name, `/\`):
		return refuse("leads to another folder", "name a study of this folder")
	case strings.HasPrefix(name, "."):
		return refuse("starts with a dot, as hidden files do", "start with a letter or digit")
	case strings.HasPrefix(name, " "), strings.HasSuffix(stem(name), " "), strings.HasSuffix(stem(name), "."):
		return refuse("starts or ends with a space, or ends with a dot", "leave that away")
	case strings.ContainsAny(name, `<>:"|?*`):
		return refuse(`holds one of < > : " | ? *, which not every system can store`, "leave that away")
	case holdsUnseen(name):
		return refuse("holds a sign that cannot be seen", "leave that away")
	case reserved(name):
		return refuse("is the name of a device on some systems", "choose another name")
	}
	return nil
}

// reserved knows the device names of Windows, which hold with any extension.
func reserved(name string) bool {
	word, _, _ := strings.Cut(strings.ToUpper(name), ".")
	word = strings.TrimRight(word, " ")
	switch word {
	case "CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$":
		return true
	}
	port, ok := strings.CutPrefix(word, "COM")
	if !ok {
		port, ok = strings.CutPrefix(word, "LPT")
	}
	return ok && utf8.RuneCountInString(port) == 1 && strings.Contains("0123456789¹²³", port)
}
