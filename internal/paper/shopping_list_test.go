package paper

import (
	"context"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
)

func euros(t testing.TB, text string) *Money {
	t.Helper()
	m, err := ParseMoney("price", text, "EUR")
	require.NoError(t, err)
	return &m
}

func need(t testing.TB, units int) Need {
	return Need{Colour: "brick", Units: units, Cutting: Cutting{Sheet: named(t, "A4"), LongMM: 52, ShortMM: 37}, Grammage: 80}
}

func shopOne(t testing.TB, n Need) Line {
	t.Helper()
	list, err := Shop(context.Background(), []Need{n}, DefaultSparePercent)
	require.NoError(t, err)
	require.Len(t, list.Lines, 1)
	return list.Lines[0]
}

func TestSparesAreFivePercentRoundedUp(t *testing.T) {
	for units, spare := range map[int]int{0: 0, 1: 1, 20: 1, 21: 2, 275: 14, 400: 20} { // 275 → 14: contract
		assert.Equal(t, spare, Spares(units, DefaultSparePercent), units)
	}
}

func TestLineOfTheContract(t *testing.T) {
	// Contract, report --json: 275 units and 14 spares are 10 sheets of A4, 49.9 g.
	l := shopOne(t, need(t, 275))
	assert.Equal(t, 14, l.Spare)
	assert.Equal(t, 10, l.Sheets)
	assert.InDelta(t, 49.9, l.MassG, 0.05)
}

func TestPublishedFigureOf68UnitsNeedsTwoSheets(t *testing.T) {
	// The Star (Malaysia), 14 March 2012: strips of 18.5 × 52, 64 to a sheet of A4; issue 2: 2 sheets.
	n := need(t, 68)
	n.Cutting.ShortMM = 18.5
	assert.Equal(t, 2, shopOne(t, n).Sheets)
}

func TestStockIsUsedBeforeAnythingIsBought(t *testing.T) {
	// By hand: 400 units, 60 of them folded: 340 to fold and 17 spares are 357; 37 are cut: 320 to cut,
	// exactly 10 sheets. 4 sheets at hand: 6 to buy, in packs of 5 at 2.49: 2 packs, 4.98, 4 sheets left.
	n := need(t, 400)
	n.Stock = Stock{Sheets: 4, Cut: 37, Folded: 60}
	n.Pack = Pack{Sheets: 5, Price: euros(t, "2.49")}
	l := shopOne(t, n)
	assert.Equal(t, 17, l.Spare)
	assert.Equal(t, 357, l.ToFold)
	assert.Equal(t, 320, l.ToCut)
	assert.Equal(t, 10, l.Sheets)
	assert.Equal(t, 4, l.Own)
	assert.Equal(t, 6, l.Buy)
	assert.Equal(t, 2, l.Packs)
	assert.Equal(t, "€4.98", l.Cost.String())
	assert.Equal(t, 4, l.Left)
	assert.Equal(t, 0, l.LeftLast)
}

func TestPartUsedSheetSavesAWholeOne(t *testing.T) {
	// 40 units and 2 spares: 32 from a sheet, and 10 from a rest of 158 × 296 mm that gives 24.
	n := need(t, 40)
	n.Stock.Parts = []PartSheets{{WidthMM: 20, HeightMM: 50, Count: 3}, {WidthMM: 158, HeightMM: 296, Count: 1}}
	l := shopOne(t, n)
	assert.Equal(t, 1, l.Sheets)
	assert.Equal(t, []PartSheets{{WidthMM: 158, HeightMM: 296, Count: 1}}, l.Parts)
	assert.Equal(t, 24, l.FromPart)
	jobs := l.Jobs(0.1)
	require.Len(t, jobs, 2)
	assert.Equal(t, 24, jobs[0].Units)
	assert.Equal(t, 18, jobs[1].Units)
}

func TestPartUsedSheetThatSavesNothingStaysInTheDrawer(t *testing.T) {
	n := need(t, 30) // 30 and 2 spares are one whole sheet either way
	n.Stock.Parts = []PartSheets{{WidthMM: 158, HeightMM: 40, Count: 1}}
	l := shopOne(t, n)
	assert.Equal(t, 1, l.Sheets)
	assert.Empty(t, l.Parts)
}

