package e2e_test

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/web/e2e"
)

const (
	fingerDown  = input.DispatchTouchEventTypeTouchStart
	fingerMoves = input.DispatchTouchEventTypeTouchMove
	fingerLifts = input.DispatchTouchEventTypeTouchEnd
)

// TestABlockThatIsMovedStays moves and pastes blocks and never presses the button that puts them down: whatever
// else is taken up puts them down, and only Cancel does not.
func TestABlockThatIsMovedStays(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(12, 8))
		openEditor(maker, path)
		maker.Press("Line")
		maker.Stroke(unitAt(maker, 1, 6), unitAt(maker, 1, 8))
		maker.Press("Select")
		maker.Stroke(unitAt(maker, 1, 6), unitAt(maker, 1, 8))
		maker.Press("Move")
		if maker.Touches() {
			maker.Stroke(unitAt(maker, 1, 7), unitAt(maker, 3, 7))
		} else {
			maker.Keys(kb.ArrowUp + kb.ArrowUp)
		}
		maker.View("moved")
		maker.Press("Brush")
		moved := []string{"CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCSSSCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC"}
		assertDrawn(t, app, path, moved)

		maker.Press("Select")
		maker.Stroke(unitAt(maker, 3, 6), unitAt(maker, 3, 8))
		maker.Press("Copy")
		assert.False(t, maker.Has("Done"), "nothing that sounds like keeping throws the block away")
		maker.Press("Cancel")
		maker.Press("Select")
		assertDrawn(t, app, path, moved)

		maker.Press("More")
		maker.Press("Stamp a motif")
		maker.Press("Eyes")
		maker.Finds("Cancel")
		aim := func(ring int) {
			if maker.Touches() {
				maker.Stroke(unitAt(maker, ring, 6), unitAt(maker, ring, 7))
			} else {
				maker.Keys(kb.ArrowUp + kb.ArrowUp)
			}
		}
		before := strings.Count(strings.Join(moved, ""), "S")
		more := func(than int, why string) int {
			var now int
			assert.Eventually(t, func() bool { now = strings.Count(strings.Join(drawn(t, app, path, 8), ""), "S"); return now > than }, e2e.Patience, 50*time.Millisecond, why)
			return now
		}
		aim(4)
		maker.Press("Place here")
		once := more(before, "it is put down")
		aim(2)
		maker.View("stamped")
		maker.Press("Done")
		more(once, "a stamp that was brought elsewhere stays there")
	})
}

// TestALateSecondFingerPaintsNothing begins to push and zoom the pattern with two fingers, the second one 260 and
// 700 ms after the first. A stroke that was meant stays.
func TestALateSecondFingerPaintsNothing(t *testing.T) {
	app := e2e.Start(t)
	path := app.KeepFigure(t, plain(12, 8))
	maker := app.Phone(t)
	openEditor(maker, path)
	clean := drawn(t, app, path, 8)
	a, b := unitAt(maker, 4, 5), unitAt(maker, 6, 8)
	at := func(p e2e.Point, x float64) e2e.Point { return e2e.Point{X: p.X + x, Y: p.Y} }
	pinch := func(wait time.Duration, far float64) {
		maker.Do(touches(fingerDown, a))
		maker.Do(touches(fingerMoves, at(a, far/2)))
		time.Sleep(wait)
		maker.Do(touches(fingerMoves, at(a, far)))
		maker.Do(touches(fingerDown, at(a, far), b))
		maker.Do(touches(fingerMoves, at(a, far-4), at(b, 4)), touches(fingerLifts))
	}
	pinch(260*time.Millisecond, 40)
	pinch(700*time.Millisecond, 20)
	maker.PressAt(unitAt(maker, 1, 6)) // a step that comes after whatever the pinches might have painted
	assert.Eventually(t, func() bool { return drawn(t, app, path, 8)[0] != clean[0] }, e2e.Patience, 50*time.Millisecond)
	assert.Equal(t, clean[1:], drawn(t, app, path, 8)[1:])

	pinch(700*time.Millisecond, 80)
	assert.Eventually(t, func() bool { return drawn(t, app, path, 8)[3] != clean[3] }, e2e.Patience, 50*time.Millisecond, "a stroke of 80 px is kept")
}

