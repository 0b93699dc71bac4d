package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

// Three rings of three units and one spare are ten; a piece of 120 × 160 mm gives ten of 52 × 37 (three
// rows of three upright are 111 × 156, and none more fits beside them: 9), so a second one is begun.
func TestPartUsedSheetsStandInTheCuttingPlan(t *testing.T) {
	f := ringsOf(3, 3, 1, 3)
	r := reportOf(t, f, with(t, f, map[string]string{"colour.a.stock_parts": "2 × 120x160"}))
	line := r.Shopping.Lines[0]
	assert.Equal(t, 0, line.Sheets)
	require.NotEmpty(t, r.Cutting.Plans)
	got := fromThePlan(r)
	assert.Equal(t, 10, got.units["a"]-got.over["a"])
	assert.Equal(t, line.PartSheets(), got.parts["a"])
	for _, p := range r.Cutting.Plans {
		assert.True(t, p.Part)
		assert.Equal(t, "120x160", p.Sheet)
		assert.NotEmpty(t, p.Steps)
	}
	assert.Positive(t, r.Cutting.Strokes)
	assert.Positive(t, r.Time.Cutting)
}

// cutOut is what a maker has on the table who cuts the plan, by colour.
type cutOut struct {
	units, over, whole, parts map[string]int
	strokes, stacks           int
}

// fromThePlan cuts the plan: it counts the pieces of the unit's size on the drawing of each sheet, and the
// strokes in the steps of each stack. What it needs, it reads from the plan alone.
func fromThePlan(r *Report) cutOut {
	c := cutOut{map[string]int{}, map[string]int{}, map[string]int{}, map[string]int{}, 0, 0}
	for _, p := range r.Cutting.Plans {
		sheet := 0
		var walk func(n *paper.Node)
		walk = func(n *paper.Node) {
			if len(n.Parts) == 0 && n.Kind == paper.UnitNode && sized(n.W, n.H, r.Paper.Unit.LongMM, r.Paper.Unit.ShortMM) {
				sheet++
			}
			for _, part := range n.Parts {
				walk(part)
			}
		}
		walk(p.Tree)
		strokes := 0
		for _, s := range p.Steps {
			strokes += s.Take * s.Times
		}
		for _, stack := range p.Stacks {
			if strokes > 0 {
				c.stacks++
			}
			c.strokes += strokes
			for _, part := range stack {
				c.units[part.Colour] += sheet * part.Sheets
				c.over[part.Colour] += p.Over * part.Sheets
				if p.Part {
					c.parts[part.Colour] += part.Sheets
				} else {
					c.whole[part.Colour] += part.Sheets
				}
			}
		}
	}
	return c
}

func sized(w, h, a, b float64) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) < 1e-6 }
	return near(w, a) && near(h, b) || near(w, b) && near(h, a)
}

// drawOrder draws a figure and settings with stock, parts, packs, spares and sheets of its own.
func drawOrder(t *rapid.T) (*figure.Figure, Settings) {
	colours := rapid.IntRange(1, 5).Draw(t, "colours")
	f := ringsOf(rapid.IntRange(1, 25).Draw(t, "rings"), rapid.IntRange(3, 40).Draw(t, "units"), colours, rapid.IntRange(1, 7).Draw(t, "stretch"))
	s := DefaultSettings()
	s.People = rapid.IntRange(1, 9).Draw(t, "people")
	s.Spare = float64(rapid.IntRange(0, 300).Draw(t, "spare")) / 10
	s.MarginMM = rapid.SampledFrom([]float64{0, 0, 5, 7.5}).Draw(t, "margin")
	s.KerfMM = rapid.SampledFrom([]float64{0, 0, 0.5}).Draw(t, "kerf")
	s.StackMM = rapid.SampledFrom([]float64{0.1, 0.3, 1, 4}).Draw(t, "stack")
	s.Colours = map[string]*ColourPaper{}
	for i := range colours {
		if rapid.Bool().Draw(t, "plain") {
			continue
		}
		c := &ColourPaper{
			Sheet:       rapid.SampledFrom([]string{"", "", "A5", "A3", "15 cm square"}).Draw(t, "sheet"),
			StockSheets: rapid.IntRange(0, 4).Draw(t, "at hand"), StockCut: rapid.IntRange(0, 60).Draw(t, "cut"),
			StockFolded: rapid.IntRange(0, 60).Draw(t, "folded"), PackSheets: rapid.IntRange(0, 20).Draw(t, "pack"),
		}
		var parts []string
		for range rapid.IntRange(0, 3).Draw(t, "sizes") {
			parts = append(parts, fmt.Sprintf("%d × %gx%g", rapid.IntRange(1, 5).Draw(t, "count"),
				float64(rapid.IntRange(30, 300).Draw(t, "width")), float64(rapid.IntRange(30, 300).Draw(t, "height"))))
		}
		if rapid.IntRange(0, 3).Draw(t, "units lying about") == 0 {
			parts = append(parts, fmt.Sprintf("%d × 37x52", rapid.IntRange(1, 30).Draw(t, "of them")))
		}
		c.StockParts = strings.Join(parts, ", ")
		s.Colours[f.Colours[i].ID] = c
	}
	return f, s
}

