package figure

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func readParts(t *testing.T, doc string) *Figure {
	t.Helper()
	f, err := Read([]byte(doc))
	require.NoError(t, err)
	return f
}

func swanText(t *testing.T) string {
	t.Helper()
	raw, err := os.ReadFile("testdata/parts/swan.json")
	require.NoError(t, err)
	return string(raw)
}

// The example of the contract (parts.md): the neck's first unit takes points 17 and 18, the wing 19 … 34, and its twin 1 … 16.
func TestTheSwanOfTheContractReadsCountsAndStands(t *testing.T) {
	f := readParts(t, swanText(t))
	assert.Equal(t, 3*24+2*(8+7)+15, f.Units())
	taken := map[string][]int{}
	for _, row := range f.Growing(2) {
		for p, unit := range f.PointOwners(row) {
			if unit >= 0 {
				name := f.Parts[f.PartOf(row)].Name
				taken[name] = append(taken[name], p)
			}
		}
	}
	count := func(from, to int) (out []int) {
		for p := from; p <= to; p++ {
			out = append(out, p)
		}
		return out
	}
	assert.Equal(t, map[string][]int{"Neck": count(17, 18), "Right wing": count(19, 34), "Left wing": count(1, 16)}, taken)
	assert.Equal(t, 8.5, f.Front)
	assert.Equal(t, f.Parts[3].First+15, f.Extras[0].Ring)
}

// drawParts lets up to seven parts grow on a random figure.
func drawParts(t *rapid.T) *Figure {
	f := drawFigure(t)
	for range rapid.IntRange(0, 12).Draw(t, "parts") {
		if len(f.Parts) < 8 {
			_, _, _ = Apply(f, drawPartEdit(t, f, true))
		}
	}
	return f
}

// drawPartEdit is an edit that may or may not fit; where it grows, it looks for a free point.
func drawPartEdit(t *rapid.T, f *Figure, comes bool) Edit {
	row := rapid.IntRange(0, len(f.Rings)-1).Draw(t, "row")
	if rapid.Bool().Draw(t, "top") {
		row = f.pile().top()
	}
	on := f.Rings[row].ID
	point := rapid.IntRange(0, 2*len(f.Rings[row].Cells)-1).Draw(t, "point")
	part := func() PartID {
		if len(f.Parts) == 0 {
			return 2
		}
		return f.Parts[rapid.IntRange(0, len(f.Parts)-1).Draw(t, "part")].ID
	}
	at := func() *float64 {
		if rapid.IntRange(0, 3).Draw(t, "centred") == 0 {
			return nil
		}
		v := float64(rapid.IntRange(0, 2*len(f.Rings[row].Cells)-1).Draw(t, "at")) / 2
		return &v
	}
	last := 12
	if comes {
		last = 5
	}
	switch rapid.IntRange(0, last).Draw(t, "part edit") {
	case 0, 1, 2:
		as := rapid.SampledFrom([]As{AsWing, AsStrip, AsChain, AsTube}).Draw(t, "as")
		e := &Grow{On: on, Point: point, As: as, Units: rapid.IntRange(1, 6).Draw(t, "units"), Rows: rapid.IntRange(1, 4).Draw(t, "rows"), Colour: "chalk", Name: "Wing"}
		if as == AsChain {
			e.Units = 0
		}
		return e
	case 3:
		return &SetOn{On: on, At: at(), How: PushedOn, Tilt: 15, Name: "Head", Colour: "soot", Units: rapid.IntRange(3, 8).Draw(t, "units"), Rows: rapid.IntRange(1, 3).Draw(t, "rows")}
	case 4, 5:
		return &AddTwin{Part: part(), Name: "Left wing"}
	case 6:
		return &RemovePart{Part: part()}
	case 7:
		return &MovePart{Part: part(), On: on, Point: &point}
	case 8:
		return &MovePart{Part: part(), On: on, At: at(), How: GluedOn}
	case 9:
		return &EditPart{Part: StandingPart, Name: rapid.SampledFrom([]string{"Trunk", "Body"}).Draw(t, "name")}
	case 10:
		x := ExtraState{Kind: Glued, Name: "eye", Diameter: 8, Ring: on}
		if place := at(); place != nil {
			x.At = *place
		}
		return &AddExtra{Extra: x}
	case 11:
		return &SetCount{Rings: []RingID{on}, Units: rapid.IntRange(1, 9).Draw(t, "count")}
	default:
		return &EditPart{Part: part(), Name: "Tail", Bend: []Bend{{Rows: 2, Out: 6, Right: -3}}}
	}
}

