package store

import (
	"bytes"
	"fmt"
	"log/slog"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/faultdisk"
	"tuckring/internal/figure"
)

// repaint makes n steps that each paint a unit; the last one's revision tells its colour.
func repaint(p *asker, n int) {
	for range n {
		p.edit(paint(1, int(p.seq)%12, 1, []string{"soot", "chalk", "brick"}[(p.seq/12)%3]))
	}
}

// execute runs a statement behind the store's back.
func execute(t testing.TB, s *Store, query string, args ...any) {
	t.Helper()
	done, err := s.write.Exec(query, args...)
	require.NoError(t, err)
	n, err := done.RowsAffected()
	require.NoError(t, err)
	require.Positive(t, n, query)
}

func TestSnapshotThatCannotBeReadBackIsNotMade(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	var log bytes.Buffer
	s.SetLog(slog.New(slog.NewTextHandler(&log, nil)))
	id := create(t, s, tube(t, 12, 3))
	mira := newPage(t, s, id, "Mira")
	mira.edit(paint(2, 0, 12, "soot"))
	s.designs[id].figure.Colours[2].Hex = "as no document may have it" // any fault of ours, or of the memory
	repaint(mira, 2*snapshotSteps+10)
	want := look(s.designs[id].figure, 1)
	assert.Contains(t, log.String(), "could not be read back")
	require.NoError(t, s.Close())

	s = openAt(t, path)
	f := get(t, s, id)
	assert.Equal(t, want, look(f, 1))
	assert.Equal(t, "ssssssssssss", look(f, 2))
}

func TestSnapshotIsTheFigureThatItWasMadeOf(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 12, 3))
	mira := newPage(t, s, id, "Mira")
	mira.edit(&figure.InsertRing{Above: 3, Colour: "chalk"})
	repaint(mira, 3*snapshotSteps)
	var n int
	require.NoError(t, s.read.QueryRow(`SELECT count(*) FROM snapshots WHERE rev > 0`).Scan(&n))
	require.Positive(t, n)
	p, err := snapshot(ctx, s.read, s.designs[id].number, -1)
	require.NoError(t, err)
	beginning, err := snapshot(ctx, s.read, s.designs[id].number, 0)
	require.NoError(t, err)
	require.NoError(t, beginning.forward(ctx, s.read, s.designs[id].number, p.rev))
	assert.Equal(t, beginning.figure, p.figure)
}

func TestUnreadableSnapshotIsPassedOver(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	s := openAt(t, path)
	id := create(t, s, tube(t, 12, 3))
	mira := newPage(t, s, id, "Mira")
	repaint(mira, 3*snapshotSteps)
	want := get(t, s, id)
	execute(t, s, `UPDATE snapshots SET document = substr(document, 1, 40) WHERE rev > 0`)
	require.NoError(t, s.Close())

	s = openAt(t, path)
	assert.Equal(t, want, get(t, s, id))
	mira.s = s
	repaint(mira, 1)
	require.NoError(t, s.Close())
	s = openAt(t, path)
	_, _, err := s.Get(ctx, id)
	require.NoError(t, err)
}

func TestLastReadableVersionOfADamagedDesign(t *testing.T) {
	const steps = 10
	for name, c := range map[string]struct {
		damage string
		last   int64 // −1 when no version can be read
	}{
		"a step is missing":          {`DELETE FROM steps WHERE rev = 7`, 6},
		"a step is gibberish":        {`UPDATE steps SET edit = 'x' WHERE rev = 4`, 3},
		"a step no longer applies":   {`UPDATE steps SET edit = '{"do":"remove_ring","ring":77}' WHERE rev = 9`, 8},
		"the first step":             {`DELETE FROM steps WHERE rev = 1`, 0},
		"the beginning":              {`UPDATE snapshots SET document = 'x'`, -1},
		"identities of no such ring": {`UPDATE snapshots SET keys = '{"rings":[1],"next_ring":-3}'`, -1},
		"no snapshot at all":         {`DELETE FROM snapshots`, -1},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "designs.db")
			s := openAt(t, path)
			id, sound := create(t, s, tube(t, 12, 3)), create(t, s, tube(t, 14, 3))
			require.NoError(t, s.SetSettings(ctx, id, []byte(`{"spare":7.5}`)))
			mira := newPage(t, s, id, "Mira")
			var looks = []string{look(get(t, s, id), 1)}
			for range steps {
				repaint(mira, 1)
				looks = append(looks, look(get(t, s, id), 1))
			}
			require.NoError(t, s.Close())
			s = openAt(t, path)
			execute(t, s, c.damage+map[bool]string{true: " AND ", false: " WHERE "}[strings.Contains(c.damage, "WHERE")]+`design = (SELECT number FROM designs WHERE id = ?)`, id)

			_, _, err := s.Get(ctx, id)
			assert.Equal(t, Damaged, code(t, err))
			_, _, err = s.Get(ctx, id)
			assert.Equal(t, Damaged, code(t, err), "the second time too")
			get(t, s, sound)
			list, err := s.List(ctx, false)
			require.NoError(t, err)
			assert.Len(t, list, 2)

			rev, f, err := s.LastReadable(ctx, id)
			if c.last < 0 {
				assert.Equal(t, Damaged, code(t, err))
				_, err = s.GoOn(ctx, id)
				assert.Equal(t, Damaged, code(t, err))
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.last, rev)
			assert.Equal(t, looks[rev], look(f, 1))
			d, err := s.GoOn(ctx, id)
			require.NoError(t, err)
			assert.Equal(t, looks[rev], look(get(t, s, d.ID), 1))
			again, _, err := s.Get(ctx, d.ID)
			require.NoError(t, err)
			assert.JSONEq(t, `{"spare":7.5}`, string(again.Settings))
			repaint(newPage(t, s, d.ID, "Mira"), 1)
		})
	}
}

