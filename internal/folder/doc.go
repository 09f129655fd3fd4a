// Package folder keeps the studies of one folder: it lists, reads, saves,
// copies and renames them, keeps a history of each beside them, and watches for
// what others change. It knows files, not what a study says.
//
// # What it holds
//
//   - A study's file is always whole, the text before or the text after,
//     whatever ends the program and whenever.
//   - No edit is lost. A save names the revision it started from; if the disk
//     holds another, nothing is written and both are told. What a save replaces
//     is a state of the history first. Where the system can exchange two files in
//     one step (Linux), what was in fact replaced is looked at after the
//     exchange, so that an edit made in the last instant is found and put back.
//     The replaced file stays aside for some seconds, so that what an editor
//     still writes into it becomes a state as well.
//   - The folder is the boundary. All goes through an os.Root, only regular
//     files directly in the folder are read, and nothing is opened that could
//     make the program wait.
//
// # What lies in .basswright
//
// One history for each study (see history.go), a lock, the token of the server if
// one was made (see secret.go), and files that are about to take the place of a
// study or that gave it up just now. All of it can be removed while the program is
// not running; only the histories are lost then, and a new token is made.
package folder
