package e2e_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// mostCalls is how many draw calls a picture of the figure may take (design card, issue 4).
const mostCalls = 8

// openStand opens the 3D page and waits until the figure stands there.
func openStand(who *e2e.Person, base string) {
	who.Open(base + "/stand")
	who.Until("the figure stands", "document.querySelector('#stand[data-stands] canvas[data-calls]')")
}

// onStage is a place on the canvas, in parts of its width and height from its upper left corner.
func onStage(who *e2e.Person, x, y float64) e2e.Point {
	box := e2e.Eval[[]float64](who, `(() => {
		const r = document.querySelector(".stand-canvas").getBoundingClientRect();
		return [r.left, r.top, r.width, r.height];
	})()`)
	return e2e.Point{X: box[0] + x*box[2], Y: box[1] + y*box[3]}
}

// picture reads a kept picture of the window.
func picture(t *testing.T, path string) image.Image {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer func() { _ = file.Close() }()
	img, err := png.Decode(file)
	require.NoError(t, err)
	return img
}

// seen is the colour in the window at a place given in CSS pixels.
func seen(who *e2e.Person, img image.Image, at e2e.Point) color.Color {
	scale := float64(img.Bounds().Dx()) / float64(who.Width())
	return img.At(int(at.X*scale), int(at.Y*scale))
}

// banded is a tube in which every ring has a paper of its own; the papers differ in hue, so that they
// are told apart in any light.
func banded() *figure.Figure {
	papers := []figure.Colour{
		{ID: "red", Name: "Red", Hex: "#d02020"}, {ID: "green", Name: "Green", Hex: "#20a030"}, {ID: "blue", Name: "Blue", Hex: "#2040d0"},
		{ID: "yellow", Name: "Yellow", Hex: "#d0c020"}, {ID: "pink", Name: "Pink", Hex: "#d030c0"}, {ID: "cyan", Name: "Cyan", Hex: "#20b0c0"},
	}
	f := figure.Tube("Banded jar", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, papers, 12, len(papers))
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = uint8(i)
		}
	}
	return f
}

// paperSeen is the paper whose hue is nearest to a colour, "" for one that has none (ground, deep shade).
func paperSeen(f *figure.Figure, c color.Color) string {
	hue := func(r, g, b float64) (x, y, strength float64) { // of the colour circle, YUV-like
		most, least := math.Max(r, math.Max(g, b)), math.Min(r, math.Min(g, b))
		if most < 40 {
			return 0, 0, 0
		}
		return (2*r - g - b) / most, (g - b) / most * math.Sqrt(3), (most - least) / most
	}
	r, g, b, _ := c.RGBA()
	x, y, strength := hue(float64(r>>8), float64(g>>8), float64(b>>8))
	if strength < 0.35 {
		return ""
	}
	best, name := math.Inf(1), ""
	for _, p := range f.Colours {
		v, _ := strconv.ParseUint(p.Hex[1:], 16, 32)
		px, py, _ := hue(float64(v>>16), float64(v>>8&255), float64(v&255))
		d := math.Abs(math.Remainder(math.Atan2(y, x)-math.Atan2(py, px), 2*math.Pi))
		if d < best {
			best, name = d, p.Name
		}
	}
	return name
}

// paperAround is the paper that is seen at a place and 2 px around it; "" where there are several, as on an
// edge.
func paperAround(f *figure.Figure, who *e2e.Person, img image.Image, at e2e.Point) string {
	paper := paperSeen(f, seen(who, img, at))
	for _, off := range []e2e.Point{{X: 2}, {X: -2}, {Y: 2}, {Y: -2}} {
		if paperSeen(f, seen(who, img, e2e.Point{X: at.X + off.X, Y: at.Y + off.Y})) != paper {
			return ""
		}
	}
	return paper
}

// calm asks the browser for less motion: views then change at once.
func calm(who *e2e.Person) {
	who.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}},
		})
		return err
	}))
}

// lookFrom presses one of the views and waits until it is drawn, with the whole stage in the window. The
// person must have asked for calm.
func lookFrom(who *e2e.Person, view string) {
	who.Press(view)
	e2e.Eval[bool](who, "scrollTo(0, 0), true")
	e2e.Eval[bool](who, "new Promise((r) => requestAnimationFrame(() => requestAnimationFrame(() => r(true))))")
}

var named = regexp.MustCompile(`Ring (\d+), unit (\d+): (\w+)`)

