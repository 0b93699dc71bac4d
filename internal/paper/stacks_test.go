package paper

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
)

func a4A9(t testing.TB) *Layout {
	return best(t, Cutting{Sheet: named(t, "A4"), LongMM: 52, ShortMM: 37})
}

func TestOrderIsCutInStacksOfTenSheets(t *testing.T) {
	// By hand: 800 units are 25 A4 of 32. Ten sheets of copy paper are cut at once (common practice):
	// stacks of 10, 10 and 5. One sheet takes 33 cuts: a trim, 4 strips, 4 × 7.
	o, err := PlanOrder([]Job{{Colour: "brick", Layout: a4A9(t), Units: 800, ThicknessMM: 0.1}}, DefaultStackMM)
	require.NoError(t, err)
	require.Len(t, o.Stacks, 3)
	assert.Equal(t, []StackSheets{{"brick", 10}}, o.Stacks[0].Sheets)
	assert.Equal(t, []StackSheets{{"brick", 5}}, o.Stacks[2].Sheets)
	assert.Equal(t, 25, o.Sheets)
	assert.Equal(t, 3*33, o.Strokes)
}

func TestColoursShareAStackAndLastSheetsAreCutAsFarAsNeeded(t *testing.T) {
	l := a4A9(t)
	o, err := PlanOrder([]Job{{Colour: "brick", Layout: l, Units: 6*32 + 8, ThicknessMM: 0.1}, {Colour: "chalk", Layout: l, Units: 5*32 + 8, ThicknessMM: 0.1}, {Colour: "soot", Layout: l, Units: 3, ThicknessMM: 0.1}}, DefaultStackMM)
	require.NoError(t, err)
	require.Len(t, o.Stacks, 4)
	assert.Equal(t, []StackSheets{{"brick", 6}, {"chalk", 4}}, o.Stacks[0].Sheets)
	assert.Equal(t, []StackSheets{{"chalk", 1}}, o.Stacks[1].Sheets)
	assert.Equal(t, []StackSheets{{"brick", 1}, {"chalk", 1}}, o.Stacks[2].Sheets, "both need one strip of eight")
	assert.True(t, o.Stacks[2].Last)
	assert.Equal(t, []StackSheets{{"soot", 1}}, o.Stacks[3].Sheets)
	// By hand: one strip of eight is a trim, a strip and 7 cuts; three units are a trim, a strip, 3 cuts.
	assert.Equal(t, 33+33+9+5, o.Strokes)
	assert.Equal(t, 14, o.Sheets)
}

func TestThickPaperMakesLowerStacks(t *testing.T) {
	// Card of 0.3 mm: three sheets in a stack 1 mm high.
	o, err := PlanOrder([]Job{{Colour: "card", Layout: a4A9(t), Units: 7 * 32, ThicknessMM: 0.3}}, 1)
	require.NoError(t, err)
	assert.Len(t, o.Stacks, 3)
	// Board thicker than the stack is cut sheet by sheet.
	o, err = PlanOrder([]Job{{Colour: "board", Layout: a4A9(t), Units: 2 * 32, ThicknessMM: 2}}, 1)
	require.NoError(t, err)
	assert.Len(t, o.Stacks, 2)
}

func TestRestIsListedByColour(t *testing.T) {
	o, err := PlanOrder([]Job{{Colour: "brick", Layout: a4A9(t), Units: 2*32 + 8, ThicknessMM: 0.1}}, DefaultStackMM)
	require.NoError(t, err)
	assert.Contains(t, o.Rest, Leftover{"brick", Offcut{WMM: 158, HMM: 296, Count: 1, Units: 24}})
	assert.Contains(t, o.Rest, Leftover{"brick", Offcut{WMM: 1, HMM: 210, Count: 3}})
	assert.Contains(t, o.Rest, Leftover{"brick", Offcut{WMM: 2, HMM: 296, Count: 2}})
}

func TestPaperIsNeitherLostNorMade(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		c.KerfMM = 0 // the blade would take some
		l, err := Best(context.Background(), c)
		require.NoError(t, err)
		units := rapid.IntRange(0, 3*l.PerSheet).Draw(t, "units")
		o, err := PlanOrder([]Job{{Colour: "one", Layout: l, Units: units, ThicknessMM: 0.1}}, DefaultStackMM)
		if err != nil {
			t.Fatal(err)
		}
		area, made := 0.0, 0
		for _, s := range o.Stacks {
			for _, n := range s.Sheets {
				made += n.Sheets * s.Units
			}
		}
		for _, r := range o.Rest {
			area += r.WMM * r.HMM * float64(r.Count)
		}
		area += float64(made) * c.LongMM * c.ShortMM
		if made < units || math.Abs(area-float64(o.Sheets)*c.Sheet.WidthMM*c.Sheet.HeightMM) > 1e-3 {
			t.Fatalf("%d units of %d, %v mm² of %d sheets", made, units, area, o.Sheets)
		}
	})
}

