package findings

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

func document(t testing.TB, name string) []byte {
	data, err := os.ReadFile("testdata/" + name)
	require.NoError(t, err)
	return data
}

// figureOf builds a figure of A9 doubled from the counts of its rings, each taking the points below
// evenly; unit k of a ring gets the colour its letter names ("." chalk, "b" brick, "s" soot).
func figureOf(t require.TestingT, rings ...string) *figure.Figure {
	f := &figure.Figure{
		Title: "Puffin", Unit: figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled},
		Colours: []figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "brick", Name: "Brick red", Hex: "#a63a2b"}, {ID: "soot", Name: "Soot", Hex: "#2b2b2e"}},
	}
	for i, line := range rings {
		r := figure.Ring{ID: figure.RingID(i + 1)}
		for k, letter := range line {
			c := figure.Cell{Colour: uint8(strings.IndexRune(".bs", letter))}
			if i > 0 {
				offered, n := 2*len(rings[i-1]), len(line)
				c.Takes = uint8((k+1)*offered/n - k*offered/n)
			}
			r.Cells = append(r.Cells, c)
		}
		if i > 0 {
			r.Start = f.Footing(i).Usual()
		}
		f.Rings = append(f.Rings, r)
	}
	f.NextRing, f.NextExtra = figure.RingID(len(f.Rings)+1), 1
	require.Empty(t, f.Validate())
	return f
}

func plain(units, rings int) []string {
	out := make([]string, rings)
	for i := range out {
		out[i] = strings.Repeat(".", units)
	}
	return out
}

func check(f *figure.Figure) []Finding { return Check(f, shape.FromMemory(f.Unit)) }

// byRule picks the findings of one rule.
func byRule(list []Finding, rule string) (out []Finding) {
	for _, f := range list {
		if f.Rule == rule {
			out = append(out, f)
		}
	}
	return out
}

// settled applies a finding's edit and says whether the rule is then quiet.
func settled(t *testing.T, f *figure.Figure, found Finding) {
	t.Helper()
	require.NotNil(t, found.Edit, found.Rule)
	g := f.Clone()
	_, _, err := figure.Apply(g, found.Edit)
	require.NoError(t, err)
	assert.Empty(t, byRule(check(g), found.Rule), "the edit settles it")
}

// The published figure of 68 units (The Star, Malaysia, 14 March 2012): five rings of 12, a closing
// ring of 8 that takes three points each.
func TestPublishedFigureChecksClean(t *testing.T) {
	assert.Empty(t, Of(document(t, "sixty-eight.tuckring.json")))
}

// Without one unit of its closing ring, 7 units take 21 of the 24 points of ring 5.
func TestUnitMissingFromClosingRingIsAFault(t *testing.T) {
	doc := strings.Replace(string(document(t, "sixty-eight.tuckring.json")), `"n": 8`, `"n": 7`, 1)
	list := Of([]byte(doc))
	require.Len(t, list, 1)
	assert.Equal(t, Fault, list[0].Level)
	assert.Equal(t, 6, list[0].Ring)
	assert.Equal(t, "rings[5]", list[0].Where)
	what := list[0].What.String()
	for _, names := range []string{"Ring 6", "7 units", "21 points", "ring 5", "12 units", "24"} {
		assert.Contains(t, what, names)
	}
	assert.Contains(t, list[0].Fix.String(), "3 too few")
	faults, warnings, hints := Count(list)
	assert.Equal(t, [3]int{1, 0, 0}, [3]int{faults, warnings, hints})
}

func TestExtraOnARingThatDoesNotExistIsAFault(t *testing.T) {
	doc := strings.Replace(string(document(t, "contract-example.tuckring.json")), `"units": 2, "ring": 3`, `"units": 2, "ring": 9`, 1)
	list := Of([]byte(doc))
	require.Len(t, list, 1)
	assert.Equal(t, "extras[0].ring", list[0].Where)
}

