package main

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"database/sql"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/faultdisk"
)

// The program as its maker runs it, on disks and files that are not as they should be.

// app is a running tuckring serve.
type app struct {
	t    testing.TB
	cmd  *exec.Cmd
	base string
	errs *said
	http http.Client // remembers who it is
	seq  int
}

// said keeps what the app writes, which may be read while the app still runs.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// serving starts the app on a database and waits until it says where it is.
func serving(t testing.TB, db string) *app {
	t.Helper()
	a := &app{t: t, cmd: exec.Command(binary, "serve", "--listen", "127.0.0.1:0", "--db", db), errs: &said{}}
	a.cmd.Stderr = a.errs
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	a.http.Jar = jar
	out, err := a.cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, a.cmd.Start())
	t.Cleanup(a.kill)
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		_ = a.cmd.Wait() // what it said is what counts
		require.NoError(t, err, a.errs.String())
	}
	a.base = strings.TrimSuffix(address.FindString(line), "/")
	require.NotEmpty(t, a.base, line)
	return a
}

// kill ends the app as a power cut does.
func (a *app) kill() {
	_ = a.cmd.Process.Kill() // it may be gone
	_ = a.cmd.Wait()         // killed
}

// stop ends the app as its maker does.
func (a *app) stop() {
	a.t.Helper()
	require.NoError(a.t, a.cmd.Process.Signal(os.Interrupt))
	require.NoError(a.t, a.cmd.Wait(), a.errs.String())
}

func (a *app) get(path string) (status int, body string) {
	a.t.Helper()
	res, err := a.http.Get(a.base + path)
	require.NoError(a.t, err)
	data, err := io.ReadAll(res.Body)
	require.NoError(a.t, err)
	require.NoError(a.t, res.Body.Close())
	return res.StatusCode, string(data)
}

// first is the address of a figure on the shelf.
func (a *app) first() string {
	a.t.Helper()
	_, page := a.get("/")
	_, after, found := strings.Cut(page, `href="/d/`)
	require.True(a.t, found)
	id, _, _ := strings.Cut(after, `"`)
	return "/d/" + id
}

// rename makes a step: the figure's new title. The number goes up only when the step was taken.
func (a *app) rename(figure, title string) (status int, said map[string]any) {
	a.t.Helper()
	body := fmt.Sprintf(`{"client":"keep-test-page","steps":[{"seq":%d,"edit":{"do":"set_title","title":%q}}]}`, a.seq+1, title)
	res, err := a.http.Post(a.base+figure+"/edits", "application/json", strings.NewReader(body))
	require.NoError(a.t, err)
	require.NoError(a.t, json.NewDecoder(res.Body).Decode(&said))
	require.NoError(a.t, res.Body.Close())
	if res.StatusCode == http.StatusOK {
		require.NotContains(a.t, fmt.Sprint(said), "refused")
		a.seq++
	}
	return res.StatusCode, said
}

// newShelf makes a database with the demo figures and closes it.
func newShelf(t testing.TB, db string) {
	t.Helper()
	a := serving(t, db)
	status, _ := a.get("/")
	require.Equal(t, 200, status)
	a.stop()
}

func sum(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return fmt.Sprintf("%x", sha256.Sum256(data))
}

// change runs statements in a database that nobody has open.
func change(t testing.TB, db string, statements ...string) {
	t.Helper()
	con, err := sql.Open("sqlite3", db)
	require.NoError(t, err)
	con.SetMaxOpenConns(1)
	for _, s := range statements {
		_, err := con.Exec(s)
		require.NoError(t, err, s)
	}
	require.NoError(t, con.Close())
}

