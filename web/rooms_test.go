package web_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/web/kernel"
	"tuckring/web/webtest"
)

// A room stands on the kernel and on what several rooms show, and on no other room: DEVELOPERS.md draws it.
func TestNoRoomKnowsAnother(t *testing.T) {
	mayImport := map[string][]string{"kernel": nil, "common": {"kernel"}}
	rooms := roomFolders(t)
	require.Greater(t, len(rooms), 10)
	for _, room := range rooms {
		mayImport[room] = []string{"kernel", "common"}
	}
	for folder, may := range mayImport {
		seen := 0
		require.NoError(t, filepath.WalkDir(folder, func(file string, d fs.DirEntry, err error) error {
			if err != nil || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
				return err
			}
			seen++
			code, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
			require.NoError(t, err)
			for _, i := range code.Imports {
				imported, err := strconv.Unquote(i.Path.Value)
				require.NoError(t, err)
				assert.NotEqual(t, "tuckring/web", imported, file)
				if of, ours := strings.CutPrefix(imported, "tuckring/web/"); ours {
					assert.Contains(t, may, of, "%s imports %s", file, imported)
				}
			}
			return nil
		}))
		assert.Positive(t, seen, folder)
	}
}

// roomFolders are the folders of web that are rooms.
func roomFolders(t *testing.T) []string {
	t.Helper()
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	var out []string
	for _, e := range entries {
		switch e.Name() {
		case "kernel", "common", "client", "e2e", "webtest":
			continue
		}
		if e.IsDir() {
			out = append(out, e.Name())
		}
	}
	return out
}

// Who sees a page finds its folder by its address: the first name in it, but for the first page of all and that of a
// figure, and what is done with a figure on the shelf.
func TestEveryPageIsInTheFolderOfItsAddress(t *testing.T) {
	s, _ := webtest.Keeping(t)
	named := map[string]string{
		"/": "shelf", "/away": "shelf", "/new": "begin", "/new/picture": "begin", "/new/solid": "begin", "/new/solid/{key}": "begin", "/new/solid/{key}/stand.bin": "begin", "/new/solid/{key}/mesh.bin": "begin", "/new/shapes/{shape}.svg": "begin", "/open": "shelf", "/figure.schema.json": "document",
		kernel.OfFigure: "pattern", kernel.OfFigure + "/away": "shelf", kernel.OfFigure + "/back": "shelf", kernel.OfFigure + "/go-on": "shelf", kernel.OfFigure + "/rings/others": "pattern",
	}
	data := map[string]string{ // what pages ask for, and files
		"picture.svg": "pattern", "picture": "pattern", "pattern.svg": "pattern", "state": "pattern", "events": "pattern", "findings": "pattern", "try": "pattern",
		"tutorial.zip": "document", "edits": "pattern", "here": "pattern", "history": "pattern", "at": "pattern", "rings": "pattern",
		"figure.svg": "stand", "figure.glb": "stand", "stand.bin": "stand", "report.json": "report", "report.xlsx": "report", "handout-{paper}.pdf": "document",
	}
	for _, room := range s.Rooms() {
		info, err := os.Stat(room.Name)
		require.NoError(t, err)
		require.True(t, info.IsDir())
		for _, route := range room.Routes {
			want, known := named[route.Address]
			if !known {
				first, _, _ := strings.Cut(strings.TrimPrefix(route.Address, kernel.OfFigure+"/"), "/")
				want = first
				if of, isData := data[first]; isData {
					want = of
				}
			}
			assert.Equal(t, want, room.Name, "%s %s", route.Method, route.Address)
			assert.Equal(t, path.Clean(route.Address), route.Address)
		}
	}
}