func TestImpossibleOrdersAreRefused(t *testing.T) {
	l := a4A9(t)
	for _, c := range []struct {
		where string
		job   Job
		stack float64
	}{
		{"units", Job{Colour: "a", Layout: l, Units: -1, ThicknessMM: 0.1}, 1},
		{"thickness", Job{Colour: "a", Layout: l, Units: 10, ThicknessMM: 0}, 1},
		{"thickness", Job{Colour: "a", Layout: l, Units: 10, ThicknessMM: math.NaN()}, 1},
		{"stack", Job{Colour: "a", Layout: l, Units: 10, ThicknessMM: 0.1}, 0},
		{"stack", Job{Colour: "a", Layout: l, Units: 10, ThicknessMM: 0.1}, math.Inf(1)},
	} {
		_, err := PlanOrder([]Job{c.job}, c.stack)
		var f figure.Fault
		require.ErrorAs(t, err, &f)
		assert.Equal(t, c.where, f.Where)
	}
}

func TestOffcutsHoldEyesAndUnits(t *testing.T) {
	o := Offcut{WMM: 30, HMM: 100, Count: 2}
	for _, c := range []struct {
		want  Want
		holds int
	}{
		{Want{Name: "eye", DiameterMM: 30}, 3},
		{Want{Name: "eye", DiameterMM: 30.1}, 0},
		{Want{Name: "unit", LongMM: 50, ShortMM: 30}, 2},
		{Want{Name: "unit", LongMM: 30, ShortMM: 20}, 5},
		{Want{Name: "unit", LongMM: 52, ShortMM: 37}, 0},
	} {
		n, err := o.Holds(context.Background(), c.want)
		require.NoError(t, err)
		assert.Equal(t, c.holds, n, "%+v", c.want)
	}
	_, err := o.Holds(context.Background(), Want{DiameterMM: -3})
	assert.ErrorContains(t, err, "want")
}

// leg is trade.md's: the leg is half the short side doubled, the short side single; comfortable is a
// long side of 1.3 to 2 times twice the leg.
func leg(u figure.Unit) (float64, bool) {
	h := u.ShortMM
	if u.Fold == figure.Doubled {
		h /= 2
	}
	r := u.LongMM / (2 * h)
	return h, r >= 1.3 && r <= 2
}

func TestNearbySizeOf53By37Is52By37(t *testing.T) {
	// Issue 5: 'at 53 × 37 a sheet of A4 gives 29; trim to 52 × 37 and it gives 32'.
	a4 := named(t, "A4")
	n, err := FindNearby(context.Background(), Cutting{Sheet: a4}, figure.Unit{LongMM: 53, ShortMM: 37, Fold: figure.Doubled}, 1, leg)
	require.NoError(t, err)
	assert.Equal(t, 29, n.Now.PerSheet)
	assert.True(t, n.Complete)
	var found *Nearby
	for i := range n.Better {
		if n.Better[i].PerSheet == 32 {
			found = &n.Better[i]
		}
	}
	require.NotNil(t, found, "%+v", n.Better)
	assert.Equal(t, 52.0, found.Unit.LongMM)
	assert.Equal(t, 37.0, found.Unit.ShortMM)
	assert.Equal(t, "At 52 × 37 mm a sheet of A4 (210 × 297 mm) gives 32 units. The leg of the unit stays 18.5 mm, and so does the figure's size.",
		found.Text(a4).String())
}

func TestNearbySizesFoldWellAndGiveMoreForEveryFurtherStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		long := rapid.IntRange(60, 160).Draw(t, "long")
		u := figure.Unit{LongMM: float64(long) / 2,
			ShortMM: float64(rapid.IntRange(40, min(90, long)).Draw(t, "short")) / 2, Fold: figure.Doubled}
		n, err := FindNearby(context.Background(), Cutting{Sheet: sheetOf(210, 297)}, u, 1, leg)
		require.NoError(t, err)
		before := n.Now
		for _, v := range n.Better {
			_, comfortable := leg(v.Unit)
			if !comfortable || v.PerSheet <= before.PerSheet || v.change() < before.change() ||
				math.Abs(v.LongByMM) > NearbyReachMM || math.Abs(v.ShortByMM) > NearbyReachMM {
				t.Fatalf("%+v after %+v", v, before)
			}
			before = v
		}
		if n.Fuller != nil && (n.Fuller.Used <= n.Now.Used || n.Fuller.PerSheet != n.Now.PerSheet) {
			t.Fatalf("%+v is no fuller than %+v", n.Fuller, n.Now)
		}
	})
}

func TestNearbyRefusesAnImpossibleUnitAndStep(t *testing.T) {
	a4 := Cutting{Sheet: named(t, "A4")}
	_, err := FindNearby(context.Background(), a4, figure.Unit{LongMM: 400, ShortMM: 37, Fold: figure.Doubled}, 1, leg)
	assert.ErrorContains(t, err, "does not fit")
	_, err = FindNearby(context.Background(), a4, figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, 0, leg)
	assert.ErrorContains(t, err, "The step is 0 mm.")
}

func BenchmarkNearbyA4(b *testing.B) {
	c := Cutting{Sheet: named(b, "A4")}
	u := figure.Unit{LongMM: 53, ShortMM: 37, Fold: figure.Doubled}
	asked := c
	asked.LongMM, asked.ShortMM = u.LongMM, u.ShortMM
	gauge.Duration(b, "Nearby sizes on A4", 200*time.Millisecond, func() {
		recent = memory{by: map[question]*Layout{}}
		if _, err := FindNearby(context.Background(), c, u, NearbyStepMM, leg); err != nil {
			b.Fatal(err)
		}
	}, gauge.Baseline{Name: "the layout of the size asked about", Deed: func() { bestAnew(b, asked) }, Most: 60}) // of 168 sizes within reach
}
