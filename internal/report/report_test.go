package report

import (
	"context"
	"encoding/json"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
)

func reportOf(t testing.TB, f *figure.Figure, s Settings) *Report {
	t.Helper()
	r, err := Make(context.Background(), f, s)
	require.NoError(t, err)
	return r
}

// ringsOf is a figure of equal rings of n units whose colours change as often as asked for.
func ringsOf(rings, n, colours, stretch int) *figure.Figure {
	f := &figure.Figure{Title: "Rings", Unit: figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}}
	for c := range colours {
		f.Colours = append(f.Colours, figure.Colour{ID: string(rune('a' + c)), Name: string(rune('A' + c)), Hex: "#a63a2b"})
	}
	for i := range rings {
		r := figure.Ring{ID: figure.RingID(i + 1), Cells: make([]figure.Cell, n)}
		for k := range r.Cells {
			r.Cells[k].Colour = uint8((i + k/stretch) % colours)
			if i > 0 {
				r.Cells[k].Takes = figure.PlainTakes
			}
		}
		if i > 0 {
			r.Start = f.Footing(i).Usual()
		}
		f.Rings = append(f.Rings, r)
	}
	return f
}

// The Star (Malaysia), 14 March 2012: 68 units from one and a half sheets of A4 cut into 64 strips each,
// 1½ hours from cutting to glue.
func TestPublishedFigure(t *testing.T) {
	r := reportOf(t, load(t, "sixty-eight"), DefaultSettings())
	assert.Equal(t, 68, r.Units.Total)
	assert.Equal(t, 64, r.Paper.PerSheet)
	assert.Equal(t, 2, r.Paper.Sheets)
	assert.Equal(t, 18.5, r.Paper.Unit.LegMM)
	assert.Greater(t, r.Time.Total, 60.0)
	assert.Less(t, r.Time.Total, 120.0)
}

// Contract: brick 275 units with 5 % spares, 14, fill 10 sheets of A4 at 32 a sheet and weigh 49.9 g;
// 17 sheets weigh 84.8 g.
func TestContractsNumbers(t *testing.T) {
	f := ringsOf(1, 275, 3, 275)
	f.Rings = append(f.Rings, ringsOf(2, 118, 3, 118).Rings[1], ringsOf(3, 96, 3, 96).Rings[2])
	r := reportOf(t, f, DefaultSettings())
	brick := r.Paper.ByColour[0]
	assert.Equal(t, []int{275, 14, 10, 32}, []int{brick.Units, brick.Spare, brick.Sheets, brick.PerSheet})
	assert.Equal(t, 49.9, brick.MassG)
	assert.Equal(t, 489, r.Units.InRings)
	// 118 + 6 = 124 fill 4 sheets; 96 + 5 = 101 fill 4.
	assert.Equal(t, 18, r.Paper.Sheets)
	assert.Equal(t, 89.8, r.Paper.MassG, "18 sheets of 4.9896 g")
}

