package draw

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tuckring/internal/figure"
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
	lots := plainWall(t, 30, 40, 12)
	for i := range lots.Rings {
		for k := range lots.Rings[i].Cells {
			lots.Rings[i].Cells[k].Colour = 0
		}
	}
	for i := range 11 { // eleven papers of one unit each beside one of many
		lots.Rings[5].Cells[i].Colour = uint8(i + 1)
	}
	signsStandByTheirParts(t, lots, 100)
}

// With all 64 colours, alike or very unlike in number, at the width of a phone and of a page, the line from
// each sign leads to its own part, and no sign covers another.
func TestSignsOfManyColoursStandByTheirParts(t *testing.T) {
	for name, colourOf := range map[string]func(ring, unit int) int{
		"evenly":    func(ring, unit int) int { return (ring*40 + unit) % 64 },
		"one first": func(ring, unit int) int { return max(0, ring*40+unit-1137) },
		"one last":  func(ring, unit int) int { return min(63, ring*40+unit) },
		"growing":   func(ring, unit int) int { return int(64 * math.Sqrt(float64(ring*40+unit)/1200)) },
	} {
		f := plainWall(t, 30, 40, 64)
		for i := range f.Rings {
			for k := range f.Rings[i].Cells {
				f.Rings[i].Cells[k].Colour = uint8(colourOf(i, k))
			}
		}
		for _, width := range []float64{86, 170} {
			t.Run(fmt.Sprint(name, " ", width), func(t *testing.T) { signsStandByTheirParts(t, f, width) })
		}
	}
}

func signsStandByTheirParts(t *testing.T, f *figure.Figure, width float64) {
	t.Helper()
	d := ColourBar(f, width, words.English)
	assert.ElementsMatch(t, usedSigns(f), texts(d))
	part := map[string][2]float64{} // by sign: from where to where, mm
	x, all, counts := 1.0, 0, colourCounts(f)
	for _, n := range counts {
		all += n
	}
	for i, n := range counts {
		w := (width - 2) * float64(n) / float64(all)
		part[f.Signs()[i]] = [2]float64{x, x + w}
		x += w
	}
	var labels []*Label
	for i, it := range d.items {
		if it.text == nil {
			continue
		}
		l, end := it.text, it.text.X
		if before := d.items[i-1]; before.text == nil && before.paint.Fill.A == 0 { // its line
			xy := before.path.xy
			assert.InDelta(t, l.X, xy[0], 1e-9, "the line begins at the sign")
			end = xy[len(xy)-2]
		}
		assert.True(t, end >= part[l.Text][0]-1e-9 && end <= part[l.Text][1]+1e-9, "%s points to %.2f, its part is %.2f", l.Text, end, part[l.Text])
		w := TextWidth(l.Text, l.Size, true) / 2
		assert.True(t, l.X-w >= -0.5 && l.X+w <= width+0.5, "%s at %.1f", l.Text, l.X)
		for _, m := range labels {
			if math.Abs(m.Y-l.Y) < l.Size {
				assert.Greater(t, math.Abs(m.X-l.X), 2.2, "%s and %s", m.Text, l.Text)
			}
		}
		labels = append(labels, l)
	}
}

// usedSigns are the signs of the colours that units have.
func usedSigns(f *figure.Figure) (out []string) {
	for i, n := range colourCounts(f) {
		if n > 0 {
			out = append(out, f.Signs()[i])
		}
	}
	return out
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
