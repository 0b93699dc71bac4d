//go:build unix

package store

import (
	"errors"
	"fmt"
	"os"
	"syscall"
)

// fileLock is held while a Tuckring has the database open for writing, or puts another file in its place. The
// system lets go of it when the process ends, however it ends.
type fileLock struct {
	file *os.File
	of   fileID
}

// fileID is what a file is by, under whatever name it is reached.
type fileID struct{ device, inode uint64 }

func idOf(info os.FileInfo) fileID {
	st := info.Sys().(*syscall.Stat_t)            //nolint:errcheck // always so on unix
	return fileID{uint64(st.Dev), uint64(st.Ino)} //nolint:unconvert // their types differ between systems
}

// locksHold says that two Tuckrings cannot have one lock.
const locksHold = true

// lockBeside locks through a small file beside the database at path. It cannot tell that two names mean one
// file, unless one is a symbolic link, which the caller has followed.
func lockBeside(path string) (*fileLock, error) {
	f, err := os.OpenFile(path+"-lock", os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, explain(path, fmt.Errorf("lock %s: %w", path, err))
	}
	if err := flock(f, path); err != nil {
		_ = f.Close() // nothing was written
		return nil, err
	}
	return &fileLock{file: f}, nil
}

// flock locks an open file, which stands for the database at path.
func flock(f *os.File, path string) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return refuse(InUse, "store.in_use", "File", path)
	}
	if err != nil {
		return fmt.Errorf("lock %s: %w", path, err)
	}
	return nil
}
