package e2e_test

import (
	"image/color"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// winged is a plain tube with an eye on its rim, the front line between it and the wing at its right side.
func winged() *figure.Figure {
	f := plain(16, 9)
	f.Colours = append(f.Colours, figure.Colour{ID: "gold", Name: "Gold", Hex: "#e0b020"})
	f.Front = 5
	f.Extras = []figure.Extra{
		{ID: 1, Kind: figure.Glued, Name: "rim", Colour: "gold", Outline: figure.Disc, Diameter: 14, Ring: 5, At: 5},
		{ID: 2, Kind: figure.Glued, Name: "eye", Colour: "soot", Outline: figure.Disc, Diameter: 7, Ring: 5, At: 5},
		{ID: 3, Kind: figure.Tucked, Name: "wing", Colour: "sea", Units: 5, Ring: 5, At: 9},
	}
	f.NextExtra = 4
	return f
}

func assertColour(t *testing.T, want string, got color.Color, of string) {
	t.Helper()
	r, g, b, _ := got.RGBA()
	assert.InDeltaf(t, hex(want[1:3]), r>>8, 12, "red of %s", of)
	assert.InDeltaf(t, hex(want[3:5]), g>>8, 12, "green of %s", of)
	assert.InDeltaf(t, hex(want[5:7]), b>>8, 12, "blue of %s", of)
}

func hex(s string) int {
	return 16*strings.IndexByte("0123456789abcdef", s[0]) + strings.IndexByte("0123456789abcdef", s[1])
}

// TestEyesHaveRimsAndWingsStandOffOnTheGridAndFromTheSides: a pitch of the usual unit is 10.7 mm (0.58 of its leg of
// 18.5 mm, from memory), so a rim of 14 mm reaches 0.65 units from its middle and an eye of 7 mm 0.33.
func TestEyesHaveRimsAndWingsStandOffOnTheGridAndFromTheSides(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		openEditor(maker, app.KeepFigure(t, winged()))
		at := unitAt(maker, 5, 6)
		wide := unitAt(maker, 5, 7).X - at.X
		img := picture(t, maker.View("eyes"))
		beside := func(units float64) color.Color { return seen(maker, img, e2e.Point{X: at.X + units*wide, Y: at.Y}) }
		assertColour(t, "#2b2b2e", beside(0.2), "the eye")
		assertColour(t, "#e0b020", beside(0.5), "the rim to the right of it")
		assertColour(t, "#e0b020", beside(-0.5), "the rim to the left of it")

		// What stands beside the tube in the picture of its front: the wing, to the right.
		sides := e2e.Eval[[]int](maker, `(() => {
			const canvas = [...document.querySelectorAll("canvas.thumb, .side-view canvas")].find(c => c.offsetParent);
			const px = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
			const sea = Array(canvas.width).fill(0), chalk = Array(canvas.width).fill(0);
			for (let i = 0; i < px.length; i += 4) {
				const x = i / 4 % canvas.width;
				if (px[i + 3] > 200 && px[i + 2] > px[i] + 40) sea[x]++;
				if (px[i + 3] > 200 && Math.abs(px[i + 2] - px[i]) < 30 && px[i] > 90) chalk[x]++;
			}
			const last = (list) => list.findLastIndex(n => n > 1);
			return [last(sea), last(chalk), sea.findIndex(n => n > 1), canvas.width];
		})()`)
		assert.Greater(t, sides[0], sides[1]+sides[3]/20, "the wing reaches beyond the tube")
		assert.Greater(t, sides[2], sides[3]/2, "and only on its own side")
	})
}

// openCard opens the card of a colour as a long press or the right button does.
func openCard(p *e2e.Person, id string) {
	e2e.Eval[bool](p, `(() => {
		const b = document.querySelector("[data-paper=`+id+`]"), box = b.getBoundingClientRect();
		return b.dispatchEvent(new MouseEvent("contextmenu", {bubbles: true, cancelable: true, clientX: box.x + 20, clientY: box.y}));
	})()`)
	p.Until("the card is open", `document.querySelector("#paper-sign")`)
}

// TestAMakerChoosesAColoursSign lets black be K, as in print; what is taken is not offered.
func TestAMakerChoosesAColoursSign(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(16, 9))
		openEditor(maker, path)
		openCard(maker, "soot")
		offered := e2e.Eval[[]string](maker, `[...document.querySelectorAll("#paper-sign optgroup")[0].children].map(o => o.value)`)
		assert.Contains(t, offered, "K")
		assert.Contains(t, offered, "S", "its own")
		assert.NotContains(t, offered, "C", "chalk has it")
		maker.CheckAccess()
		maker.View("sign-card")
		maker.Choose("Sign", "K")
		maker.Press("Save")
		maker.Until("soot shows its new sign", `document.querySelector("[data-paper=soot] .paper-face").textContent === "K"`)
		openCard(maker, "sea")
		assert.NotContains(t, e2e.Eval[[]string](maker, `[...document.querySelectorAll("#paper-sign option")].map(o => o.value)`), "K", "chosen by soot")
		maker.Keys("\x1b")
		require.NoError(t, app.Store.Look(maker.Context(), strings.TrimPrefix(path, "/d/"), func(n store.Now) error {
			assert.Equal(t, "K", n.Figure.Colours[1].Sign)
			return nil
		}))
	})
}

// TestSignsShowIn3DAndFromTheSidesBySameSwitch turns signs on in 3D: in the middle of chalk units there is dark ink, and
// light ink once they are soot; the grid and its views have them too, and 3D again.
func TestSignsShowIn3DAndFromTheSidesBySameSwitch(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		path := app.KeepFigure(t, plain(8, 5))
		dark := func() int {
			n, img := 0, picture(t, maker.View("signs-3d"))
			from, to := onStage(maker, 0.3, 0.3), onStage(maker, 0.7, 0.7)
			for x := from.X; x < to.X; x++ {
				for y := from.Y; y < to.Y; y++ {
					if r, g, b, _ := seen(maker, img, e2e.Point{X: x, Y: y}).RGBA(); max(r, g, b)>>8 < 75 {
						n++
					}
				}
			}
			return n
		}
		calm(maker)
		openStand(maker, path)
		maker.Press("Front")
		before := dark()
		maker.Press("Signs on the units")
		maker.Until("the signs are drawn", "document.querySelector('.stand-keep [aria-pressed=true]')")
		assert.Greater(t, dark(), before+200, "ink on the units")
		assert.LessOrEqual(t, e2e.Eval[int](maker, "Number(document.querySelector('.stand-canvas').dataset.calls)"), mostCalls)

		openEditor(maker, path)
		side := e2e.Eval[int](maker, `(() => {
			const canvas = [...document.querySelectorAll("canvas.thumb, .side-view canvas")].find(c => c.offsetParent);
			const px = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
			let n = 0;
			for (let i = 0; i < px.length; i += 4) if (px[i + 3] > 200 && Math.max(px[i], px[i + 1], px[i + 2]) < 75) n++;
			return n;
		})()`)
		assert.Greater(t, side, 30, "chalk seen from the front has dark letters")
	})
}
