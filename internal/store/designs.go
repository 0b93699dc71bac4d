package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"tuckring/internal/figure"
)

// Design is what the shelf knows of a design.
type Design struct {
	ID       string
	Title    string
	Rev      int64 // the number of steps made so far
	Made     time.Time
	Changed  time.Time // of the last step, or when it was made
	PutAway  bool
	Settings json.RawMessage // of the report; {} until set
}

// designColumns are what scanDesign reads, from designs d.
const designColumns = `d.id, d.title, d.made, d.put_away IS NOT NULL, d.settings,
	coalesce((SELECT max(rev) FROM steps WHERE design = d.number), 0),
	coalesce((SELECT at FROM steps WHERE design = d.number ORDER BY rev DESC LIMIT 1), d.made)`

func scanDesign(row interface{ Scan(...any) error }, more ...any) (d Design, err error) {
	var made, changed int64
	var settings string
	err = row.Scan(append([]any{&d.ID, &d.Title, &made, &d.PutAway, &settings, &d.Rev, &changed}, more...)...)
	d.Made, d.Changed, d.Settings = fromMillis(made), fromMillis(changed), json.RawMessage(settings)
	return d, err
}

// Create puts a figure on the shelf as a new design at revision 0. The error is figure.Faults when the
// figure breaks a rule of the document.
func (s *Store) Create(ctx context.Context, f *figure.Figure) (Design, error) {
	if faults := f.Validate(); faults != nil {
		return Design{}, faults
	}
	document, keys, err := write(f)
	if err != nil {
		return Design{}, fmt.Errorf("store: a figure cannot be stored: %w", err)
	}
	d := Design{ID: newID(), Title: f.Title, Made: s.now(), Settings: json.RawMessage("{}")}
	d.Changed = d.Made
	return d, s.inTx(func(tx *sql.Tx) error {
		done, err := tx.ExecContext(ctx, `INSERT INTO designs (id, title, made) VALUES (?, ?, ?)`, d.ID, d.Title, millis(d.Made))
		if err != nil {
			return err
		}
		number, err := done.LastInsertId()
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO snapshots (design, rev, document, keys) VALUES (?, 0, ?, ?)`, number, string(document), string(keys))
		return err
	})
}

// List gives the designs on the shelf, or with putAway those put away, last changed first.
func (s *Store) List(ctx context.Context, putAway bool) ([]Design, error) {
	rows, err := s.read.QueryContext(ctx, `SELECT `+designColumns+` AS changed FROM designs d
		WHERE (d.put_away IS NOT NULL) = ? ORDER BY changed DESC, d.number DESC`, putAway)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	var out []Design
	for rows.Next() {
		d, err := scanDesign(rows)
		if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, rows.Err()
}

// Get gives a design and a copy of its present figure, which the caller may change at will.
func (s *Store) Get(ctx context.Context, id string) (d Design, f *figure.Figure, err error) {
	err = s.Look(ctx, id, func(n Now) error {
		f = n.Figure.Clone()
		d, err = scanDesign(s.read.QueryRowContext(ctx, `SELECT `+designColumns+` FROM designs d WHERE d.id = ?`, id))
		return err
	})
	return d, f, err
}

// Now is a design as it stands at this moment. The figure may be read during the call only and never be
// changed.
type Now struct {
	ID       string
	Rev      int64
	Figure   *figure.Figure
	Settings json.RawMessage // of the report

	design *design
}

// now is the design at this moment. Its lock is held.
func (d *design) now() Now {
	return Now{ID: d.id, Rev: d.rev, Figure: d.figure, Settings: d.settings, design: d}
}

// Look shows the present figure to see, while no step can change it.
func (s *Store) Look(ctx context.Context, id string, see func(Now) error) error {
	for {
		if err := s.look(ctx, id, see); !errors.Is(err, errDropped) {
			return err
		}
	}
}

func (s *Store) look(ctx context.Context, id string, see func(Now) error) error {
	d, err := s.take(ctx, id)
	if err != nil {
		return err
	}
	defer s.leave(d)
	d.mu.RLock()
	defer d.mu.RUnlock()
	if d.figure == nil {
		return d.broken
	}
	return see(d.now())
}

// PutAway takes a design off the shelf, or with away false brings it back. Nothing of it is lost.
func (s *Store) PutAway(_ context.Context, id string, away bool) error {
	var when any
	if away {
		when = millis(s.now())
	}
	return s.update(`UPDATE designs SET put_away = ? WHERE id = ?`, when, id)
}

// SetSettings stores the report's settings of a design. They are checked by whoever reads them; here
// they only have to be a JSON object.
func (s *Store) SetSettings(ctx context.Context, id string, settings json.RawMessage) error {
	var object map[string]json.RawMessage
	if err := json.Unmarshal(settings, &object); err != nil || object == nil {
		return errors.New("store: settings must be a JSON object")
	}
	return s.putSettings(ctx, id, settings)
}

// putSettings stores settings as they are.
func (s *Store) putSettings(ctx context.Context, id string, settings []byte) error {
	for {
		if err := s.setSettings(ctx, id, settings); !errors.Is(err, errDropped) {
			return err
		}
	}
}

func (s *Store) setSettings(ctx context.Context, id string, settings json.RawMessage) error {
	d, err := s.take(ctx, id)
	if err != nil {
		return err
	}
	defer s.leave(d)
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.figure == nil {
		return d.broken
	}
	if err := s.update(`UPDATE designs SET settings = ? WHERE id = ?`, string(settings), id); err != nil {
		return err
	}
	d.settings = bytes.Clone(settings)
	return nil
}

// update runs an UPDATE of one design.
func (s *Store) update(query string, args ...any) error {
	return s.inTx(func(tx *sql.Tx) error {
		done, err := tx.Exec(query, args...)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, refuse(NotFound, "store.no_design"))
		}
		return nil
	})
}

// keepDesigns is how many designs stay in memory when nobody uses them.
const keepDesigns = 16

// design is a design in use: its present figure and what its next steps need to know.
type design struct {
	id     string
	number int64
	users  int // guarded by Store.mu

	mu       sync.RWMutex
	figure   *figure.Figure // nil when loading failed
	broken   error          // why it failed
	rev      int64
	settings json.RawMessage
	since    growth         // of the log since the last snapshot
	size     int            // bytes of the last snapshot's document
	last     map[page]int64 // the numbers of the clients' last answered asks
	imprints imprints       // of the latest steps, as far back as anybody asked

	trails sync.Mutex // guards people when mu is held for reading only
	people map[string]*trail
}

// growth measures a stretch of the log.
type growth struct {
	steps int
	bytes int
}

// errDropped says that a design is no longer in memory since somebody's step could not be stored; whoever waited
// for it finds it anew.
var errDropped = errors.New("store: a step could not be stored")

// take finds a design and keeps it in memory until leave.
func (s *Store) take(ctx context.Context, id string) (*design, error) {
	s.mu.Lock()
	d, ok := s.designs[id]
	if ok {
		d.users++
		s.mu.Unlock()
		d.mu.RLock() // waits until it is loaded
		defer d.mu.RUnlock()
		if d.figure == nil {
			defer s.leave(d)
			return nil, d.broken
		}
		return d, nil
	}
	s.makeRoom()
	d = &design{id: id, users: 1, last: map[page]int64{}, people: map[string]*trail{}}
	d.mu.Lock()
	s.designs[id] = d
	s.mu.Unlock()
	defer d.mu.Unlock()
	if err := s.load(ctx, d); err != nil {
		d.figure, d.broken = nil, err
		s.forget(d)
		return nil, err
	}
	return d, nil
}

// leave ends the use of a design.
func (s *Store) leave(d *design) {
	s.mu.Lock()
	d.users--
	s.mu.Unlock()
}

// forget makes the next take load the design anew.
func (s *Store) forget(d *design) {
	s.mu.Lock()
	if s.designs[d.id] == d {
		delete(s.designs, d.id)
	}
	s.mu.Unlock()
}

// makeRoom drops a design that nobody uses when there are many. Store.mu is held.
func (s *Store) makeRoom() {
	if len(s.designs) < keepDesigns {
		return
	}
	for id, d := range s.designs {
		if d.users == 0 {
			delete(s.designs, id)
			return
		}
	}
}

// load reads a design's present figure from the file. Others may wait for it, so it goes on when the
// asker goes away.
func (s *Store) load(ctx context.Context, d *design) (err error) {
	ctx = context.WithoutCancel(ctx)
	err = s.read.QueryRowContext(ctx, `SELECT number, settings FROM designs WHERE id = ?`, d.id).Scan(&d.number, (*[]byte)(&d.settings))
	if errors.Is(err, sql.ErrNoRows) {
		return refuse(NotFound, "store.no_design")
	}
	if err != nil {
		return err
	}
	past, err := s.past(ctx, d.number, -1)
	if isNotADatabase(err) {
		return unreadDesign(err)
	}
	if err != nil {
		return err
	}
	d.figure, d.rev, d.since, d.size = past.figure, past.rev, past.since, past.size
	return nil
}

// past is the figure of a design at some revision, and how it was found.
type past struct {
	figure *figure.Figure
	rev    int64
	since  growth // from the snapshot to rev
	size   int    // of the snapshot's document
}

// querier reads from the database: within a transaction or without.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// past works out the figure at a revision, the last one when rev is −1: from the nearest snapshot and
// the steps that follow it. A snapshot that cannot be read is passed over: the log has all that it holds. The
// error is an *Error of code Damaged when the design cannot be read at that revision.
func (s *Store) past(ctx context.Context, number, rev int64) (past, error) {
	ctx = context.WithoutCancel(ctx)    // with a context that can end, the driver starts a goroutine for each row
	tx, err := s.read.BeginTx(ctx, nil) // one moment for the snapshot and the steps
	if err != nil {
		return past{}, err
	}
	defer func() { _ = tx.Rollback() }() // nothing was written
	p, passed, err := nearest(ctx, tx, number, rev)
	if err != nil {
		return past{}, err
	}
	if passed != nil {
		s.log.Warn("a snapshot cannot be read; the log before it is read instead", "design", number, "cause", passed.Cause)
	}
	if err := p.forward(ctx, tx, number, rev); err != nil {
		return past{}, err
	}
	if rev >= 0 && p.rev != rev {
		return past{}, refuse(NotFound, "store.no_rev", "Rev", rev, "Last", p.rev)
	}
	return p, nil
}

// nearest reads the nearest snapshot at or below a revision that can be read. passed says why a nearer one
// cannot be.
func nearest(ctx context.Context, q querier, number, rev int64) (p past, passed *Error, err error) {
	for below := rev; ; {
		p, err := snapshot(ctx, q, number, below)
		if err == nil || !errors.As(err, &passed) || p.rev == 0 {
			return p, passed, err
		}
		below = p.rev - 1
	}
}

// forward carries out the steps that follow up to a revision, to the last when rev is −1. When it fails, the past
// stands before the step that cannot be carried out, but its figure is spoilt.
func (p *past) forward(ctx context.Context, q querier, number, rev int64) error {
	rows, err := q.QueryContext(ctx, `SELECT rev, edit, inverse FROM steps
		WHERE design = ? AND rev > ? AND (? < 0 OR rev <= ?) ORDER BY rev`, number, p.rev, rev, rev)
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }() // rows.Err tells
	for rows.Next() {
		var at int64
		var edit, inverse sql.RawBytes
		if err := rows.Scan(&at, &edit, &inverse); err != nil {
			return err
		}
		if at != p.rev+1 {
			return unreadDesign(fmt.Errorf("the log of design %d lacks step %d", number, p.rev+1))
		}
		if err := replay(p.figure, edit, inverse); err != nil {
			return unreadDesign(fmt.Errorf("step %d of design %d: %w", at, number, err))
		}
		p.rev, p.since.steps, p.since.bytes = at, p.since.steps+1, p.since.bytes+len(edit)+len(inverse)
	}
	return rows.Err()
}

// snapshot reads the nearest snapshot at or below a revision; the past has its revision also when the error is an
// *Error of code Damaged.
func snapshot(ctx context.Context, q querier, number, rev int64) (past, error) {
	var document, keys []byte
	p := past{}
	err := q.QueryRowContext(ctx, `SELECT rev, document, keys FROM snapshots WHERE design = ? AND (? < 0 OR rev <= ?)
		ORDER BY rev DESC LIMIT 1`, number, rev, rev).Scan(&p.rev, &document, &keys)
	if errors.Is(err, sql.ErrNoRows) {
		return past{}, unreadDesign(fmt.Errorf("design %d has no snapshot up to %d", number, rev))
	}
	if err != nil {
		return past{}, err
	}
	p.size = len(document)
	if p.figure, err = unwrite(document, keys); err != nil {
		return p, unreadDesign(fmt.Errorf("snapshot %d of design %d: %w", p.rev, number, err))
	}
	return p, nil
}

func replay(f *figure.Figure, edit, inverse []byte) error {
	return sheltered(func() error {
		e, err := figure.UnpackEdit(edit)
		if err != nil {
			return err
		}
		if _, painting := e.(*figure.Paint); painting { // nearly all steps; nothing is spread
			_, _, err = figure.Apply(f, e)
			return err
		}
		back, err := figure.UnpackEdit(inverse)
		if err != nil {
			return err
		}
		return figure.Replay(f, e, back)
	})
}

// write gives a figure as it is stored, after reading it back: what could not be read again, as the same
// figure, is an error.
func write(f *figure.Figure) (document, keys []byte, err error) {
	err = sheltered(func() error {
		document = f.Write()
		if keys, err = encode(f.Keys()); err != nil {
			return err
		}
		back, err := unwrite(document, keys)
		if err != nil {
			return err
		}
		again, err := encode(back.Keys())
		if err == nil && !(bytes.Equal(back.Write(), document) && bytes.Equal(again, keys)) {
			err = errors.New("read back it is another figure")
		}
		return err
	})
	return document, keys, err
}

// unwrite reads a figure as it is stored.
func unwrite(document, keys []byte) (f *figure.Figure, err error) {
	err = sheltered(func() error {
		if f, err = figure.Read(document); err != nil {
			return err
		}
		var k figure.Keys
		if err := json.Unmarshal(keys, &k); err != nil {
			return err
		}
		return f.SetKeys(k)
	})
	return f, err
}

// sheltered makes an error of a panic: a stored figure may be like none that we would make.
func sheltered(what func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("panic: %v\n%s", v, debug.Stack())
		}
	}()
	return what()
}

// unreadDesign is the refusal of a design that does not hold together.
func unreadDesign(cause error) *Error { return refuse(Damaged, "store.design_damaged").because(cause) }

// At gives the figure of a design as it was at a revision, 0 being the design as it was made. The error
// is an *Error of code NotFound when there is no such design or revision.
func (s *Store) At(ctx context.Context, id string, rev int64) (*figure.Figure, error) {
	number, err := s.number(ctx, id)
	if err != nil {
		return nil, err
	}
	p, err := s.past(ctx, number, max(rev, -1))
	if err == nil && rev < 0 {
		err = refuse(NotFound, "store.no_rev", "Rev", rev, "Last", p.rev)
	}
	return p.figure, err
}
