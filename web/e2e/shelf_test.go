package e2e_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/shelf"
	"tuckring/web/e2e"
)

func TestMakerStartsAFigure(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		maker.Open("/")
		maker.Sees("The shelf is empty")
		maker.CheckAccess()
		maker.Picture("shelf-empty")
		maker.Press("New figure")
		maker.Sees("Units per ring")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("new")
		maker.Fill("Title", "Honey jar")
		maker.Fill("Units per ring", "many")
		maker.Press("Make the figure")
		maker.Sees("Write a whole number from 3 to 1000.")
		maker.CheckAccess()
		maker.Picture("new-refused")
		maker.Fill("Units per ring", "20")
		maker.Press("Make the figure")
		maker.Until("the editor is there", "document.querySelector('[role=grid]')")
		maker.FitsWidth()
		maker.View("editor-new")
		maker.Open("/")
		maker.Sees("320 units · 16 rings")
	})
}

func TestShelfPutsAwayAndBringsBack(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		app.KeepDemo(t)
		maker.Open("/")
		maker.Sees("The shelf")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("shelf")
		title := e2e.Eval[string](maker, "document.querySelector('.figure-title').textContent")
		maker.Press("Put away: " + title)
		maker.Sees("Nothing is lost")
		maker.Sees("One figure is put away")
		maker.CheckAccess()
		maker.Picture("shelf-put-away")
		maker.Press("Bring it back")
		maker.SeesNot("Nothing is lost")
		maker.Sees(title)
	})
}

func TestOversizedDocumentIsRefusedInTheBrowser(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	big := filepath.Join(t.TempDir(), "big.tuckring.json")
	require.NoError(t, os.WriteFile(big, make([]byte, 6<<20), 0o600))
	maker.Open("/")
	maker.Upload("Document", big)
	maker.Press("Open it")
	maker.Sees("Too large")
}

func TestRefusedDocumentInTheBrowser(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := filepath.Join(t.TempDir(), "puffin.tuckring.json")
		document := strings.NewReplacer(`"tuckring": 1`, `"tuckring": 1, "glitter": true`, `"n": 10`, `"n": 11`).Replace(string(shelf.Demo()[0].Document))
		require.NoError(t, os.WriteFile(path, []byte(document), 0o600))
		maker.Open("/")
		maker.Upload("Document", path)
		maker.Press("Open it")
		maker.Sees("glitter")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("document-refused")
	})
}