func drawAnyEdit(t *rapid.T, f *Figure) Edit {
	if rapid.IntRange(0, 2).Draw(t, "of parts") == 0 {
		return drawPartEdit(t, f, false)
	}
	return drawEdit(t, f)
}

func TestRandomFiguresOfPartsKeepEveryRuleAndUndoIsTheIdentity(t *testing.T) {
	grown := 0
	rapid.Check(t, func(t *rapid.T) {
		f := drawParts(t)
		for range 12 {
			requireSound(t, f)
			before, keys := string(f.Write()), f.Keys()
			e := drawAnyEdit(t, f)
			inverse, _, err := Apply(f, e)
			if err != nil {
				require.IsType(t, Faults{}, err)
				require.Equal(t, before, string(f.Write()), "refused, so nothing changed: %#v", e)
				continue
			}
			requireSound(t, f)
			after := string(f.Write())
			redo, _, err := Apply(f, inverse)
			require.NoError(t, err, "%#v back by %#v", e, inverse)
			require.Equal(t, before, string(f.Write()), "%#v", e)
			require.Equal(t, keys.Rings, f.Keys().Rings)
			require.Equal(t, keys.Parts, f.Keys().Parts)
			require.Equal(t, keys.Extras, f.Keys().Extras)
			_, _, err = Apply(f, redo)
			require.NoError(t, err)
			require.Equal(t, after, string(f.Write()))
			grown = max(grown, len(f.Parts))
		}
	})
	assert.Greater(t, grown, 4)
}

// requireSound checks what every figure keeps, by going over it anew.
func requireSound(t *rapid.T, f *Figure) {
	doc := f.Write()
	g, err := Read(doc)
	require.NoError(t, err, string(doc))
	require.Equal(t, string(doc), string(g.Write()))
	require.Equal(t, len(f.Rings), len(g.Rings), "twins are made alike")
	taken := map[[2]int]int{}
	for i := range f.Rings {
		foot := f.Footing(i)
		if foot.OnTable() {
			continue
		}
		p := foot.Seam(f.Rings[i].Start)
		for _, c := range f.Rings[i].Cells {
			p += int(c.Free)
			for range c.Takes {
				at := ((p % foot.Offered()) + foot.Offered()) % foot.Offered()
				require.True(t, !foot.Line() || p == at, "row %d reaches beyond the line", i)
				taken[[2]int{foot.Ring(), at}]++
				p++
			}
		}
	}
	for at, times := range taken {
		require.Equal(t, 1, times, "point %v", at)
	}
	requireMirrored(t, f)
}

// requireMirrored compares every twin's places with those of its part.
func requireMirrored(t *rapid.T, f *Figure) {
	u := Unroll(f)
	for i := range f.Parts {
		twin := &f.Parts[i]
		if twin.Twin == 0 {
			continue
		}
		of, _ := f.PartIndex(twin.Twin)
		first := f.Parts[of].First
		require.Equal(t, f.Parts[of].Rows, twin.Rows)
		on, _ := f.RingIndex(twin.on())
		axis := u.PartFront(f.PartOf(on))
		for k := range twin.Rows {
			n := len(f.Rings[first+k].Cells)
			for j := range n {
				a, b := &f.Rings[first+k].Cells[j], &f.Rings[twin.First+k].Cells[n-1-j]
				require.Equal(t, [3]int{int(a.Colour), int(a.Side), int(a.Takes)}, [3]int{int(b.Colour), int(b.Side), int(b.Takes)})
				if twin.Open {
					away := u.Middle(first+k, j) + u.Middle(twin.First+k, n-1-j) - 2*axis
					require.InDelta(t, 0, away-math.Round(away), 1e-9)
				}
			}
		}
	}
}

