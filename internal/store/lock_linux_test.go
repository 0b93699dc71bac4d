package store

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Tuckrings before this rule locked a file beside the database.
func TestLockOfAnEarlierVersionHolds(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	require.NoError(t, openAt(t, path).Close())
	earlier, err := lockBeside(path)
	require.NoError(t, err)
	_, err = Open(ctx, path)
	assert.Equal(t, InUse, code(t, err))
	require.NoError(t, earlier.file.Close())
	openAt(t, path)
	assert.NoFileExists(t, path+"-lock")
}

// SQLite finds the log by the name of the file (sqlite.org/howtocorrupt.html, 2.5), so under another name the latest
// steps are not seen.
func TestBackupUnderAnotherNameOfAnOpenDatabaseIsRefused(t *testing.T) {
	s := open(t)
	mira := newPage(t, s, create(t, s, tube(t, 12, 3)), "Mira")
	repaint(mira, 3)
	elsewhere, out := filepath.Join(t.TempDir(), "hard.db"), filepath.Join(t.TempDir(), "copy.db")
	require.NoError(t, os.Link(s.path, elsewhere))
	for what, do := range map[string]func() error{
		"backup":  func() error { _, err := Backup(ctx, elsewhere, out); return err },
		"restore": func() error { _, err := Restore(ctx, elsewhere, out, false); return err },
	} {
		err := do()
		require.Error(t, err, what)
		assert.Equal(t, InUse, code(t, err), what)
		assert.Contains(t, err.Error(), "under another name", what)
		assert.NoFileExists(t, out)
	}
	_, err := Backup(ctx, s.path, out) // its log stands beside this name
	require.NoError(t, err)
	list, err := openAt(t, out).List(ctx, false)
	require.NoError(t, err)
	assert.Equal(t, int64(3), list[0].Rev)
	require.NoError(t, s.Close())
	_, err = Backup(ctx, elsewhere, filepath.Join(t.TempDir(), "closed.db"))
	assert.NoError(t, err, "nobody has it open any more: all steps are in the file")
}
