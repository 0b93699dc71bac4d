package e2e_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// plain is a plain tube in chalk, with soot and sea blue at hand; the front is at the middle of unit
// units/2 of ring 1 (counted from 0).
func plain(units, rings int) *figure.Figure {
	return figure.Tube("Seal cub", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{
		{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}, {ID: "sea", Name: "Sea blue", Hex: "#2277a0"},
	}, units, rings)
}

// openEditor opens a figure's pattern page and waits for the editor.
func openEditor(p *e2e.Person, path string) {
	p.Open(path)
	p.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
}

// drawn is the stored figure, ring 1 first, with the first letter of each unit's colour. A design's
// stored rings are awaited until they look as wanted.
func drawn(t *testing.T, app *e2e.App, path string, rings int) []string {
	t.Helper()
	out := make([]string, rings)
	for r := range out {
		for _, name := range colours(t, app, strings.TrimPrefix(path, "/d/"), r+1) {
			out[r] += name[:1]
		}
	}
	return out
}

func assertDrawn(t *testing.T, app *e2e.App, path string, want []string) {
	t.Helper()
	var got []string
	ok := assert.Eventually(t, func() bool { got = drawn(t, app, path, len(want)); return fmt.Sprint(got) == fmt.Sprint(want) }, e2e.Patience, 50*time.Millisecond)
	if !ok {
		t.Logf("stored:\n%s", strings.Join(got, "\n"))
	}
}

// TestKeyboardAlonePaintsAFigure paints a small figure whole, bands, a mirrored face and all, without
// a pointer: 28 key presses after the Tabs that lead to the grid.
func TestKeyboardAlonePaintsAFigure(t *testing.T) {
	app := e2e.Start(t)
	path := app.KeepFigure(t, plain(8, 6))
	maker := app.Desk(t)
	openEditor(maker, path)
	for i := 0; !e2e.Eval[bool](maker, "document.activeElement.getAttribute('role') === 'gridcell'"); i++ {
		require.Less(t, i, 30, "Tab leads to the grid")
		maker.Keys(kb.Tab)
	}
	assert.Equal(t, "ring 1, unit 5 of 8, Chalk", focused(maker), "the keyboard begins at the front")

	maker.Keys("3g ")                                                                         // sea blue, Ring, paint: ring 1
	maker.Keys("2u" + "m" + kb.ArrowUp + kb.ArrowUp + kb.ArrowRight + " ")                    // soot, Unit, mirror: the mouth's corners on ring 3
	maker.Keys(kb.ArrowDown + kb.ArrowLeft + " ")                                             // and its middle on ring 2
	maker.Keys(kb.PageUp + kb.ArrowDown + " ")                                                // eyes on ring 5
	maker.Keys("3r" + kb.ArrowUp + kb.Home + " " + kb.ArrowRight + kb.ArrowRight + " " + "m") // a run of three on ring 6, mirrored
	maker.View("keyboard")
	assertDrawn(t, app, path, []string{
		"SSSSSSSS", // ring 1: sea blue
		"CCCSSCCC", // ring 2: a gap is on the line, so the middle of the mouth is two wide
		"CCCSCSCC", // ring 3: a unit is on the line, and its neighbours are the corners
		"CCCCCCCC",
		"CCCSCSCC", // ring 5: eyes
		"SSSCCSSS", // ring 6: the run and its mirror image across the seam
	})
	maker.Until("the live region says what was painted", "document.getElementById('live').textContent.includes('ring 6, unit')")
	maker.Keys("z", chromedp.ModifierCtrl)
	assert.Eventually(t, func() bool { return drawn(t, app, path, 6)[5] == "CCCCCCCC" }, e2e.Patience, 50*time.Millisecond, "Ctrl Z takes the last step back")
	maker.Keys("y", chromedp.ModifierCtrl)
	assert.Eventually(t, func() bool { return drawn(t, app, path, 6)[5] == "SSSCCSSS" }, e2e.Patience, 50*time.Millisecond, "Ctrl Y does it again")
}

func focused(p *e2e.Person) string {
	return e2e.Eval[string](p, "document.activeElement.getAttribute('aria-label')")
}