func TestJSONIsTheContracts(t *testing.T) {
	data, err := json.Marshal(reportOf(t, load(t, "contract-example"), DefaultSettings()))
	require.NoError(t, err)
	var got struct {
		Title string
		Units struct {
			Total    int
			InRings  int `json:"in_rings"`
			InExtras int `json:"in_extras"`
			ByColour []struct {
				Colour, Name string
				Units        int
			} `json:"by_colour"`
		}
		Rings []struct {
			Ring, Units int
			Runs        []struct {
				Colour string
				Units  int
			}
		}
		Paper struct {
			Sheet string
			Unit  struct {
				Long  float64 `json:"long_mm"`
				Short float64 `json:"short_mm"`
				Fold  string
				Leg   float64 `json:"leg_mm"`
			}
			PerSheet int `json:"per_sheet"`
			ByColour []struct {
				Colour               string
				Units, Spare, Sheets int
				Mass                 float64 `json:"mass_g"`
			} `json:"by_colour"`
			Sheets int
			Mass   float64 `json:"mass_g"`
		}
		Time map[string]any
	}
	require.NoError(t, json.Unmarshal(data, &got))
	assert.Equal(t, "Harbour lighthouse", got.Title)
	assert.Equal(t, []int{81, 79, 2}, []int{got.Units.Total, got.Units.InRings, got.Units.InExtras})
	assert.Equal(t, "Brick red", got.Units.ByColour[0].Name)
	assert.Equal(t, 59, got.Units.ByColour[0].Units)
	assert.Len(t, got.Rings[2].Runs, 3)
	assert.Equal(t, "A4", got.Paper.Sheet)
	assert.Equal(t, []any{52.0, 37.0, "doubled", 18.5}, []any{got.Paper.Unit.Long, got.Paper.Unit.Short, got.Paper.Unit.Fold, got.Paper.Unit.Leg})
	assert.Equal(t, 32, got.Paper.PerSheet)
	assert.Equal(t, []int{59, 3, 2}, []int{got.Paper.ByColour[0].Units, got.Paper.ByColour[0].Spare, got.Paper.ByColour[0].Sheets})
	assert.Equal(t, 4, got.Paper.Sheets)
	assert.Equal(t, 20.0, got.Paper.Mass)
	sum := 0.0
	for _, field := range []string{"cutting_min", "folding_min", "assembly_min", "finishing_min"} {
		sum += got.Time[field].(float64)
	}
	assert.InDelta(t, sum, got.Time["total_min"], 1e-9)
	assert.EqualValues(t, 1, got.Time["people"])
}

func TestAColourMayHaveASheetOfItsOwn(t *testing.T) {
	s, faults := DefaultSettings().With(load(t, "contract-example"), map[string]string{"colour.soot.sheet": "15 cm square", "colour.soot.grammage": "120"})
	require.Empty(t, faults)
	r := reportOf(t, load(t, "contract-example"), s)
	soot := r.Paper.ByColour[2]
	assert.Equal(t, "15 cm square", soot.Sheet)
	assert.Equal(t, 32, r.Paper.ByColour[0].PerSheet)
	assert.Equal(t, 10, soot.PerSheet, "two rows of four standing, and two lying in the 46 mm above them")
	assert.Equal(t, 2.7, soot.MassG, "0.0225 m² of 120 g/m²")
}

func TestUnusedColoursNeedNoPaper(t *testing.T) {
	f := load(t, "sixty-eight")
	f.Colours = append(f.Colours, figure.Colour{ID: "spare", Name: "Spare", Hex: "#000000"})
	r := reportOf(t, f, DefaultSettings())
	assert.Len(t, r.Units.ByColour, 2)
	assert.Len(t, r.Paper.ByColour, 1)
}

func TestUnitLargerThanTheSheetIsAFaultOfTheSheet(t *testing.T) {
	s := DefaultSettings()
	s.Sheet = "A10"
	_, err := Make(context.Background(), load(t, "contract-example"), s)
	var faults figure.Faults
	require.ErrorAs(t, err, &faults)
	assert.Equal(t, "sheet", faults[0].Where)
	s = DefaultSettings()
	s.MarginMM = 150
	_, err = Make(context.Background(), load(t, "contract-example"), s)
	require.ErrorAs(t, err, &faults)
	assert.Equal(t, "margin_mm", faults[0].Where)
}

func TestMorePeopleFoldSooner(t *testing.T) {
	s := DefaultSettings()
	one := reportOf(t, load(t, "contract-example"), s)
	s.People, s.SessionMin = 9, 90
	nine := reportOf(t, load(t, "contract-example"), s)
	assert.Less(t, nine.Time.Folding, one.Time.Folding/3)
	assert.Equal(t, one.Time.Cutting, nine.Time.Cutting)
	assert.Nil(t, one.Time.Plan)
	require.NotNil(t, nine.Time.Plan)
	assert.Equal(t, 1, nine.Time.Plan.Sessions)
	sum := 0
	for _, n := range nine.Time.Shares {
		sum += n
	}
	assert.Equal(t, 86, sum, "81 units and 5 spares")
}

