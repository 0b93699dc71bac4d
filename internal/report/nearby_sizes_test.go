package report

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/gauge"
	"tuckring/internal/paper"
)

// The trade's example: at 53 × 37 an A4 gives 29; trimmed to 52 × 37 it gives 32 (A9, ISO 216).
func TestTrimmingAMillimetreGivesThreeUnitsMore(t *testing.T) {
	f := load(t, "contract-example")
	f.Unit.LongMM = 53
	n, err := FindNearby(context.Background(), f, DefaultSettings())
	require.NoError(t, err)
	assert.Equal(t, 29, n.Now.PerSheet)
	var found *NearbySize
	for i := range n.Better {
		if n.Better[i].Unit.LongMM >= 52 && n.Better[i].Unit.ShortMM == 37 {
			found = &n.Better[i]
		}
	}
	require.NotNil(t, found, "%+v", n.Better)
	assert.Equal(t, 32, found.PerSheet)
	assert.Equal(t, n.Now.Height, found.Height, "the leg is half the short side, which stays")
	assert.Contains(t, found.Text.String(), "32 units")
	assert.Equal(t, 53.0, f.Unit.LongMM, "nothing is changed")
}

// Worked by hand: 100 sheets of A4 at 32 units for 4.99 are 3200 units, 0.156 a hundred; 20 squares of 15 cm
// at 10 units for 1.00 are 200 units, 0.50 a hundred.
func TestOffersAreRankedByThePriceOfAUnit(t *testing.T) {
	f := load(t, "contract-example")
	r := reportOf(t, f, with(t, f, map[string]string{
		"offers": "Squares; 15 cm square; 20; 1.00\nCopy paper; A4; 100; 4.99\nCards; A10; 10; 0.10"}))
	require.Len(t, r.Offers, 3)
	assert.Equal(t, "Copy paper", r.Offers[0].Name)
	assert.Equal(t, 3200, r.Offers[0].PerPack)
	assert.InDelta(t, 0.1559, r.Offers[0].Per100, 0.0001)
	assert.InDelta(t, 0.5, r.Offers[1].Per100, 1e-9)
	assert.Equal(t, 0, r.Offers[2].PerSheet, "no unit fits an A10")
}

// The sheets of similar sizes are counted as those of the figure are: each colour on its own sheet, stock or no stock.
// By hand at 52.5 × 37: brick's 62 from 15 cm squares of 10 (two by four, and two beside them) are 7 sheets; chalk's
// 18 and soot's 6 from A4 of 32 one each.
func TestSimilarSizesCountEachColourOnItsOwnSheet(t *testing.T) {
	f := load(t, "contract-example")
	f.Unit.LongMM = 53
	s := with(t, f, map[string]string{"colour.brick.sheet": "15 cm square", "colour.soot.stock_folded": "6", "colour.chalk.stock_parts": "105x150"})
	r := reportOf(t, f, s)
	near, err := FindNearby(context.Background(), f, s)
	require.NoError(t, err)
	assert.Equal(t, r.Paper.Sheets, near.Now.Sheets)
	found := false
	for _, n := range near.Better {
		if n.Unit.LongMM == 52.5 && n.Unit.ShortMM == 37 {
			found = true
			assert.Equal(t, 9, n.Sheets)
		}
	}
	assert.True(t, found, "%+v", near.Better)

	// A sheet of its own that only the present unit fits on rules out every size that is longer.
	s = with(t, f, map[string]string{"colour.brick.sheet": "53x37"})
	near, err = FindNearby(context.Background(), f, s)
	require.NoError(t, err)
	for _, n := range near.Better {
		assert.LessOrEqual(t, n.Unit.LongMM, 53.0)
		assert.LessOrEqual(t, n.Unit.ShortMM, 37.0)
	}
}