// The harbour lighthouse narrows from 20 to 10 with four points each, all side by side; its last ring
// leaves an opening of two points.
func TestLighthouseNarrowsTooFast(t *testing.T) {
	list := Of(document(t, "contract-example.tuckring.json"))
	jump := byRule(list, "count_jump")
	require.Len(t, jump, 1)
	assert.Equal(t, 4, jump[0].Ring)
	assert.Equal(t, "Ring 4 has 10 units over 20 in ring 3: a change of more than a third strains the wall (published example: a step from 12 to 8 holds).", jump[0].What.String())
	assert.Contains(t, jump[0].Fix.String(), "14 to 26 units")
	four := byRule(list, "four_beside_four")
	require.Len(t, four, 1)
	assert.Len(t, four[0].Cells, 10)
}

// Common practice: a change of more than a third is too much; 12 to 8 and 12 to 16 are just a third.
func TestCountMayChangeByAThird(t *testing.T) {
	for units, warned := range map[int]bool{7: true, 8: false, 12: false, 16: false, 17: true} {
		list := check(figureOf(t, strings.Repeat(".", 12), strings.Repeat(".", units)))
		assert.Equal(t, warned, len(byRule(list, "count_jump")) == 1, "12 to %d", units)
	}
}

func TestRingsOfFewerThanSix(t *testing.T) {
	list := byRule(check(figureOf(t, "......", ".....", ".....", "....", "......")), "few_units")
	require.Empty(t, list, "one finding for the stretch of rings")
	list = byRule(check(figureOf(t, "......", ".....", ".....", "....", "......")), "few_units.rings")
	require.Len(t, list, 1)
	assert.Contains(t, list[0].What.String(), "Rings 2 to 4 have only 4 units")
	assert.Len(t, byRule(check(figureOf(t, "......", ".....")), "few_units"), 1)
	assert.Empty(t, byRule(check(figureOf(t, "......", "......")), "few_units"))
}

// Under ring 1 there is no ring that the figure could end with.
func TestFewUnitsInRingOneAreNotSentToTheRingBelow(t *testing.T) {
	for _, rows := range [][]string{{"..."}, {"....", "....", "......"}} {
		for _, found := range check(figureOf(t, rows...)) {
			assert.NotContains(t, found.Fix.String(), "ring below", found.Rule)
		}
	}
	list := check(figureOf(t, "..."))
	require.Len(t, byRule(list, "few_units.bottom"), 1)
	assert.Equal(t, "Use 6 units or more.", byRule(list, "few_units.bottom")[0].Fix.String())
	assert.Len(t, byRule(check(figureOf(t, "....", "....", "......")), "few_units.bottom_rings"), 1)
}

// From memory: more than 40 rings straight up bend easily.
func TestLongStraightWall(t *testing.T) {
	assert.Empty(t, byRule(check(figureOf(t, plain(12, 40)...)), "straight"))
	f := figureOf(t, plain(12, 41)...)
	list := byRule(check(f), "straight")
	require.Len(t, list, 1)
	assert.Contains(t, list[0].What.String(), "rings 1 to 41")
	settled(t, f, list[0])

	for k := range f.Rings[20].Cells {
		f.Rings[20].Cells[k].Side = figure.Short
	}
	assert.Empty(t, byRule(check(f), "straight"), "a turned side stiffens it")
}

func TestFourPointUnitsApartAreFine(t *testing.T) {
	f := figureOf(t, plain(9, 1)[0], "......")
	for k, takes := range []uint8{4, 2, 4, 2, 4, 2} {
		f.Rings[1].Cells[k].Takes = takes
	}
	require.Empty(t, f.Validate())
	assert.Empty(t, byRule(check(f), "four_beside_four"))
	for k, takes := range []uint8{4, 4, 2, 2, 2, 4} { // across the seam too
		f.Rings[1].Cells[k].Takes = takes
	}
	list := byRule(check(f), "four_beside_four")
	require.Len(t, list, 1)
	assert.Equal(t, []Cell{{Ring: 2, Unit: 0}, {Ring: 2, Unit: 1}, {Ring: 2, Unit: 5}}, list[0].Cells)
}

// A plain unit takes the right point of one unit and the left point of its neighbour; when each takes
// both points of one unit, nothing holds the ring together (common practice).
func TestRingThatBridgesNoNeighbours(t *testing.T) {
	f := figureOf(t, plain(12, 4)...)
	assert.Empty(t, byRule(check(f), "no_bridge"))
	f.Rings[2].Start = 0
	list := byRule(check(f), "no_bridge")
	require.Len(t, list, 1)
	assert.Equal(t, 3, list[0].Ring)
	assert.Contains(t, list[0].What.String(), "holds ring 2 together")
	settled(t, f, list[0])
}

