package main

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/shelf"
	"tuckring/internal/store"
)

func TestDatabaseIsKeptInTheUsersDataFolder(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_DATA_HOME", dir) // XDG Base Directory Specification
	path, err := databasePath("")
	require.NoError(t, err)
	assert.Equal(t, filepath.Join(dir, "tuckring", "tuckring.db"), path)
	assert.DirExists(t, filepath.Dir(path))

	path, err = databasePath("elsewhere.db")
	require.NoError(t, err)
	assert.Equal(t, "elsewhere.db", path)
}

func TestLANOpensALoopbackAddress(t *testing.T) {
	tests := []struct {
		listen string
		lan    bool
		want   string
	}{
		{"127.0.0.1:8080", false, "127.0.0.1:8080"},
		{"127.0.0.1:8080", true, ":8080"},
		{"localhost:9000", true, ":9000"},
		{"[::1]:9000", true, ":9000"},
		{"192.168.1.4:8080", true, "192.168.1.4:8080"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, listenAddress(tt.listen, tt.lan), tt.listen)
	}
}

func TestNewShelfOpensWithTheDemoFigures(t *testing.T) {
	ctx := context.Background()
	kept, err := store.Open(ctx, filepath.Join(t.TempDir(), "new.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, kept.Close()) }()
	require.True(t, kept.Fresh())
	require.NoError(t, stock(ctx, kept))
	designs, err := kept.List(ctx, false)
	require.NoError(t, err)
	require.Len(t, designs, 6) // figures of our own scenario
	assert.Equal(t, shelf.Demo()[0].Figure.Title, designs[0].Title)
}
