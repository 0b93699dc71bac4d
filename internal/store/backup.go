package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// Backup writes a consistent copy of the database at path to out, also while a Tuckring has it open
// (SQLite: VACUUM INTO). The copy appears under its name only when it is whole, checked and on the disk.
// It takes the place of an earlier backup, but of no other kind of file.
func Backup(ctx context.Context, path, out string) error {
	from, to, err := bothPaths(path, out)
	if err != nil {
		return err
	}
	if err := mustBeOurs(ctx, from); err != nil {
		return err
	}
	if _, err := inspect(ctx, to); err != nil {
		return err
	}
	part, err := copyDatabase(ctx, from, to)
	if err != nil {
		return err
	}
	defer func() { _ = os.Remove(part) }() // gone already when all went well
	return moveInto(part, to)
}

// Restore puts the backup at from in the place of the database at path, whole or not at all. The database
// that stood there is kept beside it; kept is its new name, empty when there was none. Restore refuses,
// with an *Error, a backup that is damaged, of a newer version or no Tuckring database, and a place where
// something else stands or that a running Tuckring uses.
func Restore(ctx context.Context, from, path string) (kept string, err error) {
	source, target, err := bothPaths(from, path)
	if err != nil {
		return "", err
	}
	if err := mustBeOurs(ctx, source); err != nil {
		return "", err
	}
	found, err := inspect(ctx, target)
	if err != nil {
		return "", err
	}
	if found.version > newest() {
		return "", newerError(target)
	}
	lock, err := lockFile(target)
	if err != nil {
		return "", err
	}
	defer func() { _ = lock.release() }() // nothing depends on it any more
	part, err := copyDatabase(ctx, source, target)
	if err != nil {
		return "", err
	}
	defer func() { _ = os.Remove(part) }() // gone already when all went well
	if !found.empty {
		if kept, err = setAside(target); err != nil {
			return "", err
		}
	}
	return kept, moveInto(part, target)
}

func bothPaths(a, b string) (absA, absB string, err error) {
	if absA, err = filepath.Abs(a); err != nil {
		return "", "", err
	}
	if absB, err = filepath.Abs(b); err != nil {
		return "", "", err
	}
	if absA == absB {
		return "", "", refuse(Conflict, "store.same_file", "File", absA)
	}
	return absA, absB, nil
}

// mustBeOurs refuses what is not an existing Tuckring database of a version we know.
func mustBeOurs(ctx context.Context, path string) error {
	found, err := inspect(ctx, path)
	if err != nil {
		return err
	}
	if found.empty {
		return refuse(NotFound, "store.no_file", "File", path)
	}
	if found.version > newest() {
		return newerError(path)
	}
	return nil
}

// copyDatabase copies a database to a new file beside to, checks the copy and brings it to the disk.
func copyDatabase(ctx context.Context, from, to string) (part string, err error) {
	part = fmt.Sprintf("%s.part-%d", to, os.Getpid())
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if err := vacuumInto(ctx, from, part); err != nil {
		_ = os.Remove(part) // best effort: the first error is the one to tell
		return "", err
	}
	if err := errors.Join(checkWhole(ctx, part), syncFile(part)); err != nil {
		_ = os.Remove(part) // best effort: the first error is the one to tell
		return "", err
	}
	return part, nil
}

func vacuumInto(ctx context.Context, from, part string) error {
	db, err := sql.Open("sqlite3", fileURI(from, "_busy_timeout=5000"))
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }() // the source is only read
	if err := checkWholeIn(ctx, db, from); err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `VACUUM INTO ?`, part)
	if err != nil {
		return fmt.Errorf("copy %s: %w", from, err)
	}
	return nil
}

// checkWhole runs SQLite's own checks over a whole file.
func checkWhole(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite3", fileURI(path, "mode=ro&immutable=1"))
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }() // only read
	return checkWholeIn(ctx, db, path)
}

func checkWholeIn(ctx context.Context, db *sql.DB, path string) error {
	damaged := refuse(Damaged, "store.damaged", "File", path)
	var says string
	if err := db.QueryRowContext(ctx, `PRAGMA integrity_check(1)`).Scan(&says); err != nil {
		return errors.Join(damaged, err)
	}
	if says != "ok" {
		return damaged
	}
	var loose int
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM pragma_foreign_key_check`).Scan(&loose); err != nil {
		return errors.Join(damaged, err)
	}
	if loose > 0 {
		return damaged
	}
	return nil
}

// setAside gives a closed database a second name, so that what takes its place loses nothing.
func setAside(path string) (kept string, err error) {
	db, err := sql.Open("sqlite3", fileURI(path, "_busy_timeout=5000"))
	if err != nil {
		return "", err
	}
	_, err = db.Exec(`PRAGMA wal_checkpoint(TRUNCATE)`) // what stands in the WAL goes into the file
	if err := errors.Join(err, db.Close()); err != nil {
		return "", err
	}
	for _, side := range []string{"-wal", "-shm"} {
		if err := os.Remove(path + side); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	kept = path + ".before-" + time.Now().Format("20060102-150405")
	if err := os.Link(path, kept); err != nil {
		return "", fmt.Errorf("keep the old database: %w", err)
	}
	return kept, nil
}

// moveInto puts a finished file in its place and brings the new name to the disk.
func moveInto(part, to string) error {
	if err := os.Rename(part, to); err != nil {
		return err
	}
	return syncFile(filepath.Dir(to))
}

// syncFile brings a file, or a folder's names, to the disk.
func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
