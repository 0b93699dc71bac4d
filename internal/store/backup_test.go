package store

import (
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBackupOfARunningDatabaseIsWhole(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 12, 3))
	mira := newPage(t, s, id, "Mira")
	mira.edit(paint(1, 0, 3, "soot"))
	out := filepath.Join(t.TempDir(), "copy.db")

	stop := make(chan struct{})
	var painting sync.WaitGroup
	painting.Go(func() { // the app goes on meanwhile
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default:
				mira.edit(paint(2, i%12, 1, []string{"soot", "chalk", "brick"}[(i/12)%3]))
			}
		}
	})
	for range 5 { // a later backup takes the place of the earlier, which is kept
		_, err := Backup(ctx, s.path, out)
		require.NoError(t, err)
	}
	close(stop)
	painting.Wait()

	copied := openAt(t, out)
	f := get(t, copied, id)
	assert.Equal(t, "sssbbbbbbbbb", look(f, 1))
	d, _, err := copied.Get(ctx, id)
	require.NoError(t, err)
	then, err := s.At(ctx, id, d.Rev)
	require.NoError(t, err)
	assert.Equal(t, then, f, "the copy is the design at one of its revisions")
	left, err := filepath.Glob(out + ".part*")
	require.NoError(t, err)
	assert.Empty(t, left)
}

func TestRestorePutsTheBackupInPlaceAndKeepsWhatStoodThere(t *testing.T) {
	s := open(t)
	id := create(t, s, tube(t, 12, 3))
	mira := newPage(t, s, id, "Mira")
	mira.edit(paint(1, 0, 3, "soot"))
	out := filepath.Join(t.TempDir(), "copy.db")
	_, err := Backup(ctx, s.path, out)
	require.NoError(t, err)
	mira.edit(paint(1, 0, 12, "chalk"))

	_, err = Restore(ctx, out, s.path, false)
	assert.Equal(t, InUse, code(t, err), "not under a running app")
	require.NoError(t, s.Close())
	did, err := Restore(ctx, out, s.path, false)
	require.NoError(t, err)
	assert.Equal(t, "sssbbbbbbbbb", look(get(t, openAt(t, s.path), id), 1))
	assert.Equal(t, "cccccccccccc", look(get(t, openAt(t, did.Kept), id), 1), "nothing is lost")

	fresh := filepath.Join(t.TempDir(), "new.db")
	did, err = Restore(ctx, out, fresh, false)
	require.NoError(t, err)
	assert.Empty(t, did.Kept)
	assert.Equal(t, "sssbbbbbbbbb", look(get(t, openAt(t, fresh), id), 1))
}

