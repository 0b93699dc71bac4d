package faults

import (
	"database/sql"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// program builds these tests once more, without the race detector: it starts and works as fast as the real one when it
// stands in for the program that is killed.
func program(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "program")
	build := exec.Command("go", "test", "-c", "-o", path, ".")
	build.Env = append(os.Environ(), "CGO_CFLAGS=") // as everywhere but under the race detector
	out, err := build.CombinedOutput()
	require.NoError(t, err, string(out))
	return path
}

// sqlite changes a closed database without the store.
func sqlite(t *testing.T, path, query string) {
	t.Helper()
	db, err := sql.Open("sqlite3", path)
	require.NoError(t, err)
	_, err = db.Exec(query)
	require.NoError(t, err)
	require.NoError(t, db.Close())
}

// integrity asks SQLite whether all of a closed database holds together.
func integrity(t *testing.T, path string) (said string) {
	t.Helper()
	db, err := sql.Open("sqlite3", path)
	require.NoError(t, err)
	require.NoError(t, db.QueryRow(`PRAGMA integrity_check`).Scan(&said))
	require.NoError(t, db.Close())
	return said
}

// holdJournal begins a transaction with a rollback journal that takes every step away, brings some of it to the disk, and waits to
// be killed.
func holdJournal(path string) error {
	db, err := sql.Open("sqlite3", path+"?_journal_mode=DELETE&_synchronous=FULL")
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	for _, query := range []string{`PRAGMA cache_size = 2`, `PRAGMA cache_spill = 1`, `BEGIN IMMEDIATE`, `UPDATE steps SET name = hex(randomblob(400))`, `DELETE FROM steps`} {
		if _, err := db.Exec(query); err != nil {
			return err
		}
	}
	fmt.Println("ready")
	time.Sleep(time.Minute)
	return nil
}