// Each way to break one rule is refused whole, and the fault names its place.
func TestEveryRefusalOfPartsNamesItsPlace(t *testing.T) {
	swan := swanText(t)
	with := func(old, new string) string {
		require.Contains(t, swan, old)
		return strings.Replace(swan, old, new, 1)
	}
	neck := `"grows": {"on": "body", "ring": 3, "point": 17}`
	twin := `{"id": "wing2", "name": "Left wing", "twin": "wing"}`
	many := strings.Repeat(`, {"id": "x", "name": "X", "set": {"on": "body", "ring": 1, "how": "glued"}, "rings": [{"runs": [{"n": 3, "colour": "chalk"}]}]}`, 61)
	for range 61 {
		many = strings.Replace(many, `"x"`, fmt.Sprintf(`"x%d"`, strings.Count(many, `"x"`)), 1)
	}
	for name, c := range map[string]struct{ doc, where, what string }{
		"grows on itself":           {with(`"grows": {"on": "body", "ring": 3, "point": 19}`, `"grows": {"on": "wing", "ring": 1, "point": 0}`), "parts[1].grows.on", "stands on itself"},
		"in a circle":               {with(`"grows": {"on": "body", "ring": 3, "point": 19}`, `"grows": {"on": "neck", "ring": 1, "point": 0}`), "parts[1].grows.on", "comes later"},
		"on a missing part":         {with(neck, `"grows": {"on": "boat", "ring": 3, "point": 17}`), "parts[3].grows.on", `no part "boat"`},
		"on a missing ring":         {with(neck, `"grows": {"on": "body", "ring": 4, "point": 17}`), "parts[3].grows.ring", "Found 4"},
		"on a missing point":        {with(neck, `"grows": {"on": "body", "ring": 3, "point": 48}`), "parts[3].grows.point", "Found 48"},
		"on a point that is taken":  {with(neck, `"grows": {"on": "body", "ring": 3, "point": 18}`), "parts[3].grows.point", "which ring 1 of “Right wing” takes too"},
		"on a ring that is covered": {with(neck, `"grows": {"on": "body", "ring": 2, "point": 17}`), "parts[3].grows.point", "which ring 3 of “Body” takes too"},
		"on a twin":                 {with(neck, `"grows": {"on": "wing2", "ring": 2, "point": 1}`), "parts[3].grows.on", "is a twin"},
		"beyond the end of a line":  {with(neck, `"grows": {"on": "wing", "ring": 2, "point": 13}`), "parts[3].grows.point", "needs 2 points from the right point of unit 7 on, but the row below has only 1 point there"},
		"twin of a twin":            {with(twin, twin+`, {"id": "wing3", "name": "Third", "twin": "wing2"}`), "parts[3].twin", "is a twin"},
		"twin of the body":          {with(twin, `{"id": "wing2", "name": "Left wing", "twin": "body"}`), "parts[2].twin", "has no twin"},
		"two twins":                 {with(twin, twin+`, {"id": "wing3", "name": "Third", "twin": "wing"}`), "parts[3].twin", "has a twin already"},
		"twin with rows":            {with(twin, `{"id": "wing2", "name": "Left wing", "twin": "wing", "rows": []}`), "parts[2].rows", `"rows"`},
		"twin between points":       {with(`{"runs": [{"n": 24, "colour": "chalk"}]}]}`, `{"runs": [{"n": 23, "colour": "chalk"}, {"n": 2, "colour": "chalk", "takes": 1}]}]}`), "parts[2].twin", "between the points of ring 3 of “Body”"},
		"twin on taken points":      {with(`"front": 8.5`, `"front": 9`), "parts[3].grows.point", "which ring 1 of “Left wing” takes too"},
		"beyond all rows":           {with(`"n": 14`, `"n": 994`), "parts", "1002 rings"},
		"no way to stand":           {with(neck+", ", ""), "parts[3]", "0 ways"},
		"two ways to stand":         {with(neck, neck+`, "twin": "wing"`), "parts[3]", "2 ways"},
		"the first grows":           {with(`"front": 8.5`, `"front": 8.5, `+neck), "parts[0].grows", "stands on the table"},
		"two lists of rows":         {with(`"chain": [`, `"rows": [{"runs": [{"n": 1, "colour": "chalk"}]}], "chain": [`), "parts[3]", "2 lists"},
		"set on with open rows":     {with(neck, `"set": {"on": "body", "ring": 3, "how": "glued"}`), "parts[3]", "1 list"},
		"an id twice":               {with(`"id": "neck"`, `"id": "wing"`), "parts[3].id", "appears twice"},
		"skips at the edge":         {with(`{"runs": [{"n": 8, "colour": "chalk"}]}`, `{"runs": [{"skip": 1}, {"n": 8, "colour": "chalk"}]}`), "parts[1].rows[0]", "at its ends"},
		"a row out of balance":      {with(`{"skip": 1}, {"n": 7`, `{"n": 7`), "parts[1].rows[1]", "ring 1 of “Right wing” (8 units) offers 16"},
		"bent too far":              {with(`"out": 14`, `"out": 46`), "parts[3].bend[1].out", "Found 46"},
		"bent over too many rows":   {with(`"rows": 9,`, `"rows": 995,`), "parts[3].bend[1].rows", "Found 995"},
		"a bent body":               {with(`"front": 8.5`, `"front": 8.5, "bend": [{"rows": 1}]`), "parts[0].bend", "stands upright"},
		"a chain without end":       {with(`"n": 14`, `"n": 100001`), "parts[3].chain[0].n", "Found 100001"},
		"chains that are too long":  {with(`"n": 14`, `"n": 995`), "parts[3].chain[1].n", "1001 rings"},
		"an eye on a twin":          {with(`"part": "neck", "ring": 15`, `"part": "wing2", "ring": 1`), "extras[0].part", "is a twin"},
		"an eye on no row":          {with(`"ring": 15`, `"ring": 16`), "extras[0].ring", "Found 16"},
		"an eye beyond the edge":    {with(`"part": "neck", "ring": 15, "at": 0`, `"part": "wing", "ring": 1, "at": 7.5`), "extras[0].at", "Found 7.5"},
		"65 parts":                  {with(twin, twin+many), "parts", "65 parts"},
		"no parts":                  {`{"tuckring": 2, "title": "T", "unit": {"long_mm": 52, "short_mm": 37}, "colours": [{"id": "a", "name": "A", "hex": "#000000"}], "parts": []}`, "parts", "0 parts"},
		"rings as in version 1":     {with(`"parts"`, `"rings"`), "rings", `"rings"`},
	} {
		t.Run(name, func(t *testing.T) {
			f, err := Read([]byte(c.doc))
			require.Nil(t, f)
			faults, ok := err.(Faults)
			require.True(t, ok, "%v", err)
			var found []string
			for _, fault := range faults {
				found = append(found, fault.Where+": "+fault.What.String())
				assert.NotEmpty(t, fault.Fix.String())
			}
			assert.True(t, slices.ContainsFunc(faults, func(fault Fault) bool {
				return fault.Where == c.where && strings.Contains(fault.What.String(), c.what)
			}), "%q", found)
		})
	}
}

