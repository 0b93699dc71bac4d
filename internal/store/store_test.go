package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

var ctx = context.Background()

// open opens a new database in a folder of its own.
func open(t testing.TB) *Store {
	t.Helper()
	return openAt(t, filepath.Join(t.TempDir(), "designs.db"))
}

func openAt(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(ctx, path)
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() })
	return s
}

// tube is a document of plain rings in brick, with chalk and soot at hand.
func tube(t testing.TB, units, rings int) *figure.Figure {
	t.Helper()
	f := &figure.Figure{Title: "Lighthouse tower", Unit: figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		Colours: []figure.Colour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b"}, {ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}}}
	for i := 0; i < rings; i++ {
		r := figure.Ring{ID: figure.RingID(i + 1), Cells: make([]figure.Cell, units)}
		if i > 0 {
			r.Start = f.Footing(i).Usual()
			for u := range r.Cells {
				r.Cells[u].Takes = figure.PlainTakes
			}
		}
		f.Rings = append(f.Rings, r)
	}
	f.NextRing, f.NextExtra = figure.RingID(rings+1), 1
	require.Empty(t, f.Validate())
	return f
}

func paint(ring figure.RingID, at, n int, colour string) figure.Edit {
	return &figure.Paint{Runs: []figure.PaintRun{{Ring: ring, At: at, N: n, Colour: colour}}}
}

// asker is an open page of a design, numbering what its person asks.
type asker struct {
	t      testing.TB
	s      *Store
	design string
	client string
	who    Person
	seq    int64
}

func (p *asker) ask(a Ask) Answer {
	p.t.Helper()
	p.seq++
	a.Seq = p.seq
	answers, err := p.s.Apply(ctx, p.design, p.who, p.client, []Ask{a})
	require.NoError(p.t, err)
	require.Len(p.t, answers, 1)
	return answers[0]
}

func (p *asker) edit(e figure.Edit) Answer {
	p.t.Helper()
	a := p.ask(Ask{Kind: KindEdit, Edit: e})
	require.Empty(p.t, a.Faults)
	return a
}

func (p *asker) undo() Answer { p.t.Helper(); return p.ask(Ask{Kind: KindUndo}) }
func (p *asker) redo() Answer { p.t.Helper(); return p.ask(Ask{Kind: KindRedo}) }

func newPage(t testing.TB, s *Store, design, name string) *asker {
	return &asker{t: t, s: s, design: design, client: "page-of-" + name, who: Person{ID: "person-" + name, Name: name}}
}

func create(t testing.TB, s *Store, f *figure.Figure) string {
	t.Helper()
	d, err := s.Create(ctx, f)
	require.NoError(t, err)
	return d.ID
}

func get(t testing.TB, s *Store, id string) *figure.Figure {
	t.Helper()
	_, f, err := s.Get(ctx, id)
	require.NoError(t, err)
	return f
}

// hash tells whether a file was touched.
func hash(t testing.TB, path string) [32]byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return sha256.Sum256(data)
}

func code(t testing.TB, err error) Code {
	t.Helper()
	var e *Error
	require.ErrorAs(t, err, &e)
	require.NotContains(t, e.Error(), "[", "both sentences stand in the catalogue")
	return e.Code
}

func TestNewDatabaseIsMadeAndFoundAgain(t *testing.T) {
	path := filepath.Join(t.TempDir(), "our figures? 100%.db") // any name a file can have
	s := openAt(t, path)
	assert.True(t, s.Fresh())
	id := create(t, s, tube(t, 12, 3))
	require.NoError(t, s.Close())
	assert.NoFileExists(t, path+"-wal", "everything stands in the one file when it is closed")

	s = openAt(t, path)
	assert.False(t, s.Fresh())
	assert.Equal(t, tube(t, 12, 3), get(t, s, id))
}

func TestDatabaseSettings(t *testing.T) {
	s := open(t)
	for _, c := range []struct{ pragma, want string }{
		{"journal_mode", "wal"}, {"synchronous", "2"}, {"foreign_keys", "1"}, {"busy_timeout", "5000"}, {"application_id", "1414873931"},
	} { // synchronous 2 is FULL (SQLite documentation, PRAGMA synchronous)
		var got string
		require.NoError(t, s.write.QueryRow("PRAGMA "+c.pragma).Scan(&got))
		assert.Equal(t, c.want, got, c.pragma)
	}
}

