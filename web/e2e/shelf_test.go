package e2e_test

import (
	"testing"

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
		maker.Sees("320 units in 16 rings")
		maker.FitsWidth()
		maker.Picture("view")
		maker.Open("/")
		maker.Sees("320 units · 16 rings")
		app.Keep(t, "../../internal/figure/testdata/sixty-eight.tuckring.json")
		app.Keep(t, "../../internal/figure/testdata/contract-example.tuckring.json")
		maker.Reload()
		maker.Sees("68 units")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Picture("shelf")
	})
}