// TestMirroredFaceOnBothScreens draws a face with the mirror on: a wide band, round eyes, a mouth. Each
// stroke is mirrored about the front, where rings meet the line with a unit and a gap by turns.
func TestMirroredFaceOnBothScreens(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(18, 20))
		openEditor(maker, path)
		maker.Press("Symmetry: off")
		maker.Press("Mirror about the front line")
		maker.Press("Ring")
		maker.Stroke(unitAt(maker, 18, 10), unitAt(maker, 20, 10))
		maker.Press("Brush")
		maker.Stroke(unitAt(maker, 13, 12), unitAt(maker, 14, 12), unitAt(maker, 15, 12)) // an eye
		maker.PressAt(unitAt(maker, 14, 11))
		maker.Stroke(unitAt(maker, 9, 13), unitAt(maker, 7, 11)) // half a mouth in one quick stroke
		maker.View("face")
		var rows []string
		require.Eventually(t, func() bool { rows = drawn(t, app, path, 20); return strings.Contains(rows[6], "S") }, e2e.Patience, 50*time.Millisecond)
		for r, row := range rows {
			assert.Equal(t, row, mirroredRow(row, r), "ring %d is symmetric about the front", r+1)
		}
		assert.Equal(t, strings.Repeat("S", 18), rows[19])
		assert.Equal(t, "CCCCCCCSCCCSCCCCCC", rows[14], "the eyes: one unit wide on ring 15,")
		assert.Equal(t, 4, strings.Count(rows[13], "S"), "two wide on ring 14")
	})
}

// mirroredRow is a ring of 18 units mirrored about the middle of ring 1's unit 9 (from 0): ring 1's unit
// u goes to 18−u, and unit u of the next ring, half a unit further right, to 17−u.
func mirroredRow(row string, ring int) string {
	out := make([]byte, len(row))
	for u := range row {
		out[(len(row)-ring%2-u+len(row))%len(row)] = row[u]
	}
	return string(out)
}

// TestLostConnectionLosesNoStroke goes on painting while the server is away, with a reload of the page
// in between that finds nobody either, and finds every stroke stored once when it is back.
func TestLostConnectionLosesNoStroke(t *testing.T) {
	app := e2e.Start(t)
	path := app.KeepFigure(t, plain(12, 8))
	maker := app.Desk(t)
	openEditor(maker, path)
	maker.PressAt(unitAt(maker, 1, 6))
	maker.Finds("Soot, 1 unit")
	app.Away(func() {
		maker.PressAt(unitAt(maker, 2, 6))
		maker.PressAt(unitAt(maker, 3, 6))
		maker.Finds("Soot, 3 units")
		maker.Sees("No connection. You can go on painting: 2 steps are kept here")
		maker.View("offline")
	})
	maker.Until("the waiting steps are sent", "document.getElementById('pattern').dataset.waiting === '0'")
	maker.SeesNot("No connection")
	want := []string{"CCCCCSCCCCCC", "CCCCCSCCCCCC", "CCCCCSCCCCCC", "CCCCCCCCCCCC"}
	assertDrawn(t, app, path, want)

	app.Away(func() {
		maker.PressAt(unitAt(maker, 4, 6))
		maker.Sees("1 step is kept here")
		maker.Do(chromedp.Navigate("about:blank"))
	})
	openEditor(maker, path) // the page that comes back sends what the closed one had kept
	want[3] = "CCCCCSCCCCCC"
	assertDrawn(t, app, path, want)
	maker.Finds("Soot, 4 units")
}

// TestBlocksAndMotifs copies an area, puts it down elsewhere, and stamps a motif.
func TestBlocksAndMotifs(t *testing.T) {
	app := e2e.Start(t)
	path := app.KeepFigure(t, plain(12, 8))
	maker := app.Desk(t)
	openEditor(maker, path)
	maker.Press("Line")
	maker.Stroke(unitAt(maker, 1, 2), unitAt(maker, 1, 4))
	maker.Press("Select")
	maker.Stroke(unitAt(maker, 1, 2), unitAt(maker, 1, 4))
	maker.View("selected")
	maker.Press("Copy")
	maker.Hover(unitAt(maker, 3, 8))
	maker.PressAt(unitAt(maker, 3, 8))
	maker.Press("Done")
	assertDrawn(t, app, path, []string{"CSSSCCCCCCCC", "CCCCCCCCCCCC", "CCCCCCSSSCCC"})

	maker.Press("More")
	maker.Press("Stamp a motif")
	maker.Press("Eyes")
	maker.Hover(unitAt(maker, 7, 7))
	maker.View("stamp")
	maker.PressAt(unitAt(maker, 7, 7))
	maker.Keys(kb.Escape)
	rows := drawn(t, app, path, 8)
	assert.Equal(t, 8, strings.Count(strings.Join(rows[4:], ""), "S"), "two eyes of four units")
}