// By hand: a yen and a dinar (ISO 4217: 0 and 3 decimals). A4 gives 32 units: 1000 sheets for 4999 and for 5000 yen
// are 15.62 and 15.63 a hundred (15.621875, 15.625); 100 sheets for 4.999 dinars are 0.156 and for 9.998 0.312.
func TestPriceOf100UnitsHasTheCurrencysDecimalsAndMoreWhereNeeded(t *testing.T) {
	f := load(t, "contract-example")
	for _, c := range []struct {
		currency, offers string
		want             []string
	}{
		{"JPY", "a; A4; 1000; 4999\nb; A4; 1000; 5000", []string{"15.622", "15.625"}},
		{"JPY", "a; A4; 100; 500\nb; A4; 100; 9000", []string{"16", "281"}},
		{"KWD", "a; A4; 100; 4.999\nb; A4; 100; 9.998", []string{"0.156", "0.312"}},
		{"EUR", "a; A4; 100; 4.99\nb; A4; 200; 9.98\nc; A10; 1; 1.00", []string{"0.16", "0.16", "0.00"}},
		{"EUR", "a; A4; 100; 4.99", []string{"0.16"}},
	} {
		r := reportOf(t, f, with(t, f, map[string]string{"currency": c.currency, "offers": c.offers}))
		assert.Equal(t, c.want, ShowPer100(r.Offers), c.offers)
	}
	assert.Empty(t, ShowPer100(nil))
}

func TestBadOffersNameTheirLine(t *testing.T) {
	for _, bad := range []string{"Copy paper; A4; 100", "x; A99; 1; 1.00", "x; A4; 0; 1.00", "x; A4; 1; 1,00", "x; A4; 1; -1"} {
		_, faults := DefaultSettings().With(nil, map[string]string{"offers": "Good; A4; 1; 1.00\n" + bad})
		require.Len(t, faults, 1, bad)
		assert.Equal(t, "offers", faults[0].Where)
		assert.Contains(t, faults[0].What.String(), "Line 2")
	}
}

func TestEveryNumberSaysWhereItComesFrom(t *testing.T) {
	f := load(t, "contract-example")
	r := reportOf(t, f, with(t, f, map[string]string{"people": "2", "paces": "practised", "time.stroke": "12"}))
	keys := map[string]string{}
	for _, s := range r.Sources {
		require.NotEmpty(t, s.Text, s.Key)
		for _, text := range s.Text {
			assert.NotContains(t, text.String(), "[", s.Key)
			assert.NotContains(t, text.String(), "no value", s.Key)
			keys[s.Key] += text.String() + "\n"
		}
	}
	assert.Contains(t, keys["mass"], "ISO 536")
	assert.Contains(t, keys["sheet"], "ISO 216")
	assert.Contains(t, keys["per_sheet"], "bound")
	assert.Contains(t, keys["folding"], "Someone with practice")
	assert.Contains(t, keys["finishing"], "1 extra to tuck in and 1 piece to glue; the glue dries once.")
	f.Extras = f.Extras[:1]
	r = reportOf(t, f, DefaultSettings())
	assert.Equal(t, "1 extra to tuck in.", r.Time.Work.finishing().String())
	assert.Equal(t, "2 pieces to glue; the glue dries once.", WorkCounts{Glued: 2}.finishing().String())
	assert.Equal(t, "Nothing to tuck in or to glue.", WorkCounts{}.finishing().String())
	assert.Contains(t, keys["cutting"], "One cut of the blade: 12 s. Your own number.")
}

func BenchmarkNearbyOnA4(b *testing.B) {
	f, s := load(b, "contract-example"), DefaultSettings()
	c := paper.ForUnit(paper.Sheets()[4], f.Unit)
	require.Equal(b, "A4", c.Sheet.Name)
	gauge.Duration(b, "Nearby sizes on A4, with what they cost", 200*time.Millisecond, func() {
		if _, err := FindNearby(context.Background(), f, s); err != nil {
			b.Fatal(err)
		}
	}, gauge.Baseline{Name: "the sizes alone", Most: 3, Deed: func() {
		if _, err := paper.FindNearby(context.Background(), c, f.Unit, paper.NearbyStepMM, measure); err != nil {
			b.Fatal(err)
		}
	}})
}
