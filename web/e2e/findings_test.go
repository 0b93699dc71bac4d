package e2e_test

import (
	"testing"

	"tuckring/internal/figure"
	"tuckring/web/e2e"
)

// What is found of colours that look alike stands on the check page, on the report and in the editor, in the same
// words, and leads to its place.
func TestColoursThatLookAlikeAreToldEverywhere(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		f := figure.Tube("Two blues", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
			[]figure.Colour{{ID: "a", Name: "Harbour blue", Hex: "#3050a0"}, {ID: "b", Name: "Quay blue", Hex: "#3252a3"}}, 20, 12)
		for i := 6; i < 12; i++ {
			for k := range f.Rings[i].Cells {
				f.Rings[i].Cells[k].Colour = 1
			}
		}
		base := app.KeepFigure(t, f)
		const found = "Harbour blue and Quay blue touch at 40 places and can hardly be told apart"
		for _, path := range []string{"/check", "/report"} {
			maker.Open(base + path)
			maker.Sees(found)
		}
		maker.Open(base)
		maker.Until("the editor", "document.querySelector('#pattern canvas')")
		if maker.Touches() {
			maker.Press("Panels")
		}
		maker.Press("Check")
		maker.Sees(found)
		maker.View("findings")
		maker.Press("Show")
		if maker.Touches() && maker.Has("Back to the pattern") {
			maker.Press("Back to the pattern")
		}
		maker.Sees("Copy") // of the bar of what is selected
		maker.View("findings-shown")
	})
}
