package paper

import (
	"context"
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
)

// stripsOf lays a sheet out in strips, as Best does where it cannot weigh all layouts.
func stripsOf(t require.TestingT, c Cutting) *Layout {
	require.NoError(t, c.Validate())
	s, err := c.inStrips(context.Background())
	require.NoError(t, err)
	l, err := c.lay(context.Background(), s)
	require.NoError(t, err)
	return l
}

// grid is what plain rows and columns hold.
func grid(c Cutting) int {
	fit := func(length, unit float64) float64 {
		return math.Floor((length - 2*c.MarginMM + c.KerfMM + 1e-9) / (unit + c.KerfMM))
	}
	w, h := c.Sheet.WidthMM, c.Sheet.HeightMM
	return int(max(fit(w, c.LongMM)*fit(h, c.ShortMM), fit(w, c.ShortMM)*fit(h, c.LongMM), 0))
}

// Of 1000 random questions the best of strips is never better than the best there is, nor worse than a plain
// grid; its printed cuts give its units; and it loses a unit on few sheets.
func TestStripsComeCloseToTheBest(t *testing.T) {
	asked, lost := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		best, err := Best(context.Background(), c)
		require.NoError(t, err)
		l := stripsOf(t, c)
		if l.PerSheet > best.PerSheet || l.PerSheet < grid(c) || best.PerSheet > l.Bound {
			t.Fatalf("%d in strips, %d at best, %d in a grid, bound %d", l.PerSheet, best.PerSheet, grid(c), l.Bound)
		}
		units, cuts, err := cutSheet(c, l.Steps)
		require.NoError(t, err)
		if units != l.PerSheet || len(l.Pieces) != units || cuts != l.Cuts {
			t.Fatalf("%d units in %d cuts at the trimmer, %d in %d promised", units, cuts, l.PerSheet, l.Cuts)
		}
		asked++
		lost += best.PerSheet - l.PerSheet
	})
	assert.Less(t, float64(lost), 0.05*float64(asked), "units lost on %d sheets", asked)
}

func TestAPartOfAStripLayoutIsCutAsFarAsNeeded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		l := stripsOf(t, c)
		want := rapid.IntRange(0, l.PerSheet).Draw(t, "units")
		p, err := l.Part(want)
		require.NoError(t, err)
		units, cuts, err := cutSheet(c, p.Steps)
		require.NoError(t, err)
		if units < want || units != p.Units || cuts != p.Cuts || cuts > l.Cuts {
			t.Fatalf("%d units in %d cuts at the trimmer, %d in %d promised, %d wanted", units, cuts, p.Units, p.Cuts, want)
		}
	})
}

// Published optima of free packing lie between what strips hold and the bound.
func TestBoundHoldsForThePublishedOptima(t *testing.T) {
	for _, row := range readCSV(t, "identical-rectangles.csv") {
		var v [5]float64
		for i := range v {
			v[i] = numberOf(t, row[i])
		}
		c := Cutting{Sheet: sheetOf(v[0], v[1]), LongMM: v[2], ShortMM: v[3]}
		l := stripsOf(t, c)
		assert.LessOrEqual(t, float64(l.PerSheet), v[4], "%v", row)
		assert.GreaterOrEqual(t, l.PerSheet, grid(c), "%v", row)
		assert.GreaterOrEqual(t, float64(l.Bound), v[4], "%v", row)
		assert.LessOrEqual(t, float64(l.Bound), v[0]*v[1]/v[2]/v[3], "%v", row)
	}
}