// TestTouchNamesTheUnitThatIsSeen touches the figure from its foot to its rim. Under every touch the
// name must be that of the paper which the picture shows there, and so of its ring.
func TestTouchNamesTheUnitThatIsSeen(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		f := banded()
		calm(maker)
		openStand(maker, app.KeepFigure(t, f))
		lookFrom(maker, "Front")
		img := picture(t, maker.View("stand-banded"))
		rings := map[int]bool{}
		for y := 0.2; y < 0.85; y += 0.02 {
			at := onStage(maker, 0.4+y/4, y)
			paper := paperAround(f, maker, img, at)
			if paper == "" {
				continue
			}
			maker.PressAt(at)
			said := ""
			ok := assert.Eventually(t, func() bool {
				m := named.FindStringSubmatch(e2e.Eval[string](maker, "document.querySelector('.stand-named').textContent"))
				if m == nil {
					return false
				}
				said = m[3]
				ring, _ := strconv.Atoi(m[1])
				rings[ring] = true
				return said == paper && f.Colours[ring-1].Name == said
			}, e2e.Patience, e2e.Glance)
			assert.True(t, ok, "at %.2f of the height stands %s, but the page says %q", y, paper, said)
		}
		assert.GreaterOrEqual(t, len(rings), 4, "the touches reached most rings")
		assert.True(t, maker.Has("Show in the pattern"))
	})
}

// TestFigureStandsPaintedAndKept opens the puffin in 3D, looks at it, paints on it, takes it back, and
// keeps a picture and a model.
func TestFigureStandsPaintedAndKept(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepDemo(t)["puffin"]
		calm(maker)
		openStand(maker, base)
		maker.Sees("648 units: 630 in 23 rings, 18 in extras")
		maker.Sees("about 5 cm")
		assert.LessOrEqual(t, e2e.Eval[int](maker, "+document.querySelector('.stand-canvas').dataset.calls"), mostCalls)
		img := picture(t, maker.View("stand-puffin"))
		assert.Greater(t, covered(maker, img), 0.15, "the figure fills a good part of its stage")
		maker.FitsWidth()
		maker.CheckAccess()

		for _, view := range []string{"Back", "Left", "Right", "Top", "Front"} {
			lookFrom(maker, view)
		}
		before := unitsOf(t, app, base, "Orange")
		maker.Press("Paint")
		maker.Press("Orange, " + strconv.Itoa(before) + " units")
		maker.MiddleOf("canvas")
		maker.Stroke(onStage(maker, 0.45, 0.7), onStage(maker, 0.5, 0.7), onStage(maker, 0.55, 0.7))
		assert.Eventually(t, func() bool { return unitsOf(t, app, base, "Orange") > before }, e2e.Patience, e2e.Glance, "the stroke is kept")
		maker.Finds("Orange, " + strconv.Itoa(unitsOf(t, app, base, "Orange")) + " units")
		maker.View("stand-painted")
		maker.Press("Undo")
		maker.Finds("Orange, " + strconv.Itoa(before) + " units")
		assert.Eventually(t, func() bool { return unitsOf(t, app, base, "Orange") == before }, e2e.Patience, e2e.Glance)

		kept := keptPicture(t, maker)
		_, _, _, clear := kept.At(2, 2).RGBA()
		assert.Zero(t, clear, "the corner of the picture is clear")
		_, _, _, solid := kept.At(kept.Bounds().Dx()/2, kept.Bounds().Dy()/2).RGBA()
		assert.Equal(t, uint32(0xffff), solid, "the middle of the picture is the figure")
		assert.Equal(t, "glTF", e2e.Eval[string](maker, `fetch(document.querySelector("a[download]").href).then(r => r.arrayBuffer()).then(b => new TextDecoder().decode(b.slice(0, 4)))`))
	})
}

// unitsOf counts the units of a paper in the stored figure.
func unitsOf(t *testing.T, app *e2e.App, base, paper string) int {
	t.Helper()
	n := 0
	require.NoError(t, app.Store.Look(context.Background(), strings.TrimPrefix(base, "/d/"), func(now store.Now) error {
		for _, r := range now.Figure.Rings {
			for _, c := range r.Cells {
				if now.Figure.Colours[c.Colour].Name == paper {
					n++
				}
			}
		}
		for _, x := range now.Figure.Extras {
			if i, ok := now.Figure.ColourIndex(x.Colour); ok && x.Kind == figure.Tucked && now.Figure.Colours[i].Name == paper {
				n += x.Units // tucked units are cut from the paper too (common practice)
			}
		}
		return nil
	}))
	return n
}