// Whoever goes on with a design loses nothing of its settings, readable or not, and presses the button once.
func TestGoingOnTakesSettingsAsTheyAre(t *testing.T) {
	for _, stored := range []string{`{"glue_g": 12,  "people":4}`, `{"people":4`, ``} {
		s := open(t)
		id := create(t, s, tube(t, 12, 3))
		mira := newPage(t, s, id, "Mira")
		repaint(mira, 3)
		execute(t, s, `UPDATE designs SET settings = ? WHERE id = ?`, stored, id)
		d, err := s.GoOn(t.Context(), id)
		require.NoError(t, err, stored)
		now, _, err := s.Get(t.Context(), d.ID)
		require.NoError(t, err)
		assert.Equal(t, stored, string(now.Settings))
		list, err := s.List(t.Context(), false)
		require.NoError(t, err)
		assert.Len(t, list, 2)
	}
}

func TestGoingBackToADamagedVersionIsRefused(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 12, 3))
	mira := newPage(t, s, id, "Mira")
	repaint(mira, 3)
	execute(t, s, `UPDATE steps SET edit = 'x' WHERE rev = 2`)
	a := mira.ask(Ask{Kind: KindRestore, Rev: 2})
	require.NotEmpty(t, a.Faults)
	assert.Contains(t, a.Faults[0].What.String(), "Version 2")
	repaint(mira, 1)
}

func TestPanicOverADesignIsAnError(t *testing.T) {
	err := sheltered(func() error {
		var rings []int
		_ = rings[len(t.Name())]
		return nil
	})
	assert.ErrorContains(t, err, "index out of range")
}

// filling gives a database that can be made full, on a real disk where this process may mount one, or else by
// SQLite's own limit.
func filling(t *testing.T) (s *Store, fill, free func()) {
	if disk, ok := faultdisk.Small(t, 1<<20); ok {
		return openAt(t, filepath.Join(disk.Dir, "designs.db")), disk.Fill, disk.Free
	}
	s = open(t)
	return s, func() { require.NoError(t, s.LimitPages(1)) }, func() { require.NoError(t, s.LimitPages(1<<30)) }
}

func TestFullDiskLosesNothing(t *testing.T) {
	t.Run("disk", func(t *testing.T) { s, fill, free := filling(t); fullDisk(t, s, fill, free) })
	t.Run("limit", func(t *testing.T) {
		s := open(t)
		fullDisk(t, s, func() { require.NoError(t, s.LimitPages(1)) }, func() { require.NoError(t, s.LimitPages(1<<30)) })
	})
}

func fullDisk(t *testing.T, s *Store, fill, free func()) {
	id := create(t, s, tube(t, 12, 3))
	mira := newPage(t, s, id, "Mira")
	repaint(mira, 5)
	for range 3 {
		fill()
		var err error
		ask := Ask{Kind: KindEdit, Edit: &figure.SetTitle{Title: strings.Repeat("Lighthouse ", 9)}}
		for err == nil {
			ask.Seq, ask.Edit = mira.seq+1, &figure.SetTitle{Title: fmt.Sprint("Lighthouse ", mira.seq)}
			if _, err = s.Apply(ctx, id, mira.who, mira.client, []Ask{ask}); err == nil {
				mira.seq++
			}
			require.Less(t, mira.seq, int64(5000))
		}
		assert.Equal(t, Full, code(t, err))
		_, err = s.Create(ctx, tube(t, 64, 100))
		assert.Equal(t, Full, code(t, err))
		assert.Equal(t, mira.seq, revOf(t, s, id), "every answered step is there")
		free()
		answers, err := s.Apply(ctx, id, mira.who, mira.client, []Ask{ask})
		require.NoError(t, err, "the same step, sent again")
		mira.seq++
		assert.Equal(t, mira.seq, answers[0].Rev)
	}
	path := s.path
	require.NoError(t, s.Close())
	s = openAt(t, path)
	assert.Equal(t, mira.seq, revOf(t, s, id))
}
