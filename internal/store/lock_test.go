//go:build unix

package store

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A process that closes any descriptor of a file loses SQLite's locks on it (fcntl(2)). Then another program that
// looks into the database would take itself for the last, and remove the log.
func TestRefusedSecondOpeningLeavesSQLitesLocksInPlace(t *testing.T) {
	s := open(t)
	mira := newPage(t, s, create(t, s, tube(t, 12, 3)), "Mira")
	repaint(mira, 3)
	for range 3 {
		_, err := Open(ctx, s.path)
		require.Equal(t, InUse, code(t, err))
		_, err = Backup(ctx, s.path, filepath.Join(t.TempDir(), "copy.db"))
		require.NoError(t, err)
		_, err = Restore(ctx, s.path, s.path, false)
		require.Equal(t, Conflict, code(t, err))
	}
	cmd := exec.Command(testBinary(t), "-test.run=^$")
	cmd.Env = append(cmd.Environ(), "TUCKRING_TEST_LOCKS="+s.path)
	out, err := cmd.CombinedOutput()
	assert.NoError(t, err, string(out))
}

// seeLocks ends with 0 when another process has SQLite's shared lock on the database at path: read locks on 510
// bytes from 2^30 + 2 (SQLite, os.h: PENDING_BYTE, SHARED_FIRST, SHARED_SIZE).
func seeLocks(path string) int {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	lock := syscall.Flock_t{Type: syscall.F_WRLCK, Whence: io.SeekStart, Start: 1<<30 + 2, Len: 510}
	if err := syscall.FcntlFlock(f.Fd(), syscall.F_GETLK, &lock); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	if lock.Type == syscall.F_UNLCK {
		fmt.Fprintln(os.Stderr, "there is no lock")
		return 1
	}
	return 0
}

func TestDatabaseIsNotOpenedWithoutItsLog(t *testing.T) {
	dir := t.TempDir()
	one, two := filepath.Join(dir, "one.db"), filepath.Join(dir, "two.db")
	s := openAt(t, one)
	mira := newPage(t, s, create(t, s, tube(t, 12, 3)), "Mira")
	repaint(mira, 3)
	killed := filepath.Join(dir, "killed.db") // as a kill leaves it: the latest steps in the log
	for _, end := range []string{"", "-wal"} {
		data, err := os.ReadFile(one + end)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(killed+end, data, 0o600))
	}
	require.NoError(t, os.Link(killed, two))
	_, err := Open(ctx, two)
	assert.Equal(t, Conflict, code(t, err))
	assert.Contains(t, err.Error(), killed)
	again := openAt(t, killed)
	list, err := again.List(ctx, false)
	require.NoError(t, err)
	assert.Equal(t, int64(3), list[0].Rev)
}

func TestRestoreFollowsASymbolicLinkAndLeavesNoLogOfAnotherFile(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	db, link := filepath.Join(dir, "designs.db"), filepath.Join(other, "link.db")
	s := open(t)
	id := create(t, s, tube(t, 12, 3))
	require.NoError(t, os.Symlink(db, link))
	require.NoError(t, os.WriteFile(db+"-wal", []byte("the log of a file that is gone"), 0o600))
	did, err := Restore(ctx, s.path, link, false)
	require.NoError(t, err)
	assert.FileExists(t, did.Kept)
	assert.NoFileExists(t, db+"-wal")
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.Equal(t, os.ModeSymlink, info.Mode().Type(), "still a link")
	get(t, openAt(t, db), id)
}

func TestOpeningSweepsUpAfterAKilledRestore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "designs.db")
	require.NoError(t, openAt(t, path).Close())
	left, atWork := path+partMark+"123", path+partMark+"456"
	require.NoError(t, os.WriteFile(left, []byte("half a copy"), 0o600))
	lock, err := lockFile(atWork)
	require.NoError(t, err)
	openAt(t, path)
	assert.NoFileExists(t, left)
	assert.FileExists(t, atWork, "its maker is still at work")
	require.NoError(t, lock.release())
}

// unusualFiles makes what stands under names but is no file with contents of its own (inode(7)).
func unusualFiles(t *testing.T, dir string) map[string]string {
	t.Helper()
	pipe, socket := filepath.Join(dir, "pipe"), filepath.Join(dir, "socket")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	fd, err := syscall.Socket(syscall.AF_UNIX, syscall.SOCK_STREAM, 0)
	require.NoError(t, err)
	t.Cleanup(func() { _ = syscall.Close(fd) }) // nothing was sent
	require.NoError(t, syscall.Bind(fd, &syscall.SockaddrUnix{Name: socket}))
	link := filepath.Join(dir, "link")
	require.NoError(t, os.Symlink(pipe, link))
	found := map[string]string{"a pipe": pipe, "a socket": socket, "a link to a pipe": link}
	device := filepath.Join(dir, "device") // one of our own: were it not refused, the machine's would be replaced
	if syscall.Mknod(device, syscall.S_IFCHR|0o600, 1<<8|3) == nil {
		found["a device"] = device
	}
	return found
}