// covered is which part of the stage does not show the pale ground.
func covered(who *e2e.Person, img image.Image) float64 {
	hit, all := 0, 0
	for x := 0.05; x < 0.85; x += 0.01 {
		for y := 0.05; y < 0.95; y += 0.01 {
			r, g, b, _ := seen(who, img, onGrid(who, x, y)).RGBA()
			all++
			if r>>8 < 225 || g>>8 < 220 || b>>8 < 205 {
				hit++
			}
		}
	}
	return float64(hit) / float64(all)
}

// stage is the box of the canvas; it is asked for once a person.
var stage = map[*e2e.Person][]float64{}

func onGrid(who *e2e.Person, x, y float64) e2e.Point {
	box, ok := stage[who]
	if !ok {
		a, b := onStage(who, 0, 0), onStage(who, 1, 1)
		box = []float64{a.X, a.Y, b.X - a.X, b.Y - a.Y}
		stage[who] = box
	}
	return e2e.Point{X: box[0] + x*box[2], Y: box[1] + y*box[3]}
}

// keptPicture presses the button that keeps a picture and reads what would be written to disk.
func keptPicture(t *testing.T, who *e2e.Person) image.Image {
	t.Helper()
	e2e.Eval[bool](who, `(() => {
		const make = URL.createObjectURL;
		URL.createObjectURL = (blob) => {
			const r = new FileReader();
			r.onload = () => (window.kept = r.result);
			r.readAsDataURL(blob);
			return make(blob);
		};
		return true;
	})()`)
	who.Press("Picture (PNG)")
	who.Until("the picture is made", "window.kept")
	text := e2e.Eval[string](who, "window.kept")
	data, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(text, "data:image/png;base64,"))
	require.NoError(t, err)
	path := who.Keep("stand-kept", data)
	return picture(t, path)
}

// TestStrokesOfOthersAppearOnTheStandingFigure paints in one browser and watches in another, which has
// only a link to look.
func TestStrokesOfOthersAppearOnTheStandingFigure(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepFigure(t, banded())
	link, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerView)
	require.NoError(t, err)
	maker, friend := app.Desk(t), app.Phone(t)
	openStand(maker, base)
	openStand(friend, "/v/"+link.Token)
	friend.Sees("Red 12")
	assert.False(t, friend.Has("Paint"), "a link to look does not paint")
	maker.Press("Paint")
	maker.Press("Red, 12 units")
	maker.PressAt(onStage(maker, 0.5, 0.5))
	friend.Sees("Red 13")
}

// said waits until the page names a unit other than the given one, and returns its ring and unit.
func said(who *e2e.Person, other string) string {
	who.Until("another unit than "+other+" is named", `(() => {
		const m = document.querySelector(".stand-named").textContent.match(/^Ring [0-9]+, unit [0-9]+/);
		return m && m[0] !== "`+other+`";
	})()`)
	return e2e.Eval[string](who, `document.querySelector(".stand-named").textContent.match(/^Ring [0-9]+, unit [0-9]+/)[0]`)
}

func TestFigureIsTurnedAndZoomedByTouch(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Phone(t)
	calm(maker)
	openStand(maker, app.KeepDemo(t)["lighthouse"])
	maker.Sees("about 10 cm")
	maker.PressAt(onStage(maker, 0.5, 0.5))
	first := said(maker, "")
	maker.Stroke(onStage(maker, 0.3, 0.5), onStage(maker, 0.4, 0.5), onStage(maker, 0.6, 0.5))
	maker.PressAt(onStage(maker, 0.5, 0.5))
	assert.NotEqual(t, first, said(maker, first), "one finger turns the figure")

	a, b := onStage(maker, 0.45, 0.5), onStage(maker, 0.55, 0.5)
	for _, step := range []struct {
		kind  input.DispatchTouchEventType
		apart float64
	}{{input.DispatchTouchEventTypeTouchStart, 0}, {input.DispatchTouchEventTypeTouchMove, 30}, {input.DispatchTouchEventTypeTouchMove, 110}} {
		maker.Do(touches(step.kind, e2e.Point{X: a.X - step.apart, Y: a.Y}, e2e.Point{X: b.X + step.apart, Y: b.Y}))
	}
	maker.Do(touches(input.DispatchTouchEventTypeTouchEnd))
	maker.Sees("about 1 cm") // two fingers that spread bring the figure nearer
	maker.View("stand-near")
}

func touches(kind input.DispatchTouchEventType, at ...e2e.Point) chromedp.Action[chromedp.Void] {
	points := []*input.TouchPoint{}
	for i, p := range at {
		id := float64(i)
		points = append(points, &input.TouchPoint{X: p.X, Y: p.Y, ID: &id})
	}
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
		return err
	})
}

