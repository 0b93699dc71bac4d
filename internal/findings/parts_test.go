package findings

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

// grown is a plain body of 24 units and four rings, and what the edits make of it.
func grown(t *testing.T, edits ...func(f *figure.Figure) figure.Edit) *figure.Figure {
	t.Helper()
	f := figureOf(t, plain(24, 4)...)
	for _, make := range edits {
		_, _, err := figure.Apply(f, make(f))
		require.NoError(t, err)
	}
	return f
}

func grow(as figure.As, point, units, rows int) func(f *figure.Figure) figure.Edit {
	return func(f *figure.Figure) figure.Edit {
		return &figure.Grow{On: f.Rings[3].ID, Point: point, As: as, Units: units, Rows: rows, Colour: "chalk", Name: "Part"}
	}
}

func bent(bends ...figure.Bend) func(f *figure.Figure) figure.Edit {
	return func(f *figure.Figure) figure.Edit {
		p := f.Parts[len(f.Parts)-1]
		return &figure.EditPart{Part: p.ID, Name: p.Name, Front: p.Front, Bend: bends}
	}
}

func rules(list []Finding) (out []string) {
	for _, f := range list {
		out = append(out, f.Rule)
	}
	return out
}

// A part whose first row takes single points is told of; one on whole pairs of points is not.
func TestAPartThatHoldsBySinglePointsIsFound(t *testing.T) {
	f := grown(t, grow(figure.AsStrip, 4, 3, 2))
	assert.NotContains(t, rules(check(f)), "single_point")
	row := f.Parts[1].First
	_, _, err := figure.Apply(f, &figure.Take{Ring: f.Rings[row].ID, Unit: 2, Takes: 1})
	require.NoError(t, err)
	list := check(f)
	require.Contains(t, rules(list), "single_point")
	for _, x := range list {
		if x.Rule == "single_point" {
			assert.Equal(t, "parts[1].rows[0]", x.Where)
			assert.Equal(t, []Cell{{Ring: f.Rings[row].ID, Unit: 2}}, x.Cells)
		}
	}
}

// A chain of more than 20 units droops (parts of the craft: a bead of glue or a wire above about 20 units; the number is from
// memory).
func TestALongChainDroops(t *testing.T) {
	assert.NotContains(t, rules(check(grown(t, grow(figure.AsChain, 4, 1, 20)))), "droops")
	assert.Contains(t, rules(check(grown(t, grow(figure.AsChain, 4, 1, 21)))), "droops")
	assert.NotContains(t, rules(check(grown(t, grow(figure.AsStrip, 4, 2, 21)))), "droops", "a strip is no chain")
}

func TestATubeThatClosesIsFound(t *testing.T) {
	assert.Contains(t, rules(check(grown(t, grow(figure.AsTube, 4, 6, 3)))), "closes")
	assert.NotContains(t, rules(check(grown(t, grow(figure.AsWing, 4, 6, 3)))), "closes")
}

