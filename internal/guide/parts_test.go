package guide

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
)

var unit = figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}

func basin(units, rings int) *figure.Figure {
	return figure.Tube("Swan in the harbour basin", unit, []figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "orange", Name: "Orange", Hex: "#e0662a"}}, units, rings)
}

func apply(t testing.TB, f *figure.Figure, e figure.Edit) {
	t.Helper()
	_, _, err := figure.Apply(f, e)
	require.NoError(t, err)
}

// The places are those of the contract's example (parts.md): the neck's first unit takes points 17 and 18 of 48, the wing 19 … 34, its
// twin 1 … 16; point 17 is the right one of the ninth unit.
func TestItSaysWhereEveryPartStarts(t *testing.T) {
	f := basin(24, 3)
	apply(t, f, &figure.SetFront{Front: 8.5})
	top := f.Rings[2].ID
	apply(t, f, &figure.Grow{On: top, Point: 19, As: figure.AsWing, Units: 8, Rows: 2, Colour: "chalk", Name: "Right wing"})
	wing := f.Parts[1].ID
	apply(t, f, &figure.AddTwin{Part: wing, Name: "Left wing"})
	apply(t, f, &figure.Grow{On: top, Point: 17, As: figure.AsChain, Rows: 15, Colour: "chalk", Name: "Neck"})
	apply(t, f, &figure.EditPart{Part: f.Parts[3].ID, Name: "Neck", Bend: []figure.Bend{{Rows: 6, Out: -8}, {Rows: 20, Out: 14}}})
	apply(t, f, &figure.SetOn{On: f.Rings[len(f.Rings)-1].ID, How: figure.GluedOn, Tilt: 90, Name: "Head", Colour: "orange", Units: 4, Rows: 1})
	said := text(t, f)
	for _, want := range []string{
		"Now Right wing: 15 units.\nBegin on ring 3 of “Body”, from the right point of unit 10, and take 16 points to the right.\nRow 1 of “Right wing”: 8 units. From the left end: 8 Chalk. 80 of",
		"Row 2 of “Right wing”: 7 units. The row narrows by 1 unit. From the left end: leave 1 point free, 7 Chalk, leave 1 point free.",
		"Now Left wing: 15 units.\nIt is the mirror image of Right wing.\nBegin on ring 3 of “Body”, from the right point of unit 1, and take 16 points to the right.",
		"Begin on ring 3 of “Body”, from the right point of unit 9, and take 2 points to the right.\nFrom row 2 on, each unit takes both points of the unit below.",
		"Rows 1 to 6: press each inwards against the row below, by about 8°.\nRows 7 to 15: press each outwards against the row below, by about 14°.",
		"Make it by itself, then glue it over the middle of ring 15 of “Neck”; let the glue harden before going on.\nTilt it outwards by 90°.\nCaution: Hot glue",
	} {
		assert.Contains(t, said, want)
	}
	assert.Equal(t, 1, strings.Count(said, "Make rings 1 and 2 together"))
}

// Points between the units of a first row are left free, and said so where the part begins (found by an attack: 'take 48 points').
func TestAFirstRowWithAnOpeningSaysWhatItTakesAndLeaves(t *testing.T) {
	f := basin(24, 3)
	apply(t, f, &figure.Grow{On: f.Rings[2].ID, Point: 4, As: figure.AsWing, Units: 4, Rows: 1, Colour: "chalk", Name: "Tail"})
	apply(t, f, &figure.LeaveFree{Ring: f.Rings[3].ID, Unit: 3, Points: 6})
	assert.Contains(t, text(t, f), "Begin on ring 3 of “Body”, from the left point of unit 3, and go to the right: take 8 points and leave 6 points free between them, as row 1 says.\n"+
		"Row 1 of “Tail”: 4 units. From the left end: 3 Chalk, leave 6 points free, 1 Chalk.")
}

// The guide expands to exactly the figure: units, colours, sides, points taken and left free, and the point that every row begins at.
func TestTheGuideOfPartsExpandsToTheFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := basin(rapid.IntRange(6, 30).Draw(t, "units"), rapid.IntRange(1, 5).Draw(t, "rings"))
		for range rapid.IntRange(1, 12).Draw(t, "parts") {
			row := rapid.IntRange(0, len(f.Rings)-1).Draw(t, "row")
			on, n := f.Rings[row].ID, len(f.Rings[row].Cells)
			as := rapid.SampledFrom([]figure.As{figure.AsWing, figure.AsStrip, figure.AsTube, figure.AsChain}).Draw(t, "as")
			units := rapid.IntRange(1, 5).Draw(t, "wide")
			if as == figure.AsChain {
				units = 1
			}
			_, _, _ = figure.Apply(f, &figure.Grow{On: on, Point: rapid.IntRange(0, 2*n-1).Draw(t, "point"), As: as, Units: units, Rows: rapid.IntRange(1, 4).Draw(t, "rows"), Colour: "orange", Name: "Wing"})
			if len(f.Parts) > 0 {
				part := f.Parts[rapid.IntRange(0, len(f.Parts)-1).Draw(t, "part")].ID
				_, _, _ = figure.Apply(f, &figure.AddTwin{Part: part, Name: "Left wing"})
			}
			_, _, _ = figure.Apply(f, &figure.Paint{Runs: []figure.PaintRun{{Ring: on, At: 0, N: 2, Colour: "orange", Side: "short"}}})
			_, _, _ = figure.Apply(f, &figure.Take{Ring: on, Unit: 1, Takes: 3})
		}
		g := Make(f)
		require.Len(t, g.Steps, len(f.Rings))
		total := 0
		for i, step := range g.Steps {
			ring, foot := &f.Rings[i], f.Footing(i)
			var cells []figure.Cell
			free := 0
			for _, s := range step.Stretches {
				free += s.Free
				for range s.Units {
					cells = append(cells, figure.Cell{Colour: uint8(s.Colour), Takes: uint8(s.Takes), Side: s.Side, Free: uint16(free)})
					free = 0
				}
			}
			require.Equal(t, ring.Cells, cells, "row %d", i)
			require.Equal(t, ring.FreeEnd, free)
			if step.Begin != nil {
				point := 2 * (step.Begin.Unit - 1)
				if step.Begin.Right {
					point++
				}
				require.Equal(t, ring.Start, point)
			} else {
				require.True(t, foot.OnTable() || foot.Grows() || ring.Start == 0)
			}
			total += step.Units
			require.Equal(t, total, step.SoFar)
		}
		require.Equal(t, f.Units(), total)
	})
}
