package main

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

const root = "../../.."

// The page takes the committed files as they are, so they must be what Go makes of its types now.
func TestCommittedFilesAreWhatGoSays(t *testing.T) {
	files, err := generate(root)
	require.NoError(t, err)
	require.Len(t, files, 2)
	for name, want := range files {
		got, err := os.ReadFile(filepath.Join(root, "web/client/wire", name))
		require.NoError(t, err)
		assert.True(t, string(want) == string(got), "%s is out of date: make generate", name)
	}
}

// Everything that DecodeEdit reads can be said by the page, and nothing that only the log holds.
func TestEveryEditThatMayBeSentIsATypeOfItsOwn(t *testing.T) {
	m := newModel(root)
	m.addWire()
	require.NoError(t, m.err)
	kinds := m.kindsOf(m.named["Edit"])
	for _, do := range []string{"paint", "insert_ring", "reshape", "set_unit", "batch", "remove_extra"} {
		assert.Contains(t, kinds, do)
	}
	assert.Len(t, kinds, len(figure.EditKinds()))
	assert.NotContains(t, kinds, "splice")
	assert.NotContains(t, kinds, "become")
	assert.NotContains(t, kinds, "undo")
	assert.Equal(t, "Undo", m.kindsOf(m.named["Ask"])["undo"])
}

// thisFile is the source of the types that the tests declare.
func thisFile(t *testing.T) []*ast.File {
	file, err := parser.ParseFile(token.NewFileSet(), "main_test.go", nil, parser.ParseComments)
	require.NoError(t, err)
	return []*ast.File{file}
}

// fold is an edit that Tuckring does not have.
type fold struct {
	figure.SetTitle
	Times int         `json:"times,omitempty"` // how often
	Kind  figure.Kind `json:"kind"`
	Side  string      `json:"side" oneof:"long,short"`
	At    [2]float64  `json:"at"`
	own   int
}

func TestNewEditAppearsByItself(t *testing.T) {
	m := newModel(root)
	m.source.pkgs[reflect.TypeFor[fold]().PkgPath()] = thisFile(t)
	m.addUnion("Edit", "", m.edits([]figure.EditKind{{Do: "fold", Empty: &fold{own: 1}}}))
	out := string(m.types())
	assert.Contains(t, out, "do: \"fold\";\n  title: string;\n")
	assert.Contains(t, out, "  times?: number;\n")
	assert.Contains(t, out, "  kind: ExtraKind;\n  side: \"long\" | \"short\";\n  at: [number, number];\n}")
	assert.NotContains(t, out, "own:")
	assert.Contains(t, out, `export type ExtraKind = "tucked" | "glued";`)
	assert.Contains(t, out, `Edit: { kinds: { fold: "fold" } }`)
}

type loose string

// What would travel as something that the page cannot know is an error when the files are made, with its place.
func TestWhatHasNoFormIsRefused(t *testing.T) {
	for _, c := range []struct {
		value any
		says  string
	}{
		{struct{ A map[string]any }{}, "has no form"},
		{struct{ A any }{}, "has no form"},
		{struct{ A json.RawMessage }{}, "writes itself as JSON"},
		{struct{ A *int }{}, "would travel as null"},
		{struct{ A loose }{}, "has no constants"},
		{struct{ A struct{ B int } }{}, "without a name"},
	} {
		m := newModel(root)
		m.source.pkgs[reflect.TypeFor[loose]().PkgPath()] = thisFile(t)
		m.fields(reflect.TypeOf(c.value))
		assert.ErrorContains(t, m.err, c.says, "%T", c.value)
		assert.ErrorContains(t, m.err, ".A", "%T", c.value)
	}
}

func TestTwoTypesOfOneNameAreRefused(t *testing.T) {
	m := newModel(root)
	m.put(&named{name: "Ring"})
	m.put(&named{name: "Ring"})
	assert.ErrorContains(t, m.err, "two types are called Ring")
}
