package e2e_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/store"
	"tuckring/web/e2e"
)

// A browser opens six connections to one host at most (common practice for HTTP/1.1), for all its tabs
// together: pages behind others must leave them free, and catch up when they are shown again.
func TestManyTabsOfOneBrowserAllWork(t *testing.T) {
	app := e2e.Start(t)
	base := app.KeepFigure(t, brickTube())
	link, err := app.Store.MakeLink(context.Background(), strings.TrimPrefix(base, "/d/"), store.PowerView)
	require.NoError(t, err)
	first := app.Desk(t)
	first.Open(base)
	first.Finds("Chalk, 0 units")
	friend := first.Tab()
	friend.Open("/v/" + link.Token)
	friend.Sees("192 units in 12 rings")
	last := friend
	for range 8 {
		last = last.Tab()
		last.Open(base)
		last.Finds("Chalk, 0 units")
	}
	require.True(t, e2e.Eval[bool](first, "document.hidden"))
	last.PressAt(unitAt(last, 3, 6))
	last.Finds("Chalk, 1 unit")
	last.Until("the stroke is stored", "document.querySelector('#pattern').dataset.waiting === '0'")

	first.Show()
	first.Finds("Chalk, 1 unit")
	first.PressAt(unitAt(first, 5, 6))
	first.Finds("Chalk, 2 units")
	last.Show()
	last.Finds("Chalk, 2 units")
	friend.Show()
	friend.Until("the friend's page follows", `/Chalk\s+C\s+2/.test(document.body.innerText)`)

	// More is missed than the app keeps at hand: the state comes anew.
	for seq := range 600 {
		paint := &figure.Paint{Runs: []figure.PaintRun{{Ring: 1, At: seq % 16, N: 1, Colour: []string{"soot", "brick"}[seq/16%2]}}}
		_, err := app.Store.Apply(context.Background(), strings.TrimPrefix(base, "/d/"), store.Person{ID: "mira"}, "page", []store.Ask{{Seq: int64(seq + 1), Kind: store.KindEdit, Edit: paint}})
		require.NoError(t, err)
	}
	first.Show()
	first.Finds("Soot, 8 units")
}
