package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"syscall"
)

// Closing any descriptor of a file drops all locks that SQLite holds on it in this process (fcntl(2), 'close').
// So a file that this process has locked is refused before it is opened once more.
var (
	locking sync.Mutex
	locked  = map[fileID]bool{}
)

// lockFile locks the database at path, whose symbolic links have been followed; where nothing stands yet it makes
// an empty file that only its owner can read. The lock is on the file itself (flock(2), which SQLite does not
// use), so it holds under every name of the file. Errors are *Error for what a person can put right.
func lockFile(path string) (*fileLock, error) {
	locking.Lock()
	defer locking.Unlock()
	for {
		if info, err := os.Stat(path); err == nil && locked[idOf(info)] {
			return nil, refuse(InUse, "store.in_use", "File", path)
		}
		f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
		if err != nil {
			return nil, explain(path, err)
		}
		if faraway(f) {
			_ = f.Close() // nothing was written
			return lockBeside(path)
		}
		info, again, err := lockOpen(f, path)
		if err != nil {
			_ = f.Close() // nothing was written
			return nil, err
		}
		if again {
			_ = f.Close() // nothing was written
			continue
		}
		l := &fileLock{f, idOf(info)}
		locked[l.of] = true
		return l, nil
	}
}

// lockOpen locks an open database. again says that meanwhile another file was put under its name.
func lockOpen(f *os.File, path string) (info os.FileInfo, again bool, err error) {
	if err := flock(f, path); err != nil {
		return nil, false, err
	}
	if info, err = f.Stat(); err != nil {
		return nil, false, err
	}
	if now, err := os.Stat(path); err != nil || !os.SameFile(info, now) {
		return nil, true, nil
	}
	if err := olderLock(path); err != nil {
		return nil, false, err
	}
	return info, false, otherName(info, path)
}

// olderLock refuses a database that a Tuckring of an earlier version has open: those lock a file beside it. What they
// left of it goes.
func olderLock(path string) error {
	f, err := os.Open(path + "-lock")
	if err != nil {
		return nil // none there, as a rule
	}
	defer func() { _ = f.Close() }() // nothing was written
	if err := flock(f, path); err != nil {
		return err
	}
	_ = os.Remove(path + "-lock") // it does no harm either
	return nil
}

// otherName refuses a file that has another name in its folder, under which steps were kept that are not in the
// file yet: SQLite finds its log by the name (sqlite.org/howtocorrupt.html, 2.5 'multiple links to the same file').
func otherName(info os.FileInfo, path string) error {
	if info.Sys().(*syscall.Stat_t).Nlink < 2 { //nolint:errcheck // always so on Linux
		return nil
	}
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return nil // the folder cannot be listed: then nothing is known
	}
	for _, e := range entries {
		other := filepath.Join(filepath.Dir(path), e.Name())
		same, err := os.Stat(other)
		if other == path || err != nil || !os.SameFile(info, same) {
			continue
		}
		if wal, err := os.Stat(other + "-wal"); err == nil && wal.Size() > 0 {
			return refuse(Conflict, "store.other_name", "File", path, "Other", other)
		}
	}
	return nil
}

// holdNames refuses a database that is to be copied under one of its names while its latest steps are kept under another.
// Until held is called, no Tuckring opens a file that has several names and no log beside this one.
func holdNames(path string) (held func(), err error) {
	locking.Lock()
	defer locking.Unlock()
	none := func() {}
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() || info.Sys().(*syscall.Stat_t).Nlink < 2 || walStands(path) { //nolint:errcheck // always so on Linux
		return none, nil // what else is wrong with it, inspect says
	}
	elsewhere := refuse(InUse, "store.open_elsewhere", "File", path)
	if locked[idOf(info)] {
		return nil, elsewhere
	}
	f, err := os.Open(path)
	if err != nil {
		return none, nil // it is read later, and refused then
	}
	if faraway(f) {
		_ = f.Close() // nothing was written
		return none, nil
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_SH|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		err = elsewhere
	} else {
		err = otherName(info, path)
	}
	if err != nil {
		_ = f.Close() // nothing was written
		return nil, err
	}
	return func() { _ = f.Close() }, nil // nothing was written
}

// faraway tells a file on another machine (statfs(2)): there the system turns locks of files into locks of
// their bytes, and SQLite's own would meet ours.
func faraway(f *os.File) bool {
	const nfs, cifs, smb2 = 0x6969, 0xff534d42, 0xfe534d42
	var st syscall.Statfs_t
	if err := syscall.Fstatfs(int(f.Fd()), &st); err != nil {
		return false
	}
	kind := uint32(st.Type) //nolint:gosec // the kinds are 32 bits
	return kind == nfs || kind == cifs || kind == smb2
}

// release lets go of the lock. SQLite must have closed the file.
func (l *fileLock) release() error {
	if l == nil {
		return nil
	}
	locking.Lock()
	defer locking.Unlock()
	delete(locked, l.of)
	if err := l.file.Close(); err != nil && !errors.Is(err, fs.ErrClosed) {
		return err
	}
	return nil
}
