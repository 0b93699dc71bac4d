package e2e_test

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// layoutJS gives the page functions that measure the editor as a maker sees it. The ruler and the compass
// are drawn on the stage, so their sizes stand here: 44 px at the left and 19 px at the foot of the stage.
const layoutJS = `
window.painted = () => new Promise(done => requestAnimationFrame(done)); // after the stage, which asked first

/** Goes to a unit by its address and gives the rectangles of the units around it, {"ring unit": [l, t, r, b]}. */
window.unitsAround = async (id, unit, into) => {
	const there = new Promise(done => addEventListener("hashchange", done, {once: true})), to = "#at-" + id + "-" + unit;
	if (location.hash !== to) {
		location.hash = to;
		await there;
	}
	await painted();
	for (const c of document.querySelectorAll("[role=gridcell]")) {
		const [, ring, of] = c.getAttribute("aria-label").match(/ring (\d+), unit (\d+)/);
		const b = c.getBoundingClientRect();
		into[ring + " " + of] = [b.left, b.top, b.right, b.bottom];
	}
	return into;
};

/** Rectangles of all units of rings [{id, n}]: seven units of three rings can be read at once. */
window.allUnits = async rings => {
	const into = {};
	for (let r = 1; r < rings.length; r += 3) for (let u = 3; u < rings[r].n; u += 7) await unitsAround(rings[r].id, u, into);
	for (const [r, ring] of rings.entries()) for (let u = 0; u < ring.n; u++) if (!into[(r + 1) + " " + (u + 1)]) await unitsAround(ring.id, u, into);
	return into;
};

/** What lies in the window over the stage, or is drawn at its edges: [name, l, t, r, b]. */
window.obstacles = () => {
	const stage = document.querySelector(".stage"), out = [], s = stage.getBoundingClientRect();
	const take = (name, b) => out.push([name, b.left, b.top, b.right, b.bottom]);
	take("ruler", {left: s.left, top: s.top, right: s.left + 44, bottom: s.bottom});
	take("compass", {left: s.left, top: s.bottom - 19, right: s.right, bottom: s.bottom});
	take("above the stage", {left: -1e4, top: -1e4, right: 1e4, bottom: s.top});
	take("below the stage", {left: -1e4, top: s.bottom, right: 1e4, bottom: 1e4});
	take("right of the stage", {left: s.right, top: -1e4, right: 1e4, bottom: 1e4});
	for (const e of document.querySelectorAll("body *")) {
		if (e.contains(stage) || e.closest(".cells, canvas, .seen-by-readers, .skip") || !e.checkVisibility()) continue;
		if (e.closest("#live") || e === stage) continue;
		const q = e.getBoundingClientRect(), strip = e.closest(".tools")?.getBoundingClientRect() ?? q; // tools scroll in a strip that may be a box of its own
		const b = strip.width ? new DOMRect(Math.max(q.left, strip.left), q.top, Math.min(q.right, strip.right) - Math.max(q.left, strip.left), q.height) : q;
		if (b.width > 0 && b.height) take(e.cloneNode().outerHTML.slice(0, 90), b);
	}
	return out;
};

/** Which units lie under something, by a pixel or more. */
window.covered = units => {
	const over = obstacles(), out = [];
	for (const [name, [l, t, r, b]] of Object.entries(units)) {
		const by = over.find(([, ol, ot, or, ob]) => ol < r - 1 && or > l + 1 && ot < b - 1 && ob > t + 1);
		if (by) out.push("unit (ring, unit) " + name + " under " + by[0]);
	}
	return out;
};
true`

// ringsOf are the identities and counts of a stored figure's rings, as JSON for layoutJS.
func ringsOf(t *testing.T, app *e2e.App, path string) string {
	t.Helper()
	type ring struct {
		ID int64 `json:"id"`
		N  int   `json:"n"`
	}
	var rings []ring
	require.NoError(t, app.Store.Look(context.Background(), strings.TrimPrefix(path, "/d/"), func(n store.Now) error {
		shown := n.Figure.Rings
		if len(n.Figure.Parts) > 0 { // the grid shows one part at a time, first the one on the table
			shown = shown[:n.Figure.Parts[0].Rows]
		}
		for _, r := range shown {
			rings = append(rings, ring{int64(r.ID), len(r.Cells)})
		}
		return nil
	}))
	out, err := json.Marshal(rings)
	require.NoError(t, err)
	return string(out)
}

