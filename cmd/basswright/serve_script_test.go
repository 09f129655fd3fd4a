package main

import (
	"bytes"
	"io"
	"net/http"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// await runs "await FILE": it waits until a program in the background has
// written an address into FILE.
func await(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: await FILE")
	}
	for range 1000 {
		if text, err := os.ReadFile(ts.MkAbs(args[0])); err == nil && bytes.HasSuffix(text, []byte("\n")) {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	ts.Fatalf("nothing was written into %s", args[0])
}

// fetch runs "fetch STATUS ADDRESS PATH TO [BODY [HEADER VALUE]…]": it asks the
// server whose address stands in the file ADDRESS and writes the answer into the
// file TO. With a BODY other than "" it posts.
func fetch(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 4 {
		ts.Fatalf("usage: fetch STATUS ADDRESS PATH TO [BODY [HEADER VALUE]…]")
	}
	base, token, _ := strings.Cut(strings.TrimSpace(ts.ReadFile(args[1])), "?")
	address := strings.TrimSuffix(base, "/") + args[2]
	address = strings.ReplaceAll(address, "TOKEN", token)
	req, err := http.NewRequest("GET", address, nil)
	if len(args) > 4 && args[4] != "" {
		req, err = http.NewRequest("POST", address, strings.NewReader(args[4]))
	}
	ts.Check(err)
	req.Header.Set("Content-Type", "application/json")
	for i := 5; i+1 < len(args); i += 2 {
		req.Header.Set(args[i], args[i+1])
		if args[i] == "Host" {
			req.Host = args[i+1]
		}
	}
	res, err := http.DefaultTransport.RoundTrip(req) // which follows no redirects
	ts.Check(err)
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	ts.Check(err)
	if strconv.Itoa(res.StatusCode) != args[0] {
		ts.Fatalf("%s: %s, want %s\n%s", address, res.Status, args[0], body)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[3]), body, 0o644))
}
