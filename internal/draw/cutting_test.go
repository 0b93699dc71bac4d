package draw

import (
	"context"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/paper"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

func bestOf(t require.TestingT, sheet string, long, wide, margin, kerf float64) *paper.Layout {
	s, err := paper.ParseSheet(sheet)
	require.NoError(t, err)
	l, err := paper.Best(context.Background(), paper.Cutting{Sheet: s, LongMM: long, ShortMM: wide, MarginMM: margin, KerfMM: kerf})
	require.NoError(t, err)
	return l
}

// ISO 216: an A4 cut into 32 gives A9 of 37 × 52 mm.
func TestCuttingCarriesDimensionsAndStepNumbers(t *testing.T) {
	l := bestOf(t, "A4", 52, 37, 0, 0)
	d := Cutting(CuttingOptions{Sheet: l.Cutting.Sheet, Tree: l.Tree})
	got := texts(d)
	assert.Contains(t, got, "210 mm")
	assert.Contains(t, got, "297 mm")
	assert.Contains(t, got, "52 × 37")
	assert.Contains(t, got, "scale 1 : 3", "297 mm on at most 118 mm")
	assert.Contains(t, d.Title, "32 units")
	for i := range l.Steps {
		assert.Contains(t, got, strconv.Itoa(i+1))
	}
}

// On paper a sheet drawn at 1 : 3 is a third as wide and as high.
func TestCuttingIsAtScale(t *testing.T) {
	l := bestOf(t, "A4", 52, 37, 0, 0)
	d := Cutting(CuttingOptions{Sheet: l.Cutting.Sheet, Tree: l.Tree})
	path := d.items[0].path
	assert.InDelta(t, 70, path.xy[2]-path.xy[0], 1e-9)
	assert.InDelta(t, 99, path.xy[5]-path.xy[1], 1e-9)
}

// Thousands of units are drawn, one and all, in so few shapes that a phone shows them.
func TestCuttingOfThousandsOfUnitsStaysLight(t *testing.T) {
	l := bestOf(t, "1000x700", 8, 5, 0, 0)
	d := Cutting(CuttingOptions{Sheet: l.Cutting.Sheet, Tree: l.Tree})
	assert.Less(t, len(d.items), 60)
	rectangles := 0
	for _, it := range d.items {
		if it.path != nil && it.paint.Fill == accentTint {
			rectangles += len(it.path.xy) / 8 // four corners
		}
	}
	assert.Equal(t, 17_500, rectangles)
}

func TestCuttingOfALastSheetShowsWhatIsKept(t *testing.T) {
	l := bestOf(t, "A4", 52, 37, 0, 0)
	part, err := l.Part(5)
	require.NoError(t, err)
	d := Cutting(CuttingOptions{Sheet: l.Cutting.Sheet, Tree: part.Tree})
	assert.Contains(t, d.Title, "5 units")
	assert.Contains(t, texts(d), "296 × 158", "297 less the millimetre that is trimmed, 210 less one strip of 52")
}

// Every step of any plan stands on a line of the drawing, whatever sheet, margin and blade.
func TestEveryStepStandsOnALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sheet := rapid.SampledFrom([]string{"A4", "A3", "Letter", "15 cm square", "A5"}).Draw(t, "sheet")
		long := float64(rapid.IntRange(30, 90).Draw(t, "long"))
		wide := float64(rapid.IntRange(18, 60).Draw(t, "short"))
		l := bestOf(t, sheet, max(long, wide), min(long, wide), float64(rapid.IntRange(0, 8).Draw(t, "margin")), rapid.SampledFrom([]float64{0, 0.5, 2}).Draw(t, "kerf"))
		part, err := l.Part(rapid.IntRange(1, l.PerSheet).Draw(t, "units"))
		require.NoError(t, err)
		d := Cutting(CuttingOptions{Sheet: l.Cutting.Sheet, Tree: part.Tree})
		steps := map[string]*Label{}
		for _, it := range d.items {
			if it.text != nil && it.text.Bold {
				steps[it.text.Text] = it.text
			}
		}
		for i := range part.Steps {
			n := steps[strconv.Itoa(i+1)]
			require.NotNil(t, n, "step %d of %d", i+1, len(part.Steps))
			for _, it := range d.items {
				if it.text != nil && strings.Contains(it.text.Text, " × ") && circleOn(n, it.text) {
					t.Fatalf("step %d lies on %q", i+1, it.text.Text)
				}
			}
		}
	})
}

// circleOn tells whether the circle around a step's number lies on a text.
func circleOn(step, text *Label) bool {
	const radius, height = 2.3, 2.9 // mm, as drawn
	w, h := TextWidth(text.Text, text.Size, false), height
	x, y := text.X, text.Y-1
	if text.Turned {
		w, h = h, w
		x, y = text.X-1, text.Y
	}
	dx := max(math.Abs(step.X-x)-w/2, 0)
	dy := max(math.Abs(step.Y-1.05-y)-h/2, 0)
	return math.Hypot(dx, dy) < radius
}

func TestProfileTellsSizeAndCounts(t *testing.T) {
	f, err := figure.Read([]byte(`{"tuckring":1,"title":"t","unit":{"long_mm":52,"short_mm":18.5,"fold":"single"},
		"colours":[{"id":"a","name":"A","hex":"#aa0000"}],"rings":[
		{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},
		{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":8,"colour":"a","takes":3}]}],"front":0}`))
	require.NoError(t, err)
	// By hand (internal/shape, TestSizeFromMemoryIsTheOutsideAndARange): 75 mm from tip to tip, 68 mm high.
	got := texts(Profile(shape.Estimate(f, shape.FromMemory(f.Unit)), 110, 90, words.English))
	assert.Equal(t, []string{"ring 1: 12", "ring 6: 8", "75 mm", "68 mm"}, got)
}

// A wing that reaches beyond the wall is measured with it: the line as long as the dimension says is drawn around the lighter reach.
func TestProfileSaysWhatIsMeasuredWithExtras(t *testing.T) {
	f := figure.Tube("T", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "A", Hex: "#aa0000"}}, 16, 8)
	plain := texts(Profile(shape.Estimate(f, shape.FromMemory(f.Unit)), 110, 90, words.English))
	assert.NotContains(t, strings.Join(plain, "\n"), "extras")
	f.Extras = []figure.Extra{{ID: 1, Kind: figure.Tucked, Name: "Wing", Colour: f.Colours[0].ID, Ring: 5, At: 4, Units: 6}}
	size := shape.Estimate(f, shape.FromMemory(f.Unit))
	winged := texts(Profile(size, 110, 90, words.English))
	assert.Contains(t, winged, strconv.Itoa(int(math.Round(size.Diameter.Best)))+" mm with extras")
	assert.NotContains(t, winged, strconv.Itoa(int(math.Round(size.Height.Best)))+" mm with extras", "the wing reaches no higher than the wall")
}