func TestEverythingFoldedNeedsNothing(t *testing.T) {
	n := need(t, 50)
	n.Stock = Stock{Folded: 80, Sheets: 3}
	l := shopOne(t, n)
	assert.Equal(t, Line{Colour: "brick", Units: 50, Folded: 50, PerSheet: 32, Left: 3, Layout: l.Layout}, l)
}

func TestColourWithASheetOfItsOwn(t *testing.T) {
	red := need(t, 32)
	red.Colour, red.Cutting.Sheet = "red", named(t, "15 cm square")
	list, err := Shop(context.Background(), []Need{need(t, 32), red}, 0)
	require.NoError(t, err)
	assert.Equal(t, 1, list.Lines[0].Sheets)
	assert.Equal(t, 10, list.Lines[1].PerSheet) // by hand: two rows of four upright, one row of two lying
	assert.Equal(t, 4, list.Lines[1].Sheets)
}

func TestShoppingAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var needs []Need
		for range rapid.IntRange(1, 6).Draw(t, "colours") {
			n := Need{Units: rapid.IntRange(0, 3000).Draw(t, "units"), Grammage: 80,
				Cutting: Cutting{Sheet: sheetOf(210, 297), LongMM: 52, ShortMM: 37},
				Stock: Stock{Sheets: rapid.IntRange(0, 20).Draw(t, "sheets"), Cut: rapid.IntRange(0, 200).Draw(t, "cut"),
					Folded: rapid.IntRange(0, 200).Draw(t, "folded"),
					Parts:  []PartSheets{{100, 150, rapid.IntRange(0, 5).Draw(t, "parts")}}},
				Pack: Pack{Sheets: rapid.IntRange(0, 10).Draw(t, "pack"), Price: &Money{int64(rapid.IntRange(0, 999).Draw(t, "price")), "EUR"}}}
			needs = append(needs, n)
		}
		list, err := Shop(context.Background(), needs, 5)
		if err != nil {
			t.Fatal(err)
		}
		sheets, cost := 0, int64(0)
		for i, l := range list.Lines {
			if l.Sheets*l.PerSheet+l.FromPart < l.ToCut || (l.Sheets-1)*l.PerSheet+l.FromPart >= l.ToCut && l.Sheets > 0 && l.FromPart == 0 {
				t.Fatalf("too few or too many sheets: %+v", l)
			}
			if l.Folded+l.ToFold != l.Units+l.Spare || l.Own+l.Buy != l.Sheets {
				t.Fatalf("units or sheets do not add up: %+v", l)
			}
			if needs[i].Stock.Sheets+l.Packs*max(1, needs[i].Pack.Sheets) != l.Sheets+l.Left {
				t.Fatalf("sheets bought and left do not add up: %+v", l)
			}
			sheets += l.Sheets
			if l.Cost != nil {
				cost += l.Cost.Minor
			}
		}
		if sheets != list.Sheets || len(list.Costs) > 0 && list.Costs[0].Minor != cost {
			t.Fatalf("totals do not add up: %+v", list)
		}
	})
}

func TestImpossibleNeedsAreRefusedAtTheirPlace(t *testing.T) {
	for where, spoil := range map[string]func(*Need){
		"needs[1].units":               func(n *Need) { n.Units = -1 },
		"needs[1].stock.sheets":        func(n *Need) { n.Stock.Sheets = -1 },
		"needs[1].stock.cut":           func(n *Need) { n.Stock.Cut = -5 },
		"needs[1].stock.folded":        func(n *Need) { n.Stock.Folded = -5 },
		"needs[1].stock.parts":         func(n *Need) { n.Stock.Parts = []PartSheets{{math.NaN(), 100, 1}} },
		"needs[1].pack.sheets":         func(n *Need) { n.Pack.Sheets = -1 },
		"needs[1].pack.price":          func(n *Need) { n.Pack.Price = &Money{-1, "EUR"} },
		"needs[1].pack.price.currency": func(n *Need) { n.Pack.Price = &Money{1, "shells"} },
		"needs[1].grammage":            func(n *Need) { n.Grammage = 0 },
		"needs[1].unit":                func(n *Need) { n.Cutting.LongMM = 900 },
		"needs[1].margin":              func(n *Need) { n.Cutting.MarginMM = 200 },
	} {
		bad := need(t, 10)
		spoil(&bad)
		_, err := Shop(context.Background(), []Need{need(t, 5), bad}, 5)
		var faults figure.Faults
		require.ErrorAs(t, err, &faults, where)
		assert.Equal(t, where, faults[0].Where)
		assert.NotContains(t, faults.Error(), "[paper.")
	}
	for _, percent := range []float64{-1, 101, math.NaN()} {
		_, err := Shop(context.Background(), []Need{need(t, 5)}, percent)
		assert.ErrorContains(t, err, "5 % is usual")
	}
}

