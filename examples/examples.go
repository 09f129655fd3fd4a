// Package examples holds the studies that the manual and the workbench begin
// from.
package examples

import (
	"embed"
	"io/fs"
	"strings"
)

//go:embed *.yaml
var files embed.FS

// All are the examples by their names, without extension.
func All() map[string][]byte {
	out := map[string][]byte{}
	entries, err := fs.ReadDir(files, ".")
	if err != nil {
		panic(err) // the pattern above names them
	}
	for _, e := range entries {
		data, err := files.ReadFile(e.Name())
		if err != nil {
			panic(err)
		}
		out[strings.TrimSuffix(e.Name(), ".yaml")] = data
	}
	return out
}
