package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const lighthouse = "../../testdata/shelf/lighthouse.tuckring.json"

// textsIn reads all files of a folder by name.
func textsIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		out[name] = string(data)
		return err
	}))
	return out
}

// Every file of a site comes out the same, also in another second, in another part of the world, and from standard
// input; and a site is replaced by the next one.
func TestPublishGivesTheSameBytesOnAnyDay(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	out, errs, code := tuckring(t, "", "publish", lighthouse, "--out", dir)
	require.Equal(t, 0, code, errs)
	assert.Contains(t, out, dir)
	first := textsIn(t, dir)
	for _, name := range []string{"index.html", "figure.tuckring.json", "front.svg", "three-quarter.svg", "figure.png",
		"pattern.svg", "pattern.png", "pattern.pdf", "handout-a4.pdf", "handout-letter.pdf", "tables/colours.csv"} {
		assert.NotEmpty(t, first[name], name)
	}
	data, err := os.ReadFile(lighthouse)
	require.NoError(t, err)
	assert.Equal(t, string(data), first["figure.tuckring.json"])

	time.Sleep(1100 * time.Millisecond) // into another second: no file may hold its hour
	t.Setenv("TZ", "Asia/Tokyo")
	_, errs, code = tuckring(t, string(data), "publish", "-", "--out", dir)
	require.Equal(t, 0, code, errs)
	second := textsIn(t, dir)
	require.Len(t, second, len(first))
	for name := range first {
		assert.True(t, first[name] == second[name], "%s differs", name)
	}
}

func TestPublishLeavesAForeignFolderAlone(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("Dear reader"), 0o644))
	out, errs, code := tuckring(t, "", "publish", lighthouse, "--out", dir)
	assert.Equal(t, 1, code)
	assert.Empty(t, out)
	assert.Contains(t, errs, "is not empty, and what is in it is no earlier site of Tuckring. Nothing was changed.")
	assert.Equal(t, map[string]string{"letter.txt": "Dear reader"}, textsIn(t, dir))
}

func TestPublishOfARefusedDocumentListsEveryFaultAndWritesNothing(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	out, errs, code := tuckring(t, `{"tuckring":1,"title":"","unit":{"long_mm":-1,"short_mm":37},"colours":[],"rings":[],"front":0}`, "publish", "-", "--out", dir)
	assert.Equal(t, 1, code)
	assert.Empty(t, out)
	for _, where := range []string{"title", "unit.long_mm", "colours", "rings"} {
		assert.Contains(t, errs, where)
	}
	assert.NoDirExists(t, dir)
}

// A unit larger than an A4 sheet needs another sheet; --sheet names it.
func TestPublishOfALargeUnitNeedsALargerSheet(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "site")
	const large = `{"tuckring":1,"title":"Large","unit":{"long_mm":400,"short_mm":290},"colours":[{"id":"a","name":"Sand","hex":"#d8c8a0"}],
		"rings":[{"runs":[{"n":6,"colour":"a"}]}],"front":0}`
	_, errs, code := tuckring(t, large, "publish", "-", "--out", dir)
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "No report can be made")
	assert.NoDirExists(t, dir)
	_, errs, code = tuckring(t, large, "publish", "-", "--out", dir, "--sheet", "A2")
	assert.Equal(t, 0, code, errs)
	assert.FileExists(t, filepath.Join(dir, "index.html"))
}