// TestGridIsPaintedInTheFrameThatResizesIt: a canvas whose size changes is black until it is painted, so it has to
// be painted before that frame is shown. The test's own observer runs after the page's, just before.
func TestGridIsPaintedInTheFrameThatResizesIt(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		openEditor(maker, app.KeepDemo(t)["puffin"])
		got := e2e.Eval[[]int](maker, `new Promise(done => {
			const stage = document.querySelector(".stage"), canvas = document.querySelector(".paper-layer"), before = canvas.height;
			new ResizeObserver(() => {
				if (canvas.height === before) return;
				const c = canvas.getContext("2d"), seen = new Set();
				for (let i = 1; i < 20; i++) seen.add([...c.getImageData(canvas.width * i / 20, canvas.height / 2, 1, 1).data].join());
				done([seen.size, seen.has("0,0,0,255") ? 1 : 0]);
			}).observe(stage);
			stage.style.flex = "none";
			stage.style.height = stage.clientHeight - 60 + "px";
		})`)
		assert.Greater(t, got[0], 2, "colours across the grid")
		assert.Zero(t, got[1], "nothing is black")
	})
}

// TestEditorIsAccessible looks for breaches of WCAG 2.2 AA in every state of the editor.
func TestEditorIsAccessible(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepDemo(t)["puffin"]
		openEditor(maker, path)
		maker.FitsWidth()
		maker.CheckAccess()
		maker.Press("More")
		maker.CheckAccess()
		maker.Keys(kb.Escape)
		maker.Press("Symmetry: off")
		maker.CheckAccess()
		maker.Press("4 times around")
		maker.CheckAccess()
		if maker.Touches() {
			maker.Press("Panels")
		}
		for _, part := range []string{"Rings", "Colours", "Check", "History", "Views"} {
			maker.Press(part)
			maker.CheckAccess()
		}
		if maker.Touches() {
			maker.Press("Back to the pattern")
		}
		maker.Press("Add a colour")
		maker.CheckAccess()
		maker.Keys(kb.Escape)
		maker.Keys("?")
		maker.Sees("Keys and gestures")
		maker.CheckAccess()
	})
}

// TestRevokedLinkIsExplained takes an edit link back while somebody paints by it: the page says so, and
// keeps what it could not send.
func TestRevokedLinkIsExplained(t *testing.T) {
	app := e2e.Start(t)
	path := app.KeepFigure(t, plain(12, 8))
	id := strings.TrimPrefix(path, "/d/")
	link, err := app.Store.MakeLink(context.Background(), id, store.PowerEdit)
	require.NoError(t, err)
	friend := app.Phone(t)
	openEditor(friend, "/e/"+link.Token)
	friend.PressAt(unitAt(friend, 2, 6))
	require.Eventually(t, func() bool { return colours(t, app, id, 2)[5] == "Soot" }, e2e.Patience, 50*time.Millisecond)
	require.NoError(t, app.Store.RevokeLink(context.Background(), id, link.Token))
	friend.PressAt(unitAt(friend, 4, 6))
	friend.Sees("This link no longer opens the figure. 1 step that was not sent is kept in this browser.")
	assert.Equal(t, "Chalk", colours(t, app, id, 4)[5])
}

// TestPastBringsAVersionBack looks at the list of steps, brings the beginning back as a new step, and
// takes that back again: nothing is lost.
func TestPastBringsAVersionBack(t *testing.T) {
	app := e2e.Start(t)
	path := app.KeepFigure(t, plain(12, 4))
	maker := app.Desk(t)
	openEditor(maker, path)
	maker.PressAt(unitAt(maker, 2, 6))
	maker.Press("History")
	maker.Sees("Painted 1 unit Soot")
	maker.PressAt(unitAt(maker, 3, 6))
	maker.Finds("Restore the version of: Painted 1 unit Soot")
	maker.View("past")
	maker.Press("Restore the version of: The beginning")
	blank := []string{"CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC", "CCCCCCCCCCCC"}
	assertDrawn(t, app, path, blank)
	maker.Press("Undo")
	assertDrawn(t, app, path, []string{blank[0], "CCCCCSCCCCCC", "CCCCCSCCCCCC", blank[3]})
}