func TestBackupAndRestoreRefuseWhatTheyMustNotTouch(t *testing.T) {
	dir := t.TempDir()
	ours := filepath.Join(dir, "designs.db")
	s := openAt(t, ours)
	create(t, s, tube(t, 12, 3))
	require.NoError(t, s.Close())
	letter := filepath.Join(dir, "letter.txt")
	require.NoError(t, os.WriteFile(letter, []byte(strings.Repeat("Dear puffin, ", 100)), 0o600))
	newer := filepath.Join(dir, "newer.db")
	_, err := Backup(ctx, ours, newer)
	require.NoError(t, err)
	n := openAt(t, newer)
	_, err = n.write.Exec(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (99999, 1)`)
	require.NoError(t, err)
	require.NoError(t, n.Close())
	damaged := filepath.Join(dir, "damaged.db")
	data, err := os.ReadFile(ours)
	require.NoError(t, err)
	for i := 4096; i < len(data); i++ { // all but the first page
		data[i] ^= 0x5a
	}
	require.NoError(t, os.WriteFile(damaged, data, 0o600))
	missing := filepath.Join(dir, "missing.db")

	for _, c := range []struct {
		what string
		do   func() error
		want Code
	}{
		{"backup of nothing", func() error { _, err := Backup(ctx, missing, filepath.Join(dir, "a.db")); return err }, NotFound},
		{"backup of a letter", func() error { _, err := Backup(ctx, letter, filepath.Join(dir, "a.db")); return err }, NotOurs},
		{"backup of a newer one", func() error { _, err := Backup(ctx, newer, filepath.Join(dir, "a.db")); return err }, Newer},
		{"backup over a letter", func() error { _, err := Backup(ctx, ours, letter); return err }, NotOurs},
		{"backup over itself", func() error { _, err := Backup(ctx, ours, ours); return err }, Conflict},
		{"backup into no folder", func() error { _, err := Backup(ctx, ours, filepath.Join(dir, "no", "a.db")); return err }, NotFound},
		{"restore of nothing", func() error { _, err := Restore(ctx, missing, ours, false); return err }, NotFound},
		{"restore of a letter", func() error { _, err := Restore(ctx, letter, ours, false); return err }, NotOurs},
		{"restore of a newer one", func() error { _, err := Restore(ctx, newer, ours, false); return err }, Newer},
		{"restore of a damaged one", func() error { _, err := Restore(ctx, damaged, ours, false); return err }, Damaged},
		{"restore over a letter", func() error { _, err := Restore(ctx, ours, letter, false); return err }, NotOurs},
		{"restore over a newer one", func() error { _, err := Restore(ctx, ours, newer, false); return err }, Newer},
		{"restore onto itself", func() error { _, err := Restore(ctx, ours, ours, false); return err }, Conflict},
	} {
		before := map[string][32]byte{ours: hash(t, ours), letter: hash(t, letter), newer: hash(t, newer), damaged: hash(t, damaged)}
		err := c.do()
		require.Error(t, err, c.what)
		assert.Equal(t, c.want, code(t, err), c.what)
		for path, was := range before {
			assert.Equal(t, was, hash(t, path), "%s left %s alone", c.what, path)
		}
		left, err := filepath.Glob(filepath.Join(dir, "*.part*"))
		require.NoError(t, err)
		assert.Empty(t, left, c.what)
	}
}

func TestOnlyFilesAreCopiedAndReplaced(t *testing.T) {
	dir := t.TempDir()
	ours := filepath.Join(dir, "designs.db")
	require.NoError(t, openAt(t, ours).Close())
	for what, special := range unusualFiles(t, dir) {
		for did, do := range map[string]func() error{
			"backup to":    func() error { _, err := Backup(ctx, ours, special); return err },
			"backup of":    func() error { _, err := Backup(ctx, special, filepath.Join(dir, "a.db")); return err },
			"restore to":   func() error { _, err := Restore(ctx, ours, special, false); return err },
			"restore from": func() error { _, err := Restore(ctx, special, ours, false); return err },
			"opening of":   func() error { _, err := Open(ctx, special); return err },
		} {
			err := do()
			require.Error(t, err, "%s %s", did, what)
			if !assert.Equal(t, NotOurs, code(t, err), "%s %s", did, what) {
				continue
			}
			assert.Contains(t, err.Error(), "is no file that can be kept", "%s %s", did, what)
		}
		left, err := filepath.Glob(special + ".*")
		require.NoError(t, err)
		assert.Empty(t, left, what)
	}
}

func TestACopyThatIsStoppedLeavesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	require.NoError(t, openAt(t, path).Close())
	db, err := sql.Open("sqlite3", path)
	require.NoError(t, err)
	_, err = db.Exec(`CREATE TABLE ballast AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i+1 FROM n WHERE i < 60) SELECT randomblob(1000000) AS b FROM n`)
	require.NoError(t, err)
	require.NoError(t, db.Close())
	dir := t.TempDir()
	out := filepath.Join(dir, "copy.db")
	until, stop := context.WithCancel(ctx)
	go func() { // stopped as soon as the copy is begun
		defer stop()
		for until.Err() == nil {
			if begun, _ := filepath.Glob(out + partMark + "*"); len(begun) > 0 { // the pattern is a good one
				return
			}
		}
	}()
	_, err = Backup(until, path, out)
	require.Error(t, err)
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Empty(t, left)
}
