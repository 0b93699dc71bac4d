package e2e_test

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/e2e"
)

// seasideTube is a plain tube to shape figures from.
func seasideTube(units, rings int) *figure.Figure {
	return figure.Tube("Puffin's egg", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "sea", Name: "Sea green", Hex: "#0b6e6e"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}}, units, rings)
}

// kept is the figure as the server has it.
func kept(t *testing.T, app *e2e.App, base string) *figure.Figure {
	t.Helper()
	_, f, err := app.Store.Get(context.Background(), strings.TrimPrefix(base, "/d/"))
	require.NoError(t, err)
	return f
}

// part opens a part of the panel, which is a sheet on small screens.
func part(maker *e2e.Person, name string) {
	if e2e.Eval[bool](maker, "document.querySelector('.panel').offsetParent === null") {
		maker.Press("Panels")
	}
	maker.PressAt(maker.MiddleOf("#tab-" + name))
}

// beside puts the panel away on small screens.
func beside(maker *e2e.Person) {
	if maker.Width() < 960 {
		maker.Press("Back to the pattern")
	}
}

func counts(f *figure.Figure) []int {
	var out []int
	for i := range f.Rings {
		out = append(out, len(f.Rings[i].Cells))
	}
	return out
}

// settled waits until the server has every step.
func settled(maker *e2e.Person) {
	maker.Until("every step is kept", "!document.querySelector('dialog') && document.getElementById('pattern').dataset.waiting === '0'")
}

func count(maker *e2e.Person, from, units, to, top string) {
	maker.Press("Units per ring")
	maker.Fill("From ring", from)
	maker.Fill("Units in it", units)
	maker.Fill("to ring", to)
	maker.Fill("Units in that one", top)
}

func TestMakerShapesAnEggWithEarsAndEyes(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepFigure(t, seasideTube(12, 14))
		maker.Open(base)
		maker.Until("the editor is there", "document.querySelector('[role=grid]')")
		part(maker, "rings")
		maker.Press("Ring 1, 12 units")

		count(maker, "1", "12", "7", "60")
		maker.Sees("cannot take the points of ring")
		maker.CheckAccess()
		maker.View("count-refused")
		maker.Fill("Units in that one", "21")
		maker.Sees("Ring 2: 14 units: 4 take 1, 10 take 2")
		maker.CheckAccess()
		maker.View("count")
		maker.Press("Change units per ring")
		settled(maker)
		count(maker, "8", "20", "14", "9")
		maker.Sees("Ring 8: 20 units")
		maker.Press("Change units per ring")
		settled(maker)
		assert.Equal(t, []int{12, 14, 15, 17, 18, 20, 21, 20, 18, 16, 15, 13, 11, 9}, counts(kept(t, app, base)))

		part(maker, "extras")
		maker.Sees("This figure has no extras yet.")
		for _, ear := range []string{"9.5", "14.5"} {
			maker.Press("Add an extra at the unit in focus")
			maker.Fill("Name", "Ear")
			maker.Choose("Colour", "Sea green")
			maker.Fill("Units", "3")
			maker.Fill("Ring", "13")
			maker.Fill("Unit in the ring", ear)
			maker.Press("Add")
			if ear == "14.5" {
				maker.Sees("Ring 13 has 11 units: choose a place from 0.5 to 11.5")
				maker.CheckAccess()
				maker.View("extra-refused")
				maker.Fill("Unit in the ring", "2.5")
				maker.Press("Add")
			}
			settled(maker)
		}
		maker.Press("Add an extra at the unit in focus")
		maker.Fill("Name", "Eye")
		maker.Choose("How it is attached", "A piece glued on")
		maker.Sees("Hot glue and its nozzle burn skin")
		maker.Fill("Diameter in mm", "120")
		maker.Choose("Colour", "Soot")
		maker.Fill("Ring", "10")
		maker.Fill("Unit in the ring", "8")
		maker.View("extra-glued")
		maker.Press("Add")
		settled(maker)
		f := kept(t, app, base)
		require.Len(t, f.Extras, 3)
		maker.CheckAccess()
		maker.View("extras")

		maker.Press("Show: Eye")
		shown := "[role=gridcell][tabindex='0'][aria-label^='ring 10, unit 8 ']"
		maker.Until("the eye is shown", `document.querySelector("`+shown+`")`)
		eye := maker.MiddleOf(shown)
		maker.Stroke(eye, e2e.Point{X: eye.X, Y: eye.Y - 20}, e2e.Point{X: eye.X, Y: eye.Y - 60})
		assert.Eventually(t, func() bool { return kept(t, app, base).Extras[2].Ring > 10 }, e2e.Patience, 50e6, "dragged up on the pattern")
		settled(maker)
		maker.Press("Undo")
		assert.Eventually(t, func() bool { return kept(t, app, base).Extras[2].Ring == 10 }, e2e.Patience, 50e6)

		maker.Sees("Ring 10, on unit 8")
		maker.Press("Move: Eye")
		maker.Press("Half a unit to the right")
		maker.Press("One ring down")
		maker.Sees("Ring 9, ")
		assert.Eventually(t, func() bool { return kept(t, app, base).Extras[2].Ring == 9 }, e2e.Patience, 50e6)
		maker.View("extra-move")

		part(maker, "check")
		maker.Sees("Eye is 120 mm wide")
		maker.CheckAccess()
		maker.View("check-part")
		maker.Press("Fix")
		maker.SeesNot("Eye is 120 mm wide")
		settled(maker)
		f = kept(t, app, base)
		// Ring 9 has 18 units of A9: 18 × 10.73 / 3.1416 = 61 mm between the points (from memory), with up to a leg of
		// 18.5 mm of spine on either side.
		assert.Less(t, f.Extras[2].Diameter, 61.0+2*18.5)
		assert.Equal(t, 9, f.Extras[2].Ring)
		beside(maker)
		maker.View("egg")
		maker.Press("Undo")
		settled(maker)
		assert.Eventually(t, func() bool { return kept(t, app, base).Extras[2].Diameter == 120 }, e2e.Patience, 50e6)
	})
}