func TestDoublingWithOnePointEachBridgesNothing(t *testing.T) {
	list := byRule(check(figureOf(t, plain(12, 1)[0], strings.Repeat(".", 24))), "no_bridge")
	require.Len(t, list, 1)
	assert.Nil(t, list[0].Edit, "turning does not help one-point units")
}

// 20 units of A9 stand on a circle of 20 × 10.73 / 3.1416 = 68.3 mm; their spines end 18.5 × (cos 18° − sin 18°) =
// 11.9 mm beyond it on either side, so they measure 92 mm from tip to tip.
func TestGluedPieceWiderThanTheTube(t *testing.T) {
	f := figureOf(t, plain(20, 3)...)
	for width, warned := range map[float64]bool{50: false, 91: false, 93: true} {
		f.Extras = []figure.Extra{{ID: 7, Kind: figure.Glued, Name: "lamp", Outline: figure.Disc, Diameter: width, Ring: 3, At: 8.5}}
		list := byRule(check(f), "wide_piece")
		require.Equal(t, warned, len(list) == 1, "%v mm", width)
		if warned {
			assert.Equal(t, figure.ExtraID(7), list[0].Extra)
			assert.Equal(t, "extras[0]", list[0].Where)
			assert.Contains(t, list[0].What.String(), "93 mm wide, but the figure measures only about 92 mm")
			settled(t, f, list[0])
		}
	}
}

func TestPaperOutsideTheComfortableRatios(t *testing.T) {
	for _, c := range []struct {
		long, short float64
		fold        figure.Fold
		rule, fix   string
	}{
		{52, 37, figure.Single, "unit.no_flap", "Fold it doubled, or cut the short side to 20 mm."},
		{80, 30, figure.Doubled, "unit.tuck", "Fold it single, or cut the long side to 60 mm."},
		{150, 130, figure.Doubled, "unit.short", "Trim the paper: cut the short side to 115 mm."},
		{150, 150, figure.Doubled, "unit.no_flap", "Trim the paper: cut the short side to 115 mm."},
		{85, 15, figure.Single, "unit.tuck", "Trim the paper: cut the long side to 60 mm."},
	} {
		f := figureOf(t, plain(12, 3)...)
		f.Unit = figure.Unit{LongMM: c.long, ShortMM: c.short, Fold: c.fold}
		list := byRule(check(f), c.rule)
		require.Len(t, list, 1, "%v × %v %s", c.long, c.short, c.fold)
		assert.Equal(t, c.fix, list[0].Fix.String())
		assert.Contains(t, list[0].What.String(), "common practice")
		settled(t, f, list[0])
	}
}

// diamond is a motif about the front line, place 6: on rings 1, 3, 5 the line meets unit 6 and widths
// are odd; rings 2, 4, 6 stand half a unit further right, so that it falls between their units 5 and 6
// and widths are even.
func diamond(t require.TestingT) *figure.Figure {
	f := figureOf(t,
		"............",
		".....bb.....",
		".....bbb....",
		"....bbbb....",
		".....bbb....",
		".....bb.....",
		"............",
	)
	f.Front = 6
	return f
}

func TestMotifOnTheFrontLineIsQuiet(t *testing.T) {
	f := diamond(t)
	list := check(f)
	for _, rule := range []string{"nearly_symmetric", "off_front", "front_shifted", "stray"} {
		assert.Empty(t, byRule(list, rule), rule)
	}
}

func TestFrontLineHalfAUnitBesideThePattern(t *testing.T) {
	f := diamond(t)
	for _, by := range []float64{0.5, -0.5} {
		f.Front = 6 + by
		list := byRule(check(f), "front_shifted")
		require.Len(t, list, 1)
		assert.Equal(t, &figure.SetFront{Front: 6}, list[0].Edit)
		settled(t, f, list[0])
	}
}

func TestNearlySymmetricPatternShowsTheOddUnits(t *testing.T) {
	f := diamond(t)
	f.Rings[3].Cells[4].Colour = 0 // the left end of the widest row
	list := byRule(check(f), "nearly_symmetric")
	require.Len(t, list, 1)
	assert.Equal(t, []Cell{{Ring: 4, Unit: 4}, {Ring: 4, Unit: 7}}, list[0].Cells)
	assert.Contains(t, list[0].What.String(), "ring 4, units 5 and 8")
	settled(t, f, list[0])
}

