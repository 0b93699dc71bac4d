package e2e_test

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// partNames are the names of a figure's parts, in the order of building.
func partNames(f *figure.Figure) (out []string) {
	for _, p := range f.Parts {
		out = append(out, p.Name)
	}
	return out
}

// looksAt waits until a person's grid shows the part of this name on the row of parts.
func looksAt(who *e2e.Person, name string) {
	who.Until(name+" is looked at", "document.querySelector('.part-chip[aria-pressed=true]')?.textContent === "+strconv.Quote(name))
}

// rows are the counts of a part's rows, the lowest first.
func rows(f *figure.Figure, part string) (out []int) {
	for i := range f.Rings {
		if f.Parts[f.PartOf(i)].Name == part {
			out = append(out, len(f.Rings[i].Cells))
		}
	}
	return out
}

// A part that grows where the ring above takes all points: the dialog says so, offers to leave units out, and makes both in
// one step that one undo takes back. What is drawn where it grows takes no touch from the units beside it.
func TestMakerFreesThePointsThatAPartGrowsFrom(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepFigure(t, seasideTube(12, 6))
		openEditor(maker, base)
		before := kept(t, app, base).Write()
		maker.Press("Select")
		maker.Stroke(unitAt(maker, 3, 6), unitAt(maker, 3, 8))
		maker.Press("Grow a part")
		assert.Equal(t, "wing", maker.Field("What"))
		assert.Equal(t, []string{"3", "6", "2"}, []string{maker.Field("On ring"), maker.Field("From unit"), maker.Field("Units in its first row")})
		maker.Sees("No point of ring 3 is free: the ring above takes them all.")
		maker.Until("the dialog refuses", "document.querySelector('.part-form [type=submit][aria-disabled=true]')")
		maker.Press("Grow it")
		maker.Until("the dialog stays", "document.querySelector('dialog[open] .field-fault, dialog[open] [aria-invalid=true]')")
		maker.View("grow-taken")
		maker.CheckAccess()
		maker.Press("Leave out 2 units of ring 4, so that their points are free")
		maker.Until("the figure is shown as it would stand", "document.querySelector('.part-form [type=submit]').getAttribute('aria-disabled') === 'false' && +document.querySelector('.look-ahead')?.dataset.shows > 0")
		maker.View("grow-freed")
		maker.FitsWidth()
		maker.Press("Grow it")
		settled(maker)
		looksAt(maker, "Wing")
		f := kept(t, app, base)
		require.Empty(t, f.Validate())
		assert.Equal(t, []string{"Body", "Wing"}, partNames(f))
		assert.Equal(t, []int{2, 1}, rows(f, "Wing"))
		assert.Len(t, f.Rings[3].Cells, 10)

		maker.Sees("Ring 5 could not be spread evenly")
		maker.Press("Close") // on a phone the note lies over the undo button
		maker.Press("Undo")
		settled(maker)
		assert.Equal(t, string(before), string(kept(t, app, base).Write()))
		maker.Until("a figure of one part has no row of parts", "!document.querySelector('.part-row').checkVisibility()")
		maker.Press("Redo")
		settled(maker)
		assert.Equal(t, string(f.Write()), string(kept(t, app, base).Write()))
	})
}

