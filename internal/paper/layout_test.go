package paper

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/gauge"
	"tuckring/internal/words"
)

func sheetOf(w, h float64) Sheet { return Sheet{WidthMM: w, HeightMM: h} }

func named(t testing.TB, name string) Sheet {
	t.Helper()
	s, err := ParseSheet(name)
	require.NoError(t, err)
	return s
}

func best(t testing.TB, c Cutting) *Layout {
	t.Helper()
	l, err := Best(context.Background(), c)
	require.NoError(t, err)
	return l
}

// readCSV reads a file of testdata without its comment lines.
func readCSV(t testing.TB, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, rows)
	return rows
}

func numberOf(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

func TestSheetGivesThePublishedNumberOfUnits(t *testing.T) {
	for _, c := range []struct {
		sheet       string
		long, short float64
		units       int
		source      string
	}{
		{"A4", 52, 37, 32, "ISO 216: A9 is an A4 halved five times"},
		{"A4", 74, 52, 16, "ISO 216: A8 is an A4 halved four times"},
		{"A4", 52, 18.5, 64, "The Star (Malaysia), 14 March 2012: A4 into 64 strips"},
		{"A4", 80, 30, 23, "issue 2; 2 + 3 × 7 by hand, where a grid holds 21"},
		{"A4", 53, 37, 29, "issue 5"},
		{"A3", 52, 37, 64, "ISO 216: A9 is an A3 halved six times"},
		{"15 cm square", 75, 37.5, 8, "a square halved three times"},
	} {
		l := best(t, Cutting{Sheet: named(t, c.sheet), LongMM: c.long, ShortMM: c.short})
		assert.Equal(t, c.units, l.PerSheet, "%s with %v × %v: %s", c.sheet, c.long, c.short, c.source)
	}
}

func TestUsedShareOfAnA4InStripsOf80By30(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A4"), LongMM: 80, ShortMM: 30})
	assert.InDelta(t, 0.885, l.Used, 0.0005) // contract: cut --json
	assert.Equal(t, 25, l.AreaBound)         // 62370 mm² / 2400 mm² = 25.98
}

func TestNeverAboveThePublishedOptimaOfFreePacking(t *testing.T) {
	for _, row := range readCSV(t, "identical-rectangles.csv") {
		var v [5]float64
		for i := range v {
			v[i] = numberOf(t, row[i])
		}
		l := best(t, Cutting{Sheet: sheetOf(v[0], v[1]), LongMM: v[2], ShortMM: v[3]})
		assert.LessOrEqual(t, float64(l.PerSheet), v[4], "%v", row)
		assert.GreaterOrEqual(t, float64(l.PerSheet), v[4]-2, "a guillotine loses little: %v", row)
	}
}

// brute is the independent check: plain recursion over every whole-number cut of a piece, in both
// directions, with no thought of normal lengths, symmetry or packing.
type brute struct {
	long, short, kerf int
	seen              map[[2]int][2]int
}

// best gives most units, then fewest cuts.
func (b *brute) best(w, h int) (units, cuts int) {
	if w <= 0 || h <= 0 {
		return 0, 0
	}
	if w == b.long && h == b.short || w == b.short && h == b.long {
		return 1, 0
	}
	if v, ok := b.seen[[2]int{w, h}]; ok {
		return v[0], v[1]
	}
	try := func(w1, h1, w2, h2 int) {
		u1, c1 := b.best(w1, h1)
		u2, c2 := b.best(w2, h2)
		if u, c := u1+u2, c1+c2+1; u > units || u == units && u > 0 && c < cuts {
			units, cuts = u, c
		}
	}
	for x := 1; x < w; x++ {
		try(x, h, w-x-b.kerf, h)
	}
	for y := 1; y < h; y++ {
		try(w, y, w, h-y-b.kerf)
	}
	b.seen[[2]int{w, h}] = [2]int{units, cuts}
	return units, cuts
}

func TestEqualToBruteForceOnAllSmallSheets(t *testing.T) {
	checked := 0
	for kerf := range 3 {
		for long := 1; long <= 9; long++ {
			for short := 1; short <= long; short++ {
				b := brute{long, short, kerf, map[[2]int][2]int{}}
				for w := 1; w <= 24; w++ {
					for h := w; h <= 24; h++ {
						units, cuts := b.best(w, h)
						gotUnits, gotCuts := solve(t, w, h, long, short, kerf)
						if units != gotUnits || cuts != gotCuts {
							t.Fatalf("%d × %d with %d × %d, kerf %d: %d units in %d cuts, brute force %d in %d",
								w, h, long, short, kerf, gotUnits, gotCuts, units, cuts)
						}
						checked++
					}
				}
			}
		}
	}
	assert.Equal(t, 3*45*300, checked)
}

// solve asks the solver itself, since a Sheet is at least MinSheetMM wide.
func solve(t *testing.T, w, h, long, short, kerf int) (units, cuts int) {
	k := int64(kerf) * ticksPerMM
	at := func(v int) int64 { return int64(v)*ticksPerMM + k }
	table, ok, err := newTable(context.Background(), at(long), at(short), at(w), at(h), maxWork)
	require.NoError(t, err)
	require.True(t, ok)
	v := table.score(at(w), at(h))
	return unitsOf(v), cutsOf(v)
}

// canCut says whether a piece can be cut into the most units with the fewest cuts using only stops of
// the set; the stop measures any part that holds units (or, with offcuts, any part), whole numbers.
func (b *brute) canCut(w, h int, stops map[int]bool, offcuts bool, seen map[[2]int]bool) bool {
	units, cuts := b.best(w, h)
	if units == 0 || cuts == 0 {
		return true
	}
	if v, ok := seen[[2]int{w, h}]; ok {
		return v
	}
	good := func(stop, w1, h1, w2, h2 int) bool {
		if !stops[stop] {
			return false
		}
		u1, c1 := b.best(w1, h1)
		u2, c2 := b.best(w2, h2)
		return (u1 > 0 || offcuts) && u1+u2 == units && c1+c2+1 == cuts && b.canCut(w1, h1, stops, offcuts, seen) && b.canCut(w2, h2, stops, offcuts, seen)
	}
	ok := false
	for x := 1; x < w && !ok; x++ {
		ok = good(x, x, h, w-x-b.kerf, h)
	}
	for y := 1; y < h && !ok; y++ {
		ok = good(y, w, y, w, h-y-b.kerf)
	}
	seen[[2]int{w, h}] = ok
	return ok
}

// fewest finds the smallest number of stops by trying all sets.
func (b *brute) fewest(w, h, most int) int {
	for size := 0; size <= most; size++ {
		if b.trySets(w, h, size, 1, map[int]bool{}) {
			return size
		}
	}
	return most + 1
}

func (b *brute) trySets(w, h, size, from int, stops map[int]bool) bool {
	if size == 0 {
		return b.canCut(w, h, stops, false, map[[2]int]bool{})
	}
	for s := from; s < max(w, h); s++ {
		stops[s] = true
		if b.trySets(w, h, size-1, s+1, stops) {
			return true
		}
		delete(stops, s)
	}
	return false
}

func TestFewestStopSettingsEqualToTryingAllSets(t *testing.T) {
	for kerf := range 2 {
		for _, unit := range [][2]int{{2, 1}, {3, 2}, {4, 3}, {5, 2}, {5, 3}, {7, 3}} {
			b := brute{unit[0], unit[1], kerf, map[[2]int][2]int{}}
			for w := 10; w <= 16; w++ {
				for h := w; h <= 16; h++ {
					l := best(t, Cutting{Sheet: sheetOf(float64(w), float64(h)), LongMM: float64(unit[0]),
						ShortMM: float64(unit[1]), KerfMM: float64(kerf)})
					require.True(t, l.StopsProven)
					require.Equal(t, b.fewest(w, h, len(l.StopsMM)), len(l.StopsMM), "%d × %d with %v, kerf %d: %v", w, h, unit, kerf, l.StopsMM)
				}
			}
		}
	}
}

func TestFewestStopSettingsOnLargerSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kerf := rapid.IntRange(0, 1).Draw(t, "kerf")
		long := rapid.IntRange(4, 12).Draw(t, "long")
		short := rapid.IntRange(2, min(long, 8)).Draw(t, "short")
		w := rapid.IntRange(12, 26).Draw(t, "width")
		h := rapid.IntRange(w, 26).Draw(t, "height")
		l, err := Best(context.Background(), Cutting{Sheet: sheetOf(float64(w), float64(h)), LongMM: float64(long), ShortMM: float64(short), KerfMM: float64(kerf)})
		require.NoError(t, err)
		want := min(len(l.StopsMM), 4) // sets of more than three are too many to try: then three must not do
		b := brute{long, short, kerf, map[[2]int][2]int{}}
		if n := b.fewest(w, h, min(want, 3)); l.StopsProven && n != want {
			t.Fatalf("%v, and %d by trying all sets", l.StopsMM, n)
		}
	})
}