// The centre of mass is worked out here from the model's own corners, in another way than the program does: the mean over
// the units of the mean of four corners that lie about the middle of a unit.
func TestAFigureThatTipsOverIsFound(t *testing.T) {
	stands := grown(t, grow(figure.AsChain, 4, 1, 10))
	assert.NotContains(t, rules(check(stands)), "tips.front")
	// A chain that lies out level from the right point of a unit reaches far beyond the foot.
	f := figureOf(t, plain(6, 2)...)
	turn := figure.Unroll(f)
	for _, point := range []int{0, 6} {
		g := f.Clone()
		_, _, err := figure.Apply(g, &figure.Grow{On: g.Rings[1].ID, Point: point, As: figure.AsChain, Rows: 40, Colour: "chalk", Name: "Pole"})
		require.NoError(t, err)
		_, _, err = figure.Apply(g, &figure.EditPart{Part: g.Parts[1].ID, Name: "Pole", Bend: []figure.Bend{{Rows: 2, Out: 45}}})
		require.NoError(t, err)
		b := shape.Place(g, shape.FromMemory(g.Unit)).Balance()
		p := shape.Place(g, shape.FromMemory(g.Unit))
		var x, z float64
		for i := range p.Spots {
			m := p.Middle(&p.Spots[i])
			x, z = x+m[0]/float64(len(p.Spots)), z+m[2]/float64(len(p.Spots))
		}
		assert.InDelta(t, x, b.X, p.Measures.LegMM, "within a leg of the middle of the points")
		assert.InDelta(t, z, b.Z, p.Measures.LegMM)
		assert.Positive(t, b.Out)
		want := "tips.front"
		switch at := turn.Tip(1, point/2, 0) - turn.FrontTurn(); math.Floor(4*(at-math.Floor(at))+0.5) - 4*math.Floor((4*(at-math.Floor(at))+0.5)/4) {
		case 1:
			want = "tips.right"
		case 2:
			want = "tips.back"
		case 3:
			want = "tips.left"
		}
		assert.Contains(t, rules(check(g)), want, "point %d", point)
	}
}

// A chain that hangs down outside reaches below the foot of the body; one that stands does not.
func TestAPartThatHangsBelowTheTableIsFound(t *testing.T) {
	hangs := grown(t, grow(figure.AsChain, 4, 1, 20), bent(figure.Bend{Rows: 4, Out: 45}))
	list := check(hangs)
	require.Contains(t, rules(list), "hangs_below.part")
	for _, x := range list {
		if x.Rule == "hangs_below.part" {
			assert.Equal(t, "parts[1]", x.Where)
		}
	}
	assert.NotContains(t, rules(check(grown(t, grow(figure.AsChain, 4, 1, 20), bent(figure.Bend{Rows: 4, Out: -5})))), "hangs_below.part")
}

// A wide strip before the front hides what is painted behind it on the body; nothing is said when nothing is painted there.
func TestAPartThatHidesWhatIsPaintedIsFound(t *testing.T) {
	make := func(paint bool) *figure.Figure {
		f := figureOf(t, plain(24, 8)...)
		if paint {
			_, _, err := figure.Apply(f, &figure.Paint{Runs: []figure.PaintRun{{Ring: f.Rings[6].ID, At: 0, N: 3, Colour: "soot"}}})
			require.NoError(t, err)
		}
		u := figure.Unroll(f)
		at := int(math.Round(u.Middle(6, 1)*24)) % 24
		_, _, err := figure.Apply(f, &figure.SetFront{Front: float64((at + 24) % 24)})
		require.NoError(t, err)
		_, _, err = figure.Apply(f, &figure.SetOn{On: f.Rings[0].ID, At: new(float64), How: figure.GluedOn, Tilt: 0, Name: "Screen", Colour: "chalk", Units: 12, Rows: 9})
		require.NoError(t, err)
		p := f.Parts[1]
		where := float64((at + 24) % 24)
		_, _, err = figure.Apply(f, &figure.MovePart{Part: p.ID, On: f.Rings[0].ID, At: &where, How: figure.GluedOn})
		require.NoError(t, err)
		return f
	}
	assert.Contains(t, rules(check(make(true))), "hides")
	assert.NotContains(t, rules(check(make(false))), "hides")
}

// What is found on rings of parts names the part, and its place in the document.
func TestFindingsNameThePart(t *testing.T) {
	f := grown(t, grow(figure.AsTube, 4, 4, 2))
	_, _, err := figure.Apply(f, &figure.SetOn{On: f.Rings[3].ID, How: figure.GluedOn, Name: "Hat", Colour: "chalk", Units: 4, Rows: 2})
	require.NoError(t, err)
	for _, x := range check(f) {
		if x.Rule == "few_units.bottom_rings" {
			assert.Equal(t, "parts[2].rings[0]", x.Where)
			assert.Contains(t, x.What.String(), "“Hat”")
			return
		}
	}
	t.Fatal("a hat of four units hardly closes")
}
