package draw

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/internal/pace"
	"tuckring/internal/shape"
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
		size := shape.Estimate(demo.Figure, shape.FromMemory(demo.Figure.Unit))
		for _, d := range []*Drawing{Profile(size, 110, 90, words.English), ColourBar(demo.Figure, 120, words.English)} {
			assert.NotContains(t, string(d.SVG()), "[draw.")
			assert.NotContains(t, string(d.SVG()), "NaN")
			assert.NotEmpty(t, d.Title)
		}
	}
}
