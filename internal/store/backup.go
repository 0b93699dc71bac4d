package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"tuckring/internal/words"
)

// Copied says what Backup or Restore found and did.
type Copied struct {
	Kept    string       // new name of the database that stood in the place; empty when there was none
	Damaged []words.Text // the designs in the copy that do not hold together, a sentence each
}

// Backup writes a consistent copy of the database at path to out, also while a Tuckring has it open
// (SQLite: VACUUM INTO). The copy appears under its name only when it is whole, checked and on the disk; only its
// owner can read it. An earlier backup at out is kept beside it under another name. Backup refuses, with an
// *Error, a place where something else stands, where a newer Tuckring's database stands, or whose database a
// running Tuckring uses. A design that does not hold together is copied as it is, and told.
func Backup(ctx context.Context, path, out string) (Copied, error) {
	return copyInto(ctx, path, out, func([]words.Text) error { return nil })
}

// Restore puts the backup at from in the place of the database at path, whole or not at all. The database
// that stood there, be it damaged, is kept beside it under another name. Restore refuses, with an *Error, a backup
// that is damaged, of a newer version or no Tuckring database, and a place where something else stands or that a
// running Tuckring uses; unless evenDamaged also a backup in which a design does not hold together: then Damaged says
// which and where.
func Restore(ctx context.Context, from, path string, evenDamaged bool) (Copied, error) {
	return copyInto(ctx, from, path, func(damaged []words.Text) error {
		if len(damaged) == 0 || evenDamaged {
			return nil
		}
		return refuse(Damaged, "store.damaged_designs", "File", from, "Count", len(damaged))
	})
}

// copyInto puts a checked copy of the database at from in the place of to, when accept takes what was found
// damaged in it.
func copyInto(ctx context.Context, from, to string, accept func(damaged []words.Text) error) (did Copied, err error) {
	source, target, err := bothPaths(from, to)
	if err != nil {
		return did, err
	}
	held, err := holdNames(source)
	if err != nil {
		return did, err
	}
	defer held() // when the copy is made: closing a file drops SQLite's locks on it
	if err := mustBeOurs(ctx, source); err != nil {
		return did, err
	}
	found, err := mayReplace(ctx, target)
	if err != nil {
		return did, err
	}
	if found.exists {
		lock, err := lockFile(target)
		if err != nil {
			return did, err
		}
		defer func() { _ = lock.release() }() // nothing depends on it any more
	}
	sweep(target)
	made, err := copyDatabase(ctx, source, target)
	if err != nil {
		return did, err
	}
	defer made.discard()
	if did.Damaged, err = checkDesigns(ctx, made.path); err != nil {
		return did, err
	}
	if err := accept(did.Damaged); err != nil {
		return did, err
	}
	if did.Kept, err = setAside(target, found); err != nil {
		return did, explain(target, err)
	}
	return did, explain(target, made.moveTo(target, found.exists))
}