// A motif needs odd and even widths on alternate rings (common practice): three wide where the line
// falls between two units lies half a unit off.
func TestMotifHalfAUnitOffInOneRing(t *testing.T) {
	f := diamond(t)
	f.Rings[3].Cells[7].Colour = 0 // bbb on the ring of even widths
	list := byRule(check(f), "off_front")
	require.Len(t, list, 1)
	assert.Equal(t, 4, list[0].Ring)
	assert.Len(t, list[0].Cells, 3)
}

func TestSingleStrayUnit(t *testing.T) {
	f := figureOf(t, plain(12, 5)...)
	f.Rings[2].Cells[3].Colour = 1
	list := byRule(check(f), "stray")
	require.Len(t, list, 1)
	assert.Equal(t, "A single Brick red unit is surrounded by Chalk: ring 3, unit 4 (common practice).", list[0].What.String())
	settled(t, f, list[0])

	f.Rings[2].Cells[9].Colour = 1 // its mirror image about the front line, unit 0
	assert.Empty(t, byRule(check(f), "stray"), "two eyes are meant")
}

func TestColourUsedFewerThanThreeTimes(t *testing.T) {
	f := figureOf(t, "bbb.........", "............")
	list := check(f)
	assert.Empty(t, byRule(list, "rare"))
	unused := byRule(list, "unused")
	require.Len(t, unused, 1)
	assert.Equal(t, "colours[2]", unused[0].Where)
	settled(t, f, unused[0])

	f = figureOf(t, "bb..........", "............")
	rare := byRule(check(f), "rare")
	require.Len(t, rare, 1)
	assert.Equal(t, []Cell{{1, 0}, {1, 1}}, rare[0].Cells)
	f.Extras = []figure.Extra{{ID: 1, Kind: figure.Tucked, Name: "beak", Colour: "brick", Units: 1, Ring: 2, At: 0}}
	assert.Empty(t, byRule(check(f), "rare"), "extras count")
}

func TestFindingAsJSON(t *testing.T) {
	list := Of(document(t, "contract-example.tuckring.json"))
	out, err := json.Marshal(list)
	require.NoError(t, err)
	var back []map[string]any
	require.NoError(t, json.Unmarshal(out, &back))
	for _, f := range back {
		for _, field := range []string{"level", "ring", "where", "what", "fix"} {
			assert.Contains(t, f, field)
		}
		assert.NotContains(t, f["what"], "[", "the sentence exists")
		assert.NotContains(t, f["fix"], "[findings", "the sentence exists")
		assert.NotContains(t, f["what"], "<no value>")
		assert.NotContains(t, f["fix"], "<no value>")
	}
	f := figureOf(t, plain(12, 4)...)
	f.Rings[2].Start = 0
	out, err = json.Marshal(byRule(check(f), "no_bridge")[0])
	require.NoError(t, err)
	var one struct{ Edit json.RawMessage }
	require.NoError(t, json.Unmarshal(out, &one))
	edit, err := figure.DecodeEdit(one.Edit)
	require.NoError(t, err)
	assert.IsType(t, &figure.Turn{}, edit)
}

// Whatever is painted: every finding has its sentences, its units exist, and its edit can be applied.
func TestFindingsOfAnyPattern(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rings := make([]string, rapid.IntRange(1, 6).Draw(t, "rings"))
		n := rapid.IntRange(3, 16).Draw(t, "units")
		for i := range rings {
			line := make([]byte, n)
			for k := range line {
				line[k] = rapid.SampledFrom([]byte("......bbs")).Draw(t, "colour")
			}
			rings[i] = string(line)
			if rapid.Bool().Draw(t, "mirrored") {
				for k := range line {
					line[n-1-k] = line[k]
				}
				rings[i] = string(line)
			}
			n = max(3, min(4*n, n+rapid.IntRange(-n/2, n/2).Draw(t, "change")))
		}
		f := figureOf(t, rings...)
		f.Front = float64(rapid.IntRange(0, 2*len(rings[0])-1).Draw(t, "front")) / 2
		for _, found := range check(f) {
			assert.NotContains(t, found.What.String(), "<no value>")
			assert.NotContains(t, found.What.String(), "[findings")
			assert.NotContains(t, found.Fix.String(), "[findings")
			for _, c := range found.Cells {
				i, ok := f.RingIndex(c.Ring)
				assert.True(t, ok && c.Unit >= 0 && c.Unit < len(f.Rings[i].Cells))
			}
			if found.Edit != nil {
				_, _, err := figure.Apply(f.Clone(), found.Edit)
				assert.NoError(t, err, found.Rule)
			}
		}
	})
}