// Two people at one swan: one looks at the wing while the other paints it and takes a ring out of the body below it.
func TestOnePaintsTheWingThatAnotherLooksAt(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepDemo(t)["swan"]
	link, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerEdit)
	require.NoError(t, err)
	maker, friend := app.Desk(t), app.Phone(t)
	openEditor(maker, base)
	openEditor(friend, "/e/"+link.Token)
	for _, who := range []*e2e.Person{maker, friend} {
		lookAtPart(who, "Right wing + Left wing")
		who.Press("Soot black, 3 units")
	}
	maker.PressAt(inSight(maker, 1, 7))
	friend.Finds("Soot black, 5 units") // the twin's too

	lookAtPart(maker, "Body")
	part(maker, "rings")
	maker.Press("Ring 2, 26 units")
	maker.Press("Remove")
	settled(maker)
	friend.Until("the wing stands on ring 5 now", "document.querySelector('.part-chip[aria-pressed=true]').textContent === 'Right wing + Left wing' && document.getElementById('pattern').dataset.rev === '"+e2e.Eval[string](maker, "document.getElementById('pattern').dataset.rev")+"'")
	friend.PressAt(inSight(friend, 3, 2))
	settled(friend)
	maker.Finds("Soot black, 7 units")
	f := kept(t, app, base)
	require.Empty(t, f.Validate())
	assert.Equal(t, []int{26, 29, 32, 32, 32}, rows(f, "Body"))
	var painted []string
	for i := range f.Rings {
		for k, c := range f.Rings[i].Cells {
			if p := f.Parts[f.PartOf(i)].Name; strings.HasSuffix(p, "wing") && f.Colours[c.Colour].Name == "Soot black" {
				painted = append(painted, fmt.Sprint(p, " ", f.RowNumber(i), " ", k+1))
			}
		}
	}
	assert.ElementsMatch(t, []string{"Right wing 1 7", "Left wing 1 7", "Right wing 3 2", "Left wing 3 10"}, painted)
	part(friend, "parts")
	friend.Sees("Grows on ring 5 of Body, from the left point of unit 18.")
	friend.Finds("Bend: Right wing")
	friend.CheckAccess()
	friend.View("parts-panel")
	friend.FitsWidth()
}

// A unit of a part is painted in 3D, its twin's with it; undo and redo there take both.
func TestMakerPaintsAPartIn3D(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepDemo(t)["swan"]
		calm(maker)
		openStand(maker, base)
		lookFrom(maker, "Right")
		at := 0.0
		for y := 0.25; y < 0.7 && at == 0; y += 0.05 {
			maker.PressAt(onStage(maker, 0.5, y))
			e2e.Eval[bool](maker, "new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(() => r(true))))")
			if strings.HasPrefix(e2e.Eval[string](maker, "document.querySelector('.stand-named').textContent"), "Right wing: ") {
				at = y
			}
		}
		require.NotZero(t, at, "a touch on the wing names it")
		maker.Press("Paint")
		maker.Press("Soot black, 3 units")
		e2e.Eval[bool](maker, "scrollTo(0, 0), true")
		maker.PressAt(onStage(maker, 0.5, at))
		maker.Finds("Soot black, 5 units")
		assert.Eventually(t, func() bool { return unitsOf(t, app, base, "Soot black") == 5 }, e2e.Patience, e2e.Glance)
		maker.View("painted-wing")
		maker.Press("Undo")
		maker.Finds("Soot black, 3 units")
		assert.Eventually(t, func() bool { return unitsOf(t, app, base, "Soot black") == 3 }, e2e.Patience, e2e.Glance)
		maker.Press("Redo")
		assert.Eventually(t, func() bool { return unitsOf(t, app, base, "Soot black") == 5 }, e2e.Patience, e2e.Glance)
		maker.Press("Pull apart")
		maker.View("swan-apart")
		maker.CheckAccess()
		maker.FitsWidth()
	})
}

// Who may only look sees every part and can grow none.
func TestWhoMayOnlyLookSeesThePartsAndGrowsNone(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepDemo(t)["swan"]
	link, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerView)
	require.NoError(t, err)
	friend := app.Phone(t)
	friend.Open("/v/" + link.Token)
	drawn := e2e.Eval[string](friend, "fetch(document.querySelector('.view-pattern img').src).then(r => r.text())")
	for _, name := range []string{"Body", "Right wing", "Left wing", "Tail", "Neck"} {
		assert.Contains(t, drawn, name)
	}
	for _, name := range []string{"Grow a part", "Bend: Neck", "Take off: Neck"} {
		assert.False(t, friend.Has(name), name)
	}
	friend.FitsWidth()
	friend.CheckAccess()
	friend.Picture("view-link")
}