// Three units of 97 × 53 come out of 150 × 150 with the stop at 53 alone, if a piece of 53 × 53 that is
// no use lies at the stop while a unit is what is left. So the proof says that no offcut lies there.
func TestProofOfTheStopsSaysThatNoOffcutLiesAtTheStop(t *testing.T) {
	b := brute{97, 53, 0, map[[2]int][2]int{}}
	only := map[int]bool{53: true}
	assert.True(t, b.canCut(150, 150, only, true, map[[2]int]bool{}))
	assert.False(t, b.canCut(150, 150, only, false, map[[2]int]bool{}))
	l := best(t, Cutting{Sheet: sheetOf(150, 150), LongMM: 97, ShortMM: 53})
	assert.Len(t, l.StopsMM, 2)
	assert.True(t, l.StopsProven)
	assert.Contains(t, l.StopsProof().String(), "as long as no offcut lies at the stop")
	// The cuts that trim margins are set by themselves and not searched.
	l = best(t, Cutting{Sheet: sheetOf(150, 150), LongMM: 60, ShortMM: 40, MarginMM: 5})
	assert.False(t, l.StopsProven)
}

// A setting that comes up again after another is set again.
func TestSettingsThatComeUpAgainAreSetAgain(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A4"), LongMM: 80, ShortMM: 30})
	var set []float64
	for _, s := range l.Steps {
		if len(set) == 0 || set[len(set)-1] != s.StopMM {
			set = append(set, s.StopMM)
		}
	}
	assert.Equal(t, []float64{30, 80, 30}, set)
	assert.Equal(t, 3, l.StopsSet)
	assert.Len(t, l.StopsMM, 2)
}

