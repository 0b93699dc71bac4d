package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"github.com/mattn/go-sqlite3"
)

// sqliteError finds what SQLite said in an error.
func sqliteError(err error) (sqlite3.Error, bool) {
	var e sqlite3.Error
	return e, errors.As(err, &e)
}

// isNotADatabase tells a file that SQLite cannot read at all (result codes SQLITE_NOTADB, SQLITE_CORRUPT).
func isNotADatabase(err error) bool {
	e, ok := sqliteError(err)
	return ok && (e.Code == sqlite3.ErrNotADB || e.Code == sqlite3.ErrCorrupt)
}

// isFull tells a disk, or a person's share of it, that has no room left.
func isFull(err error) bool {
	if e, ok := sqliteError(err); ok && (e.Code == sqlite3.ErrFull || e.SystemErrno == syscall.ENOSPC || e.SystemErrno == syscall.EDQUOT) {
		return true
	}
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT)
}

// isShut tells a file or folder that the system does not let us write or open.
func isShut(err error) bool {
	if e, ok := sqliteError(err); ok && (e.Code == sqlite3.ErrReadonly || e.Code == sqlite3.ErrPerm || e.Code == sqlite3.ErrCantOpen) {
		return true
	}
	return errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS)
}

// explain makes an *Error of what SQLite or the system says of the database at path, where a person can put it
// right. Other errors stay as they are.
func explain(path string, err error) error {
	var known *Error
	if err == nil || errors.As(err, &known) {
		return err
	}
	switch {
	case isFull(err):
		return refuse(Full, "store.full", "Folder", filepath.Dir(path)).because(err)
	case isNotADatabase(err):
		return refuse(Damaged, "store.damaged", "File", path).because(err)
	case isShut(err):
		return shut(path, err)
	}
	if e, ok := sqliteError(err); ok && e.Code == sqlite3.ErrBusy {
		return refuse(InUse, "store.busy", "File", path).because(err)
	}
	return err
}

// shut says what of a database cannot be opened or written, and why.
func shut(path string, err error) *Error {
	reason := err
	if e, ok := sqliteError(err); ok && e.SystemErrno != 0 {
		reason = e.SystemErrno
	} else if folder := tryFolder(filepath.Dir(path)); ok && folder != nil {
		reason = folder
	}
	var step *fs.PathError
	if errors.As(reason, &step) {
		reason = step.Err
	}
	return refuse(Unwritable, "store.unwritable", "File", path, "Reason", reason.Error()).because(err)
}

// tryFolder says why no file can be made in a folder; SQLite, which needs to, does not always say it.
func tryFolder(dir string) error {
	f, err := os.CreateTemp(dir, ".tuckring-*")
	if err != nil {
		return err
	}
	return errors.Join(f.Close(), os.Remove(f.Name()))
}

// unreadable says why a database that is to be read only cannot be.
func unreadable(path string, err error) error {
	if !isShut(err) {
		return explain(path, err)
	}
	if walHolds(path) {
		return refuse(Unwritable, "store.unfolded", "File", path, "Log", path+"-wal").because(err)
	}
	said := shut(path, err)
	return refuse(Unwritable, "store.unreadable", "File", path, "Reason", said.What.Args["Reason"]).because(err)
}
