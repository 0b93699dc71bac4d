package report

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

// with sets fields of the default settings.
func with(t testing.TB, f *figure.Figure, texts map[string]string) Settings {
	t.Helper()
	s, faults := DefaultSettings().With(f, texts)
	require.Empty(t, faults)
	return s
}

// Worked by hand. Brick: 59 units, 10 folded, so 49 + 3 spares (5 % of 49, rounded up) = 52 to fold; 8
// are cut, 44 to cut; 2 sheets at 32; one at hand, one to buy: a pack of 10 for 4.95, 9 sheets left.
func TestShoppingListAfterStock(t *testing.T) {
	f := load(t, "contract-example")
	s := with(t, f, map[string]string{
		"colour.brick.stock_folded": "10", "colour.brick.stock_cut": "8", "colour.brick.stock_sheets": "1",
		"colour.brick.pack_sheets": "10", "colour.brick.pack_price": "4.95",
		"colour.chalk.pack_price": "0.30", "colour.soot.stock_sheets": "5",
	})
	r := reportOf(t, f, s)
	brick := r.Shopping.Lines[0]
	assert.Equal(t, []int{10, 3, 52, 8, 44}, []int{brick.Folded, brick.Spare, brick.ToFold, brick.Cut, brick.ToCut})
	assert.Equal(t, []int{2, 1, 1, 1, 9}, []int{brick.Sheets, brick.Own, brick.Buy, brick.Packs, brick.Left})
	assert.Equal(t, &paper.Money{Minor: 495, Currency: "EUR"}, brick.Cost)
	soot := r.Shopping.Lines[2]
	assert.Equal(t, []int{1, 1, 0, 4}, []int{soot.Sheets, soot.Own, soot.Buy, soot.Left})
	assert.Equal(t, []paper.Money{{Minor: 525, Currency: "EUR"}}, r.Shopping.Costs)
	assert.True(t, r.Shopping.Priced, "nothing of soot is bought")
	assert.Equal(t, 52+18+6, r.Time.Work.Units, "what is folded already takes no time")
	table := r.ShoppingTable()
	assert.Equal(t, []any{nil, nil, nil, 68, 4, 2, 2, nil, 1, 5.25, 13}, table.Totals())
}

func TestPartUsedSheetsSaveAWholeOne(t *testing.T) {
	f := load(t, "contract-example")
	r := reportOf(t, f, with(t, f, map[string]string{"colour.soot.stock_parts": "2 × 105x150"}))
	soot := r.Shopping.Lines[2]
	assert.Equal(t, 0, soot.Sheets, "6 units: a 105 × 150 piece holds 8 of 52 × 37")
	assert.Equal(t, []paper.PartSheets{{WidthMM: 105, HeightMM: 150, Count: 1}}, soot.Parts)
}

func TestWithoutPricesThereAreNoCosts(t *testing.T) {
	r := reportOf(t, load(t, "contract-example"), DefaultSettings())
	assert.Empty(t, r.Shopping.Costs)
	assert.False(t, r.Shopping.Priced)
	assert.Equal(t, 4, r.Shopping.Buy)
	data, err := json.Marshal(r)
	require.NoError(t, err)
	assert.False(t, bytes.Contains(data, []byte("null")), "empty lists are [] in JSON")
}

// Contract: ten sheets of 80 g/m² are cut at once; the last sheet only as far as needed.
func TestWholeSheetsAreCutInStacks(t *testing.T) {
	f := ringsOf(25, 32, 1, 32) // 800 units and 40 spares: 26 whole sheets and 8 units of one more
	r := reportOf(t, f, DefaultSettings())
	require.Len(t, r.Cutting.Plans, 2)
	whole, last := r.Cutting.Plans[0], r.Cutting.Plans[1]
	assert.Equal(t, [][]StackPart{{{"a", 10}}, {{"a", 10}}, {{"a", 6}}}, whole.Stacks)
	assert.Equal(t, 32, whole.Units)
	assert.True(t, last.Last)
	assert.Equal(t, 8, last.Units)
	assert.Less(t, last.Strokes, whole.Strokes)
	assert.Equal(t, 3*whole.Strokes+last.Strokes, r.Cutting.Strokes)
	assert.Equal(t, 4, r.Cutting.Stacks)
}

