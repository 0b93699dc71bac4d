package draw

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/shelf"
	"tuckring/internal/words"
)

// unitSigns counts the signs that stand on units, and gives the height of the smallest, mm. A sign of a legend is
// followed by the colour's name and units.
func unitSigns(pages Pages) (of map[string]int, least float64, legends map[string]int) {
	of, legends, least = map[string]int{}, map[string]int{}, 100
	for _, p := range pages {
		for i, it := range p.items {
			l := it.text
			if l == nil || !l.Bold || l.Anchor != Middle {
				continue
			}
			if i+1 < len(p.items) && p.items[i+1].text != nil && strings.HasSuffix(p.items[i+1].text.Text, " units") {
				legends[l.Text]++
				continue
			}
			of[l.Text]++
			least = min(least, l.Size)
		}
	}
	return of, least, legends
}

// However wide and high a figure is, its printed pattern shows the sign of every unit just once, in letters
// that can be read, and names every colour; nothing stands outside the page.
func TestPrintedPatternShowsEveryUnitOnceAndReadably(t *testing.T) {
	for _, size := range []PageSize{A4, Letter, AnyPage} {
		for _, c := range []struct{ rings, units int }{{20, 24}, {35, 48}, {30, 100}, {12, 333}, {150, 30}} {
			f := plainWall(t, c.rings, c.units, 4)
			pages := PatternPages(f, size, words.English)
			on, least, legends := unitSigns(pages)
			for i, units := range colourCounts(f) {
				sign := f.Signs()[i]
				assert.Equal(t, units, on[sign], "%d × %d: units with %q", c.rings, c.units, sign)
				assert.Positive(t, legends[sign])
			}
			assert.GreaterOrEqual(t, least, 1.2, "%d × %d: letters, mm", c.rings, c.units)
			insidePages(t, pages, size)
		}
	}
}

func insidePages(t *testing.T, pages Pages, size PageSize) {
	t.Helper()
	for i, p := range pages {
		for _, it := range p.items {
			if l := it.text; l != nil {
				w := TextWidth(l.Text, l.Size, l.Bold)
				from := l.X - map[Anchor]float64{Start: 0, Middle: w / 2, End: w}[l.Anchor]
				require.True(t, from >= 5 && from+w <= size.Width-5 && l.Y <= size.Height-5, "page %d: %q at %.0f … %.0f, %.0f", i+1, l.Text, from, from+w, l.Y)
				continue
			}
			for k := 0; k < len(it.path.xy); k += 2 {
				x, y := it.path.xy[k], it.path.xy[k+1]
				require.True(t, x >= 5 && x <= size.Width-5 && y >= 5 && y <= size.Height-5, "page %d: a line at %.1f, %.1f", i+1, x, y)
			}
		}
	}
}

// A figure of one part of the demo shelf is small enough for one page, with title, legend and ring numbers; those of several take
// a few, each part whole.
func TestSmallPatternIsOnePage(t *testing.T) {
	for _, demo := range shelf.Demo() {
		pages := PatternPages(demo.Figure, AnyPage, words.English)
		if len(demo.Figure.Parts) == 0 {
			require.Len(t, pages, 1, demo.Name)
		}
		require.LessOrEqual(t, len(pages), len(demo.Figure.Parts)+1, demo.Name)
		assert.Contains(t, texts(pages[0]), demo.Figure.Title)
		var got []string
		for _, p := range pages {
			got = append(got, texts(p)...)
		}
		for i := range demo.Figure.Rings {
			assert.Contains(t, got, strconv.Itoa(demo.Figure.RowNumber(i)))
		}
		for _, part := range demo.Figure.Parts {
			assert.Contains(t, strings.Join(got, "\n"), "Pattern of "+part.Name)
		}
		insidePages(t, pages, AnyPage)
	}
}

// The units of a narrow ring over a wide one are as wide as many below; a part shows what of them stands in
// it, and nothing beyond.
func TestPartsOfAPatternCutWideUnits(t *testing.T) {
	f := figure.Tube("Cone", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "Sea", Hex: "#0b6e6e"}}, 192, 7)
	for i, n := 1, 96; i < len(f.Rings); i, n = i+1, n/2 {
		var above []figure.RingID
		for _, r := range f.Rings[i:] {
			above = append(above, r.ID)
		}
		_, _, err := figure.Apply(f, &figure.SetCount{Rings: above, Units: n})
		require.NoError(t, err)
	}
	require.Len(t, f.Rings[6].Cells, 3)
	pages := PatternPages(f, A4, words.English)
	assert.Greater(t, len(pages), 4)
	insidePages(t, pages, A4)
	on, _, _ := unitSigns(pages)
	assert.Equal(t, f.Units(), on["S"])
}

func TestLongTitlesBreakAndEndWithinThePage(t *testing.T) {
	f := figure.Tube(strings.Repeat("W", figure.MaxTitle), figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		[]figure.Colour{{ID: "a", Name: strings.Repeat("W", figure.MaxName), Hex: "#aa3300"}, {ID: "b", Name: strings.Repeat("M", figure.MaxName), Hex: "#ffaa00"}}, 12, 6)
	for k := range f.Rings[0].Cells {
		f.Rings[0].Cells[k].Colour = 1
	}
	for _, size := range []PageSize{A4, Letter} {
		insidePages(t, PatternPages(f, size, words.English), size)
		insidePages(t, Handout(f, size, words.English), size)
	}
}
