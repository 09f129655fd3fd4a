package folder

import "fmt"

// NotFoundError is a study that is not in the folder.
type NotFoundError struct{ Name string }

func (e *NotFoundError) Error() string {
	return fmt.Sprintf("there is no study %s in this folder; list the studies, or create it", e.Name)
}

// NoStateError is a state that the history does not hold, or no longer whole.
type NoStateError struct {
	Name    string
	ID      int
	Damaged bool
}

func (e *NoStateError) Error() string {
	if e.Damaged {
		return fmt.Sprintf("state %d of the history of %s is damaged; take another", e.ID, e.Name)
	}
	return fmt.Sprintf("the history of %s holds no state %d; it keeps the last %d, list them again", e.Name, e.ID, keepStates)
}

// NothingError is an undo or redo where there is none.
type NothingError struct{ Name, What string } // What: "undo", "redo"

func (e *NothingError) Error() string {
	return fmt.Sprintf("there is nothing to %s in %s; its history shows what there was", e.What, e.Name)
}

// NameError is a name that no study of the folder can have.
type NameError struct{ Name, Reason, Mend string }

func (e *NameError) Error() string { return fmt.Sprintf("%q %s; %s", e.Name, e.Reason, e.Mend) }

// ExistsError is a name that is taken; nothing is ever written over.
type ExistsError struct{ Name string }

func (e *ExistsError) Error() string {
	return fmt.Sprintf("there is already a file for %s in this folder; choose another name", e.Name)
}

// ConflictError is a save, undo or redo that started from another revision than
// the disk holds. Nothing was written. To overrule, save again from Disk.Revision:
// what is on disk is in the history.
type ConflictError struct{ Disk Version }

func (e *ConflictError) Error() string {
	return fmt.Sprintf("%s was changed on disk in the meantime; take what is there, or save yours over it", e.Disk.Name)
}

// TooLargeError is a text above the bound.
type TooLargeError struct {
	Name string
	Size int64 // bytes
}

func (e *TooLargeError) Error() string {
	return fmt.Sprintf("%s has %d bytes; a study has at most %d (1 MiB), so divide it", e.Name, e.Size, mostBytes)
}

// KindError is something other than a regular file where a study's file would
// be. It is not opened.
type KindError struct{ Name, Kind string } // Kind: "a symbolic link", "a folder", "a pipe", …

func (e *KindError) Error() string {
	return fmt.Sprintf("%s is %s; a study is a regular file in the folder itself, so copy it there", e.Name, e.Kind)
}

// ProtectedError is a file that its owner has made read-only.
type ProtectedError struct{ Name string }

func (e *ProtectedError) Error() string {
	return fmt.Sprintf("the file of %s is write-protected; allow writing to it, or save under another name", e.Name)
}

// BusyError is a folder that another program holds for too long.
type BusyError struct{}

func (e *BusyError) Error() string {
	return "another basswright is writing in this folder and does not finish; nothing was written, so try again, or end it"
}