// drawCutting draws a question with sensible lengths, decimals, margins and kerfs, in which at least
// one unit fits the sheet.
func drawCutting(t *rapid.T) Cutting {
	tenth := func(name string, low, high float64) float64 {
		return float64(rapid.IntRange(int(low*10), int(high*10)).Draw(t, name)) / 10
	}
	c := Cutting{Sheet: sheetOf(tenth("width", 60, 300), tenth("height", 60, 420))}
	if rapid.Bool().Draw(t, "margin?") {
		c.MarginMM = tenth("margin", 0, 12)
	}
	if rapid.Bool().Draw(t, "kerf?") {
		c.KerfMM = tenth("kerf", 0, 3)
	}
	// 0.1 mm of play, since tenths of a millimetre are not exact in binary.
	a, b := c.Sheet.WidthMM-2*c.MarginMM-0.1, c.Sheet.HeightMM-2*c.MarginMM-0.1
	c.LongMM, c.ShortMM = tenth("long", 20, min(110, max(a, b))), tenth("short", 12, min(60, min(a, b)))
	return c
}

func TestUnitsNeverOverlapAndKeepClearOfTheMargin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		l, err := Best(context.Background(), c)
		require.NoError(t, err)
		const hair = 1e-6 // mm
		for i, p := range l.Pieces {
			if p.X < c.MarginMM-hair || p.Y < c.MarginMM-hair ||
				p.X+p.W > c.Sheet.WidthMM-c.MarginMM+hair || p.Y+p.H > c.Sheet.HeightMM-c.MarginMM+hair {
				t.Fatalf("unit %d at %v lies in the margin", i, p)
			}
			for j, q := range l.Pieces[:i] {
				apart := p.X+p.W+c.KerfMM <= q.X+hair || q.X+q.W+c.KerfMM <= p.X+hair ||
					p.Y+p.H+c.KerfMM <= q.Y+hair || q.Y+q.H+c.KerfMM <= p.Y+hair
				if !apart {
					t.Fatalf("units %d and %d are closer than the blade: %v %v", i, j, p, q)
				}
			}
		}
	})
}