// readUnits keeps the rectangles of all units in the page's units, and leaves nothing selected, so that no bar
// stands where the hand is.
func readUnits(maker *e2e.Person, rings string) {
	e2e.Eval[bool](maker, "allUnits("+rings+").then(u => (window.units = u, true))")
	maker.Keys("\x1b")
	maker.Until("the bar is gone", "document.querySelector('.bar').hidden")
}

// shapes are figures of the usual shapes: a new one, a wide one, a high one, and of the demo's a round one, one with
// arms tucked on, and one of parts, by name.
func shapes(t *testing.T, app *e2e.App) map[string]string {
	t.Helper()
	out, demo := map[string]string{}, app.KeepDemo(t)
	for _, name := range []string{"honey-jar", "octopus", "swan"} {
		require.Contains(t, demo, name)
		out[name] = demo[name]
	}
	for _, s := range [][2]int{{18, 16}, {24, 30}, {8, 40}} {
		out[fmt.Sprintf("%d × %d", s[0], s[1])] = app.KeepFigure(t, plain(s[0], s[1]))
	}
	return out
}

// sizes are windows from a small phone to a projector.
var sizes = []struct {
	width, height int
	touch         bool
}{{360, 740, true}, {390, 844, true}, {768, 1024, true}, {1280, 860, false}, {1920, 1080, false}}

// TestNothingLiesOverUnits shows each figure whole, at rest, with a note and while the connection is gone: no
// button, ruler, note or other part of the page meets the rectangle of a unit. Zoomed in, any unit can be brought
// clear of everything by panning. The windows between the usual ones show the tall and the wide one.
func TestNothingLiesOverUnits(t *testing.T) {
	app := e2e.Start(t)
	figures := shapes(t, app)
	for _, size := range sizes {
		usual := size.width == 390 || size.width == 1280
		maker := app.Screen(t, size.width, size.height, size.touch)
		for name, path := range figures {
			if !usual && name != "8 × 40" && name != "24 × 30" {
				continue
			}
			t.Run(fmt.Sprintf("%s at %d", name, size.width), func(t *testing.T) {
				rings := ringsOf(t, app, path)
				openEditor(maker, path)
				e2e.Eval[bool](maker, layoutJS)
				maker.Press("Show all")
				maker.FitsWidth()
				readUnits(maker, rings)
				assert.Empty(t, e2e.Eval[[]string](maker, "covered(units)"), "at rest")
				assert.Equal(t, e2e.Eval[int](maker, rings+".reduce((sum, r) => sum + r.n, 0)"), e2e.Eval[int](maker, "Object.keys(units).length"), "all units were looked at")

				e2e.Eval[bool](maker, "document.querySelector('[role=gridcell][tabindex=\"0\"]').focus(), true")
				maker.Keys("c", chromedp.ModifierCtrl)
				maker.Until("a note is shown", "document.querySelector('.note')")
				assert.Empty(t, e2e.Eval[[]string](maker, "covered(units)"), "with a note")
				if usual {
					assertCanBeCleared(t, maker, rings)
				}
			})
		}
	}
}

// assertCanBeCleared zooms in far and pans units of the foot, the middle and the top to the middle of the stage.
func assertCanBeCleared(t *testing.T, maker *e2e.Person, rings string) {
	t.Helper()
	for range 5 {
		maker.Press("Zoom in")
	}
	under := e2e.Eval[[]string](maker, `(async () => {
		const rings = `+rings+`, stage = document.querySelector(".stage"), s = stage.getBoundingClientRect(), out = [];
		for (const r of [0, rings.length >> 1, rings.length - 1]) for (const part of [0, 1/3, 2/3, 1]) {
			const unit = Math.min(rings[r].n - 1, Math.floor(part * rings[r].n)), name = (r + 1) + " " + (unit + 1);
			const [l, t, right, b] = (await unitsAround(rings[r].id, unit, {}))[name];
			dispatchEvent(new KeyboardEvent("keydown", {key: "Escape"}));
			stage.dispatchEvent(new WheelEvent("wheel", {bubbles: true, cancelable: true, clientX: s.left + 100, clientY: s.top + 50,
				deltaX: (l + right) / 2 - (s.left + s.right + 40) / 2, deltaY: (t + b) / 2 - (s.top + s.bottom) / 2}));
			await painted();
			const c = [...document.querySelectorAll("[role=gridcell]")].find(c => c.getAttribute("aria-label").includes("ring " + (r + 1) + ", unit " + (unit + 1) + " of"));
			const q = c.getBoundingClientRect();
			document.querySelector(".bar").hidden = true; // belongs to the unit that the address selected
			out.push(...covered({[name]: [q.left, q.top, q.right, q.bottom]}));
		}
		return out;
	})()`)
	assert.Empty(t, under, "zoomed in")
}