func TestTotalsAreTheReports(t *testing.T) {
	f := load(t, "contract-example")
	r, totals := reportOf(t, f, DefaultSettings()), TotalsOf(context.Background(), f, DefaultSettings())
	assert.Equal(t, r.Units.Total, totals.Units)
	assert.Equal(t, r.Paper.Sheets, totals.Sheets)
	for i, c := range r.Paper.ByColour {
		assert.Equal(t, ColourTotal{c.Colour, c.Units, c.Sheets}, totals.ByColour[i])
	}
	f.Unit.LongMM = 500
	assert.Equal(t, 81, TotalsOf(context.Background(), f, DefaultSettings()).Units)
	assert.Zero(t, TotalsOf(context.Background(), f, DefaultSettings()).Sheets)
}

// The report of 200 × 64 units must take less than 5 ms, of 100 000 units in 12 colours less than
// 20 ms, and ten times the units at most eleven times the time.
func BenchmarkReport200x64(b *testing.B) {
	f := ringsOf(200, 64, 12, 5)
	gauge.Duration(b, "Report of 200 rings × 64 units", 5*time.Millisecond, making(b, f), reading(b, f, 1))
}

func BenchmarkReport100000Units(b *testing.B) {
	f := ringsOf(1000, 100, 12, 3)
	gauge.Duration(b, "Report of 100 000 units in 12 colours", 20*time.Millisecond, making(b, f), reading(b, f, 1))
}

func BenchmarkReportGrowth(b *testing.B) {
	many, tenth := gauge.Turns(b, making(b, ringsOf(1000, 100, 12, 3)), making(b, ringsOf(100, 100, 12, 3)))
	gauge.Report(b, gauge.Figure{Name: "Report of ten times the units", Unit: "ms", Measured: gauge.MS(many), Allowed: 11 * gauge.MS(tenth),
		Baseline: gauge.MS(tenth), Against: "report of 10 000 units", Most: 11})
}

func BenchmarkTotals200x64(b *testing.B) {
	f, s := ringsOf(200, 64, 12, 5), DefaultSettings()
	gauge.Duration(b, "Totals of 200 rings × 64 units", time.Millisecond, func() { TotalsOf(context.Background(), f, s) },
		gauge.Baseline{Name: "its report", Deed: making(b, f), Most: 0.05})
}

// reading reads the document of the figure, which every report of a file begins with.
func reading(b *testing.B, f *figure.Figure, most float64) gauge.Baseline {
	document := f.Write()
	return gauge.Baseline{Name: "reading its document", Most: most, Deed: func() {
		if _, err := figure.Read(document); err != nil {
			b.Fatal(err)
		}
	}}
}

// making makes the report of a figure.
func making(b *testing.B, f *figure.Figure) func() {
	s := DefaultSettings()
	return func() {
		if _, err := Make(context.Background(), f, s); err != nil {
			b.Fatal(err)
		}
	}
}

