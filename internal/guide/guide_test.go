package guide

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// load reads a document of testdata: the contract's example with 20 units a ring, and the published
// figure of 68 units (The Star, Malaysia, 14 March 2012).
func load(t testing.TB, name string) *figure.Figure {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name + ".tuckring.json")
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	return f
}

func text(t testing.TB, f *figure.Figure) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, Make(f).Write(&b, words.English))
	assert.NotContains(t, b.String(), "[guide.")
	assert.NotContains(t, b.String(), "<no value>")
	return b.String()
}

// lines gives the text's line that begins so.
func line(t testing.TB, text, begin string) string {
	t.Helper()
	for _, l := range strings.Split(text, "\n") {
		if strings.HasPrefix(strings.TrimSpace(l), begin) {
			return strings.TrimSpace(l)
		}
	}
	t.Fatalf("no line begins with %q in:\n%s", begin, text)
	return ""
}

// Common practice, written out by hand from the contract's example document.
func TestRingsOfTheContractsExample(t *testing.T) {
	s := text(t, load(t, "contract-example"))
	assert.Equal(t, "Ring 1: 20 units. From the seam: 20 Brick red. 20 of 81 units built.", line(t, s, "Ring 1:"))
	assert.Equal(t, "Ring 3: 20 units. From the seam: 7 Chalk, 3 Soot (short side out), 10 Chalk. 62 of 81 units built.", line(t, s, "Ring 3:"))
	assert.Equal(t, "Ring 4: 10 units. The ring narrows by 10 units. From the seam: 10 Brick red (each takes 4 points). 72 of 81 units built.", line(t, s, "Ring 4:"))
	assert.Equal(t, "Ring 5: 9 units. The ring narrows by 1 unit. From the seam: leave 2 points free, 9 Brick red. 81 of 81 units built.", line(t, s, "Ring 5:"))
	assert.Equal(t, "Tuck in gallery rail between units 9 and 10: 2 units, Soot.", line(t, s, "Tuck in"))
	assert.Equal(t, "Glue on lamp between units 9 and 10: a disc of 50 mm.", line(t, s, "Glue on"))
}

// origami-resource-center.com, swan: rings 1 and 2 are made together; common practice: then open out.
func TestFirstTwoRingsTogetherThenOpenOut(t *testing.T) {
	s := text(t, load(t, "contract-example"))
	together, ring1 := strings.Index(s, "Make rings 1 and 2 together"), strings.Index(s, "Ring 1:")
	note, open, ring3 := strings.Index(s, "Then: open out"), strings.Index(s, "Open it out"), strings.Index(s, "Ring 3:")
	require.NotContains(t, []int{together, ring1, note, open, ring3}, -1)
	assert.Less(t, together, ring1)
	assert.Less(t, note, open)
	assert.Less(t, open, ring3)
	assert.Equal(t, 1, strings.Count(s, "Open it out"))
}

func TestWithoutANoteTheWorkIsOpenedAfterRingThree(t *testing.T) {
	s := text(t, load(t, "sixty-eight"))
	assert.Less(t, strings.Index(s, "Ring 3:"), strings.Index(s, "Open it out"))
	assert.Less(t, strings.Index(s, "Open it out"), strings.Index(s, "Ring 4:"))
	assert.Equal(t, "Ring 6: 8 units. The ring narrows by 4 units. From the seam: 8 White (each takes 3 points). 68 of 68 units built.", line(t, s, "Ring 6:"))
}

func TestASingleRingHasNoSecondAndIsNotOpened(t *testing.T) {
	f := load(t, "sixty-eight")
	f.Rings = f.Rings[:1]
	s := text(t, f)
	assert.NotContains(t, s, "together, three units")
	assert.NotContains(t, s, "Open it out")
}

// Common practice: a unit that keeps one pocket empty takes 1 point, and the ring widens.
func TestWideningTakesOnePoint(t *testing.T) {
	f := load(t, "sixty-eight")
	f.Rings = f.Rings[:2]
	f.Rings[1].Cells = append(f.Rings[1].Cells, f.Rings[1].Cells[0])
	f.Rings[1].Cells[0].Takes, f.Rings[1].Cells[1].Takes = 1, 1
	require.Empty(t, f.Validate())
	assert.Equal(t, "Ring 2: 13 units. The ring widens by 1 unit. From the seam: 2 White (each takes 1 point), 11 White. 25 of 25 units built.",
		line(t, text(t, f), "Ring 2:"))
}

func TestALeaningRingSaysWhereItBegins(t *testing.T) {
	f := load(t, "sixty-eight")
	f.Rings[2].Start = 1
	assert.Contains(t, line(t, text(t, f), "Ring 3:"), "Begin on the right point of unit 1 below.")
	f.Rings[2].Start = 22
	assert.Contains(t, line(t, text(t, f), "Ring 3:"), "Begin on the left point of unit 12 below.")
}

func TestPlacesWrapAroundTheSeam(t *testing.T) {
	assert.Equal(t, "between units 12 and 1", place(11.5, 12).String())
	assert.Equal(t, "between units 12 and 1", place(-0.5, 12).String())
	assert.Equal(t, "on unit 1", place(12, 12).String())
	assert.Equal(t, "on unit 9", place(8, 12).String())
}

// The trade's cautions stand where the step is: the blade before cutting, glue at the glued piece.
func TestCautionsStandAtTheirStep(t *testing.T) {
	s := text(t, load(t, "contract-example"))
	ring3, glue, ring4 := strings.Index(s, "Ring 3:"), strings.Index(s, "Hot glue"), strings.Index(s, "Ring 4:")
	assert.True(t, ring3 < glue && glue < ring4)
	assert.Less(t, strings.Index(s, "blades cut"), strings.Index(s, "Ring 1:"))
	assert.Contains(t, s, "children under three")
	assert.Contains(t, s, "candles")
	plain := text(t, load(t, "sixty-eight"))
	assert.NotContains(t, plain, "Hot glue")
	assert.Contains(t, plain, "blades cut")
}

func TestMakersOwnWordsAreKept(t *testing.T) {
	f := load(t, "sixty-eight")
	f.Rings[3].Note = "<b>push</b> hard 🐧"
	f.Title = "ليلة"
	s := text(t, f)
	assert.Equal(t, "Note: <b>push</b> hard 🐧", line(t, s, "Note:"))
	assert.True(t, strings.HasPrefix(s, "ليلة\n"))
}

func BenchmarkMakeAndWrite(b *testing.B) {
	f := load(b, "sixty-eight")
	for len(f.Rings) < 200 {
		f.Rings = append(f.Rings, f.Rings[1])
	}
	for b.Loop() {
		var out strings.Builder
		_ = Make(f).Write(&out, words.English)
	}
}
