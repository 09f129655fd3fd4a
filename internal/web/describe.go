//go:build ignore

// Writes the description of the interface, from which the page's client is made,
// and how it draws the candidates' lines.
package main

import (
	"log"
	"os"

	"basswright/internal/web"
)

func main() {
	text, err := web.Description()
	if err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("ui/openapi.yaml", text, 0o644); err != nil {
		log.Fatal(err)
	}
	if err := os.WriteFile("ui/src/lines.gen.ts", web.Lines(), 0o644); err != nil {
		log.Fatal(err)
	}
}