func TestMakerShapesARingByHand(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepFigure(t, seasideTube(12, 5))
		maker.Open(base + "#at-" + "3-5")
		maker.Until("the editor is there", "document.querySelector('[role=grid]')")
		part(maker, "units")
		maker.Sees("Ring 3, unit 6 of 12")
		maker.Press("Points that the units take")
		maker.Press("3 points")
		maker.Sees("takes 1 point now, to make up for it")
		maker.Sees("1 takes 1, 10 take 2, 1 takes 3")
		settled(maker)
		f := kept(t, app, base)
		assert.EqualValues(t, 3, f.Rings[2].Cells[5].Takes)
		maker.CheckAccess()
		maker.FitsWidth()
		maker.View("units-part")
		if maker.Width() < 960 { // the part is in the place of the hands: a touch chooses a unit
			maker.PressAt(maker.MiddleOf("[role=gridcell][aria-label^='ring 3, unit 8 ']"))
			maker.Sees("Ring 3, unit 8 of 12")
			assert.Equal(t, f.Rings, kept(t, app, base).Rings, "nothing is painted")
			maker.PressAt(maker.MiddleOf("[role=gridcell][aria-label^='ring 3, unit 6 ']"))
		}
		maker.Press("Remove this unit")
		settled(maker)
		maker.Sees("3 points free")
		f = kept(t, app, base)
		assert.Len(t, f.Rings[2].Cells, 11)
		maker.View("units-opening")
		maker.Press("Short")
		maker.Press("Fill with units")
		settled(maker)
		f = kept(t, app, base)
		_, free := f.Rings[2].Points()
		assert.Zero(t, free)
		require.Empty(t, f.Validate())
	})
}

// TestMakerFindsTheSizeWithoutScripts measures a swatch, wishes a size and applies a way to it.
func TestMakerFindsTheSizeWithoutScripts(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepDemo(t)["puffin"]
		maker.WithoutScripts()
		maker.Open(base + "/size")
		maker.Sees("Our estimate")
		maker.FitsWidth()
		maker.Picture("size")
		maker.Press("Measure a swatch")
		maker.Fill("Name of the swatch", "Copy paper")
		maker.Fill("Measured width of the swatch", "thick")
		maker.Fill("Measured height of the swatch", "60")
		maker.Press("Save and use for this figure")
		maker.Sees("Write a number from 2 to 5000 mm")
		maker.FitsWidth()
		maker.Picture("size-swatch-refused")
		maker.Fill("Measured width of the swatch", "44")
		maker.Press("Save and use for this figure")
		maker.Sees("Saved. This figure's size is calculated from it now.")
		maker.Picture("size-calibrated")
		maker.Fill("Height", "30")
		maker.Fill("Width at the widest", "14")
		maker.Press("Find ways to this size")
		maker.Sees("units in the widest ring")
		maker.Picture("size-ways")
		maker.Press("What would change: A4 into 16: 74 × 52 mm, doubled")
		maker.Sees("74 × 52 mm, doubled instead of")
		maker.FitsWidth()
		maker.Picture("size-pick")
		before := kept(t, app, base)
		maker.Press("Make it this size")
		maker.Sees("The figure has the new size.")
		assert.NotEqual(t, before.Unit, kept(t, app, base).Unit)
		maker.Press("Undo")
		maker.Sees("The last step was undone.")
		assert.Equal(t, before.Write(), kept(t, app, base).Write())
	})
}

// TestShapingByKeyboard shapes a unit with the keyboard alone, on the narrowest screen and at a desk.
func TestShapingByKeyboard(t *testing.T) {
	for _, width := range []int{360, 1280} {
		app := e2e.Start(t)
		base := app.KeepFigure(t, seasideTube(12, 5))
		maker := app.Screen(t, width, 740, false)
		maker.Open(base + "#at-3-5")
		maker.Until("the editor is there", "document.querySelector('[role=grid]')")
		maker.Until("the unit of the address has the focus", "document.querySelector(\"[role=gridcell][tabindex='0']\").ariaLabel.startsWith('ring 3, unit 6')")
		e2e.Eval[bool](maker, "document.querySelector(\"[role=gridcell][tabindex='0']\").focus(), true")
		maker.Keys("e")
		maker.Sees("Shape: points, side, openings")
		maker.Press("Shape: points, side, openings")
		maker.Sees("Points it takes")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.View("shape-by-key")
		e2e.Eval[bool](maker, "document.querySelector('.units-part .chip[aria-checked=true]').focus(), true")
		maker.Keys(kb.ArrowRight)
		maker.Keys(" ")
		settled(maker)
		assert.Eventually(t, func() bool { return kept(t, app, base).Rings[2].Cells[5].Takes == 3 }, e2e.Patience, 50e6)
		maker.Until("the choice keeps the keyboard", "document.activeElement.matches('.chip[aria-checked=true]')")
	}
}