// trimmer follows the printed sentences as a person would: find the pieces of that size on the table,
// measure, cut, put what is not called an offcut back on the table. Sizes are nanometres, the shorter side
// first.
type trimmer struct {
	table map[[2]int64]int
	kerf  int64
	cuts  int
}

var sentence = regexp.MustCompile(`^Set the stop to ([0-9.]+) mm\. Take the (?:sheet, |piece of |([0-9]+) pieces of )` +
	`([0-9.]+) × ([0-9.]+) mm\. Measure along the ([0-9.]+) mm side and cut (?:each of them )?(?:(once)|([0-9]+) times)\.` +
	` That gives ([0-9]+) (?:unit|piece)s? of ([0-9.]+) × ([0-9.]+) mm\.`)

var leftOver = regexp.MustCompile(` mm (?:is|are) left\b`)

func nano(s string) int64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return -1
	}
	return int64(math.Round(v * 1e6))
}

func (m *trimmer) put(a, b int64) { m.table[[2]int64{min(a, b), max(a, b)}]++ }

func (m *trimmer) take(a, b int64) bool {
	key := [2]int64{min(a, b), max(a, b)}
	if m.table[key] == 0 {
		return false
	}
	m.table[key]--
	return true
}

// follow carries out one sentence.
func (m *trimmer) follow(text string) error {
	f := sentence.FindStringSubmatch(text)
	if f == nil || strings.ContainsAny(text, "[]<>{}") { // no key or value is missing
		return fmt.Errorf("cannot read %q", text)
	}
	stop, a, b, along := nano(f[1]), nano(f[3]), nano(f[4]), nano(f[5])
	across := a
	if along == a {
		across = b
	} else if along != b {
		return fmt.Errorf("the piece has no side of that length: %q", text)
	}
	pieces, times := 1, 1
	if f[2] != "" {
		pieces, _ = strconv.Atoi(f[2])
	}
	if f[6] == "" {
		times, _ = strconv.Atoi(f[7])
	}
	wantA, wantB := nano(f[9]), nano(f[10])
	before, apart := m.table[[2]int64{wantA, wantB}], 0
	for range pieces {
		if !m.take(a, b) {
			return fmt.Errorf("there is no such piece on the table: %q", text)
		}
		left := along
		for range times {
			if left <= stop {
				return fmt.Errorf("nothing left to cut: %q", text)
			}
			m.cuts++
			m.put(stop, across)
			left -= stop + m.kerf
		}
		if left > 0 && !strings.Contains(text, " offcut") {
			m.put(left, across)
			// What the sentence speaks of as left over may be of the same size as what it gives.
			if left == stop && leftOver.MatchString(text) {
				apart++
			}
		}
	}
	promised, _ := strconv.Atoi(f[8])
	if got := m.table[[2]int64{wantA, wantB}] - before - apart; got != promised {
		return fmt.Errorf("%d pieces, promised %d: %q", got, promised, text)
	}
	return nil
}

// cutSheet follows all steps on one sheet and gives the units on the table at the end.
func cutSheet(c Cutting, steps []CutStep) (units, cuts int, err error) {
	m := trimmer{table: map[[2]int64]int{}, kerf: int64(math.Round(c.KerfMM * 1e6))}
	n := func(v float64) int64 { return int64(math.Round(v * 1e6)) }
	m.put(n(c.Sheet.WidthMM), n(c.Sheet.HeightMM))
	for _, s := range steps {
		if err := m.follow(words.English.Say(s.Text())); err != nil {
			return 0, 0, err
		}
	}
	a, b := n(c.LongMM), n(c.ShortMM)
	return m.table[[2]int64{min(a, b), max(a, b)}], m.cuts, nil
}

func TestFollowingThePrintedCutsGivesTheUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		l, err := Best(context.Background(), c)
		require.NoError(t, err)
		units, cuts, err := cutSheet(c, l.Steps)
		if err != nil {
			t.Fatal(err)
		}
		if units != l.PerSheet || cuts != l.Cuts || len(l.Pieces) != l.PerSheet {
			t.Fatalf("%d units in %d cuts at the trimmer, %d in %d promised", units, cuts, l.PerSheet, l.Cuts)
		}
	})
}

// bordered is the independent check for margins: plain recursion over every whole-number cut of a piece
// that knows where on the sheet it lies, so that no unit may touch the border. The blade may run
// partly beside the piece.
type bordered struct {
	brute
	w, h, margin int
	known        map[[4]int][2]int
}

func (b *bordered) best(x, y, w, h int) (units, cuts int) {
	if w <= 0 || h <= 0 {
		return 0, 0
	}
	inside := x >= b.margin && y >= b.margin && x+w <= b.w-b.margin && y+h <= b.h-b.margin
	if inside && (w == b.long && h == b.short || w == b.short && h == b.long) {
		return 1, 0
	}
	if v, ok := b.known[[4]int{x, y, w, h}]; ok {
		return v[0], v[1]
	}
	try := func(u1, c1, u2, c2 int) {
		if u, c := u1+u2, c1+c2+1; u > units || u == units && u > 0 && c < cuts {
			units, cuts = u, c
		}
	}
	for at := 1 - b.kerf; at < w; at++ {
		if at > 0 || at+b.kerf < w && at+b.kerf > 0 {
			u1, c1 := b.best(x, y, at, h)
			u2, c2 := b.best(x+at+b.kerf, y, w-at-b.kerf, h)
			try(u1, c1, u2, c2)
		}
	}
	for at := 1 - b.kerf; at < h; at++ {
		if at > 0 || at+b.kerf < h && at+b.kerf > 0 {
			u1, c1 := b.best(x, y, w, at)
			u2, c2 := b.best(x, y+at+b.kerf, w, h-at-b.kerf)
			try(u1, c1, u2, c2)
		}
	}
	b.known[[4]int{x, y, w, h}] = [2]int{units, cuts}
	return units, cuts
}

func TestMarginsEqualToBruteForceOnSmallSheets(t *testing.T) {
	for kerf := range 2 {
		for margin := 1; margin <= 2; margin++ {
			for _, unit := range [][2]int{{2, 1}, {3, 2}, {4, 3}, {5, 2}, {6, 1}} {
				for _, sheet := range [][2]int{{10, 10}, {10, 11}, {10, 13}, {11, 12}, {12, 12}} {
					b := bordered{brute{long: unit[0], short: unit[1], kerf: kerf}, sheet[0], sheet[1], margin, map[[4]int][2]int{}}
					units, cuts := b.best(0, 0, sheet[0], sheet[1])
					l := best(t, Cutting{Sheet: sheetOf(float64(sheet[0]), float64(sheet[1])), LongMM: float64(unit[0]),
						ShortMM: float64(unit[1]), MarginMM: float64(margin), KerfMM: float64(kerf)})
					assert.Equal(t, [2]int{units, cuts}, [2]int{l.PerSheet, l.Cuts}, "%v with %v, margin %d, kerf %d", sheet, unit, margin, kerf)
				}
			}
		}
	}
}

func TestFollowingTheCutsOfAPartSheetGivesTheUnits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawCutting(t)
		l, err := Best(context.Background(), c)
		require.NoError(t, err)
		want := rapid.IntRange(0, l.PerSheet).Draw(t, "units")
		p, err := l.Part(want)
		if err != nil {
			t.Fatal(err)
		}
		units, cuts, err := cutSheet(c, p.Steps)
		if err != nil {
			t.Fatal(err)
		}
		if units < want || units != p.Units || cuts != p.Cuts || cuts > l.Cuts {
			t.Fatalf("%d units in %d cuts at the trimmer, %d in %d promised, %d wanted", units, cuts, p.Units, p.Cuts, want)
		}
	})
}

