//go:build unix

package store

import (
	"errors"
	"fmt"
	"os"
	"syscall"
)

// fileLock is held while a Tuckring has the database open for writing. The system lets go of it when
// the process ends, however it ends.
type fileLock struct{ file *os.File }

// lockFile locks the database at path through a small file beside it.
func lockFile(path string) (*fileLock, error) {
	f, err := os.OpenFile(path+"-lock", os.O_CREATE|os.O_RDWR, 0o600)
	if err != nil {
		return nil, fmt.Errorf("lock %s: %w", path, err)
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if err == nil {
		return &fileLock{f}, nil
	}
	_ = f.Close() // nothing was written
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return nil, refuse(InUse, "store.in_use", "File", path)
	}
	return nil, fmt.Errorf("lock %s: %w", path, err)
}

func (l *fileLock) release() error {
	if l == nil {
		return nil
	}
	return l.file.Close()
}
