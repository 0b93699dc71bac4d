package site

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	first  = []File{{"index.html", []byte("<p>first")}, {"look/base.css", []byte("p {}")}, {"tables/old.csv", []byte("a")}}
	second = []File{{"index.html", []byte("<p>second")}, {"look/base.css", []byte("p {}")}}
)

// read gives what is in a folder: the text of its files by name.
func read(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(at string, d os.DirEntry, err error) error {
		require.NoError(t, err)
		name, err := filepath.Rel(dir, at)
		require.NoError(t, err)
		if d.IsDir() {
			out[name+"/"] = ""
			return nil
		}
		data, err := os.ReadFile(at)
		require.NoError(t, err)
		out[name] = string(data)
		return nil
	}))
	return out
}

func put(t *testing.T, dir, name, text string) {
	t.Helper()
	at := filepath.Join(dir, name)
	require.NoError(t, os.MkdirAll(filepath.Dir(at), 0o755))
	require.NoError(t, os.WriteFile(at, []byte(text), 0o644))
}

// only fails the test when the folder above holds anything but the given name.
func only(t *testing.T, above, name string) {
	t.Helper()
	entries, err := os.ReadDir(above)
	require.NoError(t, err)
	require.Len(t, entries, 1, "nothing is left beside the site")
	assert.Equal(t, name, entries[0].Name())
}

func TestSiteIsWrittenIntoANewAndIntoAnEmptyFolder(t *testing.T) {
	for _, exists := range []bool{false, true} {
		above := t.TempDir()
		dir := filepath.Join(above, "puffin")
		if exists {
			require.NoError(t, os.Mkdir(dir, 0o755))
		}
		require.NoError(t, Write(dir, first))
		got := read(t, dir)
		assert.Equal(t, "<p>first", got["index.html"])
		assert.Equal(t, "p {}", got["look/base.css"])
		only(t, above, "puffin")
	}
}

func TestAnEarlierSiteIsReplacedWhole(t *testing.T) {
	above := t.TempDir()
	dir := filepath.Join(above, "puffin")
	require.NoError(t, Write(dir, first))
	require.NoError(t, Write(dir, second))
	got := read(t, dir)
	assert.Equal(t, "<p>second", got["index.html"])
	assert.NotContains(t, got, "tables/", "what the new site lacks is gone")
	only(t, above, "puffin")
}

func TestWhatIsNotTheSitesOwnIsNeverTouched(t *testing.T) {
	for _, c := range []struct {
		what, says string
		prepare    func(t *testing.T, dir string)
	}{
		{"somebody's folder", "is not empty, and what is in it is no earlier site of Tuckring", func(t *testing.T, dir string) { put(t, dir, "letter.txt", "Dear reader") }},
		{"a folder with an empty folder in it", "is no earlier site", func(t *testing.T, dir string) { require.NoError(t, os.MkdirAll(filepath.Join(dir, "letters"), 0o755)) }},
		{"another list of that name", "is no earlier site", func(t *testing.T, dir string) { put(t, dir, Mark, "my own notes\n") }},
		{"a file added to a site", "1 file that is not as Tuckring wrote it: look/mine.css", func(t *testing.T, dir string) {
			require.NoError(t, Write(dir, first))
			put(t, dir, "look/mine.css", "p { color: red }")
		}},
		{"a page changed by hand", "not as Tuckring wrote it: index.html", func(t *testing.T, dir string) {
			require.NoError(t, Write(dir, first))
			put(t, dir, "index.html", "<p>with my own words")
		}},
		{"a folder and files added to a site", "5 files that are not as Tuckring wrote them: a, b, c, …", func(t *testing.T, dir string) {
			require.NoError(t, Write(dir, first))
			for _, name := range []string{"a", "b", "c", "photos/1.jpg", "z"} {
				put(t, dir, name, "mine")
			}
		}},
		{"a link put in the place of a file", "not as Tuckring wrote it: index.html", func(t *testing.T, dir string) {
			require.NoError(t, Write(dir, first))
			require.NoError(t, os.Remove(filepath.Join(dir, "index.html")))
			require.NoError(t, os.Symlink("look/base.css", filepath.Join(dir, "index.html")))
		}},
	} {
		t.Run(c.what, func(t *testing.T) {
			above := t.TempDir()
			dir := filepath.Join(above, "puffin")
			c.prepare(t, dir)
			before := read(t, dir)
			err := Write(dir, second)
			require.ErrorContains(t, err, c.says)
			assert.ErrorContains(t, err, "Nothing was changed")
			assert.Equal(t, before, read(t, dir))
			only(t, above, "puffin")
		})
	}
}

// What turns up between the first look and the swap is seen by the second look, and everything comes back.
func TestAFileThatTurnsUpAtTheLastMomentIsKept(t *testing.T) {
	above := t.TempDir()
	dir, fresh, old := filepath.Join(above, "puffin"), filepath.Join(above, "new"), filepath.Join(above, "old")
	require.NoError(t, Write(dir, first))
	require.NoError(t, build(fresh, second))
	put(t, dir, "late.txt", "just in time")
	before := read(t, dir)
	require.ErrorContains(t, swap(dir, fresh, old), "late.txt")
	assert.Equal(t, before, read(t, dir))
	assert.NoDirExists(t, old)
}

// A file that turns up even later, while the earlier site is being removed, is not removed with it.
func TestRemovingAnEarlierSiteLeavesStrangeFiles(t *testing.T) {
	old := filepath.Join(t.TempDir(), "old")
	require.NoError(t, Write(old, first))
	put(t, old, "look/late.txt", "just in time")
	require.ErrorContains(t, clear(old), "something is left in "+old)
	assert.Equal(t, map[string]string{"./": "", "look/": "", "look/late.txt": "just in time"}, read(t, old))
}

func TestAFileIsNoFolder(t *testing.T) {
	above := t.TempDir()
	put(t, above, "puffin", "a letter")
	require.ErrorContains(t, Write(filepath.Join(above, "puffin"), first), "is a file, not a folder")
	assert.Equal(t, "a letter", read(t, above)["puffin"])
}

func TestTheFolderAboveMustExist(t *testing.T) {
	above := t.TempDir()
	require.ErrorContains(t, Write(filepath.Join(above, "no", "puffin"), first), "the folder above it must exist")
	assert.Equal(t, map[string]string{"./": ""}, read(t, above))
}

// A site under a symbolic link is written where the link leads; the link stays.
func TestALinkToAFolderStays(t *testing.T) {
	above := t.TempDir()
	real, link := filepath.Join(above, "real"), filepath.Join(above, "link")
	require.NoError(t, os.Mkdir(real, 0o755))
	require.NoError(t, os.Symlink("real", link))
	require.NoError(t, Write(link, first))
	require.NoError(t, Write(link, second))
	assert.Equal(t, "<p>second", read(t, real)["index.html"])
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
}

// The list is as `sha256sum` of GNU coreutils writes and checks it.
func TestTheListIsCheckedBySha256sum(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "puffin")
	require.NoError(t, Write(dir, first))
	cmd := exec.Command("sha256sum", "--check", Mark)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), "tables/old.csv: OK")
}