// TestConnectionNoticeLiesOverNoUnit takes the server away from a figure that is shown whole.
func TestConnectionNoticeLiesOverNoUnit(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(18, 16))
		rings := ringsOf(t, app, path)
		openEditor(maker, path)
		e2e.Eval[bool](maker, layoutJS)
		maker.Press("Show all")
		app.Away(func() {
			maker.Sees("No connection")
			readUnits(maker, rings)
			assert.Empty(t, e2e.Eval[[]string](maker, "covered(units)"))
			maker.View("offline-whole")
		})
	})
}

// TestBarHidesNoUnit: what can be done with a selection, or with a block in the hand, stands where no unit is, on every
// window and on figures that fill the stage; the stage keeps its size when it comes, and the tools stay within reach.
func TestBarHidesNoUnit(t *testing.T) {
	app := e2e.Start(t)
	for _, size := range append([]struct {
		width, height int
		touch         bool
	}{{320, 256, false}, {844, 390, true}, {1440, 900, false}}, sizes...) {
		t.Run(fmt.Sprint(size.width), func(t *testing.T) {
			assertBarClear(t, app, app.Screen(t, size.width, size.height, size.touch))
		})
	}
}

func assertBarClear(t *testing.T, app *e2e.App, maker *e2e.Person) {
	t.Helper()
	path := app.KeepFigure(t, plain(18, 16))
	rings := ringsOf(t, app, path)
	openEditor(maker, path)
	e2e.Eval[bool](maker, layoutJS)
	maker.Press("Show all")
	readUnits(maker, rings)
	maker.Press("Select")
	box := func() []float64 {
		return e2e.Eval[[]float64](maker, "(() => { scrollTo(0, 0); const b = document.querySelector('.stage').getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; })()")
	}
	before := box()
	low := unitAt(maker, 14, 8)
	maker.Stroke(low, unitAt(maker, 15, 11))
	maker.Until("the bar is there", "!document.querySelector('.bar').hidden")
	assert.Equal(t, before, box(), "the stage with a selection")
	assert.Empty(t, e2e.Eval[[]string](maker, "covered(units)"), "a selection")
	maker.View(fmt.Sprint("bar-selection-", maker.Width()))
	maker.FitsWidth()
	maker.Press("Copy")
	maker.Until("a block is in the hand", "document.querySelector('.bar .main')")
	assert.Equal(t, before, box(), "the stage with a block in the hand")
	assert.Empty(t, e2e.Eval[[]string](maker, "covered(units)"), "a block in the hand")
	maker.View(fmt.Sprint("bar-block-", maker.Width()))
	maker.Press("Brush")
	maker.Until("the bar is gone or asks about what was put down", "!document.querySelector('.bar .main')")
}

// unitSize is the width of a plain figure's unit and the height of its ring, in CSS pixels.
func unitSize(p *e2e.Person) (wide, high float64) {
	got := e2e.Eval[[]float64](p, `(() => { const b = document.querySelector("[role=gridcell]").getBoundingClientRect(); return [b.width, b.height / 2]; })()`)
	return got[0], got[1]
}

// TestPhoneOpensWithUnitsThatAFingerHits: targets of at least 24 × 24 CSS px (WCAG 2.2, success criterion 2.5.8,
// Target Size (Minimum)), the front in the middle; all of it is one press away, and stays in sight when the
// figure grows.
func TestPhoneOpensWithUnitsThatAFingerHits(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Phone(t)
	path := app.KeepFigure(t, plain(18, 16))
	openEditor(maker, path)
	wide, high := unitSize(maker)
	assert.GreaterOrEqual(t, wide, 24.0)
	assert.GreaterOrEqual(t, high, 24.0)
	front := unitAt(maker, 1, 10) // the front is at the middle of unit 10, counted from 1
	assert.InDelta(t, (390+44)/2, front.X, 10, "the front is in the middle, beside the ruler")
	maker.View("opens")
	maker.Press("Show all")
	maker.Until("the whole ring is in sight", "document.querySelector('[role=gridcell]').getBoundingClientRect().width < 20")
}

