package paper

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func TestSheetsHaveThePublishedSizes(t *testing.T) {
	for _, row := range readCSV(t, "paper-sizes.csv") { // ISO 216; ANSI/ASME Y14.1
		s := named(t, row[0])
		assert.InDelta(t, numberOf(t, row[1]), s.WidthMM, 1e-9, row[0])
		assert.InDelta(t, numberOf(t, row[2]), s.HeightMM, 1e-9, row[0])
	}
}

// ISO 216 makes every size by halving the one before across its long side, rounded down to whole
// mm; B0 is 1000 × 1414.
func TestISOSizesAreHalvesOfTheOneBefore(t *testing.T) {
	for _, series := range [][]string{
		{"A0", "A1", "A2", "A3", "A4", "A5", "A6", "A7", "A8", "A9", "A10"},
		{"B0", "B1", "B2", "B3", "B4", "B5", "B6", "B7", "B8", "B9", "B10"},
	} {
		for i := range series[1:] {
			large, small := named(t, series[i]), named(t, series[i+1])
			assert.Equal(t, large.WidthMM, small.HeightMM, series[i+1])
			assert.Equal(t, math.Floor(large.HeightMM/2), small.WidthMM, series[i+1])
		}
	}
	assert.Equal(t, 1000.0, named(t, "B0").WidthMM)
	assert.Equal(t, 1414.0, named(t, "B0").HeightMM)
}

func TestSheetNamesAreReadAsPeopleTypeThem(t *testing.T) {
	for typed, want := range map[string]string{
		"a4": "A4", " A 4 ": "A4", "letter": "Letter", "15cm square": "15 cm square", "12 IN SQUARE": "12 in square",
		"210x297": "210x297", "18.5 × 52 mm": "18.5x52", "100X150": "100x150", "100.50*150": "100.5x150",
	} {
		s, err := ParseSheet(typed)
		require.NoError(t, err, typed)
		assert.Equal(t, want, s.Name)
	}
}

func TestEverySheetIsFoundByItsName(t *testing.T) {
	for _, s := range append(Sheets(), Sheet{"100.5x150", 100.5, 150}) {
		again, err := ParseSheet(s.Name)
		require.NoError(t, err)
		assert.Equal(t, s, again)
		assert.NotContains(t, s.Source().String(), "[")
		assert.NotContains(t, s.Label().String(), "[")
	}
}

func TestUnknownSheetsAreRefusedWithWhatIsAllowed(t *testing.T) {
	for typed, says := range map[string]string{
		"A11": "Letter, Legal, Tabloid", "": "There is no sheet called", "210,5x297": "Write decimals with a point",
		"-5x10": "52x37", "NaNxInf": "is not a size", "0x0": "10 to 3000 mm", "1e3x5": "is not a size", "9999x20": "9999 mm",
		"x": "is not a size", "1x2x3": "is not a size",
	} {
		_, err := ParseSheet(typed)
		var f figure.Fault
		require.ErrorAs(t, err, &f, typed)
		assert.Equal(t, "sheet", f.Where)
		assert.Contains(t, f.Error(), says, typed)
	}
}

func FuzzParseSheet(f *testing.F) {
	for _, s := range []string{"A4", "210x297", "18.5×52mm", "1e9x2", "NaNx1", "12 in square", "٣x٤"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSheet(text)
		if err != nil {
			if err.Error() == "" {
				t.Fatal("an error without words")
			}
			return
		}
		if s.Validate() != nil {
			t.Fatalf("%q is read as a sheet that is not allowed: %+v", text, s)
		}
		again, err := ParseSheet(s.Name)
		if err != nil || again != s {
			t.Fatalf("%q: %+v, but its name gives %+v, %v", text, s, again, err)
		}
	})
}

func TestMassOfAnA4(t *testing.T) {
	a4 := named(t, "A4")
	assert.InDelta(t, 4.99, Mass(a4, 80, 1), 0.005) // ISO 536 and ISO 216: 0.06237 m² × 80 g/m²
	assert.InDelta(t, 49.9, Mass(a4, 80, 10), 0.05) // contract: report --json
	assert.InDelta(t, 80, Mass(sheetOf(1000, 1000), 80, 1), 1e-9)
}

func TestCopyPaperIsATenthOfAMillimetreThick(t *testing.T) {
	assert.InDelta(t, 0.1, Thickness(80), 1e-9) // from memory
}

func TestGrammageOutOfRangeIsRefused(t *testing.T) {
	for _, g := range []float64{0, -80, 5, 2000, math.NaN(), math.Inf(1)} {
		var f figure.Fault
		require.ErrorAs(t, ValidateGrammage(g), &f)
		assert.Equal(t, "grammage", f.Where)
		assert.Contains(t, f.Error(), "copy paper has 80")
	}
	assert.NoError(t, ValidateGrammage(DefaultGrammage))
}
