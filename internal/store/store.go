// Package store keeps designs in one SQLite file: the figures, the log of every step that changed
// them, and the links that open them to others.
//
// The log is what counts. A step is answered only after its transaction is on the disk
// (synchronous=FULL), so that it survives the process being killed in the next instant. The figure at
// a revision is the nearest snapshot below it and the steps that follow; the present figure of a design
// in use is kept in memory beside the file, under the design's own lock.
//
// There is one connection that writes and a few that read (WAL). Only one Tuckring at a time may
// have the file open for writing; a copy can be taken meanwhile (Backup).
package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"time"

	_ "github.com/mattn/go-sqlite3" // the "sqlite3" driver
	"github.com/pressly/goose/v3"

	"tuckring/internal/words"
	"tuckring/migrations"
)

// readers is how many connections read at once.
const readers = 4

// Store is an open database.
type Store struct {
	path  string
	fresh bool
	lock  *fileLock
	write *sql.DB // one connection
	read  *sql.DB
	stmts statements
	watch Watch
	log   *slog.Logger
	clock func() time.Time

	writing sync.RWMutex // held for reading by a transaction that writes
	closed  bool         // guarded by writing

	mu      sync.Mutex
	designs map[string]*design // those in use, by public ID
}

// Open opens the database at path, creates it when there is no file, and brings it to its present
// form. Only its owner can read it from then on. A file that is not a Tuckring database, that is of a newer
// version, that is damaged or cannot be written, or that another Tuckring has open is refused with an *Error and
// left as it is.
func Open(ctx context.Context, path string) (*Store, error) {
	real, err := realPath(path)
	if err != nil {
		return nil, err
	}
	found, err := inspect(ctx, real)
	if err != nil {
		return nil, err
	}
	if found.version > newest() {
		return nil, newerError(real)
	}
	lock, err := lockFile(real)
	if err != nil {
		return nil, err
	}
	s := &Store{path: real, fresh: found.empty, lock: lock, log: slog.Default(), clock: time.Now, designs: map[string]*design{}}
	if err := s.open(ctx, found); err != nil {
		return nil, errors.Join(explain(real, err), s.Close())
	}
	sweep(real)
	return s, nil
}

func (s *Store) open(ctx context.Context, found inspection) (err error) {
	tighten(s.path)
	const common = "_busy_timeout=5000&_foreign_keys=on"
	if s.write, err = sql.Open("sqlite3", fileURI(s.path, common+"&_journal_mode=WAL&_synchronous=FULL&_txlock=immediate")); err != nil {
		return err
	}
	s.write.SetMaxOpenConns(1)
	s.write.SetMaxIdleConns(1)
	if err := s.write.PingContext(ctx); err != nil {
		return fmt.Errorf("open %s: %w", s.path, err)
	}
	if err := holdsTogether(ctx, s.write, s.path); err != nil {
		return err
	}
	if err := s.mayWrite(); err != nil {
		return err
	}
	if found.version < newest() {
		if err := migrate(ctx, s.write); err != nil {
			return fmt.Errorf("bring %s up to date: %w", s.path, err)
		}
	}
	if s.read, err = sql.Open("sqlite3", fileURI(s.path, common+"&_query_only=on")); err != nil {
		return err
	}
	s.read.SetMaxOpenConns(readers)
	s.read.SetMaxIdleConns(readers)
	return s.stmts.prepare(ctx, s.write)
}

// holdsTogether runs SQLite's quick check, which reads every page of the file once but does not compare the
// indexes with the rows (sqlite.org/pragma.html, quick_check).
func holdsTogether(ctx context.Context, db *sql.DB, path string) error {
	return asksWhole(ctx, db, path, `PRAGMA quick_check(1)`)
}

// asksWhole runs a check of SQLite's that answers ok.
func asksWhole(ctx context.Context, db *sql.DB, path, check string) error {
	var says string
	if err := db.QueryRowContext(ctx, check).Scan(&says); err != nil {
		return err
	}
	if says != "ok" {
		return refuse(Damaged, "store.damaged", "File", path).because(errors.New(says))
	}
	return nil
}

// mayWrite tries a write and takes it back: SQLite opens a file that it may not write for reading alone, and
// says so only at the first write.
func (s *Store) mayWrite() error {
	tx, err := s.write.Begin()
	if err != nil {
		return err
	}
	_, err = tx.Exec(`PRAGMA user_version = 0`)
	return errors.Join(err, tx.Rollback())
}

