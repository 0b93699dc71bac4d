package wire

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/store"
)

// A page that has a state and is told of every change shows what a page shows that asks for the state anew: rings in their
// order, those of twins among them, and parts.
func TestChangesOfPartsBringPagesWhereTheStateIs(t *testing.T) {
	doc, err := os.ReadFile("../figure/testdata/parts/swan.json")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		f, err := figure.Read(doc)
		require.NoError(t, err)
		page := StateOf(store.Now{Figure: f}, report.Totals{})
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			row := func() *figure.Ring { return &f.Rings[rapid.IntRange(0, len(f.Rings)-1).Draw(t, "row")] }
			own := func() figure.RingID { return max(row().ID, 1) }
			part := figure.PartID(rapid.IntRange(1, 8).Draw(t, "part"))
			var e figure.Edit
			switch rapid.IntRange(0, 9).Draw(t, "kind") {
			case 0:
				e = &figure.Grow{On: own(), Point: rapid.IntRange(0, 47).Draw(t, "point"), As: rapid.SampledFrom([]figure.As{figure.AsWing, figure.AsChain, figure.AsTube, figure.AsStrip}).Draw(t, "as"),
					Units: rapid.IntRange(1, 5).Draw(t, "units"), Rows: rapid.IntRange(1, 4).Draw(t, "rows"), Colour: "chalk", Name: "Ear"}
			case 1:
				e = &figure.AddTwin{Part: part, Name: "Twin"}
			case 2:
				e = &figure.RemovePart{Part: part}
			case 3:
				e = &figure.InsertRing{Above: own(), Colour: "orange"}
			case 4:
				e = &figure.RemoveRings{Rings: []figure.RingID{own()}}
			case 5:
				e = &figure.SetCount{Rings: []figure.RingID{own()}, Units: rapid.IntRange(1, 30).Draw(t, "count")}
			case 6:
				e = &figure.Paint{Runs: []figure.PaintRun{{Ring: own(), At: 0, N: rapid.IntRange(1, 4).Draw(t, "n"), Colour: "orange"}}}
			case 7:
				e = &figure.EditPart{Part: part, Name: "Other"}
			case 8:
				e = &figure.SetOn{On: own(), How: figure.GluedOn, Name: "Head", Colour: "chalk", Units: 6, Rows: 2}
			case 9:
				e = &figure.SetFront{Front: float64(rapid.IntRange(0, 47).Draw(t, "front")) / 2}
			}
			_, change, err := figure.Apply(f, e)
			if err != nil {
				continue
			}
			page = shown(page, ChangeOf(f, change))
			now := StateOf(store.Now{Figure: f}, report.Totals{})
			require.Equal(t, now.Parts, page.Parts, "%T", e)
			require.Equal(t, now.Rings, page.Rings, "%T", e)
			require.Equal(t, now.FrontTurn, page.FrontTurn, "%T", e)
		}
	})
}

// shown is what a page makes of a change, as web/client/pattern/model/model.ts does; a stroke shows on the twin's row too.
func shown(page State, c Change) State {
	rings := map[figure.RingID]Ring{}
	var order []figure.RingID
	for _, r := range page.Rings {
		rings[r.ID] = r
		order = append(order, r.ID)
	}
	for _, r := range c.Rings {
		rings[r.ID] = r
	}
	if c.Order != nil {
		order = c.Order
	}
	for _, run := range c.Paint {
		for _, id := range []figure.RingID{run.Ring, -run.Ring} {
			r, there := rings[id]
			if !there || run.Colour == nil {
				continue
			}
			cells := []byte(r.Cells)
			for k := run.At; k < run.At+run.N; k++ {
				at := k
				if id < 0 {
					at = len(cells) - 1 - k
				}
				cells[at] = CellLetters[*run.Colour]
			}
			r.Cells = string(cells)
			rings[id] = r
		}
	}
	page.Rings = nil
	for _, id := range order {
		if r, there := rings[id]; there {
			page.Rings = append(page.Rings, r)
		}
	}
	if c.Parts != nil {
		page.Parts = *c.Parts
	}
	if c.FrontTurn != nil {
		page.FrontTurn = *c.FrontTurn
	}
	return page
}
