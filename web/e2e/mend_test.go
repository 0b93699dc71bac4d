package e2e_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// rect is where an element is: left, top, width, height.
func rect(p *e2e.Person, selector string) []float64 {
	return e2e.Eval[[]float64](p, `(() => { const r = document.querySelector("`+selector+`").getBoundingClientRect(); return [r.left, r.top, r.width, r.height]; })()`)
}

// TestCountButtonStaysWhereItIs: the look ahead comes while the hand is on its way to the button.
func TestCountButtonStaysWhereItIs(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		openEditor(maker, app.KeepFigure(t, seasideTube(12, 14)))
		part(maker, "rings")
		maker.Press("Ring 1, 12 units")
		maker.Press("Units per ring")
		const button = ".count-form [type=submit]"
		before := rect(maker, button)
		for _, units := range []string{"14", "60", "13"} {
			maker.Fill("Units in it", units)
			if units == "60" {
				maker.Sees("cannot take the points of ring")
			} else {
				maker.Sees("Ring 1: " + units + " units")
			}
			assert.Equal(t, before, rect(maker, button), units)
		}
		maker.View("count-still")
	})
}

// eyed is a tube with an eye on ring 4.
func eyed() *figure.Figure {
	f := seasideTube(16, 8)
	f.Extras = []figure.Extra{{ID: 1, Kind: figure.Tucked, Name: "Eye", Colour: "soot", Units: 1, Ring: 4, At: 8}}
	f.NextExtra = 2
	return f
}

// ask makes a step as somebody else.
func ask(t *testing.T, app *e2e.App, base string, seq int64, edit figure.Edit) {
	t.Helper()
	answers, err := app.Store.Apply(context.Background(), strings.TrimPrefix(base, "/d/"), store.Person{ID: "jon"}, "jon's", []store.Ask{{Seq: seq, Kind: store.KindEdit, Edit: edit}})
	require.NoError(t, err)
	require.Empty(t, answers[0].Faults)
}

// TestExtraIsCarriedWhileOthersChangeRings: what is under the hand stays there, and keeps the name that it
// got meanwhile.
func TestExtraIsCarriedWhileOthersChangeRings(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepFigure(t, eyed())
	maker := app.Desk(t)
	openEditor(maker, base)
	maker.PressAt(maker.MiddleOf("[data-tool=select]"))
	from, to := unitAt(maker, 4, 9), unitAt(maker, 6, 11)
	at := 0
	maker.StrokeBy([]e2e.Point{from, {X: from.X + 20, Y: from.Y - 20}, to}, func() {
		if at++; at != 2 {
			return
		}
		ask(t, app, base, 1, &figure.InsertRing{Above: 8, Colour: "sea"})
		ask(t, app, base, 2, &figure.EditExtra{Extra: figure.ExtraState{Key: 1, Kind: figure.Tucked, Name: "Left eye", Colour: "soot", Units: 1, Ring: 4, At: 8}})
		maker.Until("the others' steps are here", "document.getElementById('pattern').dataset.rev === '2'")
	})
	maker.Until("the move is sent", "document.getElementById('pattern').dataset.rev === '3'")
	settled(maker)
	f := kept(t, app, base)
	require.Len(t, f.Extras, 1)
	assert.Equal(t, "Left eye", f.Extras[0].Name)
	assert.Greater(t, f.Extras[0].Ring, 4)
}

// TestStepsThatCannotBeShownYetSaySo: rings are worked out by the server, so without a connection the page
// can only say that they wait.
func TestStepsThatCannotBeShownYetSaySo(t *testing.T) {
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		base := app.KeepFigure(t, seasideTube(12, 6))
		line := app.Line(t, 1)
		openEditor(maker.Over(line), base)
		line.Break()
		part(maker, "rings")
		maker.Press("Ring 1, 12 units")
		maker.Press("Duplicate")
		maker.Sees("1 step can be shown only when the connection is back.")
		maker.Press("Duplicate")
		maker.Sees("2 steps can be shown only when the connection is back.")
		maker.CheckAccess()
		maker.View("unseen")
		line.Heal()
		maker.SeesNot("can be shown only")
		settled(maker)
		assert.Len(t, kept(t, app, base).Rings, 8)
	})
}

// TestRefusalGoesWithTheNextDeed: what was refused is taken back at once, and its reason leaves when
// something else was done.
func TestRefusalGoesWithTheNextDeed(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepFigure(t, eyed())
	line := app.Line(t, 1)
	maker := app.Desk(t).Over(line)
	openEditor(maker, base)
	part(maker, "extras")
	maker.Press("Move: Eye")
	maker.Sees("Ring 4, on unit 9")
	line.Break()
	maker.Press("One ring up")
	maker.Sees("Ring 5, ")
	maker.Until("the move waits", "document.getElementById('pattern').dataset.waiting === '1'")
	ask(t, app, base, 1, &figure.RemoveExtra{Key: 1})
	line.Heal()
	maker.Until("the move is refused", "document.querySelector('.note.fault')")
	maker.Sees("This figure has no extras yet.")
	maker.PressAt(unitAt(maker, 2, 8))
	maker.Until("the reason is gone", "!document.querySelector('.note.fault')")
	settled(maker)
}

// TestClosedWallHasNoHolesOnTheGrid: where counts change, one looks between the units into those behind, not through the
// wall. An opening stays open.
func TestClosedWallHasNoHolesOnTheGrid(t *testing.T) {
	// In each column of the picture's middle: how many pixels of the ground stand between the wall's lowest and highest one.
	const holes = `(() => {
		const canvas = document.querySelector(".paper-layer");
		const { width: w, height: h } = canvas, px = canvas.getContext("2d").getImageData(0, 0, w, h).data;
		const ground = (x, y) => px[4 * (y * w + x)] > 200;
		let all = 0;
		for (let x = Math.floor(w * 0.2); x < w * 0.8; x++) {
			let low = 0, high = h - 1;
			while (low < h && ground(x, low)) low++;
			while (high > low && ground(x, high)) high--;
			for (let y = low; y < high; y++) all += ground(x, y);
		}
		return all;
	})()`
	f := seasideTube(24, 10)
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = uint8(slices.IndexFunc(f.Colours, func(c figure.Colour) bool { return c.ID == "soot" }))
		}
	}
	for id, n := range map[figure.RingID]int{3: 28, 6: 20, 9: 15} {
		_, _, err := figure.Apply(f, &figure.SetCount{Rings: []figure.RingID{id}, Units: n})
		require.NoError(t, err)
	}
	open := f.Clone()
	_, _, err := figure.Apply(open, &figure.LeaveOut{Ring: 5, At: 11, N: 2})
	require.NoError(t, err)
	e2e.OnEachScreen(t, func(t *testing.T, app *e2e.App, maker *e2e.Person) {
		openEditor(maker, app.KeepFigure(t, f))
		assert.Zero(t, e2e.Eval[int](maker, holes))
		maker.View("closed-wall")
		openEditor(maker, app.KeepFigure(t, open))
		assert.Positive(t, e2e.Eval[int](maker, holes))
	})
}