// The lamp of 50 mm has no colour of its own, so any leftover 50 mm wide will do.
func TestOffcutsSayWhichGluedPieceFits(t *testing.T) {
	f := load(t, "contract-example")
	r := reportOf(t, f, DefaultSettings())
	fits := 0
	for _, o := range r.Cutting.Offcuts {
		for _, p := range o.Pieces {
			assert.Equal(t, "lamp", p.Name)
			assert.GreaterOrEqual(t, o.WidthMM, 50.0)
			fits += p.Count * o.Count
		}
	}
	assert.Positive(t, fits)
	f.Extras[1].Colour = "soot"
	for _, o := range reportOf(t, f, DefaultSettings()).Cutting.Offcuts {
		if o.Colour != "soot" {
			assert.Empty(t, o.Pieces)
		}
	}
}

// origami-resource-center.com, swan: 400 units among 20 people, 20 each.
func Test400UnitsAmong20People(t *testing.T) {
	f := ringsOf(20, 20, 4, 5)
	r := reportOf(t, f, with(t, f, map[string]string{"people": "20", "spare": "0"}))
	require.Len(t, r.Kits, 20)
	lots := 0
	for _, k := range r.Kits {
		assert.Equal(t, 20, k.Units)
		lots += len(k.Lots)
	}
	assert.LessOrEqual(t, lots, 20+4-1)
}

func TestKitsAndTimeAndShoppingAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := ringsOf(rapid.IntRange(1, 30).Draw(t, "rings"), rapid.IntRange(3, 60).Draw(t, "units"), rapid.IntRange(1, 12).Draw(t, "colours"), 3)
		s := DefaultSettings()
		s.People = rapid.IntRange(1, 40).Draw(t, "people")
		s.Spare = rapid.Float64Range(0, 30).Draw(t, "spare")
		s.Colours = map[string]*ColourPaper{"a": {
			StockFolded: rapid.IntRange(0, 50).Draw(t, "folded"), StockCut: rapid.IntRange(0, 50).Draw(t, "cut"),
			StockSheets: rapid.IntRange(0, 5).Draw(t, "sheets"), PackSheets: rapid.IntRange(1, 20).Draw(t, "pack"),
		}}
		s.Spare = float64(int(s.Spare*10)) / 10
		r, err := Make(context.Background(), f, s)
		if err != nil {
			t.Fatal(err)
		}
		fold, kits, shares, sheets, stacked := 0, 0, 0, 0, 0
		for _, l := range r.Shopping.Lines {
			fold += l.ToFold
			sheets += l.Sheets
			if l.Own+l.Buy != l.Sheets || l.Packs*l.PackOf < l.Buy {
				t.Fatalf("line %+v does not add up", l)
			}
		}
		for i, k := range r.Kits {
			kits += k.Units
			shares += r.Time.Shares[i]
		}
		for _, p := range r.Cutting.Plans {
			for _, stack := range p.Stacks {
				for _, part := range stack {
					stacked += part.Sheets
				}
			}
		}
		if fold != kits || kits != shares || shares != r.Time.Work.Units {
			t.Fatalf("to fold %d, in kits %d, in shares %d, in the time %d", fold, kits, shares, r.Time.Work.Units)
		}
		if sheets != stacked || sheets != r.Shopping.Sheets {
			t.Fatalf("%d sheets to take, %d in stacks, %d in all", sheets, stacked, r.Shopping.Sheets)
		}
	})
}

func TestEveryTableAddsUpAsPrinted(t *testing.T) {
	f := load(t, "contract-example")
	r := reportOf(t, f, with(t, f, map[string]string{"people": "4", "colour.brick.pack_price": "1.10", "colour.soot.pack_price": "2.05"}))
	printed := map[string]string{}
	for _, table := range r.Tables() {
		totals := table.Totals()
		for c, col := range table.Columns {
			if col.Total {
				printed[table.Key+"/"+col.Head.String()] = table.Cell(words.English, c, totals[c])
			}
		}
	}
	assert.Equal(t, "81", printed["colours/Units"])
	assert.Equal(t, "20.0", printed["colours/Weight, g"])
	assert.Equal(t, "4.25", printed["shopping/Cost, EUR"], "two sheets at 1.10 and one at 2.05")
	assert.Equal(t, "86", printed["kits/Units"])
	assert.Equal(t, "79", printed["rings/Units"])
}
