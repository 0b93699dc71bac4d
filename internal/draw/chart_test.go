package draw

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/shelf"
	"tuckring/internal/words"
)

// texts are the labels of a drawing.
func texts(d *Drawing) []string {
	var out []string
	for _, it := range d.items {
		if it.text != nil {
			out = append(out, it.text.Text)
		}
	}
	return out
}

// ISO 216: an A4 cut into 32 gives A9 of 37 × 52 mm.
func TestSheetLayoutShowsEveryPiece(t *testing.T) {
	a4, err := paper.ParseSheet("A4")
	require.NoError(t, err)
	l, err := paper.Best(paper.Cutting{Sheet: a4, LongMM: 52, ShortMM: 37})
	require.NoError(t, err)
	d := SheetLayout(l.Cutting, l.Tree, 120, words.English)
	assert.Len(t, regexp.MustCompile(`52 × 37|37 × 52`).FindAllString(strings.Join(texts(d), "|"), -1), 32)
	assert.Contains(t, texts(d), "210 × 297 mm, drawn 1 : 2")
	for _, stop := range []string{"52", "104", "156", "208"} {
		assert.Contains(t, texts(d), stop, "distance of a cut from the corner")
	}
}

func TestSheetLayoutKeepsTheMargin(t *testing.T) {
	a4, err := paper.ParseSheet("A4")
	require.NoError(t, err)
	l, err := paper.Best(paper.Cutting{Sheet: a4, LongMM: 80, ShortMM: 30, MarginMM: 5})
	require.NoError(t, err)
	d := SheetLayout(l.Cutting, l.Tree, 120, words.English)
	assert.Contains(t, texts(d), "5", "the first cut trims the margin")
}

func TestRingProfileNamesWhereTheCountChanges(t *testing.T) {
	f, err := figure.Read([]byte(`{"tuckring":1,"title":"t","unit":{"long_mm":52,"short_mm":18.5,"fold":"single"},
		"colours":[{"id":"a","name":"A","hex":"#aa0000"}],"rings":[
		{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},
		{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":12,"colour":"a"}]},{"runs":[{"n":8,"colour":"a","takes":3}]}],"front":0}`))
	require.NoError(t, err)
	assert.Equal(t, []string{"ring 1", "12 units", "ring 6", "8 units", "2 cm"}, texts(RingProfile(f, 120, words.English)))
}

func TestColourBarShowsEverySign(t *testing.T) {
	puffin := shelf.Demo()[0].Figure
	assert.ElementsMatch(t, puffin.Signs(), texts(ColourBar(puffin, 120, words.English)), "wide and narrow parts alike")
	lots := wall(t, 30, 40, 12)
	for i := range lots.Rings {
		for k := range lots.Rings[i].Cells {
			lots.Rings[i].Cells[k].Colour = 0
		}
	}
	for i := range 11 { // eleven papers of one unit each beside one of many
		lots.Rings[5].Cells[i].Colour = uint8(i + 1)
	}
	d := ColourBar(lots, 100, words.English)
	last := -10.0
	for _, it := range d.items {
		if it.text == nil || it.text.Y > 5 {
			continue
		}
		assert.Greater(t, it.text.X-last, 3.0, "signs stand apart")
		assert.Less(t, it.text.X, 100.0)
		last = it.text.X
	}
}

func TestTimelineShowsEverySessionAndTask(t *testing.T) {
	p := pace.Plan{People: 2, SessionMin: 90, Sessions: 2, Low: 2, High: 3, Blocks: []pace.Block{
		{Session: 1, Person: 0, Task: pace.Folding, FromMin: 0, ToMin: 80},
		{Session: 1, Person: 1, Task: pace.Folding, FromMin: 0, ToMin: 80},
		{Session: 1, Person: pace.Everybody, Task: pace.Tidying, FromMin: 80, ToMin: 90},
		{Session: 2, Person: 0, Task: pace.Assembling, FromMin: 0, ToMin: 60},
	}}
	got := texts(Timeline(p, 160, words.English))
	for _, want := range []string{"session 1", "session 2", "person 1", "person 2", "Folding", "Building"} {
		assert.Contains(t, got, want)
	}
	assert.NotContains(t, got, "Cutting", "nobody cuts in this plan")
}

func TestChartsAreWellFormed(t *testing.T) {
	for _, demo := range shelf.Demo() {
		for _, d := range []*Drawing{RingProfile(demo.Figure, 120, words.English), ColourBar(demo.Figure, 120, words.English)} {
			assert.NotContains(t, string(d.SVG()), "[draw.")
			assert.NotContains(t, string(d.SVG()), "NaN")
			assert.NotEmpty(t, d.Title)
		}
	}
}
