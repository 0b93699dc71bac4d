package store

import (
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