// TestEqualNoticesDoNotPileUp says the same thing three times: it stands there once.
func TestEqualNoticesDoNotPileUp(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	openEditor(maker, app.KeepFigure(t, plain(12, 8)))
	for !e2e.Eval[bool](maker, "document.activeElement.getAttribute('role') === 'gridcell'") {
		maker.Keys(kb.Tab)
	}
	for range 3 {
		maker.Keys("v", chromedp.ModifierCtrl)
	}
	maker.Sees("Nothing has been copied yet.")
	assert.Equal(t, 1, strings.Count(maker.Text(), "Nothing has been copied yet."))
}

// TestTabStaysInACardAndClosesAMenu follows the dialog and menu patterns of the WAI-ARIA Authoring Practices.
func TestTabStaysInACardAndClosesAMenu(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	openEditor(maker, app.KeepFigure(t, plain(12, 8)))
	maker.Press("Change Soot")
	maker.Finds("Save")
	for range 12 {
		maker.Keys(kb.Tab)
		require.True(t, e2e.Eval[bool](maker, "!!document.activeElement.closest('[role=dialog]')"), "Tab stays in the card")
	}
	for range 12 {
		maker.Keys(kb.Tab, chromedp.ModifierShift)
		require.True(t, e2e.Eval[bool](maker, "!!document.activeElement.closest('[role=dialog]')"), "Shift Tab too")
	}
	maker.Keys(kb.Escape)
	assert.Equal(t, "Change Soot", focused(maker))

	maker.Press("More")
	maker.Finds("Select the whole figure")
	maker.Keys(kb.Tab)
	assert.False(t, maker.Has("Select the whole figure"), "Tab closes a menu")
	assert.False(t, e2e.Eval[bool](maker, "document.activeElement === document.body"), "and goes on from its button")
}

// TestAllActionsAreFoundAndDone follows the editable combobox with a listbox of the WAI-ARIA Authoring Practices: the field
// keeps the keyboard, arrows go through what was found, Enter does it, Escape does nothing; a finger touches it.
func TestAllActionsAreFoundAndDone(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(12, 8))
		openEditor(maker, path)
		maker.PressAt(unitAt(maker, 3, 6)) // paints a unit, which now has the focus
		once := slices.Repeat([]string{"CCCCCCCCCCCC"}, 8)
		once[2] = "CCCCCSCCCCCC"
		assertDrawn(t, app, path, once)
		open := func() {
			if maker.Touches() {
				maker.Press("More")
				maker.Press("All actions")
			} else {
				maker.Until("the grid has the keyboard", "document.activeElement?.getAttribute('role') === 'gridcell' || document.activeElement === document.body")
				pressA(maker)
				assert.Equal(t, "", maker.Field("Find what can be done now"), "the key opens the list and is not typed into it")
			}
			maker.Finds("Undo")
		}
		open()
		maker.View("all actions")
		maker.CheckAccess()
		assert.False(t, maker.Has("Redo"), "nothing to redo")
		assert.False(t, maker.Has("Selection: Move"), "nothing is selected")
		assert.Equal(t, maker.Touches(), e2e.Eval[string](maker, "document.activeElement.getAttribute('role') ?? ''") != "combobox",
			"a field in focus would bring up a finger's keyboard over the list")

		maker.Fill("Find what can be done now", "quince")
		maker.Sees("Nothing that can be done now has these words.")
		maker.Fill("Find what can be done now", "ring 3 fill")
		maker.Finds("Ring 3: Fill with the chosen colour")
		assert.False(t, maker.Has("Undo"))
		maker.View("all actions found")
		if maker.Touches() {
			maker.Press("Ring 3: Fill with the chosen colour")
		} else {
			maker.Keys(kb.Enter)
		}
		maker.Until("the list is gone", "!document.querySelector('[role=combobox]')")
		filled := slices.Clone(once)
		filled[2] = "SSSSSSSSSSSS"
		assertDrawn(t, app, path, filled)

		open()
		if maker.Touches() {
			maker.Press("Undo")
			assertDrawn(t, app, path, once)
			return
		}
		first := marked(maker)
		maker.Keys(kb.ArrowDown)
		assert.NotEqual(t, first, marked(maker))
		maker.Keys(kb.ArrowUp)
		assert.Equal(t, first, marked(maker))
		maker.Keys(kb.Escape)
		maker.Until("the list is gone", "!document.querySelector('[role=combobox]')")
		assert.True(t, e2e.Eval[bool](maker, "document.activeElement.getAttribute('role') === 'gridcell'"), "the pattern has the keyboard again")
		pressA(maker)
		maker.Fill("Find what can be done now", "undo")
		maker.Keys(kb.Enter)
		assertDrawn(t, app, path, once)
	})
}

