package e2e_test

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// The main job in the other browser that most makers have. What a page's scripts say wrong there, and breaches of its
// content policy, fail these tests as they do in Chromium.

// onEachFirefox runs a test in Firefox twice, on a narrow window by touch and at a desk by mouse.
func onEachFirefox(t *testing.T, test func(t *testing.T, app *e2e.App, who *e2e.Person)) {
	t.Helper()
	t.Run("phone", func(t *testing.T) { app := e2e.Start(t); test(t, app, app.Firefox(t, 390, 844, true)) })
	t.Run("desk", func(t *testing.T) { app := e2e.Start(t); test(t, app, app.Firefox(t, 1280, 800, false)) })
}

// TestMakerPaintsAndKeepsInFirefox makes a figure, paints it, takes a stroke back, finds it again after the page and
// the server have been away, and reads what it needs.
func TestMakerPaintsAndKeepsInFirefox(t *testing.T) {
	onEachFirefox(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		app.KeepDemo(t)
		maker.Open("/")
		maker.Sees("Puffin on the quay")
		maker.FitsWidth()
		maker.Picture("firefox-shelf")
		maker.Press("New figure")
		maker.Fill("Title", "Harbour seal")
		maker.Fill("Units per ring", "16")
		maker.Fill("Rings", "12")
		maker.Press("Make the figure")
		maker.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
		base := maker.Path()

		maker.Press("Ring") // the second paper is in hand at first
		maker.PressAt(unitAt(maker, 3, 8))
		maker.Finds("Sea blue, 16 units")
		maker.Press("Soot black, 0 units")
		maker.Press("Line")
		maker.Stroke(unitAt(maker, 8, 6), unitAt(maker, 8, 7), unitAt(maker, 8, 8))
		maker.Finds("Soot black, 3 units")
		maker.Press("Brush")
		maker.PressAt(unitAt(maker, 5, 8))
		maker.Finds("Soot black, 4 units")
		maker.Press("Undo")
		maker.Finds("Soot black, 3 units")
		maker.View("firefox-editor")
		settled(maker)
		assert.Equal(t, []string{"Soot black", "Soot black", "Soot black"}, colours(t, app, strings.TrimPrefix(base, "/d/"), 8)[5:8])

		maker.Reload()
		maker.Finds("Soot black, 3 units")
		app.Restart()
		later := app.Firefox(t, maker.Width(), 800, maker.Touches()) // a browser that has kept nothing
		later.Open("/")
		later.Sees("192 units · 12 rings")
		later.Press("Harbour seal")
		later.Finds("Sea blue, 16 units")
		later.Finds("Soot black, 3 units")

		// The same numbers as in Chromium: 5 % spares, rounded up for each colour: 173 + 9, 16 + 1, 3 + 1; an A4 gives 32 of A9 (ISO 216).
		maker.Open(base)
		maker.Press("Report")
		maker.Sees("Paper by colour")
		maker.Until("the page is laid out", "document.readyState === 'complete'") // before that Firefox reads its text as it stands in the source
		assert.Regexp(t, `Chalk white\s+173\s+9\s+182\s+A4\s+32\s+6\s`, maker.Text())
		assert.Regexp(t, `Sea blue\s+16\s+1\s+17\s+A4\s+32\s+1\s`, maker.Text())
		maker.FitsWidth()
		maker.Picture("firefox-report")
		maker.Press("Shopping list")
		maker.Until("the list is open", "location.pathname.endsWith('/list')")
		maker.Picture("firefox-list")
		for name, size := range papers {
			list := e2e.PDFText(t, maker.Print(size))
			assert.Contains(t, list, "Harbour seal", name)
			assert.Contains(t, list, "Soot black", name)
			assert.Equal(t, 1, strings.Count(list, "\f"), "pages on %s", name)
		}
	})
}

// TestFirefoxAndChromiumPaintOneFigure: by a link for painting together, each sees the other's strokes and takes back
// only their own; what Firefox paints while its line is broken comes in later.
func TestFirefoxAndChromiumPaintOneFigure(t *testing.T) {
	app := e2e.Start(t)
	line := app.Line(t, 1)
	jon := app.Firefox(t, 1280, 800, false).Over(line)
	base := app.KeepFigure(t, brickTube())
	id := strings.TrimPrefix(base, "/d/")
	mira := app.Phone(t)
	mira.Open(base + "/share")
	mira.Press("Make a link for painting together")
	mira.Sees("For painting together")
	links, err := app.Store.Links(context.Background(), id)
	require.NoError(t, err)
	require.Len(t, links, 1)
	require.Equal(t, store.PowerEdit, links[0].Power)
	jon.Open("/e/" + links[0].Token)
	mira.Open(base)
	for _, p := range []*e2e.Person{mira, jon} {
		p.Until("the editor is there", "document.querySelector('.pattern.ready [role=gridcell]')")
		p.Finds("Chalk, 0 units")
	}
	jon.Press("Soot, 0 units")
	jon.PressAt(unitAt(jon, 5, 8))
	mira.Finds("Soot, 1 unit")
	mira.PressAt(unitAt(mira, 3, 6))
	jon.Finds("Chalk, 1 unit")
	jon.Press("Undo")
	mira.Finds("Soot, 0 units")
	mira.Finds("Chalk, 1 unit")

	line.Break()
	jon.PressAt(unitAt(jon, 7, 8))
	jon.Finds("Soot, 1 unit")
	jon.Sees("No connection.")
	jon.View("firefox-no-connection")
	line.Heal()
	mira.Finds("Soot, 1 unit")
	jon.SeesNot("No connection.")
	settled(jon)
	assert.Equal(t, "Soot", colours(t, app, id, 7)[7])
}

// TestKeyboardPaintsInFirefox paints by keys alone, from Tab on.
func TestKeyboardPaintsInFirefox(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Firefox(t, 1280, 800, false)
	path := app.KeepFigure(t, plain(8, 6))
	openEditor(maker, path)
	for i := 0; !e2e.Eval[bool](maker, "document.activeElement.getAttribute('role') === 'gridcell'"); i++ {
		require.Less(t, i, 30, "Tab leads to the grid")
		maker.Keys(kb.Tab)
	}
	maker.Keys("3g ") // sea blue, Ring, paint: ring 1
	assertDrawn(t, app, path, []string{"SSSSSSSS", "CCCCCCCC"})
}

// TestFigureStandsInFirefox opens the 3D page. Where Firefox has a way to draw in 3D, the figure's papers are in the
// picture; where it has none, as often without a screen, the page says so and shows the still drawing.
func TestFigureStandsInFirefox(t *testing.T) {
	onEachFirefox(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepFigure(t, banded())
		maker.Open(base + "/stand")
		draws := e2e.Eval[bool](maker, `!!document.createElement("canvas").getContext("webgl2")`)
		t.Logf("Firefox draws in 3D here: %v", draws)
		if draws {
			openStand(maker, base)
			assert.Greater(t, coloursIn(onCanvas(maker)), 10, "colours in the picture")
		} else {
			maker.Sees("This browser cannot draw in 3D")
			maker.Until("the still drawing is shown", "document.querySelector('img.stand-still')?.naturalWidth > 0")
		}
		maker.FitsWidth()
		maker.View("firefox-stand")
	})
}