func TestMoneyIsReadAndPrintedExactly(t *testing.T) {
	for _, c := range []struct{ text, code, printed string }{
		{"4.99", "EUR", "€4.99"}, {"4.9", "EUR", "€4.90"}, {"1000", "USD", "$1000.00"}, {"0.07", "GBP", "£0.07"},
		{" 12.50 ", "chf", "CHF 12.50"}, {"350", "JPY", "¥350"}, {"1.234", "KWD", "KWD 1.234"}, {"0", "EUR", "€0.00"},
	} {
		m, err := ParseMoney("price", c.text, c.code)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.printed, m.String())
	}
}

// ISO 4217:2015, list one (testdata/iso-4217.csv says the standing of each).
func TestEveryCurrencyHasTheStandardsDecimals(t *testing.T) {
	rows := readCSV(t, "iso-4217.csv")[1:]
	require.Len(t, rows, len(minorUnits), "every currency offered stands in the table")
	for _, row := range rows {
		units := int(numberOf(t, row[1]))
		text := "12"
		if units > 0 {
			text += "." + strings.Repeat("3", units)
		}
		m, err := ParseMoney("price", text, strings.ToLower(row[0]))
		require.NoError(t, err, row[0])
		assert.Equal(t, text, m.Decimal(), row[0])
		assert.Contains(t, m.String(), text)
		assert.NotEqual(t, text, m.String(), "the currency is named")
		more := text + "3"
		if units == 0 {
			more = text + ".3"
		}
		_, err = ParseMoney("price", more, row[0])
		assert.ErrorContains(t, err, "too many decimals", row[0])
	}
	for _, code := range []string{"XAU", "XXX", "DEM", "", "EU", "EURO", "€"} {
		assert.ErrorContains(t, ValidateCurrency(code), "such as EUR, GBP or USD", code)
	}
}

func TestPricesThatAreNotPlainAreRefused(t *testing.T) {
	for text, says := range map[string]string{
		"4,99": "with a point, such as 4.99", "1,000.00": "without commas", "-3": "without a sign", "€5": "currency symbol",
		"4.999": "EUR has 2 decimals.", "": "is not a price", "1e3": "is not a price", "NaN": "is not a price",
		"9999999": "0 to 1000000", ".5": "is not a price", "5.": "is not a price",
	} {
		_, err := ParseMoney("pack.price", text, "EUR")
		var f figure.Fault
		require.ErrorAs(t, err, &f, text)
		assert.Equal(t, "pack.price", f.Where)
		assert.Contains(t, f.Error(), says, text)
	}
	_, err := ParseMoney("price", "3.5", "JPY")
	assert.ErrorContains(t, err, "JPY has 0 decimals.")
	_, err = ParseMoney("price", "3", "shells")
	assert.ErrorContains(t, err, "such as EUR, GBP or USD")
}

func FuzzParseMoney(f *testing.F) {
	for _, s := range []string{"4.99", "4,99", "0", "1e9", "٣", "999999999.99"} {
		f.Add(s, "EUR")
	}
	f.Add("1.234", "KWD")
	f.Fuzz(func(t *testing.T, text, code string) {
		m, err := ParseMoney("price", text, code)
		if err != nil {
			return
		}
		again, err := ParseMoney("price", m.Decimal(), m.Currency)
		if err != nil || again != m {
			t.Fatalf("%q %q: %+v, printed and read again %+v, %v", text, code, m, again, err)
		}
	})
}