// By hand: on 1000 × 700 the area allows 17 500 of 8 × 5, and 125 × 140 of them stand in a grid. 3848 and 3653 are the
// most there can be, as a search of twice the work proved.
func TestLargeSheetsHaveALayoutAndABound(t *testing.T) {
	for _, c := range []struct {
		ask   Cutting
		exact bool
		least int
	}{
		{Cutting{Sheet: sheetOf(1000, 700), LongMM: 8, ShortMM: 5}, true, 17_500},
		{Cutting{Sheet: sheetOf(210, 297), LongMM: 4.03, ShortMM: 3.97}, false, 3848},
		{Cutting{Sheet: sheetOf(297, 420), LongMM: 8.3, ShortMM: 4.1}, false, 3653},
		{Cutting{Sheet: sheetOf(841, 1189), LongMM: 8.31, ShortMM: 5.17}, false, 0},
		{Cutting{Sheet: sheetOf(1414, 1000), LongMM: 6.1, ShortMM: 4.7, MarginMM: 5, KerfMM: 0.3}, false, 0},
		{Cutting{Sheet: sheetOf(3000, 3000), LongMM: 1000.5, ShortMM: 1}, false, 0},
	} {
		l, err := Best(context.Background(), c.ask)
		require.NoError(t, err, "%+v", c.ask)
		name := fmt.Sprintf("%+v: %d, bound %d", c.ask, l.PerSheet, l.Bound)
		assert.Equal(t, c.exact, l.Exact, name)
		assert.Equal(t, l.Exact, l.PerSheet == l.Bound, name)
		assert.GreaterOrEqual(t, l.PerSheet, max(grid(c.ask), c.least), name)
		assert.LessOrEqual(t, l.PerSheet, l.Bound, name)
		assert.LessOrEqual(t, l.Bound, l.AreaBound, name)
		if c.ask.LongMM < 10 { // no unit is longer than a third of the sheet
			assert.Greater(t, float64(l.PerSheet), 0.95*float64(l.Bound), name)
		}
		assert.Len(t, l.Pieces, l.PerSheet, name)
		units, cuts, err := cutSheet(c.ask, l.Steps)
		require.NoError(t, err, name)
		assert.Equal(t, [2]int{l.PerSheet, l.Cuts}, [2]int{units, cuts}, name)
		p, err := l.Part(l.PerSheet/2 + 1)
		require.NoError(t, err)
		units, _, err = cutSheet(c.ask, p.Steps)
		require.NoError(t, err, name)
		assert.GreaterOrEqual(t, units, l.PerSheet/2+1, name)
		n, err := Count(context.Background(), c.ask)
		require.NoError(t, err)
		assert.Equal(t, l.PerSheet, n, "counted alone")

		if !l.Exact { // asked anew, the answer is the same
			recent = memory{by: map[question]*Layout{}}
			again, err := Best(context.Background(), c.ask)
			require.NoError(t, err)
			assert.Equal(t, l.Steps, again.Steps, name)
		}
		assert.NotContains(t, l.Proof().String()+l.StopsProof().String()+l.Summary().String(), "[paper")
	}
}

func TestTheOpenBoundIsSaid(t *testing.T) {
	l := best(t, Cutting{Sheet: sheetOf(1000, 700), LongMM: 8.01, ShortMM: 5.01})
	assert.Contains(t, l.Proof().String(), fmt.Sprintf("up to %d more units", l.Bound-l.PerSheet))
	assert.Contains(t, l.Proof().String(), fmt.Sprintf("none holds more than %d", l.Bound))
}

// fineParts are part-used sheets of many sizes that are each as much work as is done for one sheet.
func fineParts(n int) (out []PartSheets) {
	for i := range n {
		out = append(out, PartSheets{WidthMM: 205.3 + float64(i)/10, HeightMM: 290.7 + float64(i*7%30), Count: 1})
	}
	return out
}

// An order of fifty such sizes does no more work than two of them: the first are weighed, the others are the best in
// strips, with their bound; what all of them give is what is to be cut. Asked anew, from memory or without, it is the same.
func TestAnOrderHasALimitOfWorkOfItsOwn(t *testing.T) {
	c := Cutting{Sheet: sheetOf(210.3, 297.1), LongMM: 8.06, ShortMM: 4.02}
	n := Need{Units: 70_000, Grammage: 80, Cutting: c, Stock: Stock{Parts: fineParts(50)}}
	var said []string
	for _, forget := range []bool{true, false} {
		if forget {
			recent = memory{by: map[question]*Layout{}}
		}
		ctx := Together(context.Background())
		assert.Same(t, allowanceOf(ctx), allowanceOf(Together(ctx)))
		allowanceOf(ctx).left /= 10 // less than one of these sheets takes, so that the race detector is not watched counting strips
		list, err := Shop(ctx, []Need{n}, 5)
		require.NoError(t, err)
		assert.Zero(t, allowanceOf(ctx).left)
		line := list.Lines[0]
		weighed, short, given := 0, 0, 0
		text := ""
		for _, j := range line.Jobs(0.1) {
			given += j.Units
			text += fmt.Sprint(j.Layout.PerSheet, j.Layout.Bound, j.Layout.Weighed, " ")
			if j.Layout.Weighed {
				weighed++
				continue
			}
			short++
			assert.LessOrEqual(t, j.Layout.PerSheet, j.Layout.Bound)
			if !j.Layout.Exact {
				assert.Contains(t, j.Layout.Proof().String(), "too many fine sheets in this order")
			}
		}
		assert.Equal(t, line.ToCut, given)
		assert.LessOrEqual(t, weighed, 3)
		assert.Positive(t, short)
		said = append(said, text)
	}
	for _, text := range said {
		assert.Equal(t, said[0], text)
	}
}