func TestDatabaseInUseIsNeverReplacedUnderWhateverName(t *testing.T) {
	dir := t.TempDir()
	live, spare, other := filepath.Join(dir, "live.db"), filepath.Join(dir, "spare.db"), t.TempDir()
	newShelf(t, spare)
	a := serving(t, live)
	figure := a.first()
	status, _ := a.rename(figure, "Answered before")
	require.Equal(t, 200, status)
	names := []string{live, filepath.Join(other, "symbolic.db"), filepath.Join(other, "hard.db"), filepath.Join(other, "folder", "live.db")}
	require.NoError(t, os.Symlink(live, names[1]))
	require.NoError(t, os.Link(live, names[2]))
	require.NoError(t, os.Symlink(dir, filepath.Join(other, "folder")))
	if here, err := os.Getwd(); assert.NoError(t, err) {
		relative, err := filepath.Rel(here, live)
		require.NoError(t, err)
		names = append(names, relative)
	}
	if at := filepath.Join(other, "bound"); assert.NoError(t, os.Mkdir(at, 0o700)) && faultdisk.Bind(t, dir, at) {
		names = append(names, filepath.Join(at, "live.db"))
	}
	for i, name := range names {
		for _, args := range [][]string{{"backup", "--db", spare, "--out", name}, {"restore", "--from", spare, "--db", name}} {
			out, errs, code := tuckring(t, "", args...)
			assert.Equal(t, 1, code, "%v %s", args, out)
			assert.Contains(t, errs, "is open in another Tuckring", args)
		}
		_, errs, code := startAndEnd(t, name)
		assert.Equal(t, 1, code, name)
		assert.Contains(t, errs, "is open in another Tuckring", name)
		status, said := a.rename(figure, fmt.Sprint("Answered after ", i))
		require.Equal(t, 200, status, said)
	}
	a.kill()
	_, page := serving(t, live).get(figure + "/history")
	for i := range names {
		assert.True(t, strings.Contains(page, fmt.Sprint("Answered after ", i)))
	}
	assert.True(t, strings.Contains(page, "Answered before"))
}

func TestBackupKeepsTheEarlierOne(t *testing.T) {
	dir := t.TempDir()
	db, copied := filepath.Join(dir, "shelf.db"), filepath.Join(dir, "copy.db")
	newShelf(t, db)
	was := map[string]bool{}
	for range 3 { // within a second
		if _, err := os.Stat(copied); err == nil {
			was[sum(t, copied)] = true
		}
		change(t, db, `UPDATE designs SET title = title || '!'`)
		_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
		require.Equal(t, 0, code, errs)
	}
	kept, err := filepath.Glob(copied + ".before-*")
	require.NoError(t, err)
	require.Len(t, kept, 2)
	for _, k := range kept {
		assert.True(t, was[sum(t, k)], k)
	}
}

func TestEveryRestoreKeepsWhatStoodThere(t *testing.T) {
	dir := t.TempDir()
	db, copied := filepath.Join(dir, "shelf.db"), filepath.Join(dir, "copy.db")
	newShelf(t, db)
	_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
	require.Equal(t, 0, code, errs)
	for range 4 { // within a second
		out, errs, code := tuckring(t, "", "restore", "--from", copied, "--db", db)
		require.Equal(t, 0, code, errs)
		assert.Contains(t, out, "kept as")
	}
	kept, err := filepath.Glob(db + ".before-*")
	require.NoError(t, err)
	assert.Len(t, kept, 4)
}

func TestDamagedDatabaseCanBeReplacedAndIsKept(t *testing.T) {
	dir := t.TempDir()
	db, copied := filepath.Join(dir, "shelf.db"), filepath.Join(dir, "copy.db")
	newShelf(t, db)
	_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
	require.Equal(t, 0, code, errs)
	scribble(t, db, 0)
	was := sum(t, db)
	out, errs, code := tuckring(t, "", "restore", "--from", copied, "--db", db)
	require.Equal(t, 0, code, errs)
	_, kept, _ := strings.Cut(strings.TrimSpace(out), "kept as ")
	assert.Equal(t, was, sum(t, strings.TrimSuffix(kept, ".")))
	serving(t, db).stop()
}