// TestFittedFigureStaysFitted widens a figure that is shown whole: it is still shown whole.
func TestFittedFigureStaysFitted(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(12, 6))
		openEditor(maker, path)
		e2e.Eval[bool](maker, layoutJS)
		maker.Press("Show all")
		for i, grown := range []struct {
			edit figure.Edit
			is   string
		}{
			{&figure.InsertRing{Above: 6, Colour: "chalk", Count: 18}, "a.ariaRowCount === '24'"},
			{&figure.SetCount{Rings: []figure.RingID{2, 3, 4}, Units: 24}, "a.ariaColCount === '24'"},
		} {
			ask(t, app, path, int64(i+1), grown.edit)
			maker.Until("the rings have come", "(a => "+grown.is+")(document.querySelector('[role=grid]'))")
			readUnits(maker, ringsOf(t, app, path))
			assert.Empty(t, e2e.Eval[[]string](maker, "covered(units)"), "%T", grown.edit)
		}
		maker.View("grown")
	})
}

// TestEditorAtFourTimesTheSize: a window of 1280 × 1024 px at 400 % has 320 × 256 CSS px (WCAG 2.2, success criterion
// 1.4.10, Reflow): the page scrolls downwards only, the stage can be painted on, and every control is reached.
func TestEditorAtFourTimesTheSize(t *testing.T) {
	app := e2e.Start(t)
	path := app.KeepFigure(t, plain(18, 16))
	maker := app.Screen(t, 320, 256, false)
	openEditor(maker, path)
	maker.FitsWidth()
	assert.Zero(t, e2e.Eval[float64](maker, "scrollY"), "it opens at the top")
	assert.GreaterOrEqual(t, e2e.Eval[float64](maker, "document.querySelector('.stage').clientHeight"), 150.0)
	reach := func(name string) e2e.Point {
		at := maker.Middle(name) // scrolls the page, and fails when something lies over it
		assert.True(t, at.X > 0 && at.X < 320 && at.Y > 0 && at.Y < 256, "%s lies at %v", name, at)
		return at
	}
	for _, name := range []string{"Undo", "More", "Show all", "Zoom in", "Zoom out", "Panels", "Brush", "Outline", "Select", "Symmetry: off", "Side that faces out: Leave as it is", "Soot, 0 units", "Add a colour"} {
		reach(name)
	}
	e2e.Eval[bool](maker, "document.querySelector('.stage').scrollIntoView({block: 'end'}), true")
	maker.View("four-times")
	at := e2e.Eval[[]float64](maker, "(b => [b.left + b.width / 2, b.top + b.height / 2])(document.querySelector('.stage').getBoundingClientRect())")
	maker.PressAt(e2e.Point{X: at[0] + 11, Y: at[1]})
	maker.Finds("Soot, 1 unit")
	maker.Press("Panels")
	for _, name := range []string{"Rings", "Units", "History", "Back to the pattern"} {
		reach(name)
	}
}

// TestAddingAColourSaysWhyItCannot: at the most colours that a figure has (README: 1 to 64) the buttons stay, and say why.
func TestAddingAColourSaysWhyItCannot(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		f := plain(12, 6)
		for i := len(f.Colours); i < 63; i++ {
			f.Colours = append(f.Colours, figure.Colour{ID: fmt.Sprint("c", i), Name: fmt.Sprint("Colour ", i), Hex: fmt.Sprintf("#%02x%02x55", i*4, 255-i*4)})
		}
		path := app.KeepFigure(t, f)
		openEditor(maker, path)
		maker.Press("Add a colour")
		maker.Fill("A colour of your own", "The last")
		maker.Press("Add")
		maker.Finds("The last, 0 units")
		maker.Until("the button says that it is off", "document.querySelector('.paper.add').getAttribute('aria-disabled') === 'true'")
		maker.Press("Add a colour")
		maker.Sees("64 colours at most")
		maker.View("most-colours")
		assert.Contains(t, e2e.Eval[string](maker, "document.querySelector('.paper.add').getAttribute('aria-description')"), "64 colours at most")
	})
}