// A chain of tucked units becomes a part that is painted row by row; taking it off leaves a figure of one part again.
func TestMakerMakesAChainOfTuckedUnitsAPart(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		f := seasideTube(12, 6)
		f.Extras = []figure.Extra{{ID: 1, Kind: figure.Tucked, Name: "Horn", Colour: "sea", Units: 4, Ring: 5, At: 4}}
		f.NextExtra = 2
		base := app.KeepFigure(t, f)
		openEditor(maker, base)
		before := kept(t, app, base)
		part(maker, "extras")
		maker.Press("Make it a part: Horn")
		settled(maker)
		beside(maker)
		looksAt(maker, "Horn")
		f = kept(t, app, base)
		require.Empty(t, f.Validate())
		assert.Empty(t, f.Extras)
		assert.Equal(t, []int{1, 1, 1, 1}, rows(f, "Horn"))
		maker.Press("Soot, 0 units")
		maker.PressAt(inSight(maker, 4, 1))
		settled(maker)
		maker.Finds("Soot, 1 unit")
		maker.View("horn")
		part(maker, "parts")
		maker.Press("Take off: Horn")
		settled(maker)
		f = kept(t, app, base)
		assert.Empty(t, f.Parts)
		assert.Contains(t, string(f.Write()), `"tuckring": 1`)
		beside(maker)
		maker.Until("a figure of one part has no row of parts", "!document.querySelector('.part-row').checkVisibility()")
		for range 3 {
			maker.Press("Undo")
			settled(maker)
		}
		assert.Equal(t, string(before.Write()), string(kept(t, app, base).Write()))
	})
}

// The row of parts, the lines where parts grow and what stands under a part's first row lie over no unit, on small windows too.
func TestPartsLieOverNoUnit(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepDemo(t)["swan"]
	f := kept(t, app, base)
	for _, size := range [][2]int{{360, 640}, {320, 256}, {1280, 800}} {
		maker := app.Screen(t, size[0], size[1], size[0] < 1000)
		openEditor(maker, base)
		e2e.Eval[bool](maker, layoutJS)
		for _, chip := range []string{"Body", "Right wing + Left wing", "Neck"} {
			t.Run(fmt.Sprintf("%s at %d", chip, size[0]), func(t *testing.T) {
				lookAtPart(maker, chip)
				maker.Press("Show all")
				var rings []string
				for i := range f.Rings {
					if strings.HasPrefix(chip, f.Parts[f.PartOf(i)].Name) {
						rings = append(rings, fmt.Sprintf(`{"id": %d, "n": %d}`, f.Rings[i].ID, len(f.Rings[i].Cells)))
					}
				}
				readUnits(maker, "["+strings.Join(rings, ",")+"]")
				assert.Empty(t, e2e.Eval[[]string](maker, "covered(units)"))
				maker.FitsWidth()
				maker.View("no-unit-covered-" + strings.Fields(chip)[0])
			})
		}
	}
}

// A part that grows where the ring above leaves an opening is drawn in the opening; the units around it stay paintable.
func TestUnitsBesideAnOpeningArePaintedThoughAPartGrowsThere(t *testing.T) {
	app := e2e.Start(t)
	f, err := figure.Read([]byte(`{"tuckring": 2, "title": "Lighthouse keeper", "unit": {"long_mm": 52, "short_mm": 37},
		"colours": [{"id": "chalk", "name": "Chalk", "hex": "#f4efe6"}, {"id": "soot", "name": "Soot", "hex": "#2b2b2e"}],
		"parts": [
			{"id": "body", "name": "Body", "front": 6, "rings": [
				{"runs": [{"n": 12, "colour": "chalk"}]}, {"runs": [{"n": 12, "colour": "chalk"}]},
				{"runs": [{"n": 6, "colour": "chalk"}, {"skip": 2}, {"n": 5, "colour": "chalk"}]},
				{"runs": [{"n": 11, "colour": "chalk"}]}, {"runs": [{"n": 11, "colour": "chalk"}]}]},
			{"id": "pole", "name": "The keeper's long pole", "grows": {"on": "body", "ring": 2, "point": 11}, "chain": [{"n": 3, "colour": "soot"}]}]}`))
	require.NoError(t, err)
	base := app.KeepFigure(t, f)
	maker := app.Phone(t)
	openEditor(maker, base)
	for _, unit := range []int{6, 7} {
		inSight(maker, 3, unit)
		box := e2e.Eval[[]float64](maker, `(() => { const b = document.querySelector('[role=gridcell][tabindex="0"]').getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; })()`)
		for _, high := range []float64{0.3, 0.5, 0.7} {
			maker.PressAt(e2e.Point{X: (box[0] + box[2]) / 2, Y: box[1] + high*(box[3]-box[1])})
		}
		settled(maker)
		assert.Equal(t, "Soot", colours(t, app, strings.TrimPrefix(base, "/d/"), 3)[unit-1])
	}
	maker.View("opening")
	looksAt(maker, "Body")
	inSight(maker, 2, 6)
	under := e2e.Eval[[]float64](maker, `(() => { const b = document.querySelector('[role=gridcell][tabindex="0"]').getBoundingClientRect(); return [b.right, b.top]; })()`)
	maker.PressAt(e2e.Point{X: under[0], Y: under[1] + 4})
	looksAt(maker, "The keeper's long pole")
}