// pressA presses the key as a keyboard does: its letter comes by itself, and only where the page lets the key through.
func pressA(p *e2e.Person) {
	key := input.DispatchKeyEventParams{Key: "a", Code: "KeyA", WindowsVirtualKeyCode: 'A'}
	for _, kind := range []input.DispatchKeyEventType{input.DispatchKeyEventTypeRawKeyDown, input.DispatchKeyEventTypeChar, input.DispatchKeyEventTypeKeyUp} {
		event := key
		event.Type = kind
		if kind == input.DispatchKeyEventTypeChar {
			event.Text = "a"
		}
		p.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, event)
			return err
		}))
	}
}

// marked is what Enter would do: the active descendant of the field.
func marked(p *e2e.Person) string {
	return e2e.Eval[string](p, `(() => {
		const option = document.getElementById(document.activeElement.getAttribute("aria-activedescendant"));
		return option.getAttribute("aria-selected") + " " + option.textContent;
	})()`)
}

// TestColourInUseStaysClosed presses the colour in use: nothing opens. Its card has a button of its own that a
// finger hits (44 px: WCAG 2.2, success criterion 2.5.5).
func TestColourInUseStaysClosed(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		openEditor(maker, app.KeepFigure(t, plain(12, 8)))
		maker.Press("Sea blue, 0 units")
		maker.Press("Sea blue, 0 units")
		assert.False(t, maker.Has("Save"))
		size := e2e.Eval[[]float64](maker, `(() => {
			const r = [...document.querySelectorAll("button")].find(b => b.ariaLabel === "Change Sea blue").getBoundingClientRect();
			return [r.width, r.height];
		})()`)
		assert.GreaterOrEqual(t, size[0], 44.0)
		assert.GreaterOrEqual(t, size[1], 44.0)
		maker.View("colours")
		maker.Press("Change Sea blue")
		maker.Finds("Save")
		maker.View("colour-card")
	})
}

// TestSeveralRingsAreChosenByTouch ticks rings one after the other and duplicates them together.
func TestSeveralRingsAreChosenByTouch(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(12, 6))
		openEditor(maker, path)
		if maker.Touches() {
			maker.Press("Panels")
		}
		maker.Press("Rings")
		tick := func(ring string) {
			p := maker.MiddleOf(`[data-ring="` + ring + `"] .ring-tick`)
			maker.PressAt(p)
		}
		tick("1")
		tick("3")
		maker.View("rings-ticked")
		assert.Equal(t, 2, e2e.Eval[int](maker, `document.querySelectorAll("[data-ring][aria-selected=true]").length`))
		tick("1")
		assert.Equal(t, 1, e2e.Eval[int](maker, `document.querySelectorAll("[data-ring][aria-selected=true]").length`))
		tick("4")
		maker.Press("Duplicate")
		maker.Until("two rings more", `document.querySelectorAll("[data-ring]").length === 8`)
	})
}