// TestFigureIsTurnedAndPaintedByKeyboardAlone never touches the mouse.
func TestFigureIsTurnedAndPaintedByKeyboardAlone(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	calm(maker)
	openStand(maker, app.KeepFigure(t, banded()))
	e2e.Eval[bool](maker, "document.querySelector('.stand-canvas').focus(), true")
	maker.Keys(kb.Home + kb.Enter)
	front := said(maker, "")
	maker.Keys(kb.ArrowRight + kb.ArrowRight + kb.ArrowRight + kb.Enter)
	assert.NotEqual(t, front, said(maker, front), "the arrow keys turn the figure")
	maker.Keys(kb.Home + kb.Enter)
	beside := regexp.MustCompile(`Ring (\d+), unit (\d+)`)
	m := beside.FindStringSubmatch(said(maker, "none"))
	maker.Keys(".")
	n := beside.FindStringSubmatch(said(maker, m[0]))
	assert.Equal(t, m[1], n[1], "full stop stays in the ring")
	maker.Keys(kb.PageUp)
	up := beside.FindStringSubmatch(said(maker, n[0]))
	was, _ := strconv.Atoi(n[1])
	assert.Equal(t, strconv.Itoa(was+1), up[1], "Page Up goes to the ring above")
	maker.Keys(" ")
	maker.Finds("Green, 13 units") // the second paper is in hand at first
	maker.Sees(up[0] + ": Green")
}

// TestFigureBesideTheGridFollowsInTheSameFrame paints on the grid while the figure stands in the panel
// beside it: every picture of the figure is drawn in a frame in which the grid is drawn too. A unit
// touched on the figure is chosen on the grid.
func TestFigureBesideTheGridFollowsInTheSameFrame(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	maker.Open(app.KeepFigure(t, banded()))
	maker.Until("the editor is there", "document.querySelector('[role=gridcell]')")
	maker.PressAt(maker.MiddleOf("#tab-stand")) // the tab, not the page of the same name
	maker.Until("the figure stands", "document.querySelector('.beside[data-stands] canvas[data-calls]')")
	e2e.Eval[bool](maker, `(() => {
		const at = (list) => list.push(document.timeline.currentTime);
		const spy = (proto, name, list) => {
			const real = proto[name];
			proto[name] = function (...args) { at(list); return real.apply(this, args); };
		};
		window.frames = {grid: [], figure: []};
		spy(CanvasRenderingContext2D.prototype, "drawImage", window.frames.grid);
		spy(WebGL2RenderingContext.prototype, "drawElementsInstanced", window.frames.figure);
		return true;
	})()`)
	maker.Press("Pink, 12 units")
	maker.Press("Ring")
	maker.PressAt(unitAt(maker, 1, 5))
	maker.Finds("Pink, 24 units")
	maker.Until("the figure was drawn anew", "window.frames.figure.length")
	late := e2e.Eval[int](maker, "window.frames.figure.filter((t) => !window.frames.grid.includes(t)).length")
	assert.Zero(t, late, "pictures of the figure in frames without the grid")
	maker.View("stand-beside")

	maker.PressAt(onStage(maker, 0.5, 0.5))
	maker.Until("the page names the unit", "/^Ring [0-9]+, unit/.test(document.querySelector('.stand-named').textContent)")
	maker.Finds("Flip") // what can be done with units that are chosen on the grid
}

// TestTwelveThousandUnitsStand puts the largest figure that the design card names on its table: 12 800
// units in at most eight draw calls. How long it takes is measured by `make bench`.
func TestTwelveThousandUnitsStand(t *testing.T) {
	app := e2e.Start(t)
	f := figure.Tube("Great tower", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, banded().Colours, 128, 100)
	maker := app.Desk(t)
	openStand(maker, app.KeepFigure(t, f))
	maker.View("stand-tower")
	assert.LessOrEqual(t, e2e.Eval[int](maker, "+document.querySelector('.stand-canvas').dataset.calls"), mostCalls)
	maker.Press("Paint")
	maker.Press("Green, 0 units")
	maker.PressAt(onStage(maker, 0.5, 0.5))
	maker.Finds("Green, 1 unit")
	assert.LessOrEqual(t, e2e.Eval[int](maker, "+document.querySelector('.stand-canvas').dataset.calls"), mostCalls)
}

