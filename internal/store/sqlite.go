package store

import (
	"errors"

	"github.com/mattn/go-sqlite3"
)

// isNotADatabase tells a file that SQLite cannot read at all (result codes SQLITE_NOTADB, SQLITE_CORRUPT).
func isNotADatabase(err error) bool {
	var e sqlite3.Error
	return errors.As(err, &e) && (e.Code == sqlite3.ErrNotADB || e.Code == sqlite3.ErrCorrupt)
}
