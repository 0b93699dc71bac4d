package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/pace"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// plain takes the spaces that do not break for usual ones.
func plain(t words.Text) string { return strings.ReplaceAll(t.String(), "\u00a0", " ") }

// The example: 'about 12 cm (10–14 cm)'. 25.4 mm are an inch exactly (the international inch of 1959).
func TestLengthsAreShownAsRanges(t *testing.T) {
	tests := []struct {
		in     shape.Range
		inches bool
		want   string
	}{
		{shape.Range{Low: 96, Best: 120, High: 144}, false, "about 12 cm (10–14 cm)"},
		{shape.Range{Low: 96, Best: 120, High: 144}, true, "about 12 cm (10–14 cm) · about 5 in (4–6 in)"},
		{shape.Range{Low: 35.2, Best: 44, High: 52.8}, false, "about 4.4 cm (3.5–5.3 cm)"},
		{shape.Range{Low: 119, Best: 120, High: 121}, false, "about 12.0 cm (11.9–12.1 cm)"},
		{shape.Range{Low: 254, Best: 254, High: 254}, true, "about 25.40 cm · about 10.00 in"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, plain(ShowLength(tt.in, tt.inches)))
	}
}

func TestTimesAreShownAsCoarselyAsTheyAreKnown(t *testing.T) {
	tests := []struct {
		low, best, high float64
		want            string
	}{
		{4, 6, 9, "about 6 min (4–9 min)"},
		{27, 36, 52, "about 35 min (25–50 min)"},
		{61, 93, 149, "about 1½ h (1–2½ h)"},
		{20, 95, 200, "about 1½ h (½–3½ h)"},
		{363, 564, 817, "about 9½ h (6–13½ h)"},
		{1000, 1500, 2000, "about 25 h (17–33 h)"},
		{0, 0, 0, "about 0 min"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, plain(ShowTime(pace.Range{Low: tt.low, Best: tt.best, High: tt.high})))
	}
}

func TestAlikeGluedPiecesAreCountedTogether(t *testing.T) {
	f := &figure.Figure{Extras: []figure.Extra{
		{Kind: figure.Glued, Name: "left eye", Diameter: 8, Colour: "soot"},
		{Kind: figure.Tucked, Name: "wing", Units: 6, Colour: "soot"},
		{Kind: figure.Glued, Name: "right eye", Diameter: 8, Colour: "soot"},
		{Kind: figure.Glued, Name: "beak", Outline: figure.Triangle, Width: 20, Height: 12},
	}}
	assert.Equal(t, []GluedPiece{
		{Count: 2, Outline: figure.Disc, WMM: 8, Colour: "soot"}, {Count: 1, Outline: figure.Triangle, WMM: 20, HMM: 12},
	}, GluedPieces(f))
}

func TestAlikeStacksAreGathered(t *testing.T) {
	a, b := []StackPart{{"a", 10}}, []StackPart{{"a", 4}, {"b", 6}}
	p := CutPlan{Stacks: [][]StackPart{a, a, a, b}}
	assert.Equal(t, []StackRun{{1, 3, a}, {4, 4, b}}, p.StackRuns())
	assert.Equal(t, 40, p.Sheets())
}

func TestStripsAreToldFromWhatIsOfUse(t *testing.T) {
	c := Cutting{Offcuts: []Offcut{{Colour: "a", Count: 1, Units: 3}, {Colour: "a", Count: 14}, {Colour: "b", Count: 2, Pieces: []Fits{{"eye", 4}}}, {Colour: "b", Count: 6}}}
	useful, strips := c.Useful()
	require.Len(t, useful, 2)
	assert.Equal(t, 20, strips)
}