// scribble damages all pages of a table, or with "" all pages but the header's.
func scribble(t testing.TB, db string, page int64) {
	t.Helper()
	f, err := os.OpenFile(db, os.O_RDWR, 0)
	require.NoError(t, err)
	const size = 4096 // SQLite's default page
	if page > 0 {
		_, err = f.WriteAt(bytes.Repeat([]byte{0x5a}, size), (page-1)*size)
	} else {
		_, err = f.WriteAt(bytes.Repeat([]byte{0x5a}, size-100), 100) // the schema
	}
	require.NoError(t, err)
	require.NoError(t, f.Close())
}

func TestBackupOfASoundDatabaseInAReadOnlyFolder(t *testing.T) {
	shut, dir := t.TempDir(), t.TempDir()
	db, copied := filepath.Join(shut, "shelf.db"), filepath.Join(dir, "copy.db")
	newShelf(t, db)
	again := faultdisk.ReadOnly(t, shut)
	_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
	assert.Equal(t, 0, code, errs)
	assert.NotContains(t, errs, "damaged")
	_, errs, code = tuckring(t, "", "restore", "--from", db, "--db", filepath.Join(dir, "back.db"))
	assert.Equal(t, 0, code, errs)
	for _, args := range [][]string{{"backup", "--db", copied, "--out", filepath.Join(shut, "new.db")},
		{"backup", "--db", copied, "--out", db}, {"restore", "--from", copied, "--db", db}} {
		_, errs, code = tuckring(t, "", args...)
		assert.Equal(t, 1, code, args)
		assert.Regexp(t, "cannot write to .*(read-only file system|permission denied)", errs, args)
		assert.NotContains(t, errs, "damaged", args)
	}
	again()

	a := serving(t, db) // killed, it leaves its latest steps in the log beside the file
	status, _ := a.rename(a.first(), "Still in the log")
	require.Equal(t, 200, status)
	a.kill()
	faultdisk.ReadOnly(t, shut)
	_, errs, code = tuckring(t, "", "backup", "--db", db, "--out", filepath.Join(dir, "whole.db"))
	if code == 0 { // SQLite may read the log where its index is at hand
		assert.True(t, holds(t, filepath.Join(dir, "whole.db"), "Still in the log"))
		return
	}
	assert.Contains(t, errs, "shelf.db-wal")
	assert.NotContains(t, errs, "damaged")
}

func holds(t testing.TB, db, title string) bool {
	t.Helper()
	con, err := sql.Open("sqlite3", db)
	require.NoError(t, err)
	defer con.Close()
	var n int
	require.NoError(t, con.QueryRow(`SELECT count(*) FROM designs WHERE title = ?`, title).Scan(&n))
	return n > 0
}

func TestNextBackupSweepsUpAfterAKilledOne(t *testing.T) {
	dir := t.TempDir()
	db, copied := filepath.Join(dir, "shelf.db"), filepath.Join(dir, "copy.db")
	newShelf(t, db)
	change(t, db, `CREATE TABLE ballast (b BLOB)`, `INSERT INTO ballast SELECT randomblob(1000000) FROM (SELECT 1 FROM sqlite_schema LIMIT 6), (SELECT 1 FROM sqlite_schema LIMIT 10)`)
	theirs := copied + ".part-00" // as programs that split files name them
	require.NoError(t, os.WriteFile(theirs, []byte("of another program"), 0o600))
	parts := func() []string {
		found, err := filepath.Glob(copied + ".part-*")
		require.NoError(t, err)
		return found
	}
	for range 20 {
		cmd := exec.Command(binary, "backup", "--db", db, "--out", copied)
		require.NoError(t, cmd.Start())
		for len(parts()) < 2 {
			time.Sleep(time.Millisecond)
			if _, err := os.Stat(copied); err == nil {
				break
			}
		}
		require.NoError(t, cmd.Process.Kill())
		_ = cmd.Wait() // killed
		if len(parts()) > 1 {
			break
		}
		require.NoError(t, os.Remove(copied))
	}
	require.Greater(t, len(parts()), 1, "a killed backup leaves what it had")

	_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
	require.Equal(t, 0, code, errs)
	assert.Equal(t, []string{theirs}, parts())

	cmd := exec.Command(binary, "backup", "--db", db, "--out", copied)
	require.NoError(t, cmd.Start())
	for len(parts()) < 2 && cmd.ProcessState == nil {
		time.Sleep(time.Millisecond)
	}
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	_ = cmd.Wait() // interrupted
	assert.Equal(t, []string{theirs}, parts(), "one that is told to stop tidies up itself")
}

