package figure

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func load(t testing.TB, name string) *Figure {
	t.Helper()
	raw, err := os.ReadFile("testdata/" + name + ".tuckring.json")
	require.NoError(t, err)
	f, err := Read(raw)
	require.NoError(t, err)
	return f
}

func TestContractExampleIsRead(t *testing.T) {
	f := load(t, "contract-example")
	assert.Equal(t, "Harbour lighthouse", f.Title)
	assert.Equal(t, Unit{52, 37, Doubled}, f.Unit)
	assert.Equal(t, 20+20+20+10+9, f.Units())
	assert.Equal(t, "open out", f.Rings[1].After)
	assert.Equal(t, Cell{Colour: 2, Takes: 2, Side: Short}, f.Rings[2].Cells[7])
	assert.Equal(t, uint16(2), f.Rings[4].Cells[0].Free)
	assert.Equal(t, 1, f.Rings[1].Start, "default start of an even-numbered ring")
	assert.Equal(t, 39, f.Rings[2].Start, "default start of an odd-numbered ring is the last point")
	assert.Equal(t, 8.5, f.Front)
	assert.Equal(t, Extra{ID: 1, Kind: Tucked, Name: "gallery rail", Colour: "soot", Units: 2, Ring: 3, At: 8.5}, f.Extras[0])
	assert.Equal(t, Extra{ID: 2, Kind: Glued, Name: "lamp", Outline: Disc, Diameter: 50, Ring: 3, At: 8.5}, f.Extras[1])
}

func TestCanonicalDocumentIsStableByteForByte(t *testing.T) {
	once := load(t, "contract-example").Write()
	f, err := Read(once)
	require.NoError(t, err)
	assert.Equal(t, string(once), string(f.Write()))
	assert.Contains(t, string(once), `{"n": 3, "colour": "soot", "side": "short"}`)
	assert.NotContains(t, string(once), `"start"`, "defaults are left out")
}

// The closing ring of the published 68-unit figure (The Star, Malaysia, 14 March 2012): five rings
// of 12, then 8 units that take 3 points each.
func TestClosingRingTakesThreePoints(t *testing.T) {
	f := load(t, "sixty-eight")
	assert.Equal(t, 68, f.Units())
	taken, free := f.Rings[5].Points()
	assert.Equal(t, 24, taken)
	assert.Zero(t, free)
}