func TestPartSheetKeepsTheRestInOnePiece(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A4"), LongMM: 52, ShortMM: 37})
	p, err := l.Part(8) // one strip of eight: trim, one strip off, seven cuts
	require.NoError(t, err)
	assert.Equal(t, 8, p.Units)
	assert.Equal(t, 9, p.Cuts)
	assert.Equal(t, Offcut{WMM: 158, HMM: 296, Count: 1, Units: 24}, p.Offcuts[0])
}

func TestUnusedSheetStaysWhole(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A4"), LongMM: 52, ShortMM: 37, MarginMM: 5})
	p, err := l.Part(0)
	require.NoError(t, err)
	assert.Zero(t, p.Cuts)
	assert.Equal(t, []Offcut{{WMM: 210, HMM: 297, Count: 1, Units: l.PerSheet}}, p.Offcuts)
}

func TestSheetOfTheUnitsSizeIsAUnit(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A9"), LongMM: 52, ShortMM: 37, KerfMM: 1})
	assert.Equal(t, 1, l.PerSheet)
	assert.Zero(t, l.Cuts, "a piece that ends at the sheet's edge needs no cut and loses no kerf")
	text, err := json.Marshal(l)
	require.NoError(t, err)
	assert.JSONEq(t, `{"per_sheet":1,"bound":1,"exact":true,"used":1,"pieces":[{"x":0,"y":0,"w":37,"h":52}],"steps":[]}`, string(text))
}

// By hand: 148 × 210 in pieces of 74 × 104.99 leaves strips 0.02 mm wide: all but 0.02 % of the paper is used, and not all.
func TestNotAllOfThePaperIsUsedWhereAStripIsLeft(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A5"), LongMM: 104.99, ShortMM: 74})
	assert.Contains(t, l.Summary().String(), "uses over 99.9 % of the paper")
	data, err := json.Marshal(l)
	require.NoError(t, err)
	assert.Contains(t, string(data), `"used":0.999`)
	assert.Contains(t, best(t, Cutting{Sheet: named(t, "A5"), LongMM: 105, ShortMM: 74}).Summary().String(), "uses 100.0 % of the paper")
	assert.Equal(t, "A sheet of A8 (52 × 74 mm) is a unit already: there is nothing to cut.",
		best(t, Cutting{Sheet: named(t, "A8"), LongMM: 74, ShortMM: 52}).Summary().String())
}

func TestKerfIsLostBetweenUnitsOnly(t *testing.T) {
	// Two units of 74 with 0.5 lost between them: 148.5 is enough, 148.4 is not.
	for _, c := range []struct {
		width float64
		units int
	}{{148.5, 2}, {148.4, 1}} {
		l := best(t, Cutting{Sheet: sheetOf(52, c.width), LongMM: 74, ShortMM: 52, KerfMM: 0.5})
		assert.Equal(t, c.units, l.PerSheet)
	}
}

func TestMarginComesOffAllFourSides(t *testing.T) {
	l := best(t, Cutting{Sheet: sheetOf(84, 114), LongMM: 52, ShortMM: 37, MarginMM: 5}) // 2 × 2 exactly
	require.Equal(t, 4, l.PerSheet)
	assert.Equal(t, 4+3, l.Cuts) // four margins, and three cuts for four units
	assert.Contains(t, l.Pieces, Place{X: 5, Y: 5, W: 37, H: 52})
	assert.Contains(t, l.Pieces, Place{X: 42, Y: 57, W: 37, H: 52})
}

func TestCutJSONIsTheContracts(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A4"), LongMM: 80, ShortMM: 30})
	text, err := json.Marshal(l)
	require.NoError(t, err)
	var got map[string]any
	require.NoError(t, json.Unmarshal(text, &got))
	assert.Len(t, got, 6, "bound and exact beside what the contract has")
	assert.Equal(t, 23.0, got["bound"])
	assert.Equal(t, true, got["exact"])
	assert.Equal(t, 23.0, got["per_sheet"])
	assert.Equal(t, 0.885, got["used"])
	assert.Len(t, got["pieces"], 23)
	step := got["steps"].([]any)[0].(map[string]any)
	assert.Len(t, step, 3)
	for _, key := range []string{"cut", "stop_mm", "pieces"} {
		assert.Contains(t, step, key)
	}
}