// From memory (the trade's brief): pitch 0.58 and rise 0.48 of the leg, each ±20 %. The published figure's
// leg is 18.5 mm: 5 rises of 8.88 mm over a lowest ring of 18.5 × (cos 18° + sin 18°) = 23.3 mm; 12 units of 10.73 mm
// around, with 18.5 × (cos 18° − sin 18°) = 11.9 mm of spine on either side.
func TestSizeIsARangeUntilASwatchIsMeasured(t *testing.T) {
	f := load(t, "sixty-eight")
	r := reportOf(t, f, DefaultSettings())
	assert.False(t, r.Size.Calibrated)
	assert.InDelta(t, 67.7, r.Size.Height.Best, 0.3)
	assert.InDelta(t, 23.3+5*7.1, r.Size.Height.Low, 0.3)
	assert.InDelta(t, 41.0+2*11.9, r.Size.Rings[0].Diameter.Best, 0.3)
	s, faults := DefaultSettings().With(f, map[string]string{
		"swatch_units": "12", "swatch_rings": "6", "swatch_diameter_mm": "44", "swatch_height_mm": "60"})
	require.Empty(t, faults)
	assert.Equal(t, 52.0, s.Swatch.LongMM, "a swatch without a unit is of the figure's own")
	r = reportOf(t, f, s)
	assert.True(t, r.Size.Calibrated)
	assert.InDelta(t, 60, r.Size.Height.Best, 1e-6)
	assert.InDelta(t, 44, r.Size.Rings[0].Diameter.Best, 1e-6)
	f.Unit.LongMM, f.Unit.ShortMM = 104, 37
	assert.False(t, reportOf(t, f, s).Size.Calibrated, "a larger unit is not what was measured")
}

func TestHalfASwatchIsRefused(t *testing.T) {
	_, faults := DefaultSettings().With(nil, map[string]string{"swatch_units": "12", "swatch_rings": "6"})
	require.Len(t, faults, 1)
	assert.Equal(t, "swatch_diameter_mm", faults[0].Where)
}

// Spines as long as a leg of 18.5 mm stand out on either side, so a ring of 12 cannot measure 20 mm outside; and the
// lowest ring alone is 23 mm high.
func TestSwatchThatCannotBeIsRefusedBesideItsMeasure(t *testing.T) {
	f := load(t, "sixty-eight")
	for field, value := range map[string]string{"swatch_diameter_mm": "20", "swatch_height_mm": "21"} {
		texts := map[string]string{"swatch_units": "12", "swatch_rings": "6", "swatch_diameter_mm": "64", "swatch_height_mm": "68"}
		texts[field] = value
		_, faults := DefaultSettings().With(f, texts)
		require.Len(t, faults, 1, field)
		assert.Equal(t, field, faults[0].Where)
		assert.Contains(t, faults[0].What.String(), "the swatch can be")
	}
}

// manyParts is a figure of nearly as many units as there may be, in as many parts.
func manyParts(b *testing.B) *figure.Figure {
	f, err := figure.Read(ringsOf(200, 250, 12, 3).Write()) // with identities
	if err != nil {
		b.Fatal(err)
	}
	for k := range figure.MaxParts - 1 {
		_, _, err := figure.Apply(f, &figure.SetOn{On: f.Rings[0].ID, How: figure.GluedOn, Name: "Part " + strconv.Itoa(k), Colour: f.Colours[0].ID, Units: 97, Rows: 8})
		if err != nil {
			b.Fatal(err)
		}
	}
	return f
}

// Of 64 parts the report takes at most 1.2 times as long as that of one tube of as many units, and so does reading.
func BenchmarkReportOfParts(b *testing.B) {
	f := manyParts(b)
	many, one := gauge.Turns(b, making(b, f), making(b, ringsOf(f.Units()/100, 100, 12, 3)))
	gauge.Report(b, gauge.Figure{Name: "Report of 64 parts", Unit: "ms", Measured: gauge.MS(many), Allowed: 1.2 * gauge.MS(one),
		Baseline: gauge.MS(one), Against: "report of one tube of as many units", Most: 1.2})
}

func BenchmarkReadingParts(b *testing.B) {
	f := manyParts(b)
	many, one := gauge.Turns(b, reading(b, f, 1).Deed, reading(b, ringsOf(f.Units()/100, 100, 12, 3), 1).Deed)
	gauge.Report(b, gauge.Figure{Name: "Reading 64 parts", Unit: "ms", Measured: gauge.MS(many), Allowed: 1.2 * gauge.MS(one),
		Baseline: gauge.MS(one), Against: "reading one tube of as many units", Most: 1.2})
}
