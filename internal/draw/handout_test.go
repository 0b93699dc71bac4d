package draw

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/shelf"
	"tuckring/internal/words"
)

// The handout carries the whole building text: every ring of the figure, every caution where its step
// is, and page numbers.
func TestHandoutTellsTheWholeBuilding(t *testing.T) {
	puffin := shelf.Demo()[0].Figure
	for _, size := range []PageSize{A4, Letter} {
		pages := Handout(puffin, size, words.English)
		raw, err := pages.PDF()
		require.NoError(t, err)
		text := strings.Join(strings.Fields(pdfText(t, raw)), " ")
		for i := range puffin.Rings {
			assert.Contains(t, text, fmt.Sprintf("Ring %d: %d units.", i+1, len(puffin.Rings[i].Cells)))
		}
		for _, want := range []string{"Puffin on the quay", "Soot: 433 units", "An adult does the cutting", "An adult does the gluing",
			"choking hazard", "How to fold a unit", fmt.Sprintf("1 of %d", len(pages))} {
			assert.Contains(t, text, want)
		}
		assert.NotContains(t, text, "[draw.")
		assert.Less(t, strings.Index(text, "An adult does the cutting"), strings.Index(text, "Fold the sheet in half"), "the caution stands before the step")
	}
}

func TestNothingStandsOutsideThePage(t *testing.T) {
	for _, demo := range shelf.Demo() {
		cards, err := Cards(demo.Figure, A4, words.English)
		require.NoError(t, err)
		for i, p := range append(Handout(demo.Figure, A4, words.English), cards...) {
			for _, it := range p.items {
				if it.text != nil {
					w := TextWidth(it.text.Text, it.text.Size, it.text.Bold)
					from := it.text.X - map[Anchor]float64{Start: 0, Middle: w / 2, End: w}[it.text.Anchor]
					assert.GreaterOrEqual(t, from, 5.0, "%s page %d: %s", demo.Name, i+1, it.text.Text)
					assert.LessOrEqual(t, from+w, 205.0, "%s page %d: %s", demo.Name, i+1, it.text.Text)
					assert.LessOrEqual(t, it.text.Y, 292.0, "%s page %d: %s", demo.Name, i+1, it.text.Text)
					continue
				}
				for k := 0; k < len(it.path.xy); k += 2 {
					assert.True(t, it.path.xy[k] >= 5 && it.path.xy[k] <= 205 && it.path.xy[k+1] >= 5 && it.path.xy[k+1] <= 292,
						"%s page %d: a line at %v", demo.Name, i+1, it.path.xy[k:k+2])
				}
			}
		}
	}
}

// A large figure's pattern goes over as many pages as keep its signs readable.
func TestHandoutOfALargeFigureTurnsPages(t *testing.T) {
	pages := Handout(plainWall(t, 90, 40, 4), A4, words.English)
	raw, err := pages.PDF()
	require.NoError(t, err)
	text := pdfText(t, raw)
	assert.Contains(t, text, "Pattern: rings 1 to")
	assert.Contains(t, text, "Ring 90: 40 units.")
	assert.Contains(t, text, "to 90", "the pattern goes on to the last ring")
	assert.Greater(t, len(pages), 5)
}

// Titles of any kind neither break the page nor the file: markup, right-to-left text, no spaces at
// all, the longest that a document allows.
func TestAwkwardTitlesAreSet(t *testing.T) {
	for _, title := range []string{"<b>&amp;</b>", "سفينة", strings.Repeat("W", figure.MaxTitle), "🐧 🐧", "a\u0301"} {
		f := figure.Tube(title, figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: title[:1], Hex: "#aa3300"}}, 6, 3)
		for _, format := range []Format{SVG, PNG, PDF} {
			raw, err := Handout(f, A4, words.English).Encode(format, 1)
			require.NoError(t, err)
			assert.NotEmpty(t, raw)
		}
	}
}

func TestCardsShowEveryStepOnce(t *testing.T) {
	for _, u := range []figure.Unit{{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, {LongMM: 80, ShortMM: 30, Fold: figure.Single}} {
		p, err := fold.NewPattern(u)
		require.NoError(t, err)
		f := figure.Tube("Tube", u, []figure.Colour{{ID: "a", Name: "Sea", Hex: "#0b6e6e"}}, 6, 3)
		pages, err := Cards(f, A4, words.English)
		require.NoError(t, err)
		raw, err := pages.PDF()
		require.NoError(t, err)
		text := strings.Join(strings.Fields(pdfText(t, raw)), " ")
		for _, st := range p.Steps {
			assert.Equal(t, 1, strings.Count(text, fmt.Sprintf("step %d of %d", st.Number, len(p.Steps))))
		}
		assert.Contains(t, text, "Sea: 18 units")
	}
	_, err := Cards(figure.Tube("Square", figure.Unit{LongMM: 50, ShortMM: 50, Fold: figure.Single}, []figure.Colour{{ID: "a", Name: "Sea", Hex: "#0b6e6e"}}, 6, 3), A4, words.English)
	assert.ErrorContains(t, err, "flap", "a strip as wide as long leaves none")
}

func TestPagesStandOneBelowTheOther(t *testing.T) {
	cards, err := Cards(shelf.Demo()[1].Figure, A4, words.English)
	require.NoError(t, err)
	joined := append(cards, cards...).joined()
	assert.InDelta(t, 2*297+4, joined.Height, 1e-9)
	assert.InDelta(t, 210, joined.Width, 1e-9)
}

func BenchmarkHandoutPDF(b *testing.B) {
	f := shelf.Demo()[0].Figure
	for b.Loop() {
		raw, err := Handout(f, A4, words.English).PDF()
		require.NoError(b, err)
		b.SetBytes(int64(len(raw)))
	}
}

// The building text names each colour with its sign, as the pattern shows it.
func TestHandoutBuildsBySigns(t *testing.T) {
	all := ""
	for _, p := range Handout(lighthouse(), A4, words.English) {
		all += strings.Join(texts(p), " ") + " "
	}
	assert.Contains(t, all, "28 S Stone grey.", "ring 1")
	assert.Contains(t, all, "1 O Soot", "ring 21")
}