func TestRestoreRefusesALogWithAGap(t *testing.T) {
	for name, c := range map[string]struct{ damage, says string }{
		"a step in the middle":    {`DELETE FROM steps WHERE rev = 2`, "step 2 of 4 is missing"},
		"the first step":          {`DELETE FROM steps WHERE rev = 1`, "step 1 of 4 is missing"},
		"an unreadable step":      {`UPDATE steps SET edit = '{"do":"dance"}' WHERE rev = 3`, "step 3 cannot be read"},
		"an unreadable beginning": {`UPDATE snapshots SET document = '{}'`, "version 0 cannot be read"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			db, copied := filepath.Join(dir, "shelf.db"), filepath.Join(dir, "copy.db")
			a := serving(t, db)
			figure := a.first()
			for i := range 4 {
				status, said := a.rename(figure, fmt.Sprint("Lighthouse ", i))
				require.Equal(t, 200, status, said)
			}
			a.stop()
			_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
			require.Equal(t, 0, code, errs)
			change(t, copied, c.damage)
			was := sum(t, db)
			_, errs, code = tuckring(t, "", "restore", "--from", copied, "--db", db)
			assert.Equal(t, 1, code)
			assert.Contains(t, errs, c.says)
			assert.Contains(t, errs, "“Lighthouse 3”")
			assert.Equal(t, was, sum(t, db), "nothing was changed")

			out, errs, code := tuckring(t, "", "restore", "--from", copied, "--db", db, "--even-damaged")
			require.Equal(t, 0, code, errs)
			assert.Contains(t, out, c.says)
			a = serving(t, db)
			status, page := a.get("/")
			assert.Equal(t, 200, status)
			assert.True(t, strings.Contains(page, "Lighthouse 3"))
		})
	}
}

func TestOnlyTheirOwnerReadsDatabasesAndBackups(t *testing.T) {
	dir := t.TempDir()
	db, copied := filepath.Join(dir, "shelf.db"), filepath.Join(dir, "copy.db")
	check := func(paths ...string) {
		t.Helper()
		for _, path := range paths {
			info, err := os.Stat(path)
			require.NoError(t, err)
			assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), path)
		}
	}
	a := serving(t, db)
	check(db, db+"-wal", db+"-shm")
	_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", copied)
	require.Equal(t, 0, code, errs)
	check(copied)
	a.kill()
	for _, path := range []string{db, db + "-wal", db + "-shm", copied} { // as they were made before
		require.NoError(t, os.Chmod(path, 0o644))
	}
	a = serving(t, db)
	check(db, db+"-wal", db+"-shm")
	a.stop()
	_, errs, code = tuckring(t, "", "backup", "--db", db, "--out", copied)
	require.Equal(t, 0, code, errs)
	kept, err := filepath.Glob(copied + ".before-*")
	require.NoError(t, err)
	check(append(kept, copied)...)
}

func TestDatabaseThatCannotBeWrittenIsRefusedAtTheStart(t *testing.T) {
	for _, what := range []string{"the file", "the folder"} {
		dir := t.TempDir()
		db := filepath.Join(dir, "shelf.db")
		newShelf(t, db)
		shut := db
		if what == "the folder" {
			shut = dir
		}
		again := faultdisk.ReadOnly(t, shut)
		out, errs, code := startAndEnd(t, db)
		assert.Equal(t, 1, code, what)
		assert.NotContains(t, out, "ready", what)
		assert.Contains(t, errs, "cannot write to", what)
		assert.Regexp(t, "read-only file system|permission denied", errs, what)
		again()
		serving(t, db).stop()
	}
}