func TestNewerDatabaseIsRefusedAndNotTouched(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "designs.db")
	s := openAt(t, path)
	_, err := s.write.Exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (99999, 1)`)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	before := hash(t, path)

	_, err = Open(ctx, path)
	assert.Equal(t, Newer, code(t, err))
	assert.Contains(t, err.Error(), "newer Tuckring")
	assert.Equal(t, before, hash(t, path))
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, files, 1, "nothing is left beside it")
}

func TestOtherFilesAreRefusedAndNotTouched(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "letter.txt")
	require.NoError(t, os.WriteFile(text, []byte("Dear puffin, this is a letter and no database. It has more than one page of text? No."), 0o600))
	cut := filepath.Join(dir, "cut.db")
	require.NoError(t, os.WriteFile(cut, []byte("SQLite format 3\x00 and then nothing sensible at all"), 0o600))
	other := filepath.Join(dir, "other.db")
	db, err := sql.Open("sqlite3", other)
	require.NoError(t, err)
	_, err = db.Exec(`CREATE TABLE birds (name TEXT)`)
	require.NoError(t, err)
	require.NoError(t, db.Close())

	for _, path := range []string{text, cut, other} {
		before := hash(t, path)
		_, err := Open(ctx, path)
		assert.Equal(t, NotOurs, code(t, err), path)
		assert.Contains(t, err.Error(), filepath.Base(path))
		assert.Equal(t, before, hash(t, path), path)
	}
	_, err = Open(ctx, dir)
	assert.Equal(t, NotOurs, code(t, err))
	_, err = Open(ctx, filepath.Join(dir, "missing", "designs.db"))
	assert.Equal(t, NotFound, code(t, err))
}

func TestOnlyOneTuckringHasTheDatabase(t *testing.T) {
	s := open(t)
	_, err := Open(ctx, s.path)
	assert.Equal(t, InUse, code(t, err))
	require.NoError(t, s.Close())
	openAt(t, s.path)
}

func TestUnknownDesignIsNotFound(t *testing.T) {
	s := open(t)
	_, _, err := s.Get(ctx, "nothing")
	assert.Equal(t, NotFound, code(t, err))
	_, err = s.Apply(ctx, "nothing", Person{ID: "p"}, "c", nil)
	assert.Equal(t, NotFound, code(t, err))
	_, err = s.History(ctx, "nothing", 0, 10)
	assert.Equal(t, NotFound, code(t, err))
	_, err = s.At(ctx, "nothing", 0)
	assert.Equal(t, NotFound, code(t, err))
	_, err = s.MakeLink(ctx, "nothing", PowerView)
	assert.Equal(t, NotFound, code(t, err))
	assert.Equal(t, NotFound, code(t, s.PutAway(ctx, "nothing", true)))
	assert.Equal(t, NotFound, code(t, s.SetSettings(ctx, "nothing", []byte(`{}`))))
}

func TestFaultyFigureIsNotCreated(t *testing.T) {
	s := open(t)
	f := tube(t, 12, 3)
	f.Rings[1].Cells = f.Rings[1].Cells[:5]
	_, err := s.Create(ctx, f)
	var faults figure.Faults
	require.ErrorAs(t, err, &faults)
	list, err := s.List(ctx, false)
	require.NoError(t, err)
	assert.Empty(t, list)
}

func TestShelfShowsLastChangedFirstAndWhatIsPutAwayApart(t *testing.T) {
	s := open(t)
	a, b := create(t, s, tube(t, 12, 3)), create(t, s, tube(t, 14, 4))
	mira := newPage(t, s, a, "Mira")
	s.backdate(t, a, b)
	mira.edit(&figure.SetTitle{Title: "Puffin"})

	list, err := s.List(ctx, false)
	require.NoError(t, err)
	require.Len(t, list, 2)
	assert.Equal(t, []string{a, b}, []string{list[0].ID, list[1].ID})
	assert.Equal(t, "Puffin", list[0].Title)
	assert.Equal(t, int64(1), list[0].Rev)
	assert.True(t, list[0].Changed.After(list[0].Made))

	require.NoError(t, s.PutAway(ctx, a, true))
	away, err := s.List(ctx, true)
	require.NoError(t, err)
	require.Len(t, away, 1)
	assert.True(t, away[0].PutAway)
	require.NoError(t, s.PutAway(ctx, a, false))
	away, err = s.List(ctx, true)
	require.NoError(t, err)
	assert.Empty(t, away)
}

// backdate makes designs a minute older, so that the clock's grain does not matter.
func (s *Store) backdate(t testing.TB, ids ...string) {
	for _, id := range ids {
		_, err := s.write.Exec(`UPDATE designs SET made = made - 60000 WHERE id = ?`, id)
		require.NoError(t, err)
	}
}

func TestSettingsAreKept(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 12, 3))
	d, _, err := s.Get(ctx, id)
	require.NoError(t, err)
	assert.JSONEq(t, `{}`, string(d.Settings))
	require.NoError(t, s.SetSettings(ctx, id, []byte(`{"sheet":"A3","spare":7.5}`)))
	d, _, err = s.Get(ctx, id)
	require.NoError(t, err)
	assert.JSONEq(t, `{"sheet":"A3","spare":7.5}`, string(d.Settings))
	for _, bad := range []string{`[]`, `null`, `{"a":`, `3`} {
		assert.Error(t, s.SetSettings(ctx, id, []byte(bad)), bad)
	}
}

func TestLinksOpenOneDesignUntilTakenBack(t *testing.T) {
	s := open(t)
	a, b := create(t, s, tube(t, 12, 3)), create(t, s, tube(t, 12, 3))
	view, err := s.MakeLink(ctx, a, PowerView)
	require.NoError(t, err)
	edit, err := s.MakeLink(ctx, a, PowerEdit)
	require.NoError(t, err)
	assert.NotEqual(t, view.Token, edit.Token)
	assert.Len(t, view.Token, 22, "128 bits in base64 (RFC 4648, 5)")

	got, err := s.Resolve(ctx, view.Token)
	require.NoError(t, err)
	assert.Equal(t, Link{Token: view.Token, Design: a, Power: PowerView, Made: view.Made}, got)
	list, err := s.Links(ctx, a)
	require.NoError(t, err)
	assert.Len(t, list, 2)
	list, err = s.Links(ctx, b)
	require.NoError(t, err)
	assert.Empty(t, list)

	assert.Equal(t, NotFound, code(t, s.RevokeLink(ctx, b, view.Token)), "a link of another design")
	require.NoError(t, s.RevokeLink(ctx, a, view.Token))
	require.NoError(t, s.RevokeLink(ctx, a, view.Token))
	_, err = s.Resolve(ctx, view.Token)
	assert.Equal(t, NotFound, code(t, err))
	_, err = s.Resolve(ctx, "never-was")
	assert.Equal(t, NotFound, code(t, err))
	got, err = s.Resolve(ctx, edit.Token)
	require.NoError(t, err)
	assert.Equal(t, PowerEdit, got.Power)
	_, err = s.MakeLink(ctx, a, Power("rule"))
	assert.Error(t, err)
}
