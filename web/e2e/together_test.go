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

// brickTube is 16 units × 12 rings of brick, with chalk and soot at hand.
func brickTube() *figure.Figure {
	return figure.Tube("Harbour seal", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "brick", Name: "Brick red", Hex: "#a63a2b"}, {ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}}, 16, 12)
}

// counted is a number of units as the page writes it.
func counted(n int) string {
	if n == 1 {
		return "1 unit"
	}
	return strconv.Itoa(n) + " units"
}

// TestTwoPeoplePaintOneFigure: strokes show on the other screen (how soon, `make bench` measures), each takes back
// only their own, and what is painted without a connection comes in later, once.
func TestTwoPeoplePaintOneFigure(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepFigure(t, brickTube())
	id := strings.TrimPrefix(base, "/d/")
	link, err := app.Store.MakeLink(context.Background(), id, store.PowerEdit)
	require.NoError(t, err)
	line := app.Line(t, 1)
	mira, jon := app.Desk(t), app.Phone(t).Over(line)
	for p, path := range map[*e2e.Person]string{mira: base, jon: "/e/" + link.Token} {
		p.Open(path)
		p.Until("the editor is there", "document.querySelector('[role=gridcell]')")
		p.Finds("Chalk, 0 units")
	}
	jon.Press("Soot, 0 units")

	for unit := range 3 {
		mira.PressAt(unitAt(mira, 3, 6+unit))
		jon.Finds(fmt.Sprintf("Chalk, %s", counted(1+unit)))
	}

	jon.PressAt(unitAt(jon, 5, 8))
	mira.Finds("Soot, 1 unit")
	mira.Press("Undo")
	jon.Finds("Chalk, 2 units")
	jon.Press("Undo")
	mira.Finds("Soot, 0 units")
	mira.Finds("Chalk, 2 units")

	line.Break()
	jon.PressAt(unitAt(jon, 7, 8))
	jon.PressAt(unitAt(jon, 7, 9))
	jon.Finds("Soot, 2 units")
	jon.Sees("No connection.")
	mira.PressAt(unitAt(mira, 9, 8))
	mira.Finds("Soot, 0 units")
	line.Heal()
	for _, p := range []*e2e.Person{mira, jon} {
		p.Finds("Soot, 2 units")
		p.Finds("Chalk, 3 units")
	}
	jon.SeesNot("No connection.")
	steps, err := app.Store.History(context.Background(), id, 0, 100)
	require.NoError(t, err)
	assert.Len(t, steps, 9, "3 strokes of Mira, 1 of Jon, 2 undos, 2 strokes without a connection, 1 more: each once")
	assert.Equal(t, []string{"Soot", "Soot"}, colours(t, app, id, 7)[7:9])
}