// What most makers cut is weighed whatever else the order has.
func TestCommonSheetsAreWeighedThoughTheWorkIsUsedUp(t *testing.T) {
	ctx := Together(context.Background())
	allowanceOf(ctx).left = 0
	for _, sheet := range []string{"A4", "A3", "Letter", "15 cm square"} {
		recent = memory{by: map[question]*Layout{}}
		l, err := Best(ctx, Cutting{Sheet: named(t, sheet), LongMM: 52, ShortMM: 37})
		require.NoError(t, err)
		assert.True(t, l.Weighed, sheet)
	}
}

// A reader who goes away is not worked for any longer.
func TestALongSearchEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	recent = memory{by: map[question]*Layout{}}
	for _, c := range []Cutting{
		{Sheet: named(t, "A3"), LongMM: 8.31, ShortMM: 4.11},
		{Sheet: sheetOf(1000, 700), LongMM: 8.01, ShortMM: 5.01},
		{Sheet: named(t, "A4"), LongMM: 53.5, ShortMM: 37.5},
	} {
		_, err := Best(ctx, c)
		assert.ErrorIs(t, err, context.Canceled)
		_, err = Count(ctx, c)
		assert.ErrorIs(t, err, context.Canceled)
	}
	_, err := Shop(ctx, []Need{{Units: 10, Grammage: 80, Cutting: Cutting{Sheet: named(t, "A4"), LongMM: 53.5, ShortMM: 37.5}}}, 5)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = FindNearby(ctx, Cutting{Sheet: named(t, "A4")}, figure.Unit{LongMM: 53.5, ShortMM: 37.5, Fold: figure.Doubled}, 1, leg)
	assert.ErrorIs(t, err, context.Canceled)
}

// The memory of layouts forgets the oldest ones before it holds too much.
func TestMemoryOfLayoutsIsBounded(t *testing.T) {
	m := memory{by: map[question]*Layout{}}
	for i := range 300 {
		m.put(question{Cutting: Cutting{LongMM: float64(i)}}, &Layout{PerSheet: 100 * i})
	}
	assert.LessOrEqual(t, len(m.by), remembered)
	assert.LessOrEqual(t, m.units, rememberedUnits)
	assert.Equal(t, len(m.by), len(m.recent))
	_, ok := m.get(question{Cutting: Cutting{LongMM: 299}})
	assert.True(t, ok)
	m.put(question{Cutting: Cutting{LongMM: 1000}}, &Layout{PerSheet: MaxPerSheet})
	_, ok = m.get(question{Cutting: Cutting{LongMM: 1000}})
	assert.True(t, ok, "the largest there is fits")
}

func BenchmarkLayoutFine(b *testing.B) {
	benchmarkLayout(b, "Layout of A3 with 8.3 × 4.1", 2*time.Second, 50, 12, Cutting{Sheet: named(b, "A3"), LongMM: 8.3, ShortMM: 4.1})
}

func BenchmarkLayoutWithABlade(b *testing.B) {
	benchmarkLayout(b, "Layout of A3 with 7 × 4, kerf 0.3", 2*time.Second, 20, 3, Cutting{Sheet: named(b, "A3"), LongMM: 7, ShortMM: 4, KerfMM: 0.3})
}

func BenchmarkOrderOfFineParts(b *testing.B) {
	n := Need{Units: 70_000, Grammage: 80, Cutting: Cutting{Sheet: sheetOf(210.3, 297.1), LongMM: 8.06, ShortMM: 4.02}, Stock: Stock{Parts: fineParts(50)}}
	gauge.Duration(b, "Order with 50 part-used sheets of 8.06 × 4.02", 6*time.Second, func() {
		recent = memory{by: map[question]*Layout{}}
		_, err := Shop(Together(context.Background()), []Need{n}, 5)
		require.NoError(b, err)
	}, gauge.Baseline{Name: "the layout of its whole sheet", Deed: func() { bestAnew(b, n.Cutting) }, Most: 15})
}

func BenchmarkLayoutOfTooMany(b *testing.B) {
	c := Cutting{Sheet: sheetOf(1000, 700), LongMM: 8.01, ShortMM: 5.01}
	benchmarkLayout(b, "Layout of 1000 × 700 with 8.01 × 5.01", 2*time.Second, 5, 4, c)
}
