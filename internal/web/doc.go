// Package web is the workbench: a server on the loopback for the studies of one
// folder, and the page that it serves. It keeps no study of its own: every answer
// is made from the files and from what the page sends, by the same evaluation as
// the command line.
//
// Who asks must be on this machine, or know the token; who asks for a page of
// another name than the server's, or from a page of another server, is refused
// (guard.go). Bodies, streams and computing time are bounded (work.go).
package web

//go:generate go run describe.go
