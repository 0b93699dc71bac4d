package e2e_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/web/e2e"
)

// A unit is folded under the reader's hand, step by step and by the slider, beside diagrams that say the same.
func TestMakerFoldsAUnitOnThePage(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		maker.Open(app.KeepDemo(t)["puffin"] + "/build")
		maker.Press("How to fold and tuck")
		maker.Sees("1 / 7: Fold the sheet in half along its length.")
		paper := "[...document.querySelectorAll('.folding-paper polygon')].map(p => p.className.baseVal + p.getAttribute('points')).join()"
		flat := e2e.Eval[string](maker, paper)
		maker.Press("Next step")
		maker.Until("a step is folded", "document.querySelector('.folding input').value === '1'")
		maker.Sees("2 / 7: Mark the middle of the long side.")
		assert.NotEqual(t, flat, e2e.Eval[string](maker, paper))
		maker.SetField("How far it is folded", "2.55")
		maker.Sees("3 / 7: Fold both ends down")
		maker.View("folding")
		maker.SetField("How far it is folded", "7")
		maker.Sees("The unit. Its two points go into the pockets of the ring above.")
		maker.Until("every picture is there", "[...document.images].every(i => i.complete && i.naturalWidth > 0)")
		maker.CheckAccess()
		maker.View("folded")
	})
}
