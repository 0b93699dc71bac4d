package report

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/words"
)

func written(t require.TestingT, v any) string {
	var b bytes.Buffer
	require.NoError(t, WriteJSON(&b, v))
	return b.String()
}

func TestNumbersAreWrittenAsAPersonWould(t *testing.T) {
	got := written(t, map[string]any{
		"leg_mm": 35.519999999999996, "stop_mm": 18.123456, "used": 0.885, "units": 493, "title": "1.23456789 \\\" 2.3456789",
		"cutting_min": 14.399999999999999, "mass_g": 49.896, "tiny": 1e-9, "minus": -0.00000001, "large": 1e300,
		"size": map[string]any{"height_mm": map[string]any{"low": 207.35999999999999, "best": 259.2}},
		"time": map[string]any{"range": map[string]any{"total_min": []float64{1.25, 2.999999}}},
	})
	assert.JSONEq(t, `{"leg_mm": 35.52, "stop_mm": 18.123456, "used": 0.885, "units": 493, "title": "1.23456789 \\\" 2.3456789",
		"cutting_min": 14.4, "mass_g": 49.9, "tiny": 0, "minus": 0, "large": 1e300,
		"size": {"height_mm": {"low": 207.4, "best": 259.2}}, "time": {"range": {"total_min": [1.3, 3]}}}`, got)
	assert.NotContains(t, got, "-0,")
	assert.True(t, strings.HasPrefix(got, "{\n  \""))
}

var longNumber = regexp.MustCompile(`(?m)[-0-9]+\.[0-9]{7,}|[0-9][eE][-+]?[0-9]`)

// Whatever the figure and the paper, no number of the report, of a layout or of a table has noise behind
// its last place, and the stages of the time add up to the total as they are written.
func TestNoNoiseInAnyNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, s := drawOrder(t)
		f.Unit.LongMM = float64(rapid.IntRange(4000, 9000).Draw(t, "long")) / 100
		f.Unit.ShortMM = float64(rapid.IntRange(2000, 3900).Draw(t, "short")) / 100
		r, err := Make(context.Background(), f, s)
		require.NoError(t, err)
		texts := []string{numbersOnly(written(t, r))}
		l, err := paper.Best(context.Background(), paper.ForUnit(paper.Sheet{WidthMM: 210, HeightMM: 297}, f.Unit))
		require.NoError(t, err)
		texts = append(texts, numbersOnly(written(t, l)))
		for _, table := range r.Tables() {
			var b bytes.Buffer
			require.NoError(t, table.CSV(&b, words.English))
			texts = append(texts, b.String())
		}
		for _, text := range texts {
			if found := longNumber.FindString(text); found != "" {
				t.Fatalf("%s in %.3000s", found, text)
			}
		}
		var got struct {
			Unit struct{}
			Time map[string]json.RawMessage
		}
		require.NoError(t, json.Unmarshal([]byte(written(t, r)), &got))
		sum, total := 0.0, 0.0
		for _, stage := range []string{"cutting_min", "folding_min", "assembly_min", "finishing_min"} {
			var v float64
			require.NoError(t, json.Unmarshal(got.Time[stage], &v))
			sum += v
		}
		require.NoError(t, json.Unmarshal(got.Time["total_min"], &total))
		if math.Abs(sum-total) > 1e-6 {
			t.Fatalf("stages come to %v, the total is %v", sum, total)
		}
	})
}

var jsonString = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)

func numbersOnly(text string) string { return jsonString.ReplaceAllString(text, `""`) }

// A stop is set to what the unit measures, however fine, in the table as on the page.
func TestTableOfCutsHasTheStopsAsTheyAre(t *testing.T) {
	f := ringsOf(3, 12, 1, 3)
	f.Unit = figure.Unit{LongMM: 52.25, ShortMM: 35.52, Fold: figure.Doubled}
	table := reportOf(t, f, DefaultSettings()).CuttingTable()
	var b bytes.Buffer
	require.NoError(t, table.CSV(&b, words.English))
	assert.Contains(t, b.String(), ",52.25,")
	assert.Contains(t, b.String(), ",35.52,")
}