// targetsJS lists what can be pressed and is smaller than a finger needs. The rule: 44 × 44 CSS px, our own;
// a checkbox or radio counts with its label. A link in a line of text may be smaller, as success criterion 2.5.8 of
// WCAG 2.2 allows it ("Inline"). Units and ring numbers are as large as the drawing is zoomed
// ("Essential"): 24 px and more when the figure opens, which another test holds.
const targetsJS = `(() => {
	const pressed = "a[href], button, input:not([type=hidden]), select, textarea, summary, label:has(input[type=file]), [role=button], [role=tab], [role=option], [role=radio], [role=menuitem], [role=menuitemradio], [role=menuitemcheckbox], [role=slider]";
	const inline = a => a.matches("a") && getComputedStyle(a).display === "inline" && a.closest("p, li, dd, td, th, figcaption, .hint, caption") &&
		[...a.closest("p, li, dd, td, th, figcaption, .hint, caption").childNodes].some(n => !n.contains(a) && n.textContent.trim());
	const out = [];
	for (const e of document.querySelectorAll(pressed)) {
		if (!e.checkVisibility({opacityProperty: true, visibilityProperty: true}) || e.closest(".skip, .seen-by-readers") || inline(e)) continue;
		let {left, top, right, bottom} = e.getBoundingClientRect();
		if (right - left < 1 || bottom - top < 1) continue;
		for (const label of e.labels ?? []) {
			const b = label.getBoundingClientRect();
			if (!e.matches("[type=checkbox], [type=radio]") || !b.width) continue;
			left = Math.min(left, b.left); top = Math.min(top, b.top); right = Math.max(right, b.right); bottom = Math.max(bottom, b.bottom);
		}
		const w = right - left, h = bottom - top;
		if (w < 43.9 || h < 43.9) out.push(w.toFixed(1) + " × " + h.toFixed(1) + " px: " + e.cloneNode(true).outerHTML.slice(0, 160));
	}
	return [...new Set(out)];
})()`

// TestEveryTargetIsLargeEnoughForAFinger measures what can be pressed on every page, and in every state of the editor, on a phone.
func TestEveryTargetIsLargeEnoughForAFinger(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepDemo(t)["puffin"]
	link, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerView)
	require.NoError(t, err)
	maker := app.Phone(t)
	measure := func(where string) {
		t.Helper()
		for _, small := range e2e.Eval[[]string](maker, targetsJS) {
			t.Errorf("%s: %s", where, small)
		}
	}
	visit := func(base string, paths []string) {
		for _, path := range paths {
			maker.Open(base + path)
			e2e.Eval[bool](maker, "document.querySelectorAll('details').forEach(d => d.open = true), true")
			measure(base + path)
		}
	}
	visit("", pages)
	visit(base, makerPages)
	visit(base, figurePages)
	visit("/v/"+link.Token, figurePages)

	openEditor(maker, base)
	measure("the editor")
	maker.Press("More")
	measure("its menu")
	maker.Press("Stamp a motif")
	measure("motifs")
	maker.Press("Eyes")
	maker.Until("the bar is there", "!document.querySelector('.bar').hidden")
	measure("a motif in the hand")
	maker.CheckAccess()
	maker.View("placing")
	maker.Press("Cancel")
	maker.Press("Add a colour")
	measure("adding a colour")
	maker.Keys("\x1b")
	maker.Press("Select")
	maker.Stroke(unitAt(maker, 6, 12), unitAt(maker, 8, 16))
	maker.Until("the bar is there", "!document.querySelector('.bar').hidden")
	measure("a selection")
	maker.CheckAccess()
	maker.View("selection")
	maker.Press("Copy")
	maker.View("block")
	maker.Until("a block is in the hand", "document.querySelector('.bar').textContent.includes('Cancel') && document.querySelector('.bar .main')")
	measure("a block in the hand")
	maker.CheckAccess()
	maker.Press("Cancel")
	maker.Press("Panels")
	parts := e2e.Eval[[]string](maker, "[...document.querySelectorAll('.panel [role=tab]')].map(tab => tab.id.slice('tab-'.length))")
	require.GreaterOrEqual(t, len(parts), 8, "the parts of the panels")
	for _, part := range parts {
		maker.PressAt(maker.MiddleOf("#tab-" + part))
		maker.Until("the part is there", "document.querySelector('#tab-"+part+"').getAttribute('aria-selected') === 'true' && document.querySelector('.panel-body').childElementCount")
		time.Sleep(100 * time.Millisecond) // what the part fetches
		measure(part)
	}
	maker.PressAt(maker.MiddleOf("#tab-extras"))
	maker.PressAt(maker.MiddleOf("[data-action^=move]"))
	maker.Until("the arrows are there", "document.querySelector('.pad')")
	measure("moving an extra")
	maker.View("moving-extra")
	maker.PressAt(maker.MiddleOf("[data-action^=change]"))
	measure("changing an extra")
}