// bothPaths follows two names to the files they mean, and refuses two names of one file.
func bothPaths(a, b string) (realA, realB string, err error) {
	if realA, err = realPath(a); err != nil {
		return "", "", err
	}
	if realB, err = realPath(b); err != nil {
		return "", "", err
	}
	infoA, errA := os.Stat(realA)
	infoB, errB := os.Stat(realB)
	if realA == realB || errA == nil && errB == nil && os.SameFile(infoA, infoB) {
		return "", "", refuse(Conflict, "store.same_file", "File", realA)
	}
	return realA, realB, nil
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

// mayReplace looks at the place where a copy is to stand. What may stand there is a Tuckring database of a version
// we know, also a damaged one.
func mayReplace(ctx context.Context, path string) (inspection, error) {
	found, err := inspect(ctx, path)
	if errors.Is(err, &Error{Code: Damaged}) {
		return found, nil
	}
	if err != nil {
		return found, err
	}
	if found.version > newest() {
		return found, newerError(path)
	}
	return found, nil
}

// draft is a file in the making, beside the place where it is to stand. It is locked while it is made, so that
// nobody takes it for one whose maker was killed.
type draft struct {
	path string
	lock *fileLock
}

// partMark is in the name of every draft, after the name of the file that it is to become.
const partMark = ".part-tuckring-"

// newDraft begins a file that is to become the one at to. Only its owner can read it.
func newDraft(to string) (*draft, error) {
	for {
		f, err := os.CreateTemp(filepath.Dir(to), filepath.Base(to)+partMark+"*")
		if err != nil {
			return nil, explain(to, err)
		}
		path := f.Name()
		if err := f.Close(); err != nil {
			return nil, explain(to, err)
		}
		lock, err := lockFile(path)
		if errors.Is(err, &Error{Code: InUse}) {
			continue // another Tuckring is about to sweep it away
		}
		if err != nil {
			_ = os.Remove(path) // the first error is the one to tell
			return nil, err
		}
		return &draft{path, lock}, nil
	}
}

// discard removes the part, unless it stands in its place.
func (d *draft) discard() {
	removePart(d.path)
	_ = d.lock.release() // nothing depends on it any more
}

// removePart removes a draft, after what may stand beside it.
func removePart(path string) {
	for _, end := range []string{"-journal", "-wal", "-shm", "-lock", ""} {
		_ = os.Remove(path + end) // as a rule there is none
	}
}

// moveTo puts the finished draft in its place and brings the new name to the disk. What the place held is kept
// already, or was empty; what appeared there meanwhile is not replaced.
func (d *draft) moveTo(to string, replaces bool) error {
	err := errors.ErrUnsupported
	if !replaces {
		err = os.Link(d.path, to) // unlike a renaming, this replaces nothing; discard removes the other name
	}
	if errors.Is(err, fs.ErrExist) {
		return refuse(InUse, "store.appeared", "File", to)
	}
	if err != nil { // there may be no links on this disk
		err = os.Rename(d.path, to)
	}
	if err != nil {
		return err
	}
	return syncFile(filepath.Dir(to))
}

// sweep removes the drafts that makers who were killed left beside a database. Those that are still being made
// are locked.
func sweep(to string) {
	if !locksHold {
		return
	}
	entries, err := os.ReadDir(filepath.Dir(to))
	if err != nil {
		return // nothing is known, nothing removed
	}
	for _, e := range entries {
		after, ours := strings.CutPrefix(e.Name(), filepath.Base(to)+partMark)
		if !ours || after == "" || strings.Trim(after, "0123456789") != "" || !e.Type().IsRegular() {
			continue
		}
		path := filepath.Join(filepath.Dir(to), e.Name())
		lock, err := lockFile(path)
		if err != nil {
			continue // its maker is at work
		}
		removePart(path)
		_ = lock.release() // the file is gone
	}
}

// copyDatabase copies a database to a draft beside to, checks the copy and brings it to the disk.
func copyDatabase(ctx context.Context, from, to string) (*draft, error) {
	d, err := newDraft(to)
	if err != nil {
		return nil, err
	}
	if err := vacuumInto(ctx, from, d.path); err != nil {
		d.discard()
		return nil, err
	}
	if err := errors.Join(checkWhole(ctx, d.path), syncFile(d.path)); err != nil {
		d.discard()
		return nil, explain(to, err)
	}
	return d, nil
}

// vacuumInto copies the database at from into the empty file at part.
func vacuumInto(ctx context.Context, from, part string) error {
	db, settled, err := openSource(ctx, from)
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }() // the source is only read
	if err := checkWholeIn(ctx, db, from); err != nil {
		return unreadable(from, err)
	}
	if _, err := db.ExecContext(ctx, `VACUUM INTO ?`, part); err != nil {
		if isFull(err) {
			return explain(part, err)
		}
		return unreadable(from, fmt.Errorf("copy %s: %w", from, err))
	}
	return settled()
}