func BenchmarkCheck12800Units(b *testing.B) {
	f := figureOf(b, plain(128, 100)...)
	for b.Loop() {
		check(f)
	}
}

// A unit that takes a point from either side of an opening of three units, more than two pitches of 10.73 mm apart, does
// not reach them with pockets half a pitch wide, however its neighbours push; it is named, no other is. In a plain tube
// nothing is found.
func TestUnitThatDoesNotReachItsPointsIsNamed(t *testing.T) {
	f := figureOf(t, plain(20, 4)...)
	require.Empty(t, byRule(check(f), "misfit"))
	_, _, err := figure.Apply(f, &figure.LeaveOut{Ring: 2, At: 4, N: 3})
	require.NoError(t, err)
	require.Equal(t, []int{3, 4}, f.Below(2, 4), "of the units to either side of the opening")
	list := byRule(check(f), "misfit")
	require.Len(t, list, 1)
	assert.Equal(t, Warning, list[0].Level)
	assert.Equal(t, "rings[2]", list[0].Where)
	assert.Equal(t, []Cell{{Ring: 3, Unit: 4}}, list[0].Cells)
	assert.Contains(t, list[0].What.String(), "Ring 3: unit 5 does not reach all the points it takes; one lies")
}

// A disc of 60 mm on ring 1 of a tube of 16 × 8 A9 units was found to reach 25.5 mm below the table, measured on the model
// file by a program of its own; on ring 5 it hangs below nothing.
func TestExtraThatHangsBelowTheRings(t *testing.T) {
	f := figureOf(t, plain(16, 8)...)
	f.Extras = []figure.Extra{{ID: 7, Kind: figure.Glued, Name: "lamp", Outline: figure.Disc, Diameter: 60, Ring: 1, At: 0}}
	list := byRule(check(f), "hangs_below")
	require.Len(t, list, 1)
	assert.Equal(t, []any{Hint, Memory, 1, "extras[0]", figure.ExtraID(7)}, []any{list[0].Level, list[0].Standing, list[0].Ring, list[0].Where, list[0].Extra})
	assert.Regexp(t, `lamp hangs below the table: it reaches about 2[56] mm`, list[0].What.String())
	f.Extras[0].Ring = 5
	assert.Empty(t, byRule(check(f), "hangs_below"))
}

// 8 units stand side by side on a third of a ring of 24, the rest left open. 16 units that take one point each and close to a ring
// over them have half the room that they need, and less: pressed as hard as can be, units stand a fifth closer (from memory).
func TestUnitsWithoutRoomAreNamed(t *testing.T) {
	f := figureOf(t, plain(24, 2)...)
	open, top := f.Rings[1], f.Rings[1]
	open.Cells, open.Start, open.FreeEnd = open.Cells[:8:8], 1, 32
	top.Cells = slices.Clone(top.Cells[:16])
	for k := range top.Cells {
		top.Cells[k].Takes = 1
	}
	top.Start, top.FreeEnd = 0, 0
	open.ID, top.ID = 8, 9
	f.Rings = append(f.Rings, open, top)
	require.Empty(t, f.Validate())
	list := byRule(check(f), "crowded")
	require.Len(t, list, 1)
	assert.Equal(t, []any{Warning, Memory, 4}, []any{list[0].Level, list[0].Standing, list[0].Ring})
	assert.Contains(t, list[0].What.String(), "after unit 1, 2, 3, 4, 5, 6, 7, 8 … the next stands only 3.")
	assert.Len(t, list[0].Cells, 15)
	assert.Empty(t, byRule(check(figureOf(t, plain(24, 4)...)), "crowded"))
}