// startAndEnd starts the app where it should refuse; one that starts all the same is ended after a while.
func startAndEnd(t testing.TB, db string) (out, errs string, code int) {
	t.Helper()
	cmd := exec.Command(binary, "serve", "--listen", "127.0.0.1:0", "--db", db)
	var o, e bytes.Buffer
	cmd.Stdout, cmd.Stderr = &o, &e
	require.NoError(t, cmd.Start())
	end := time.AfterFunc(5*time.Second, func() { _ = cmd.Process.Kill() }) // it may be gone
	defer end.Stop()
	_ = cmd.Wait() // the exit code says it
	return o.String(), e.String(), cmd.ProcessState.ExitCode()
}

func TestDamagedDatabaseIsRefusedAtTheStart(t *testing.T) {
	for _, table := range []string{"designs", "snapshots", "steps", "links"} {
		dir := t.TempDir()
		db := filepath.Join(dir, "shelf.db")
		newShelf(t, db)
		con, err := sql.Open("sqlite3", db)
		require.NoError(t, err)
		var root int64
		require.NoError(t, con.QueryRow(`SELECT rootpage FROM sqlite_schema WHERE name = ?`, table).Scan(&root))
		require.NoError(t, con.Close())
		scribble(t, db, root)
		was := sum(t, db)
		out, errs, code := startAndEnd(t, db)
		assert.Equal(t, 1, code, table)
		assert.NotContains(t, out, "ready", table)
		assert.Contains(t, errs, "damaged", table)
		assert.Contains(t, errs, "restore", table)
		assert.Equal(t, was, sum(t, db), "%s: nothing was changed", table)
	}
}

func TestFullDiskIsSaidAndAllGoesOnWhenThereIsRoom(t *testing.T) {
	disk, ok := faultdisk.Small(t, 2<<20)
	if !ok {
		t.Log("this process may not mount: internal/store, web and web/e2e hold the rule by SQLite's own limit")
		return
	}
	db := filepath.Join(disk.Dir, "shelf.db")
	a := serving(t, db)
	figure := a.first()
	answered := 0
	taken := func() (int, map[string]any) {
		status, said := a.rename(figure, fmt.Sprintf("Title %d %s", answered, strings.Repeat("x", 100)))
		if status == 200 {
			answered++
		}
		return status, said
	}
	for range 5 {
		status, said := taken()
		require.Equal(t, 200, status, said)
	}
	for range 3 {
		disk.Fill()
		status, said := 200, map[string]any{}
		for status == 200 { // SQLite writes over the old part of its log first
			status, said = taken()
			require.Less(t, answered, 2000)
		}
		assert.Equal(t, 507, status, said) // RFC 4918, 11.5
		assert.Contains(t, said["what"], "no room left on the disk")
		assert.NotContains(t, said["what"], disk.Dir)
		status, page := a.get("/")
		assert.Equal(t, 200, status, "what is saved can be read")
		assert.True(t, strings.Contains(page, fmt.Sprintf("Title %d ", answered-1)))
		_, errs, code := tuckring(t, "", "backup", "--db", db, "--out", filepath.Join(disk.Dir, "copy.db"))
		assert.Equal(t, 1, code)
		assert.Contains(t, errs, "The disk is full")
		disk.Free()
		status, said = taken()
		require.Equal(t, 200, status, said)
	}
	a.kill()
	a = serving(t, db)
	_, page := a.get("/")
	assert.True(t, strings.Contains(page, fmt.Sprintf("Title %d ", answered-1)))
	assert.NotContains(t, a.errs.String(), "damaged")
	left, err := filepath.Glob(filepath.Join(disk.Dir, "*.part-*"))
	require.NoError(t, err)
	assert.Empty(t, left)
}
