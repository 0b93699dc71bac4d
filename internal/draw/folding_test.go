package draw

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/words"
)

func folded(t *testing.T, u figure.Unit) *fold.Pattern {
	t.Helper()
	p, err := fold.NewPattern(u)
	require.NoError(t, err)
	return p
}

var foldedPapers = map[string]figure.Unit{
	"A9": {LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, "strip": {LongMM: 80, ShortMM: 30, Fold: figure.Single},
	"tucked twice": {LongMM: 80, ShortMM: 10, Fold: figure.Single}, "hardly a flap": {LongMM: 41, ShortMM: 40, Fold: figure.Doubled},
}

// strokes are the dashes that a drawing's lines are drawn with, each as often as it is drawn.
func strokes(d *Drawing) map[string]int {
	out := map[string]int{}
	for _, it := range d.items {
		if it.path == nil {
			continue
		}
		switch len(it.paint.Dashes) {
		case len(valleyDashes):
			out["valley"] += strings.Count(string(it.path.ops), "M")
		case len(mountainDashes):
			out["mountain"] += strings.Count(string(it.path.ops), "M")
		}
	}
	return out
}

// Dashes are valley folds, dashes and dots mountain folds (Yoshizawa and Randlett; from memory). By hand: on the single strip two
// ends, two corners and two flaps are valleys, and the half is a mountain on the plain side.
func TestDiagramsKeepTheSignsOfFolding(t *testing.T) {
	p := folded(t, foldedPapers["strip"])
	assert.Equal(t, map[string]int{"valley": 6, "mountain": 1}, strokes(Creases(p, 60, 40, words.English)))
	for _, st := range p.Steps {
		want := map[string]int{}
		if n := len(st.Lines); n > 0 {
			want["valley"] = n
		}
		assert.Equal(t, want, strokes(FoldStep(st, 60, 40, words.English)), st.Name)
	}
}

// Every picture stays within its frame, however narrow the strip is, and the words at the unit too.
func TestDiagramsStayWithinTheirFrames(t *testing.T) {
	for name, u := range foldedPapers {
		p := folded(t, u)
		for i, one := range foldDiagrams(p, words.English) {
			for _, size := range [][2]float64{{58, 30}, {92, 55}, {150, 40}} {
				d := one.draw(size[0], size[1])
				require.NotEmpty(t, d.items)
				for _, it := range d.items {
					if l := it.text; l != nil {
						w := TextWidth(l.Text, l.Size, l.Bold)
						from := l.X - map[Anchor]float64{Start: 0, Middle: w / 2, End: w}[l.Anchor]
						assert.True(t, from >= 0 && from+w <= size[0] && l.Y <= size[1], "%s, %d: %q", name, i+1, l.Text)
						continue
					}
					for k := 0; k < len(it.path.xy); k += 2 {
						x, y := it.path.xy[k], it.path.xy[k+1]
						require.True(t, x >= 0 && x <= size[0] && y >= 0 && y <= size[1], "%s, %d: %.1f, %.1f in %v", name, i+1, x, y, size)
					}
				}
			}
		}
	}
}

// The paper keeps its proportions: the sheet in the first diagram of the doubled fold is 52 : 37 (A9, ISO 216).
func TestDiagramsHaveTheProportionsOfTheSheet(t *testing.T) {
	d := FoldStep(folded(t, foldedPapers["A9"]).Steps[0], 58, 40, words.English)
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{}
	sheet := d.items[0].path
	for k := 0; k < len(sheet.xy); k += 2 {
		for c := range 2 {
			low[c], high[c] = min(low[c], sheet.xy[k+c]), max(high[c], sheet.xy[k+c])
		}
	}
	assert.InDelta(t, 52.0/37, (high[0]-low[0])/(high[1]-low[1]), 1e-9)
}