// Closed formulas: a wing of m rows narrowing from m units has m(m+1)/2 units; a strip alternating m and m − 1 over 2k rows
// k(2m − 1); a chain as many as it is long; a twin as many as its part.
func TestPartsHaveAsManyUnitsAsTheirFormulasSay(t *testing.T) {
	for m := 2; m <= 12; m++ {
		f := plain(60, 3)
		top := f.Rings[2].ID
		grow := func(e *Grow, want int) PartID {
			before := f.Units()
			do(t, f, e)
			require.Equal(t, want, f.Units()-before, "%s of %d", e.As, m)
			return f.Parts[len(f.Parts)-1].ID
		}
		f.Front = 30
		wing := grow(&Grow{On: top, Point: 70, As: AsWing, Units: m, Rows: m, Colour: "brick", Name: "Wing"}, m*(m+1)/2)
		grow(&Grow{On: top, Point: 96, As: AsStrip, Units: m, Rows: 2 * 5, Colour: "brick", Name: "Strap"}, 5*(2*m-1))
		grow(&Grow{On: top, Point: 64, As: AsChain, Rows: m, Colour: "brick", Name: "Neck"}, m)
		before := f.Units()
		do(t, f, &AddTwin{Part: wing, Name: "Left wing"})
		assert.Equal(t, m*(m+1)/2, f.Units()-before)
	}
}