func TestCheapestSheetPerUnit(t *testing.T) {
	// By hand, units of 52 × 37: A4 100 sheets for 6.40 = 3200 units, 0.2 ct each; 15 cm squares 50
	// for 1.00 = 500 units, 0.2 ct each: equal, kept in order; A5 gives 16: 100 for 2.40, 0.15 ct.
	a4 := Offer{Name: "copy", Sheet: named(t, "A4"), Sheets: 100, Price: *euros(t, "6.40")}
	square := Offer{Name: "squares", Sheet: named(t, "15 cm square"), Sheets: 50, Price: *euros(t, "1.00")}
	a5 := Offer{Name: "pad", Sheet: named(t, "A5"), Sheets: 100, Price: *euros(t, "2.40")}
	tiny := Offer{Name: "tiny", Sheet: named(t, "A10"), Sheets: 100, Price: *euros(t, "0.10")}
	got, err := Cheapest(context.Background(), Cutting{LongMM: 52, ShortMM: 37}, []Offer{tiny, a4, square, a5})
	require.NoError(t, err)
	var names []string
	for _, v := range got {
		names = append(names, v.Name)
	}
	assert.Equal(t, []string{"pad", "copy", "squares", "tiny"}, names)
	assert.Equal(t, 1600, got[0].PerPack)
	assert.InDelta(t, 0.15, got[0].PerUnit, 1e-9)
	assert.Zero(t, got[3].PerSheet)

	a5.Price.Currency = "USD"
	_, err = Cheapest(context.Background(), Cutting{LongMM: 52, ShortMM: 37}, []Offer{a4, a5})
	assert.ErrorContains(t, err, "in EUR and in USD")
}

// A million of the dearest currency (CLF has four decimals: 10¹⁰ minor units) for packs of up to 9.45 × 10⁸ units makes
// products beyond 64 bits: twice the units for the same price are always the cheaper ones.
func TestOffersOfAnySizeAreRanked(t *testing.T) {
	dear := Money{Minor: 10_000_000_000, Currency: "CLF"}
	less := Value{Offer: Offer{Name: "less", Price: dear}, PerPack: 472_500_000}
	more := Value{Offer: Offer{Name: "more", Price: dear}, PerPack: 945_000_000}
	none := Value{Offer: Offer{Name: "none", Price: dear}}
	assert.Equal(t, []int{-1, 1, 0}, []int{byPricePerUnit(more, less), byPricePerUnit(less, more), byPricePerUnit(more, more)})
	assert.Equal(t, []int{-1, 1}, []int{byPricePerUnit(less, none), byPricePerUnit(none, less)})
	rapid.Check(t, func(t *rapid.T) { // against the exact fractions of math/big
		draw := func(name string) Value {
			return Value{Offer: Offer{Price: Money{Minor: rapid.Int64Range(0, dear.Minor).Draw(t, name)}}, PerPack: rapid.IntRange(1, 1_000_000_000).Draw(t, name)}
		}
		a, b := draw("a"), draw("b")
		want := big.NewRat(a.Price.Minor, int64(a.PerPack)).Cmp(big.NewRat(b.Price.Minor, int64(b.PerPack)))
		if got := byPricePerUnit(a, b); got != want {
			t.Fatalf("%+v, %+v: %d, not %d", a, b, got, want)
		}
	})
}

func TestPrintedRowsAddUpToThePrintedTotal(t *testing.T) {
	// Three thirds of 100 printed whole: 33 + 33 + 33 would be 99.
	rows, total := AddUp([]float64{100.0 / 3, 100.0 / 3, 100.0 / 3}, 0)
	assert.Equal(t, []float64{34, 33, 33}, rows)
	assert.Equal(t, 100.0, total)
	// A4 of 80 g/m²: 10, 4 and 3 sheets are 49.896, 19.9584 and 14.9688 g, in all 84.8232 g (contract: 84.8).
	rows, total = AddUp([]float64{49.896, 19.9584, 14.9688}, 1)
	assert.Equal(t, []float64{49.9, 19.9, 15.0}, rows)
	assert.Equal(t, 84.8, total)
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOf(rapid.Float64Range(0, 1e5)).Draw(t, "values")
		rows, total := AddUp(values, 1)
		sum := int64(0)
		for i, r := range rows {
			sum += int64(math.Round(r * 10))
			if math.Abs(r-values[i]) > 0.1+1e-6 {
				t.Fatalf("%v printed as %v", values[i], r)
			}
		}
		if sum != int64(math.Round(total*10)) {
			t.Fatalf("rows add up to %d tenths, total %v", sum, total)
		}
	})
}

func TestSheetsForRoundsUp(t *testing.T) {
	for _, c := range []struct{ units, perSheet, sheets int }{{0, 32, 0}, {1, 32, 1}, {32, 32, 1}, {33, 32, 2}, {493, 32, 16}, {7, 1, 7}} {
		assert.Equal(t, c.sheets, SheetsFor(c.units, c.perSheet), "%d units at %d a sheet", c.units, c.perSheet)
	}
}
