package e2e_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"tuckring/web/e2e"
)

// longPress holds a finger on a place until the menu opened under it has long been there, and lifts it.
func longPress(maker *e2e.Person, at e2e.Point) {
	maker.Do(touches(fingerDown, at))
	maker.Until(fmt.Sprint("a menu is open under the finger at ", at), "document.querySelector('.pop [role^=menuitem]')")
	maker.Do(chromedp.Sleep(250 * time.Millisecond))
}

// TestLiftingTheFingerChoosesNothing holds a finger on units low, in the middle and high on the stage: the menu that
// opens leaves the finger free, lifting it chooses nothing, and a touch of its own does.
func TestLiftingTheFingerChoosesNothing(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Phone(t)
	path := app.KeepFigure(t, plain(18, 16))
	openEditor(maker, path)
	maker.Press("Show all")
	e2e.Eval[bool](maker, "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))")
	paper := func() string {
		return e2e.Eval[string](maker, "document.querySelector('[data-paper][aria-checked=true]').dataset.paper")
	}
	before := paper()
	for _, ring := range []int{1, 7, 12, 16} {
		at := unitAt(maker, ring, 9)
		longPress(maker, at)
		box := e2e.Eval[[]float64](maker, "(() => { const b = document.querySelector('.pop').getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom, innerWidth, innerHeight]; })()")
		assert.False(t, at.X > box[0] && at.X < box[2] && at.Y > box[1] && at.Y < box[3], "the menu of ring %d lies under the finger at %v: %v", ring, at, box)
		assert.True(t, box[0] >= 0 && box[1] >= 0 && box[2] <= box[4] && box[3] <= box[5], "the menu of ring %d leaves the window: %v", ring, box)
		if ring == 7 {
			maker.View("long-press")
		}
		// As on a window too low to leave the finger free: the lifting finger clicks what lies under it.
		e2e.Eval[bool](maker, fmt.Sprintf("Object.assign(document.querySelector('.pop').style, {top: '%fpx', left: '%fpx'}), true", at.Y-60, at.X-100))
		maker.Do(touches(fingerLifts))
		maker.Do(chromedp.Sleep(400 * time.Millisecond))
		assert.True(t, e2e.Eval[bool](maker, "!!document.querySelector('.pop')"), "the menu of ring %d stays", ring)
		assert.Equal(t, before, paper(), "the chosen colour after ring %d", ring)
		maker.Keys(kb.Escape)
	}
	longPress(maker, unitAt(maker, 7, 9))
	maker.Do(touches(fingerLifts))
	maker.Press("Paint with Chalk")
	maker.Until("Chalk is chosen", "document.querySelector('[data-paper=chalk][aria-checked=true]')")
}

// takeUp draws three units on ring 1, takes them up with Move and carries them to ring 3.
func takeUp(maker *e2e.Person) {
	maker.Press("Line")
	maker.Stroke(unitAt(maker, 1, 6), unitAt(maker, 1, 8))
	maker.Press("Select")
	maker.Stroke(unitAt(maker, 1, 6), unitAt(maker, 1, 8))
	maker.Press("Move")
	carryUp(maker)
}

func carryUp(maker *e2e.Person) {
	if maker.Touches() {
		maker.Stroke(unitAt(maker, 1, 7), unitAt(maker, 3, 7))
	} else {
		maker.Keys(kb.ArrowUp + kb.ArrowUp)
	}
}

// TestLeavingPutsDownWhatIsHeld goes to another page and loads the page anew with a block in the hand.
func TestLeavingPutsDownWhatIsHeld(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		moved := []string{"CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCSSSCCCC", "CCCCCCCCCCCC"}
		for _, leave := range []func(){
			func() {
				for range 4 { // Chromium now and then drops the click of a touch that comes soon after a stroke
					maker.Press("Report")
					maker.Do(chromedp.Sleep(700 * time.Millisecond))
					if strings.HasSuffix(maker.Path(), "/report") {
						break
					}
				}
				maker.Until("the report is there", "location.pathname.endsWith('/report') && document.readyState === 'complete'")
			},
			func() { maker.Reload() },
		} {
			path := app.KeepFigure(t, plain(12, 4))
			openEditor(maker, path)
			takeUp(maker)
			leave()
			assertDrawn(t, app, path, moved)
		}
	})
}

// TestUndoFirstLetsGo undoes by button and by key while a block is in the hand: the step before stays.
func TestUndoFirstLetsGo(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		drawnLow := []string{"CCCCCSSSCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC"}
		path := app.KeepFigure(t, plain(12, 4))
		openEditor(maker, path)
		takeUp(maker)
		maker.Press("Undo")
		maker.Until("nothing is held", "!document.querySelector('.bar .main')?.checkVisibility()")
		maker.Press("Line")
		maker.Stroke(unitAt(maker, 4, 6), unitAt(maker, 4, 6)) // a step after it, so that an undo would have been stored by now
		drawnLow[3] = "CCCCCSCCCCCC"
		assertDrawn(t, app, path, drawnLow)

		maker.Press("Select")
		maker.Stroke(unitAt(maker, 1, 6), unitAt(maker, 1, 8))
		maker.Press("Move")
		carryUp(maker)
		maker.Keys("z", chromedp.ModifierCtrl)
		maker.Until("nothing is held", "!document.querySelector('.bar .main')?.checkVisibility()")
		maker.Press("Undo")
		drawnLow[3] = "CCCCCCCCCCCC"
		assertDrawn(t, app, path, drawnLow)
	})
}

// TestTouchScreensNameNoKeys reads what is said after a cut and over the list of rings.
func TestTouchScreensNameNoKeys(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		openEditor(maker, app.KeepFigure(t, plain(12, 4)))
		maker.Press("Select")
		maker.Stroke(unitAt(maker, 1, 6), unitAt(maker, 1, 8))
		maker.Press("Cut")
		maker.Sees("cut out")
		assert.Equal(t, !maker.Touches(), e2e.Eval[bool](maker, "document.querySelector('.note').innerText.includes('Ctrl')"))
		if maker.Touches() {
			maker.Press("Panels")
		}
		maker.PressAt(maker.MiddleOf("#tab-rings"))
		maker.Sees("The top ring comes first")
		assert.Equal(t, !maker.Touches(), e2e.Eval[bool](maker, "/Ctrl|Shift/.test(document.querySelector('.panel').innerText)"))
	})
}

// TestFoundBadgeLeavesTheNameFree opens a figure with a finding on the narrowest windows.
func TestFoundBadgeLeavesTheNameFree(t *testing.T) {
	app := e2e.Start(t)
	for _, width := range []int{320, 360, 390, 768} {
		maker := app.Screen(t, width, 740, true)
		openEditor(maker, app.KeepFigure(t, plain(5, 2)))
		e2e.Eval[bool](maker, "(() => { const b = document.querySelector('.panel-button .badge'); b.hidden = false; b.dataset.count = '12'; return true; })()")
		maker.View("badge")
		gaps := e2e.Eval[[]float64](maker, "(() => { const n = document.querySelector('.panel-button-name').getBoundingClientRect(), b = document.querySelector('.panel-button .badge').getBoundingClientRect(); return [n.left - b.right, n.top - b.bottom]; })()")
		assert.True(t, gaps[0] >= 0 || gaps[1] >= 0, "badge over the name at %d px: %v", width, gaps)
		assert.Less(t, e2e.Eval[float64](maker, "document.querySelector('.rail').getBoundingClientRect().height"), 60.0, "one row at %d px", width)
		maker.FitsWidth()
	}
}