// TestStrokeDrawnOverThePictureLooksLikeAPictureDrawnWhole paints across the puffin's breast and feet, where
// units hide each other and parts of them lie behind others: only the painted units are drawn, over the
// picture that is there. A picture of the same figure drawn whole, after the page is opened anew, has to
// be the same pixel by pixel, but for one or two that two faces share.
func TestStrokeDrawnOverThePictureLooksLikeAPictureDrawnWhole(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepDemo(t)["puffin"]
		openStand(maker, base)
		untouched := onCanvas(maker)
		before := unitsOf(t, app, base, "Orange")
		maker.Press("Paint")
		maker.Press("Orange, " + strconv.Itoa(before) + " units")
		maker.MiddleOf("canvas")
		maker.Stroke(onStage(maker, 0.4, 0.3), onStage(maker, 0.6, 0.5))
		maker.Stroke(onStage(maker, 0.4, 0.75), onStage(maker, 0.6, 0.8))
		require.Eventually(t, func() bool { return unitsOf(t, app, base, "Orange") > before+3 }, e2e.Patience, e2e.Glance)
		maker.Finds("Orange, " + strconv.Itoa(unitsOf(t, app, base, "Orange")) + " units")
		drawnOver := onCanvas(maker)
		assert.Greater(t, differing(untouched, drawnOver), 500, "the strokes show")
		openStand(maker, base)
		// Where two faces that cut through each other are equally deep in a pixel, the one drawn last shows.
		assert.LessOrEqual(t, differing(drawnOver, onCanvas(maker)), 2)
	})
}

// TestFigureIsSaidToStandOnceItCanBeSeen lets the browser's frames come late, as on a busy machine: while the page has
// the figure and not yet drawn it, it must not say that the figure stands.
func TestFigureIsSaidToStandOnceItCanBeSeen(t *testing.T) {
	app := e2e.Start(t)
	maker := app.Desk(t)
	onEveryPage(maker, `const frame = window.requestAnimationFrame;
		window.requestAnimationFrame = (draw) => setTimeout(() => frame(draw), 700);`)
	openStand(maker, app.KeepFigure(t, banded()))
	assert.Greater(t, coloursIn(pixelsNow(maker)), 10, "colours in the picture")
}

// coloursIn counts the colours of a picture of four bytes a pixel.
func coloursIn(picture []byte) int {
	colours := map[string]bool{}
	for px := range slices.Chunk(picture, 4) {
		colours[string(px)] = true
	}
	return len(colours)
}

// onCanvas is pixelsNow once all that was asked for so far is drawn.
func onCanvas(who *e2e.Person) []byte {
	e2e.Eval[float64](who, "new Promise((done) => requestAnimationFrame(done))")
	return pixelsNow(who)
}

// pixelsNow reads the pixels of the standing figure, four bytes each.
func pixelsNow(who *e2e.Person) []byte {
	text := e2e.Eval[string](who, `(() => {
		const canvas = document.querySelector(".stand-canvas"), gl = canvas.getContext("webgl2");
		const bytes = new Uint8Array(4 * canvas.width * canvas.height);
		gl.readPixels(0, 0, canvas.width, canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, bytes);
		let text = "";
		for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
		return btoa(text);
	})()`)
	raw, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		panic(err)
	}
	return raw
}

// differing counts the pixels that are not alike.
func differing(a, b []byte) int {
	n := max(len(a), len(b)) - min(len(a), len(b))
	for i := 0; i < min(len(a), len(b)); i += 4 {
		if !bytes.Equal(a[i:i+4], b[i:i+4]) {
			n++
		}
	}
	return n
}

// TestStillDrawingWhereThereIsNoWebGL takes WebGL away from the browser: the server's drawing stands
// there instead, and the page says why.
func TestStillDrawingWhereThereIsNoWebGL(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		withoutWebGL(maker)
		maker.Open(app.KeepDemo(t)["puffin"] + "/stand")
		maker.Sees("This browser cannot draw in 3D")
		maker.Until("the still drawing is shown", "document.querySelector('img.stand-still')?.naturalWidth > 0")
		maker.Sees("648 units: 630 in 23 rings, 18 in extras")
		maker.FitsWidth()
		maker.CheckAccess()
		maker.View("stand-still")
	})
}

// withoutWebGL makes every page opened from now on find no WebGL, as where it is switched off.
func withoutWebGL(who *e2e.Person) {
	onEveryPage(who, `const get = HTMLCanvasElement.prototype.getContext;
		HTMLCanvasElement.prototype.getContext = function (kind, ...rest) { return /webgl/.test(kind) ? null : get.call(this, kind, ...rest); };`)
}

// onEveryPage runs a script before those of every page opened from now on.
func onEveryPage(who *e2e.Person, script string) {
	who.Do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: script,
		})
		return err
	}))
}