// A part of one row less than nothing, and a document of one part only, are figures as before.
func TestAFigureOfOnePartIsWrittenAsVersionOne(t *testing.T) {
	f := plain(12, 3)
	before := string(f.Write())
	do(t, f, &Grow{On: f.Rings[2].ID, Point: 3, As: AsChain, Rows: 4, Colour: "brick", Name: "Neck"})
	assert.Contains(t, string(f.Write()), `"tuckring": 2`)
	do(t, f, &RemovePart{Part: f.Parts[1].ID})
	assert.Equal(t, before, string(f.Write()))
	alone := readParts(t, `{"tuckring": 2, "title": "Pier", "unit": {"long_mm": 52, "short_mm": 37}, "colours": [{"id": "a", "name": "A", "hex": "#000000"}],
		"parts": [{"id": "pier", "name": "Pier", "front": 1, "rings": [{"runs": [{"n": 4, "colour": "a"}]}]}]}`)
	assert.Contains(t, string(alone.Write()), `"tuckring": 1`)
	assert.Equal(t, 1.0, alone.Front)
}

// A part that came and was worked on since stays; once the work is taken back, it goes.
func TestAnUndoOfAPartSparesWhatOthersHaveDoneSince(t *testing.T) {
	f := plain(24, 3)
	back, _, err := Apply(f, &Grow{On: f.Rings[2].ID, Point: 5, As: AsWing, Units: 4, Rows: 4, Colour: "brick", Name: "Wing"})
	require.NoError(t, err)
	wing := f.Rings[f.Parts[1].First].ID
	painted, _, err := Apply(f, &Paint{Runs: []PaintRun{{Ring: wing, At: 1, N: 2, Colour: f.Colours[1].ID}}})
	require.NoError(t, err)
	before := string(f.Write())
	_, _, err = Apply(f, back)
	assert.ErrorContains(t, err, "has been worked on since")
	assert.Equal(t, before, string(f.Write()))
	do(t, f, painted)
	do(t, f, back)
	assert.Empty(t, f.Parts)
}

// What a twin's part gets, the twin has too; where the image can no longer be, the edit is refused and nothing changed.
func TestATwinFollowsItsPart(t *testing.T) {
	f := readParts(t, swanText(t))
	wing := f.Rings[f.Parts[1].First+1].ID
	do(t, f, &Paint{Runs: []PaintRun{{Ring: wing, At: 0, N: 2, Colour: "orange"}}})
	left := &f.Rings[f.Parts[2].First+1]
	assert.Equal(t, []uint8{0, 0, 0, 0, 0, 1, 1}, []uint8{left.Cells[0].Colour, left.Cells[1].Colour, left.Cells[2].Colour, left.Cells[3].Colour, left.Cells[4].Colour, left.Cells[5].Colour, left.Cells[6].Colour})
	do(t, f, &InsertRing{Above: wing, Colour: "chalk"})
	assert.Equal(t, []int{3, 3}, []int{f.Parts[1].Rows, f.Parts[2].Rows})
	before := string(f.Write())
	_, _, err := Apply(f, &SetFront{Front: 9})
	assert.ErrorContains(t, err, "takes too", "the twin would come to stand on the neck")
	assert.Equal(t, before, string(f.Write()))
}

// A part that stands across the front line is its own mirror image: that is said, not that it takes points twice.
func TestAPartOnTheFrontLineHasNoTwin(t *testing.T) {
	f := readParts(t, swanText(t))
	neck := f.Parts[len(f.Parts)-1]
	_, _, err := Apply(f, &AddTwin{Part: neck.ID, Name: "Other neck"})
	assert.ErrorContains(t, err, "“"+neck.Name+"” stands across the front line of ring 3")
	assert.ErrorContains(t, err, "Move it to one side")
}