// tighten takes the right to read a database away from all but its owner. What SQLite keeps beside it gets the
// rights of the database itself. Where the system refuses, the rights stay: it may be another's file.
func tighten(path string) {
	for _, file := range []string{path, path + "-wal", path + "-shm"} {
		if info, err := os.Stat(file); err == nil && info.Mode().Perm()&0o077 != 0 {
			_ = os.Chmod(file, info.Mode().Perm()&^0o077)
		}
	}
}

// SetLog says where the store tells of what it found damaged. Without it that is slog.Default.
func (s *Store) SetLog(l *slog.Logger) { s.log = l }

// SetClock lets the store read another clock than the machine's. It is set before the first step.
func (s *Store) SetClock(now func() time.Time) { s.clock = now }

// now is the time as it is stored.
func (s *Store) now() time.Time { return s.clock().UTC().Truncate(time.Millisecond) }

// LimitPages lets the database grow to so many of SQLite's pages at most, or to its present size when it is larger
// already. Tests make it full like this where they cannot have a full disk.
func (s *Store) LimitPages(pages int) error {
	_, err := s.write.Exec(fmt.Sprint("PRAGMA max_page_count = ", pages))
	return err
}

// Fresh says that the database was new when it was opened.
func (s *Store) Fresh() bool { return s.fresh }

// Close waits for the transaction under way and closes the database. Every answered step is already on
// the disk.
func (s *Store) Close() error {
	s.writing.Lock()
	defer s.writing.Unlock()
	s.closed = true
	var errs []error
	for _, db := range []*sql.DB{s.read, s.write} { // the writer last: it folds the WAL into the file
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(append(errs, s.lock.release())...)
}

// inTx runs what in one write transaction: all of it is on the disk when inTx returns nil, none of it
// otherwise. It does not stop half way when the asker goes away.
func (s *Store) inTx(what func(tx *sql.Tx) error) error {
	return s.whileOpen(func() error {
		tx, err := s.write.Begin()
		if err != nil {
			return err
		}
		if err := what(tx); err != nil {
			return errors.Join(err, tx.Rollback())
		}
		return tx.Commit()
	})
}

// whileOpen runs what writes, unless the database has been closed; Close waits for it. That the disk is full, or
// cannot be written, comes back as an *Error; all goes on by itself when it can be.
func (s *Store) whileOpen(write func() error) error {
	s.writing.RLock()
	defer s.writing.RUnlock()
	if s.closed {
		return sql.ErrConnDone
	}
	return explain(s.path, write())
}

// migrate applies the migrations that the database lacks.
func migrate(ctx context.Context, db *sql.DB) error {
	provider, err := goose.NewProvider(goose.DialectSQLite3, db, migrations.Files, goose.WithLogger(goose.NopLogger()))
	if err != nil {
		return err
	}
	_, err = provider.Up(ctx)
	return err
}

// newest is the number of the last migration.
func newest() int64 {
	names, err := fs.Glob(migrations.Files, "*.sql")
	if err != nil || len(names) == 0 {
		panic("store: no migrations are embedded")
	}
	last, err := goose.NumericComponent(names[len(names)-1]) // Glob sorts the names
	if err != nil {
		panic("store: " + err.Error())
	}
	return last
}

// fileURI is the SQLite URI of a file; a path may hold any character.
func fileURI(path, query string) string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(path), RawQuery: query}).String()
}

// applicationID is what migration 1 writes into the file's header: "TUCK".
const applicationID = 0x5455434b

// inspection is what a file at the place of a database turned out to be.
type inspection struct {
	exists  bool  // a file stands there
	bytes   int64 // its size
	empty   bool  // no database in it yet
	version int64 // number of the last migration applied
}

// inspect looks at a file without changing it or leaving anything beside it. Its errors are *Error for
// what a person can put right.
func inspect(ctx context.Context, path string) (inspection, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		if dir := filepath.Dir(path); !isDir(dir) {
			return inspection{}, refuse(NotFound, "store.no_folder", "Folder", dir)
		}
		return inspection{empty: true}, nil
	}
	if err != nil {
		return inspection{}, unreadable(path, err)
	}
	if info.IsDir() {
		return inspection{}, refuse(NotOurs, "store.folder", "File", path)
	}
	if !info.Mode().IsRegular() {
		return inspection{}, refuse(NotOurs, "store.no_regular_file", "File", path)
	}
	if info.Size() == 0 {
		return inspection{exists: true, empty: true}, nil
	}
	found, err := inspectDatabase(ctx, path)
	found.exists, found.bytes = true, info.Size()
	return found, err
}

