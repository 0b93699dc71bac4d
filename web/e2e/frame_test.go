package e2e_test

import (
	"os"
	"testing"

	"tuckring/web/e2e"
)

func TestMain(m *testing.M) { os.Exit(e2e.Main(m)) }

func TestUnknownAddressIsExplained(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		maker.Open("/lighthouse")
		maker.Sees("Page not found")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("problem-not-found")
		maker.Press("To the shelf")
	})
}