// TestExtrasAreMirroredAndCopied adds, moves, duplicates and removes an eye under the mirror; copies a lone one to the
// other side; and copies a block with the eye that sits on it.
func TestExtrasAreMirroredAndCopied(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(12, 8)) // the front is unit 7 of ring 1: unit 9 mirrors to unit 5
		seats := func() [][2]float64 {
			out := [][2]float64{}
			for _, x := range kept(t, app, path).Extras {
				out = append(out, [2]float64{float64(x.Ring), x.At + 1})
			}
			return out
		}
		stands := func(why string, want ...[2]float64) {
			t.Helper()
			assert.Eventually(t, func() bool { return assert.ObjectsAreEqual(want, seats()) }, e2e.Patience, 50*time.Millisecond, why)
			if t.Failed() {
				t.Fatal(why, seats())
			}
		}
		openEditor(maker, path)
		maker.Press("Symmetry: off")
		maker.Press("Mirror about the front line")
		part(maker, "extras")
		maker.Press("Add an extra at the unit in focus")
		maker.Fill("Name", "Eye")
		maker.Choose("How it is attached", "A piece glued on")
		maker.Fill("Ring", "5")
		maker.Fill("Unit in the ring", "9")
		maker.Press("Add")
		stands("the eye has its image", [2]float64{5, 9}, [2]float64{5, 5})

		maker.Press("Move: Eye")
		maker.Press("Half a unit to the right")
		stands("both move, each its own way", [2]float64{5, 9.5}, [2]float64{5, 4.5})
		maker.Press("Undo")
		stands("one undo takes both back", [2]float64{5, 9}, [2]float64{5, 5})

		maker.Press("Duplicate: Eye")
		maker.Sees("A copy of Eye was added: Ring 5, on unit 10")
		stands("a copy beside it, mirrored too", [2]float64{5, 9}, [2]float64{5, 5}, [2]float64{5, 10}, [2]float64{5, 4})
		maker.View("extras-mirrored")
		maker.Press("Remove: Eye")
		stands("and its image goes with it", [2]float64{5, 10}, [2]float64{5, 4})

		if maker.Touches() {
			maker.Press("Back to the pattern")
		}
		maker.Press("Symmetry: Mirror")
		maker.Press("Mirror about the front line")
		part(maker, "extras")
		maker.Press("Remove: Eye")
		stands("without the mirror only one goes", [2]float64{5, 4})
		maker.Press("Copy to the other side: Eye")
		stands("", [2]float64{5, 4}, [2]float64{5, 10})
		maker.Until("where it is already, there is nothing to copy", `![...document.querySelectorAll("button")].some(b => b.ariaLabel === "Copy to the other side: Eye")`)

		if maker.Touches() {
			maker.Press("Back to the pattern")
			maker.Press("Select")
			maker.Stroke(unitAt(maker, 5, 9), unitAt(maker, 5, 11))
			maker.Press("Copy")
			maker.Stroke(unitAt(maker, 5, 10), unitAt(maker, 3, 8))
			maker.View("extras-held")
			maker.Press("Place here")
		} else {
			maker.Press("Select")
			maker.Stroke(unitAt(maker, 5, 9), unitAt(maker, 5, 11))
			maker.Press("Copy")
			maker.Hover(unitAt(maker, 3, 8))
			maker.View("extras-held")
			maker.PressAt(unitAt(maker, 3, 8))
		}
		stands("the copied block brings its eye", [2]float64{5, 4}, [2]float64{5, 10}, [2]float64{3, 8})
	})
}

// TestAnExtraIsDuplicatedByKeyboard uses Tab and Enter alone from the card of the extra.
func TestAnExtraIsDuplicatedByKeyboard(t *testing.T) {
	app := e2e.Start(t)
	f := plain(12, 8)
	f.Extras = []figure.Extra{{ID: 1, Kind: figure.Glued, Name: "Eye", Outline: figure.Disc, Diameter: 12, Ring: 1, At: 6}}
	f.NextExtra = 2
	path := app.KeepFigure(t, f)
	maker := app.Desk(t)
	openEditor(maker, path)
	for i := 0; e2e.Eval[string](maker, "document.activeElement.ariaLabel ?? ''") != "ring 1, unit 7 of 12, Chalk"; i++ {
		require.Less(t, i, 30)
		maker.Keys(kb.Tab)
	}
	maker.Keys("e")
	for i := 0; e2e.Eval[string](maker, "document.activeElement.textContent") != "Change Eye"; i++ {
		require.Less(t, i, 30)
		maker.Keys(kb.ArrowDown)
	}
	maker.Keys(kb.Enter)
	for i := 0; e2e.Eval[string](maker, "document.activeElement.textContent") != "Duplicate"; i++ {
		require.Less(t, i, 30)
		maker.Keys(kb.Tab)
	}
	maker.Keys(kb.Enter)
	assert.Eventually(t, func() bool { return len(kept(t, app, path).Extras) == 2 }, e2e.Patience, 50*time.Millisecond)
}