func TestImpossibleQuestionsAreRefusedAtTheirPlace(t *testing.T) {
	a4 := sheetOf(210, 297)
	for _, c := range []struct {
		where string
		ask   Cutting
		says  string
	}{
		{"unit", Cutting{Sheet: a4, LongMM: 300, ShortMM: 30}, "does not fit"},
		{"unit", Cutting{Sheet: a4, LongMM: 0, ShortMM: 30}, "A side of the unit is 0 mm."},
		{"unit", Cutting{Sheet: a4, LongMM: math.NaN(), ShortMM: 30}, "NaN"},
		{"unit", Cutting{Sheet: a4, LongMM: math.Inf(1), ShortMM: 30}, "Inf"},
		{"unit", Cutting{Sheet: sheetOf(841, 1189), LongMM: 1.3, ShortMM: 1}, "about 769191 units. It can hold at most 100000"},
		{"margin", Cutting{Sheet: a4, LongMM: 52, ShortMM: 37, MarginMM: 105}, "less than 105 mm"},
		{"margin", Cutting{Sheet: a4, LongMM: 52, ShortMM: 37, MarginMM: -1}, "The margin is -1 mm."},
		{"margin", Cutting{Sheet: a4, LongMM: 52, ShortMM: 37, MarginMM: math.NaN()}, "NaN"},
		{"unit", Cutting{Sheet: a4, LongMM: 52, ShortMM: 37, MarginMM: 90}, "30 × 117 mm can be used"},
		{"kerf", Cutting{Sheet: a4, LongMM: 52, ShortMM: 37, KerfMM: -0.1}, "-0.1 mm"},
		{"kerf", Cutting{Sheet: a4, LongMM: 52, ShortMM: 37, KerfMM: math.Inf(1)}, "Inf"},
		{"sheet", Cutting{Sheet: sheetOf(-210, 297), LongMM: 52, ShortMM: 37}, "-210 mm"},
		{"sheet", Cutting{Sheet: sheetOf(210, math.NaN()), LongMM: 52, ShortMM: 37}, "NaN"},
	} {
		_, err := Best(context.Background(), c.ask)
		var faults figure.Faults
		require.ErrorAs(t, err, &faults, "%+v", c.ask)
		assert.Equal(t, c.where, faults[0].Where)
		assert.Contains(t, faults.Error(), c.says)
		_, err = Count(context.Background(), c.ask)
		assert.Equal(t, faults, err)
	}
}

func TestProofNamesTheBound(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A4"), LongMM: 80, ShortMM: 30})
	assert.Contains(t, l.Proof().String(), "No edge-to-edge layout holds more (bound 23)")
}

func TestSummaryNamesWhatAPersonAsks(t *testing.T) {
	l := best(t, Cutting{Sheet: named(t, "A4"), LongMM: 80, ShortMM: 30})
	assert.Equal(t, "A sheet of A4 (210 × 297 mm) gives 23 units of 80 × 30 mm and uses 88.5 % of the paper, in 24 cuts with 2 stop settings, set 3 times in all.",
		l.Summary().String())
	assert.Equal(t, "No layout with as many units in as few cuts needs fewer different stop settings, as long as no offcut lies at the stop.", l.StopsProof().String())
	assert.Equal(t, "80 mm (3.15 in)", CutStep{StopMM: 80}.StopText().String()) // 80 / 25.4
}

func ExampleBest() {
	a4, _ := ParseSheet("A4")
	l, _ := Best(context.Background(), Cutting{Sheet: a4, LongMM: 52, ShortMM: 37})
	fmt.Println(l.PerSheet, "units")
	for i, s := range l.Steps {
		fmt.Printf("%d. %s\n", i+1, s.Text())
	}
	// Output:
	// 32 units
	// 1. Set the stop to 296 mm. Take the sheet, 210 × 297 mm. Measure along the 297 mm side and cut once. That gives 1 piece of 210 × 296 mm. 1 offcut of 1 × 210 mm is left.
	// 2. Set the stop to 52 mm. Take the piece of 210 × 296 mm. Measure along the 210 mm side and cut 4 times. That gives 4 pieces of 52 × 296 mm. 1 offcut of 2 × 296 mm is left.
	// 3. Set the stop to 37 mm. Take the 4 pieces of 52 × 296 mm. Measure along the 296 mm side and cut each of them 7 times. That gives 32 units of 37 × 52 mm. Nothing is left over.
}