// A copy of another figure is set on from the shelf, named, moved and tilted, and a neck on it bent by dragging in the picture.
func TestMakerSetsAFigureOnAndBendsByDragging(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		other := kept(t, app, app.KeepDemo(t)["honey-jar"])
		base := app.KeepFigure(t, seasideTube(16, 4))
		openEditor(maker, base)
		maker.Press("More")
		maker.Press("Set a part on")
		maker.Until("the shelf is offered", "document.querySelectorAll('#part-copy option').length > 1")
		maker.Choose("What is set on", other.Title)
		maker.Until("the figure is shown with it", "+document.querySelector('.look-ahead')?.dataset.shows > 64")
		maker.CheckAccess()
		maker.View("set-on")
		maker.Press("Set it on")
		settled(maker)
		looksAt(maker, "Head")
		f := kept(t, app, base)
		require.Empty(t, f.Validate())
		assert.Equal(t, counts(other), rows(f, "Head"))
		assert.Equal(t, 64+other.Units(), f.Units())

		part(maker, "parts")
		maker.Press("Name: Head")
		maker.Fill("Name", "Jar on top")
		maker.Press("Save")
		settled(maker)
		maker.Press("Move where it stands: Jar on top")
		maker.Choose("Where", "over a unit")
		maker.Fill("Over unit", "99")
		maker.Sees("There is no place 99 on that ring: give a number from 1 to 16.5")
		maker.Fill("Over unit", "3")
		maker.Fill("Tilt outwards, degrees", "400")
		maker.Until("the dialog refuses", "document.querySelector('#part-tilt[aria-invalid=true]')")
		maker.View("move-refused")
		maker.CheckAccess()
		maker.Fill("Tilt outwards, degrees", "30")
		maker.Press("Save")
		settled(maker)
		f = kept(t, app, base)
		assert.Equal(t, "Jar on top", f.Parts[1].Name)
		assert.Equal(t, figure.Setting{On: f.Rings[3].ID, At: 2, How: figure.GluedOn, Tilt: 30}, *f.Parts[1].Set)

		maker.Press("Bend: Jar on top")
		maker.Press("Drag in the picture to bend the chosen stretch: down is outwards")
		canvas := maker.MiddleOf(".look-ahead canvas")
		maker.Until("the figure is shown", "+document.querySelector('.look-ahead').dataset.shows > 64")
		maker.Stroke(canvas, e2e.Point{X: canvas.X, Y: canvas.Y + 20}, e2e.Point{X: canvas.X, Y: canvas.Y + 50})
		assert.Equal(t, "6", e2e.Eval[string](maker, "document.getElementById('bend-out-0').value"), "0.12 degrees a pixel")
		maker.CheckAccess()
		maker.View("bend-dragged")
		maker.Press("Save")
		settled(maker)
		assert.Equal(t, []figure.Bend{{Rows: len(other.Rings), Out: 6}}, kept(t, app, base).Parts[1].Bend)
		beside(maker)
		maker.View("set-on-grid")
	})
}