// Each case breaks one rule of the contract; where and what are those a maker is told.
func TestEveryBrokenRuleIsNamedWithItsPlace(t *testing.T) {
	raw, err := os.ReadFile("testdata/contract-example.tuckring.json")
	require.NoError(t, err)
	whole := string(raw)
	cases := []struct{ name, old, new, where, says string }{
		{"unknown field", `"title"`, `"author": "x", "title"`, "author", `"author" is unknown`},
		{"unknown run field", `"takes": 4`, `"take": 4`, "rings[3].runs[0].take", `Known fields: n, colour, takes, side`},
		{"takes too many", `"takes": 4`, `"takes": 5`, "rings[3].runs[0].takes", "from 1 to 4"},
		{"takes a fraction", `"takes": 4`, `"takes": 2.5`, "rings[3].runs[0].takes", "whole number"},
		{"does not balance", `"takes": 4`, `"takes": 3`, "rings[3]", "10 too few"},
		{"takes more than there is", `{"n": 9, "colour"`, `{"n": 10, "colour"`, "rings[4]", "2 too many"},
		{"no such colour", `"soot", "side"`, `"coal", "side"`, "rings[2].runs[1].colour", `no colour "coal"`},
		{"bad hex", `#f4efe6`, `f4efe6`, "colours[1].hex", "six digits"},
		{"colour twice", `"id": "chalk"`, `"id": "brick"`, "colours[1].id", "appears twice"},
		{"sign of two characters", `"hex": "#f4efe6"`, `"hex": "#f4efe6", "sign": "KK"`, "colours[1].sign", `"KK" cannot be the sign`},
		{"sign that prints badly", `"hex": "#f4efe6"`, `"hex": "#f4efe6", "sign": "="`, "colours[1].sign", "or one of + / * # & % ? !"},
		{"empty sign", `"hex": "#f4efe6"`, `"hex": "#f4efe6", "sign": ""`, "colours[1].sign", "empty"},
		{"sign that is no text", `"hex": "#f4efe6"`, `"hex": "#f4efe6", "sign": 7`, "colours[1].sign", "This must be a text"},
		{"sign twice", `"#a63a2b"},`, `"#a63a2b", "sign": "S"}, {"id": "sea", "name": "Sea", "hex": "#0b6e6e", "sign": "S"},`, "colours[1].sign", `"Sea" and "Brick red" have the same sign, S`},
		{"front beyond the ring", `"front": 8.5`, `"front": 20`, "front", "from 0 to 19.5"},
		{"front in thirds", `"front": 8.5`, `"front": 8.3`, "front", "half units"},
		{"extra on a missing ring", `"ring": 3, "at": 8.5},`, `"ring": 6, "at": 8.5},`, "extras[0].ring", "from 1 to 5"},
		{"skip in ring 1", `{"runs": [{"n": 20, "colour": "brick"}]},`, `{"runs": [{"skip": 1}, {"n": 20, "colour": "brick"}]},`, "rings[0].runs[0]", "no ring below"},
		{"takes in ring 1", `{"runs": [{"n": 20, "colour": "brick"}]},`, `{"runs": [{"n": 20, "colour": "brick", "takes": 2}]},`, "rings[0].runs[0].takes", "no ring below"},
		{"wrong fold", `"doubled"`, `"tripled"`, "unit.fold", "doubled, single"},
		{"sides swapped", `"long_mm": 52`, `"long_mm": 30`, "unit.long_mm", "Swap"},
		{"text for a number", `"long_mm": 52`, `"long_mm": "52"`, "unit.long_mm", "Found a text"},
		{"huge number", `"long_mm": 52`, `"long_mm": 1e400`, "unit.long_mm", "from 1 to 2000"},
		{"title missing", `"title": "Harbour lighthouse",`, ``, "title", "missing"},
		{"blank title", `"Harbour lighthouse"`, `"  "`, "title", "empty"},
		{"long title", `Harbour`, strings.Repeat("é", 10_000), "title", "At most 200"},
		{"field twice", `"title"`, `"title": "x", "title"`, "title", "appears twice"},
		{"newer version", `"tuckring": 1`, `"tuckring": 3`, "tuckring", "newer Tuckring"},
		{"cut short", `"lamp"`, "\x00CUT", "line", "ends too soon"},
		{"not UTF-8", `lamp`, "la\xffmp", "line 18, column 34", "not UTF-8"},
		{"half a character", `lamp`, `la\ud83dmp`, "extras[1].name", "cannot be shown"},
		{"ring of two", `{"n": 10, "colour": "brick", "takes": 4}`, `{"n": 2, "colour": "brick", "takes": 4}, {"skip": 32}`, "rings[3].runs", "3 to 1000"},
		{"both n and skip", `{"skip": 2}`, `{"skip": 2, "n": 1}`, "rings[4].runs[0].n", "unknown here"},
		{"diameter on a tucked extra", `"units": 2`, `"units": 2, "diameter_mm": 5`, "extras[0].diameter_mm", "unknown here"},
		{"not an object", whole, `[1]`, "", "This must be an object"},
		{"not JSON", whole, `hello`, "line 1", "not a Tuckring document"},
		{"something after", whole, `{"tuckring": 1} x`, "line 1", "Something follows"},
		{"too deep", whole, strings.Repeat("[", 100_000), "[0]", "too deep"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			require.Contains(t, whole, c.old)
			doc := strings.Replace(whole, c.old, c.new, 1)
			if i := strings.Index(doc, "\x00CUT"); i >= 0 {
				doc = doc[:i]
			}
			f, err := Read([]byte(doc))
			assert.Nil(t, f)
			require.Error(t, err)
			fault := err.(Faults)[0]
			assert.True(t, strings.HasPrefix(fault.Where, c.where), "where: %q", fault.Where)
			assert.Contains(t, err.Error(), c.says)
			assert.NotContains(t, err.Error(), "[figure.", "every sentence stands in the catalogue")
		})
	}
}

func TestAllFaultsAreListedAtOnce(t *testing.T) {
	raw, _ := os.ReadFile("testdata/contract-example.tuckring.json")
	doc := strings.NewReplacer(`"takes": 4`, `"takes": 9`, `#f4efe6`, `white`, `"front": 8.5`, `"front": 8.1`, `"units": 2`, `"units": 0`).Replace(string(raw))
	_, err := Read([]byte(doc))
	var where []string
	for _, f := range err.(Faults) {
		where = append(where, f.Where)
	}
	assert.Equal(t, []string{"colours[1].hex", "rings[3].runs[0].takes", "front", "extras[0].units"}, where)
}

func TestMarkupEmojiAndOtherScriptsAreKeptAsTheyAre(t *testing.T) {
	for _, title := range []string{`<script>alert("x")</script> & co`, "منارة الميناء", "🐧 puffin \u2028", strings.Repeat("灯", 200)} {
		f := load(t, "sixty-eight")
		f.Title = title
		g, err := Read(f.Write())
		require.NoError(t, err)
		assert.Equal(t, title, g.Title)
	}
}