// benchmarkLayout measures the whole of Best, past its memory, beside the plain grid of rows and columns, laid out with
// its cuts and steps in the same way. Most is how many times as long as that it may take. Then it tells how many units
// the layout is short of the published bound (Barnes 1979, see bound), beside how many the grid is. No edge-to-edge layout
// reaches the bound on every sheet: short is how many the layout was when the figure was first taken.
func benchmarkLayout(b *testing.B, name string, allowed time.Duration, most float64, short int, c Cutting) {
	var l, grid *Layout
	gauge.Duration(b, name, allowed, func() { l = bestAnew(b, c) },
		gauge.Baseline{Name: "the plain grid with its steps", Deed: func() { grid = plainGrid(c) }, Most: most})
	k := toTicks(c.KerfMM)
	long, side := c.unitTicks()
	w, h := c.rootTicks()
	bound := bound(long+k, side+k, w, h)
	gauge.Report(b, gauge.Figure{Name: name + ": short of the published bound", Unit: "units", Measured: float64(bound - l.PerSheet), Allowed: float64(short),
		Baseline: float64(bound - grid.PerSheet), Against: "the plain grid", Most: 1})
}

// bestAnew is Best past its memory.
func bestAnew(t testing.TB, c Cutting) *Layout {
	recent = memory{by: map[question]*Layout{}}
	return best(t, c)
}

// plainGrid is the better of the two plain grids of units, as a layout with its tree and steps.
func plainGrid(c Cutting) *Layout {
	k := toTicks(c.KerfMM)
	long, short := c.unitTicks()
	long, short = long+k, short+k
	w, h := c.rootTicks()
	a, b := long, short
	if (w/short)*(h/long) > (w/long)*(h/short) {
		a, b = short, long
	}
	l := &Layout{Cutting: c, ruler: c.ruler(), root: newStrips(long, short).block(w, h, a, b, w/a, h/b)}
	l.PerSheet = l.root.units
	whole := l.part(l.PerSheet)
	l.Cuts, l.Tree, l.Steps = whole.Cuts, whole.Tree, whole.Steps
	return l
}

// A sheet of A4 in 52 × 37 mm is four columns of eight: the plain grid is a layout like any other (the grid: by hand).
func TestPlainGridIsALayout(t *testing.T) {
	for _, c := range []struct {
		cutting Cutting
		units   int
	}{
		{Cutting{Sheet: named(t, "A4"), LongMM: 52, ShortMM: 37}, 32},
		{Cutting{Sheet: named(t, "A4"), LongMM: 80, ShortMM: 30}, 21},
		{Cutting{Sheet: named(t, "A3"), LongMM: 7, ShortMM: 4, KerfMM: 0.3}, 69 * 57},
	} {
		grid := plainGrid(c.cutting)
		assert.Equal(t, c.units, grid.PerSheet)
		assert.Equal(t, c.units, len(grid.Tree.units(nil)))
		assert.LessOrEqual(t, grid.PerSheet, best(t, c.cutting).PerSheet)
	}
}

func BenchmarkLayoutA4(b *testing.B) {
	benchmarkLayout(b, "Layout of A4 with 80 × 30", 20*time.Millisecond, 15, 2, Cutting{Sheet: named(b, "A4"), LongMM: 80, ShortMM: 30})
}

func BenchmarkLayoutA3(b *testing.B) {
	benchmarkLayout(b, "Layout of A3 with 37 × 26", 20*time.Millisecond, 90, 0, Cutting{Sheet: named(b, "A3"), LongMM: 37, ShortMM: 26})
}

func BenchmarkLayoutA0(b *testing.B) {
	benchmarkLayout(b, "Layout of A0 with 37 × 26", 300*time.Millisecond, 1500, 2, Cutting{Sheet: named(b, "A0"), LongMM: 37, ShortMM: 26})
}

// cutsOf is how many cuts a score stands for.
func cutsOf(v score) int { return unitsOf(v)*int(perUnit) - int(v) }