// A9 is 37 × 52 mm (ISO 216), the unit itself: 9 units and a spare are ten sheets as they come, in no stacks and no
// time, with a row of its own in the table.
func TestSheetsThatAreUnitsAlreadyAreNotCut(t *testing.T) {
	f := ringsOf(3, 3, 1, 3)
	for _, set := range []map[string]string{{"sheet": "A9"}, {"colour.a.stock_parts": "300 × 52x37"}, {"colour.a.stock_parts": "300 × 37x52", "stack_mm": "0.1"}} {
		r := reportOf(t, f, with(t, f, set))
		require.Len(t, r.Cutting.Plans, 1, set)
		plan := r.Cutting.Plans[0]
		assert.True(t, plan.Uncut)
		assert.Equal(t, 10, plan.Sheets())
		assert.Equal(t, [3]float64{}, [3]float64{float64(r.Cutting.Strokes), float64(r.Cutting.Stacks), r.Time.Cutting}, "%v", set)
		rows := r.CuttingTable().Rows
		require.Len(t, rows, 1)
		assert.Equal(t, []any{1, 10, 1, 0, nil, nil, nil}, append([]any{rows[0][0]}, rows[0][2:8]...))
		assert.Equal(t, "These are units already: there is nothing to cut.", words.English.Say(rows[0][8].(words.Text)))
		for _, s := range r.Sources {
			for _, text := range s.Text {
				if s.Key == "cutting" || set["sheet"] != "" && s.Key == "per_sheet" {
					assert.NotContains(t, text.String(), "0 cuts")
					assert.NotContains(t, text.String(), "stop")
				}
			}
		}
	}
	// By hand: two of 105 × 74 give four each, so two of the ten are left for the units that lie about.
	mixed := reportOf(t, f, with(t, f, map[string]string{"colour.a.stock_parts": "4 × 52x37, 2 × 105x74"}))
	require.Len(t, mixed.Cutting.Plans, 2)
	assert.Equal(t, 1, mixed.Cutting.Stacks)
	assert.Equal(t, 2, mixed.Cutting.Plans[1].Sheets())
}

// Whatever the order: what comes out of whole sheets, last sheets and part-used sheets, with the units at
// hand, is what the figure needs, read from the pieces on the plan; and list, plan, time, kits and tables
// say the same.
func TestThePlanGivesEveryUnitOfTheOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, s := drawOrder(t)
		r, err := Make(context.Background(), f, s)
		require.NoError(t, err)
		got := fromThePlan(r)
		toFold, toCut := 0, 0
		for _, l := range r.Shopping.Lines {
			need := l.Units + l.Spare
			atHand := l.Folded + l.Cut
			if made := got.units[l.Colour] - got.over[l.Colour]; made+atHand != need {
				t.Fatalf("colour %s: %d cut and %d at hand, %d needed: %+v", l.Colour, made, atHand, need, l)
			}
			if got.whole[l.Colour] != l.Sheets || got.parts[l.Colour] != l.PartSheets() {
				t.Fatalf("colour %s: %d whole and %d part-used sheets in the plan, %d and %d on the list",
					l.Colour, got.whole[l.Colour], got.parts[l.Colour], l.Sheets, l.PartSheets())
			}
			toFold += l.ToFold
			toCut += l.ToCut
		}
		if got.strokes != r.Cutting.Strokes || got.strokes != r.Time.Work.Strokes || got.stacks != r.Cutting.Stacks || got.stacks != r.Time.Work.Stacks {
			t.Fatalf("%d strokes, %d stacks in the plan; %+v, %+v", got.strokes, got.stacks, r.Cutting, r.Time.Work)
		}
		if (toCut > 0) != (len(r.Cutting.Plans) > 0) || (got.strokes > 0) != (r.Time.Cutting > 0) || (got.strokes > 0) != (got.stacks > 0) {
			t.Fatalf("%d units to cut, %d strokes, %v min", toCut, got.strokes, r.Time.Cutting)
		}
		kits := 0
		for _, k := range r.Kits {
			for _, lot := range k.Lots {
				kits += lot.Units
			}
		}
		if kits != toFold {
			t.Fatalf("%d units in the kits, %d to fold", kits, toFold)
		}
		headlinesSay(t, r, got, kits)
		for _, o := range r.Cutting.Offcuts {
			if o.Count < 1 {
				t.Fatalf("%+v", o)
			}
		}
		tablesSay(t, r, got, toCut)
	})
}