// openSource opens a database to be read whole. SQLite needs files beside it for that, as protection against
// whoever writes meanwhile; where it cannot make them, nobody of our rights can, and the file is read as it is.
// settled then refuses when somebody did have it open.
func openSource(ctx context.Context, path string) (db *sql.DB, settled func() error, err error) {
	if db, err = sql.Open("sqlite3", fileURI(path, "_busy_timeout=5000")); err != nil {
		return nil, nil, err
	}
	if _, err = db.ExecContext(ctx, `SELECT count(*) FROM sqlite_schema`); err == nil {
		return db, func() error { return nil }, nil
	}
	_ = db.Close() // nothing was read
	if !isShut(err) || walHolds(path) {
		return nil, nil, unreadable(path, err)
	}
	if db, err = sql.Open("sqlite3", fileURI(path, "mode=ro&immutable=1")); err != nil {
		return nil, nil, err
	}
	return db, func() error {
		if walHolds(path) {
			return refuse(InUse, "store.busy", "File", path)
		}
		return nil
	}, nil
}

// walHolds tells whether there is anything in SQLite's log of a database.
func walHolds(path string) bool {
	info, err := os.Stat(path + "-wal")
	return err == nil && info.Size() > 0
}

// walStands tells whether SQLite's log of a database stands beside it: it is open, or its last user was killed.
func walStands(path string) bool {
	_, err := os.Stat(path + "-wal")
	return err == nil
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
	if err := asksWhole(ctx, db, path, `PRAGMA integrity_check(1)`); err != nil {
		return err
	}
	var loose int
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM pragma_foreign_key_check`).Scan(&loose); err != nil {
		return err
	}
	if loose > 0 {
		return refuse(Damaged, "store.damaged", "File", path).because(fmt.Errorf("%d rows belong to no design", loose))
	}
	return nil
}

// setAside gives a closed database another name, so that what takes its place loses nothing, and its place no
// log of another file. kept is empty when there was nothing.
func setAside(path string, found inspection) (kept string, err error) {
	if found.bytes > 0 {
		if err := foldIn(path); err != nil {
			return "", err
		}
	}
	if found.bytes == 0 && !walStands(path) {
		return "", nil
	}
	stem := path + ".before-" + time.Now().Format("20060102-150405")
	kept = stem
	for n := 2; taken(kept); n++ {
		kept = fmt.Sprintf("%s-%d", stem, n)
	}
	for _, side := range []string{"-wal", "-shm"} { // of a damaged database, into which they could not be folded
		if err := os.Rename(path+side, kept+side); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	if found.bytes == 0 {
		return kept + "-wal", nil
	}
	tighten(path)
	err = os.Link(path, kept) // so that there is a database at every moment
	if err != nil && !errors.Is(err, fs.ErrExist) {
		err = os.Rename(path, kept) // there are no links on this disk
	}
	if err != nil {
		return "", fmt.Errorf("keep the old database: %w", err)
	}
	return kept, nil
}

func taken(path string) bool {
	for _, side := range []string{"", "-wal", "-shm"} {
		if _, err := os.Lstat(path + side); !errors.Is(err, fs.ErrNotExist) {
			return true
		}
	}
	return false
}

// foldIn brings what stands in SQLite's log into the database's file. It refuses a database that another program
// has open; of a damaged one the log stays beside it.
func foldIn(path string) error {
	db, err := sql.Open("sqlite3", fileURI(path, "_busy_timeout=5000"))
	if err != nil {
		return err
	}
	var busy, frames, folded int
	err = db.QueryRow(`PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &frames, &folded)
	err = errors.Join(err, db.Close()) // who closes it last removes the log
	if isNotADatabase(err) {
		return nil
	}
	if err != nil {
		return err
	}
	if walStands(path) {
		return refuse(InUse, "store.busy", "File", path)
	}
	return nil
}

// syncFile brings a file, or a folder's names, to the disk.
func syncFile(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
