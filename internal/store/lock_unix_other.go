//go:build unix && !linux

package store

// lockFile locks the database at path, whose symbolic links have been followed. Elsewhere than on Linux a lock on
// the file itself would meet SQLite's own (flock(2) of the BSDs), so it is on a file beside it.
func lockFile(path string) (*fileLock, error) { return lockBeside(path) }

func (l *fileLock) release() error {
	if l == nil {
		return nil
	}
	return l.file.Close()
}

// holdNames cannot tell here under which of its names a file is open.
func holdNames(string) (held func(), err error) { return func() {}, nil }
