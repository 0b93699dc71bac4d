package report

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"tuckring/internal/figure"
)

// load reads a document of testdata: the contract's example, or the published figure of 68 units.
func load(t testing.TB, name string) *figure.Figure {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name + ".tuckring.json")
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	return f
}

// Counted by hand from the contract's example: rings 20 + 20 brick; 17 chalk and 3 soot; 10 brick;
// 9 brick; the gallery rail of 2 soot.
func TestExtrasCountInThePaperToo(t *testing.T) {
	u := Count(load(t, "contract-example"))
	assert.Equal(t, []int{81, 79, 2}, []int{u.Total, u.InRings, u.InExtras})
	assert.Equal(t, []ColourUnit{
		{"brick", "Brick red", 59, 59, 0}, {"chalk", "Chalk", 17, 17, 0}, {"soot", "Soot", 5, 3, 2},
	}, u.ByColour)
	assert.Equal(t, "81 units: 79 in 5 rings, 2 in extras", u.Text(5).String(), "tucked units stand in no ring")
	assert.Equal(t, "68 units in 6 rings", Units{Total: 68, InRings: 68}.Text(6).String())
}

// The Star (Malaysia), 14 March 2012: 5·12 + 8 = 68.
func TestPublishedFigureHas68Units(t *testing.T) {
	assert.Equal(t, 68, Count(load(t, "sixty-eight")).Total)
}

// Contract: a run that crosses the seam is listed once at each end; the short side is no new run.
func TestRunAcrossTheSeamStandsAtEachEnd(t *testing.T) {
	f := load(t, "contract-example")
	assert.Equal(t, Ring{Ring: 3, Units: 20, Runs: []Run{{"chalk", 7}, {"soot", 3}, {"chalk", 10}}}, rings(f)[2])
	f.Rings[0].Cells[4].Side = figure.Short
	assert.Equal(t, Ring{Ring: 1, Units: 20, Runs: []Run{{"brick", 20}}}, rings(f)[0])
}

// Closed formulas: a wing of 6 narrowing to one has 6·7/2 = 21 units, its twin as many; a chain of 9 has 9; the eye is no unit, the
// three units tucked into the wing are, and its twin has them too.
func TestPartsAreCountedEachOnItsOwn(t *testing.T) {
	f := figure.Tube("Swan", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}, 24, 4)
	do := func(e figure.Edit) {
		t.Helper()
		_, _, err := figure.Apply(f, e)
		require.NoError(t, err)
	}
	top := f.Rings[3].ID
	do(&figure.SetFront{Front: 8.5})
	do(&figure.Grow{On: top, Point: 24, As: figure.AsWing, Units: 6, Rows: 6, Colour: "chalk", Name: "Right wing"})
	wing := f.Rings[f.Parts[1].First].ID
	do(&figure.AddExtra{Extra: figure.ExtraState{Kind: figure.Tucked, Name: "feather", Colour: "chalk", Units: 3, Ring: wing, At: 1}})
	do(&figure.AddTwin{Part: f.Parts[1].ID, Name: "Left wing"})
	do(&figure.Grow{On: top, Point: 17, As: figure.AsChain, Rows: 9, Colour: "chalk", Name: "Neck"})
	u := Count(f)
	assert.Equal(t, []PartUnits{{"body", "Body", 96}, {"right-wing", "Right wing", 24}, {"left-wing", "Left wing", 24}, {"neck", "Neck", 9}}, u.ByPart)
	assert.Equal(t, 96+2*21+9+2*3, u.Total)
	assert.Equal(t, Ring{Part: "left-wing", Ring: 2, Units: 5, Runs: []Run{{"chalk", 5}}}, rings(f)[4+6+1])
}

// Open rows are not closed to rings; a head that is glued on dries like any glued piece, a hat that is pushed on does not.
func TestWorkOnParts(t *testing.T) {
	f := figure.Tube("Swan", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}, 24, 4)
	top := f.Rings[3].ID
	for _, e := range []figure.Edit{
		&figure.Grow{On: top, Point: 24, As: figure.AsWing, Units: 6, Rows: 6, Colour: "chalk", Name: "Wing"},
		&figure.Grow{On: top, Point: 2, As: figure.AsTube, Units: 5, Rows: 3, Colour: "chalk", Name: "Ear"},
		&figure.SetOn{On: top, How: figure.GluedOn, Name: "Head", Colour: "chalk", Units: 8, Rows: 2},
		&figure.SetOn{On: top, How: figure.PushedOn, Name: "Hat", Colour: "chalk", Units: 6, Rows: 1},
	} {
		_, _, err := figure.Apply(f, e)
		require.NoError(t, err)
	}
	w, _ := (&Report{Units: Count(f)}).work(f)
	assert.Equal(t, WorkCounts{Placed: 96 + 21 + 15 + 16 + 6, Rings: 4 + 3 + 2 + 1, Tucked: 1, Glued: 1}, w)
}