// headlinesSay holds the numbers over the tables to what is cut and shared, and to their own sum.
func headlinesSay(t *rapid.T, r *Report, got cutOut, kits int) {
	s := r.Shopping
	cut, whole := 0, 0
	for _, c := range r.Paper.ByColour {
		cut += got.units[c.Colour] - got.over[c.Colour]
		whole += got.whole[c.Colour]
	}
	if s.ToFold != kits || r.Units.Total+s.Spare-s.Folded != s.ToFold || cut+s.Cut != s.ToFold || s.Sheets != whole {
		t.Fatalf("%d units, %d spares, %d folded, %d to fold, %d cut already, %d sheets; %d in kits, %d cut from %d sheets",
			r.Units.Total, s.Spare, s.Folded, s.ToFold, s.Cut, s.Sheets, kits, cut, whole)
	}
	table := r.ColourTable()
	row := map[string]any{}
	for c, v := range table.Totals() {
		row[table.Columns[c].Head.String()] = v
	}
	toFold := row["To fold"]
	if !s.FromStock() {
		toFold = row["Total"]
	}
	if row["Units"] != r.Units.Total || row["Spare"] != s.Spare || toFold != kits || row["Sheets"] != whole {
		t.Fatalf("the table of colours says %v", row)
	}
	if grams := table.Cell(words.English, len(table.Columns)-1, row["Weight, g"]); grams != fixed(s.MassG, 1) {
		t.Fatalf("%s g in the table, %v over it", grams, s.MassG)
	}
}

// tablesSay reads the CSV files and the workbook back.
func tablesSay(t *rapid.T, r *Report, got cutOut, toCut int) {
	whole, over := 0, 0
	for _, p := range r.Cutting.Plans {
		over += p.Over * p.Sheets()
	}
	for _, n := range got.whole {
		whole += n
	}
	book, err := xlsxOf(r)
	require.NoError(t, err)
	defer book.Close()
	for _, rows := range [][][]string{csvOf(t, r.CuttingTable()), sheetRows(t, book, "Cutting", r.CuttingTable())} {
		units, seen := 0, map[string]bool{}
		for _, row := range rows[1:] {
			if seen[row[0]] {
				continue
			}
			seen[row[0]] = true
			units += atoi(t, cellOf(t, rows[0], row, "Sheets")) * atoi(t, cellOf(t, rows[0], row, "Units in each"))
		}
		if units-over != toCut {
			t.Fatalf("the table of cuts gives %d units and %d over, %d to cut", units, over, toCut)
		}
	}
	for _, rows := range [][][]string{csvOf(t, r.ShoppingTable()), sheetRows(t, book, "Shopping", r.ShoppingTable())} {
		sheets, units := 0, 0
		for _, row := range rows[1:] {
			sheets += atoi(t, cellOf(t, rows[0], row, "Sheets"))
			units += atoi(t, cellOf(t, rows[0], row, "Units to cut"))
		}
		if sheets != whole || units != toCut {
			t.Fatalf("the shopping table has %d sheets and %d units, the plan %d and %d", sheets, units, whole, toCut)
		}
	}
}

func csvOf(t *rapid.T, table Table) [][]string {
	var b bytes.Buffer
	require.NoError(t, table.CSV(&b, words.English))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	return rows
}

func xlsxOf(r *Report) (*excelize.File, error) {
	var b bytes.Buffer
	if err := XLSX(&b, words.English, r.Tables()); err != nil {
		return nil, err
	}
	return excelize.OpenReader(&b)
}

// sheetRows are the rows of a sheet of the workbook without the row of totals.
func sheetRows(t *rapid.T, book *excelize.File, name string, table Table) [][]string {
	rows, err := book.GetRows(sheetName(words.English.Say(table.Name())))
	require.NoError(t, err, name)
	return rows[:1+len(table.Rows)]
}

func cellOf(t *rapid.T, head, row []string, name string) string {
	for i := range head {
		if head[i] == name {
			return row[i]
		}
	}
	t.Fatalf("no column %q in %v", name, head)
	return ""
}

func atoi(t *rapid.T, text string) int {
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return n
}