// realPath is the absolute name of a file, with every symbolic link followed, so that what stands beside the file
// is found beside the file. The file itself need not be there.
func realPath(path string) (string, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	real, err := filepath.EvalSymlinks(abs)
	if !errors.Is(err, fs.ErrNotExist) {
		return real, explain(abs, err)
	}
	if to, err := os.Readlink(abs); err == nil { // a link to what is not there yet
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(abs), to)
		}
		return realPath(to)
	}
	dir, err := filepath.EvalSymlinks(filepath.Dir(abs))
	if err != nil {
		return abs, nil // inspect says that the folder is missing
	}
	return filepath.Join(dir, filepath.Base(abs)), nil
}

func isDir(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func inspectDatabase(ctx context.Context, path string) (inspection, error) {
	query := "mode=ro&_busy_timeout=5000"
	if !walHolds(path) {
		query += "&immutable=1" // otherwise SQLite would put its shared memory file there
	}
	db, err := sql.Open("sqlite3", fileURI(path, query))
	if err != nil {
		return inspection{}, err
	}
	defer func() { _ = db.Close() }() // nothing was written
	var app, tables int64
	err = db.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id), (SELECT count(*) FROM sqlite_schema)`).Scan(&app, &tables)
	if isNotADatabase(err) && headerID(path) == applicationID {
		return inspection{}, refuse(Damaged, "store.damaged", "File", path)
	}
	if isNotADatabase(err) {
		return inspection{}, refuse(NotOurs, "store.not_database", "File", path)
	}
	if err != nil {
		return inspection{}, unreadable(path, fmt.Errorf("look at %s: %w", path, err))
	}
	if app == 0 && tables == 0 {
		return inspection{empty: true}, nil
	}
	if app != applicationID {
		return inspection{}, refuse(NotOurs, "store.other_program", "File", path)
	}
	found := inspection{}
	err = db.QueryRowContext(ctx, `SELECT coalesce(max(version_id), 0) FROM goose_db_version WHERE is_applied = 1`).Scan(&found.version)
	if isNotADatabase(err) {
		return inspection{}, refuse(Damaged, "store.damaged", "File", path)
	}
	if err != nil {
		return inspection{}, unreadable(path, fmt.Errorf("look at %s: %w", path, err))
	}
	return found, nil
}

// headerID reads the application id from a file's first bytes (SQLite, Database File Format, 1.3), 0 when
// they are not there. It tells our file even where SQLite cannot read its tables.
func headerID(path string) int64 {
	f, err := os.Open(path)
	if err != nil {
		return 0
	}
	defer func() { _ = f.Close() }() // only read
	header := make([]byte, 100)
	if _, err := io.ReadFull(f, header); err != nil || string(header[:16]) != "SQLite format 3\x00" {
		return 0
	}
	return int64(binary.BigEndian.Uint32(header[68:]))
}

func newerError(path string) *Error { return refuse(Newer, "store.newer", "File", path) }

// Code tells the kinds of refusals apart, for programs.
type Code string

// The kinds of refusals.
const (
	NotFound Code = "not_found" // no such design, link or file
	NotOurs  Code = "not_ours"  // a file, but not a Tuckring database
	Newer    Code = "newer"     // a Tuckring database of a version to come
	InUse    Code = "in_use"    // another Tuckring has it open
	Damaged  Code = "damaged"   // the file, or one design in it, does not hold together
	Conflict Code = "conflict"  // out of step with what is stored
	Full     Code = "full"      // no room left on the disk

	Unwritable Code = "unwritable" // the system does not let us write, or read
)

// Error is a refusal that a person can do something about: what is wrong and what would be right.
type Error struct {
	Code     Code
	What     words.Text
	Fix      words.Text
	Expected int64 // Conflict in the numbering of steps: the number that comes next
	Cause    error // for the log; may be nil
}

func (e *Error) Error() string { return e.What.String() + " " + e.Fix.String() }

// refuse makes an Error whose sentences are KEY.what and KEY.fix of the catalogue.
func refuse(code Code, key string, pairs ...any) *Error {
	return &Error{Code: code, What: words.T(key+".what", pairs...), Fix: words.T(key+".fix", pairs...)}
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Cause }

// because notes the cause of a refusal.
func (e *Error) because(cause error) *Error {
	e.Cause = cause
	return e
}

// Is makes errors.Is(err, &Error{Code: NotFound}) true for every Error of that code.
func (e *Error) Is(target error) bool {
	other, ok := target.(*Error)
	return ok && other.Code == e.Code
}