// forcedColours shows pages as a high-contrast theme of the system does (CSS Color Adjustment, forced-colors: active).
func forcedColours(p *e2e.Person) {
	p.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "forced-colors", Value: "active"}}})
		return err
	}))
}

// chosenJS compares one that is chosen with one that is not: what of their look differs that a theme's colours leave.
const chosenJS = `(chosen, plain) => {
	const look = e => {
		const s = getComputedStyle(e), b = getComputedStyle(e, "::before");
		const width = (w, style) => style === "none" ? "0" : w;
		return [s.backgroundColor, width(s.outlineWidth, s.outlineStyle), width(s.borderTopWidth, s.borderTopStyle) + s.borderTopColor, width(s.borderBottomWidth, s.borderBottomStyle) + s.borderBottomColor, b.backgroundColor, b.borderTopColor, b.borderTopWidth];
	};
	const [a, b] = [document.querySelector(chosen), document.querySelector(plain)];
	if (!a || !b) return "there is no " + (a ? plain : chosen);
	a.blur(); b.blur();
	return look(a).join() === look(b).join() ? chosen + " looks like " + plain + ": " + look(a).join() : "";
}`

// TestForcedColoursShowWhatIsChosen: in a high-contrast theme, which takes the page's colours and shadows away.
func TestForcedColoursShowWhatIsChosen(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		forcedColours(maker)
		path := app.KeepDemo(t)["puffin"]
		openEditor(maker, path)
		require.True(t, e2e.Eval[bool](maker, "matchMedia('(forced-colors: active)').matches"))
		differ := func(chosen, plain string) {
			t.Helper()
			assert.Empty(t, e2e.Eval[string](maker, fmt.Sprintf("(%s)(%q, %q)", chosenJS, chosen, plain)))
		}
		differ(".tool[aria-checked=true]", ".tool[aria-checked=false]")
		differ(".paper[aria-checked=true]", ".paper[aria-checked=false]")
		maker.Press("Symmetry: off")
		differ("[role=menuitemradio][aria-checked=true]", "[role=menuitemradio][aria-checked=false]")
		maker.Press("Mirror about the front line")
		differ(".ways .on", ".ways .tool:not(.on)")
		maker.Press("Symmetry: Mirror")
		differ("[role=menuitemcheckbox][aria-checked=true]", "[role=menuitemcheckbox][aria-checked=false]")
		maker.View("forced")
		maker.Keys("\x1b")
		if maker.Touches() {
			maker.Press("Panels")
		}
		differ("[role=tab][aria-selected=true]", "[role=tab][aria-selected=false]")
		maker.Press("Rings")
		maker.PressAt(maker.MiddleOf("[role=option]"))
		maker.Until("a ring is chosen", "document.querySelector('[role=option][aria-selected=true]')")
		differ("[role=option][aria-selected=true]", "[role=option][aria-selected=false]")
		maker.View("forced-rings")
		maker.PressAt(maker.MiddleOf("#tab-units"))
		maker.Until("the choices of points", "document.querySelector('.chip[aria-checked=true]')")
		differ(".chip[aria-checked=true]", ".chip[aria-checked=false]")
		differ(".pages a[aria-current]", ".pages a:not([aria-current])")
		if maker.Touches() {
			maker.Press("Back to the pattern")
		}
		before := e2e.Eval[string](maker, "document.querySelector('.over-layer').toDataURL()")
		maker.Press("Select")
		maker.Stroke(unitAt(maker, 16, 13), unitAt(maker, 18, 16))
		maker.View("forced-selection")
		maker.Until("units are selected", "document.querySelector('[role=gridcell][aria-selected=true]')")
		assert.NotEqual(t, before, e2e.Eval[string](maker, "document.querySelector('.over-layer').toDataURL()"), "the selection is drawn")

		maker.Open(path + "/stand")
		maker.Until("the 3D view's brush", "document.querySelector('.stand-paper[aria-checked=true]')")
		differ(".stand-paper[aria-checked=true]", ".stand-paper[aria-checked=false]")
	})
}
