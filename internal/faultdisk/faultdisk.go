// Package faultdisk gives tests real disks that are full or read-only.
package faultdisk

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// Disk is a small file system of its own.
type Disk struct {
	Dir string
	t   testing.TB
}

// Small mounts a file system of so many bytes for the rest of the test. ok is false where this process may not
// mount.
func Small(t testing.TB, bytes int) (d Disk, ok bool) {
	t.Helper()
	d = Disk{Dir: filepath.Join(t.TempDir(), "small"), t: t}
	require.NoError(t, os.Mkdir(d.Dir, 0o700))
	if !mountSmall(d.Dir, bytes) {
		return d, false
	}
	t.Cleanup(func() { unmount(d.Dir) })
	return d, true
}

func (d Disk) filler() string { return filepath.Join(d.Dir, "filler") }

// Fill takes all the room that is left.
func (d Disk) Fill() {
	d.t.Helper()
	f, err := os.OpenFile(d.filler(), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	require.NoError(d.t, err)
	_, err = io.CopyBuffer(struct{ io.Writer }{f}, zeros{}, make([]byte, 4096))
	require.ErrorIs(d.t, err, syscall.ENOSPC)
	_, err = f.Write([]byte{0})
	require.ErrorIs(d.t, err, syscall.ENOSPC)
	require.NoError(d.t, f.Close())
}

// Free gives the room back.
func (d Disk) Free() {
	d.t.Helper()
	require.NoError(d.t, os.Remove(d.filler()))
}

type zeros struct{}

func (zeros) Read(b []byte) (int, error) { clear(b); return len(b), nil }

// ReadOnly lets nobody write in a folder, or in a file, for the rest of the test, or until again is called.
func ReadOnly(t testing.TB, path string) (again func()) {
	t.Helper()
	if mountReadOnly(path) {
		done := false
		again = func() {
			if !done {
				unmount(path)
				done = true
			}
		}
	} else {
		again = takeRights(t, path)
	}
	t.Cleanup(again)
	require.False(t, writable(path), "run the tests as an ordinary user, or as one who may mount: nothing else makes a disk read-only")
	return again
}

func writable(path string) bool {
	if f, err := os.OpenFile(path, os.O_WRONLY, 0); !errors.Is(err, syscall.EISDIR) {
		if err == nil {
			_ = f.Close() // nothing was written
		}
		return err == nil
	}
	return os.WriteFile(filepath.Join(path, "probe"), nil, 0o600) == nil
}

// Bind lets a folder stand at another place too for the rest of the test; false where this process may not mount.
func Bind(t testing.TB, dir, at string) bool {
	t.Helper()
	if !bind(dir, at) {
		return false
	}
	t.Cleanup(func() { unmount(at) })
	return true
}

// takeRights takes the right to write from a file, or from a folder and its files.
func takeRights(t testing.TB, path string) (again func()) {
	within, err := filepath.Glob(filepath.Join(path, "*"))
	require.NoError(t, err)
	was := map[string]os.FileMode{}
	for _, p := range append(within, path) {
		info, err := os.Stat(p)
		require.NoError(t, err)
		was[p] = info.Mode().Perm()
		require.NoError(t, os.Chmod(p, was[p]&^0o222))
	}
	return func() {
		for p, mode := range was {
			_ = os.Chmod(p, mode) // it goes with the test
		}
	}
}