func TestLimitsOfTheContract(t *testing.T) {
	f := load(t, "sixty-eight")
	f.Rings = f.Rings[:1]
	f.Rings[0].Cells = make([]Cell, 1000)
	for len(f.Rings) < 100 {
		f.Rings = append(f.Rings, Ring{Start: f.Footing(len(f.Rings)).Usual(), Cells: plainCells(1000)})
	}
	require.Empty(t, f.Validate(), "100 000 units in all")
	f.Rings = append(f.Rings, Ring{Start: f.Footing(100).Usual(), Cells: plainCells(1000)})
	assert.Contains(t, f.Validate().Error(), "101000")
	_, err := Read(make([]byte, MaxBytes+1))
	assert.Contains(t, err.Error(), "4 MiB")
}

func plainCells(n int) []Cell {
	cells := make([]Cell, n)
	for i := range cells {
		cells[i].Takes = PlainTakes
	}
	return cells
}

// drawFigure draws a figure of up to 12 rings that keeps every rule.
func drawFigure(t *rapid.T) *Figure {
	f := &Figure{Title: rapid.StringN(1, 20, -1).Filter(func(s string) bool {
		_, _, bad := TextFault(s, MaxTitle, true)
		return !bad
	}).Draw(t, "title"), Unit: Unit{52, 37, Doubled}, Front: 0.5}
	for i, id := range []string{"brick", "chalk", "soot"} {
		c := Colour{ID: id, Name: id, Hex: []string{"#a63a2b", "#f4efe6", "#2b2b2e"}[i]}
		if rapid.Bool().Draw(t, "has a sign") {
			c.Sign = []string{"K", "c", "!"}[i]
		}
		f.Colours = append(f.Colours, c)
	}
	rings := rapid.IntRange(1, 12).Draw(t, "rings")
	for i := 0; i < rings; i++ {
		r := Ring{ID: RingID(i + 1), Note: rapid.SampledFrom([]string{"", "open out"}).Draw(t, "note")}
		left := rapid.IntRange(3, 20).Draw(t, "units")
		if i > 0 {
			left = 2 * len(f.Rings[i-1].Cells)
			r.Start = rapid.IntRange(0, left-1).Draw(t, "start")
		}
		for left > 0 {
			c := Cell{Colour: uint8(rapid.IntRange(0, 2).Draw(t, "colour")), Side: Side(rapid.IntRange(0, 1).Draw(t, "side"))}
			if i == 0 {
				left--
			} else {
				if need := MinUnits - len(r.Cells); left > MaxTakes*max(need, 1) && rapid.IntRange(0, 5).Draw(t, "skips") == 0 {
					c.Free = 1
				}
				room := left - int(c.Free) - max(0, MinUnits-1-len(r.Cells))
				c.Takes = uint8(rapid.IntRange(1, min(MaxTakes, room)).Draw(t, "takes"))
				left -= int(c.Takes) + int(c.Free)
			}
			r.Cells = append(r.Cells, c)
		}
		f.Rings = append(f.Rings, r)
	}
	f.NextRing, f.NextExtra = RingID(rings+1), 1
	return f
}

func TestWritingAndReadingGivesTheFigureBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFigure(t)
		g, err := Read(f.Write())
		require.NoError(t, err)
		assert.Equal(t, f, g)
	})
}

func FuzzRead(f *testing.F) {
	for _, name := range []string{"contract-example", "sixty-eight"} {
		raw, err := os.ReadFile("testdata/" + name + ".tuckring.json")
		require.NoError(f, err)
		f.Add(raw)
	}
	f.Add([]byte(`{"tuckring": 1, "title": "T", "unit": {"long_mm": 52, "short_mm": 37}, "colours": [{"id": "a", "name": "A", "hex": "#000000", "sign": "K"}, {"id": "b", "name": "B", "hex": "#ffffff"}], "rings": [{"runs": [{"n": 3, "colour": "b"}]}]}`))
	f.Add([]byte(`{"tuckring": 1, "rings": [{"runs": [{"n": 1000}]}, {"start": -1}], "extras": [{}]}`))
	f.Fuzz(func(t *testing.T, doc []byte) {
		fig, err := Read(doc)
		if err != nil {
			require.NotEmpty(t, err.(Faults))
			return
		}
		once := fig.Write()
		again, err := Read(once)
		require.NoError(t, err)
		require.Equal(t, string(once), string(again.Write()))
		Unroll(again)
	})
}