// An open row ends at its last unit: what is placed on it stays on it when the row gets shorter, over the unit that stands
// nearest to where it was, and the figure can be read again (found by an attack: the place lay past the end).
func TestWhatIsPlacedOnAnOpenRowStaysOnItWhenItGetsShorter(t *testing.T) {
	for name, shorten := range map[string]func(row RingID) Edit{
		"count":    func(row RingID) Edit { return &SetCount{Rings: []RingID{row}, Units: 4} },
		"counts":   func(row RingID) Edit { return &SetCounts{Counts: []RingCount{{Ring: row, Units: 4}}} },
		"left out": func(row RingID) Edit { return &LeaveOut{Ring: row, At: 4, N: 1} },
		"by hand": func(row RingID) Edit {
			return &Reshape{Ring: row, Runs: []Run{{Skip: 1}, {N: 4, Colour: "brick"}, {Skip: 3}}}
		},
		"far fewer": func(row RingID) Edit { return &SetCount{Rings: []RingID{row}, Units: 2} },
	} {
		for half := range 9 {
			f := plain(24, 3)
			do(t, f, &Grow{On: f.Rings[2].ID, Point: 5, As: AsWing, Units: 6, Rows: 2, Colour: "brick", Name: "Wing"})
			row, at := f.Rings[4].ID, float64(half)/2
			do(t, f, &AddExtra{Extra: ExtraState{Kind: Glued, Name: "eye", Diameter: 8, Ring: row, At: at}})
			do(t, f, &SetOn{On: row, At: &at, How: GluedOn, Name: "Lamp", Colour: "brick", Units: 6, Rows: 1})
			before := string(f.Write())
			back, _, err := Apply(f, shorten(row))
			require.NoError(t, err, name)
			again, err := Read(f.Write())
			require.NoError(t, err, "%s, from %v", name, at)
			assert.LessOrEqual(t, again.Extras[0].At, float64(len(again.Rings[4].Cells)-1))
			do(t, f, back)
			assert.Equal(t, before, string(f.Write()), name)
		}
	}
	f := plain(24, 3)
	do(t, f, &Grow{On: f.Rings[2].ID, Point: 5, As: AsWing, Units: 6, Rows: 2, Colour: "brick", Name: "Wing"})
	do(t, f, &AddExtra{Extra: ExtraState{Kind: Glued, Name: "eye", Diameter: 8, Ring: f.Rings[4].ID, At: 1}})
	do(t, f, &LeaveOut{Ring: f.Rings[4].ID, At: 4, N: 1})
	assert.Equal(t, 1.0, f.Extras[0].At, "the last unit went, the eye is over the second")
}

// The part on the table keeps its name and id when the only other part goes and comes back (found by an attack).
func TestTheStandingPartKeepsItsNameWhenTheOnlyOtherComesBack(t *testing.T) {
	text := strings.NewReplacer(`"id": "body", "name": "Body"`, `"id": "trunk", "name": "Trunk"`, `"on": "body"`, `"on": "trunk"`).Replace(swanText(t))
	require.Contains(t, text, "Trunk")
	f := readParts(t, text)
	for len(f.Parts) > 2 {
		do(t, f, &RemovePart{Part: f.Parts[len(f.Parts)-1].ID})
	}
	before := string(f.Write())
	back, _, err := Apply(f, &RemovePart{Part: f.Parts[1].ID})
	require.NoError(t, err)
	do(t, f, back)
	assert.Equal(t, before, string(f.Write()))
}

// What stands on a part with a twin stands on one side only, and that is said.
func TestWhatGrowsOnAPartWithATwinSaysThatTheTwinHasNone(t *testing.T) {
	f := readParts(t, swanText(t))
	_, ch, err := Apply(f, &Grow{On: f.Rings[4].ID, Point: 4, As: AsChain, Rows: 3, Colour: "chalk", Name: "Feather"})
	require.NoError(t, err)
	require.Len(t, ch.Remarks, 1)
	assert.Contains(t, ch.Remarks[0].String(), "“Feather” stands on “Right wing” only")
}
