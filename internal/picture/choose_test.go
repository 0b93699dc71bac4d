package picture

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

// everyWay calls do with every way to give n items m papers.
func everyWay(n, m int, do func(at []int)) {
	at := make([]int, n)
	for {
		do(at)
		i := 0
		for i < n {
			if at[i]++; at[i] < m {
				break
			}
			at[i] = 0
			i++
		}
		if i == n {
			return
		}
	}
}

// The least of all ways there are is what the flow finds, in 200 small cases by chance.
func TestAssignmentWithinStockIsTheLeastOfAllWays(t *testing.T) {
	by := rand.New(rand.NewPCG(11, 1))
	refused := 0
	for round := range 200 {
		n, m := 1+by.IntN(7), 1+by.IntN(4)
		costs := make([]int64, n*m)
		for i := range costs {
			costs[i] = by.Int64N(12) // small numbers, so that many ways cost alike
		}
		caps := make([]int, m)
		for j := range caps {
			caps[j] = by.IntN(n+1) - 1
		}
		least := int64(math.MaxInt64)
		everyWay(n, m, func(at []int) {
			sum, count := int64(0), make([]int, m)
			for i, j := range at {
				sum += costs[i*m+j]
				count[j]++
			}
			for j := range count {
				if caps[j] >= 0 && count[j] > caps[j] {
					return
				}
			}
			least = min(least, sum)
		})
		f := newFlow(n, m, caps, func(i, j int) int64 { return costs[i*m+j] })
		ok := f.solve()
		require.Equal(t, least < math.MaxInt64, ok, "round %d: possible", round)
		if !ok {
			refused++
			continue
		}
		require.Equal(t, least, f.total(), "round %d: %d items, caps %v, costs %v", round, n, caps, costs)
		for j, c := range caps {
			require.False(t, c >= 0 && f.count[j] > c, "round %d: within the limits", round)
		}
	}
	assert.Greater(t, refused, 5)
	assert.Less(t, refused, 150)
}

// greedy gives each item in turn the cheapest paper that is left.
func greedy(costs []int64, n, m int, caps []int) (sum int64, count []int) {
	count = make([]int, m)
	for i := range n {
		best := -1
		for j := range m {
			if (caps[j] < 0 || count[j] < caps[j]) && (best < 0 || costs[i*m+j] < costs[i*m+best]) {
				best = j
			}
		}
		sum += costs[i*m+best]
		count[best]++
	}
	return sum, count
}

func TestAssignmentIsNeverAboveGreedyAndNoExchangeImprovesIt(t *testing.T) {
	by := rand.New(rand.NewPCG(12, 1))
	for range 4 {
		n, m := 3000, 9
		costs := make([]int64, n*m)
		for i := range costs {
			costs[i] = by.Int64N(60_000_000)
		}
		caps := make([]int, m)
		for j := range caps {
			caps[j] = 50 + by.IntN(400)
		}
		caps[0] = -1
		f := newFlow(n, m, caps, func(i, j int) int64 { return costs[i*m+j] })
		require.True(t, f.solve())
		sum, _ := greedy(costs, n, m, caps)
		assert.Less(t, f.total(), sum)
		for range 20_000 { // no two items would rather have each other's
			a, b := by.IntN(n), by.IntN(n)
			own := costs[a*m+int(f.at[a])] + costs[b*m+int(f.at[b])]
			other := costs[a*m+int(f.at[b])] + costs[b*m+int(f.at[a])]
			require.LessOrEqual(t, own, other)
		}
	}
}

// The best k of m papers, m up to 12, against all choices there are.
func TestBestPapersAreTheBestOfAllChoices(t *testing.T) {
	by := rand.New(rand.NewPCG(13, 1))
	for round := range 150 {
		m := 2 + by.IntN(11)
		k := 1 + by.IntN(m-1)
		n := 1 + by.IntN(40)
		costs := make([]int64, n*m)
		places := make([]float64, n+m) // on a line, as colours are near each other, or by chance
		for i := range places {
			places[i] = 100 * by.Float64()
		}
		for i := range n {
			for j := range m {
				costs[i*m+j] = int64(micro * math.Abs(places[i]-places[n+j]))
				if round%2 == 0 {
					costs[i*m+j] = by.Int64N(50)
				}
			}
		}
		least := int64(math.MaxInt64)
		each(m, k, func(set []int) bool {
			sum := int64(0)
			for i := range n {
				c := int64(math.MaxInt64)
				for _, j := range set {
					c = min(c, costs[i*m+j])
				}
				sum += c
			}
			least = min(least, sum)
			return true
		})
		s := newMedians(costs, n, m, k, LiveWork)
		papers, total, bound := s.solve(nil)
		require.Equal(t, least, total, "round %d: %d of %d papers, %d items", round, k, m, n)
		require.Equal(t, total, bound, "round %d: proven", round)
		require.Len(t, papers, k)
	}
}

func TestChoicesAreCounted(t *testing.T) {
	n := 0
	each(9, 4, func([]int) bool { n++; return true })
	assert.Equal(t, 126, n) // 9 over 4
	assert.Equal(t, 126.0, choices(9, 4))
}

// Without work to prove it the choice is a good one, and the bound below it.
func TestBeyondTheWorkABoundIsGiven(t *testing.T) {
	by := rand.New(rand.NewPCG(14, 1))
	n, m, k := 400, 40, 7
	costs := make([]int64, n*m)
	for i := range costs {
		costs[i] = by.Int64N(50_000_000)
	}
	few := newMedians(costs, n, m, k, 200_000)
	_, total, bound := few.solve(nil)
	assert.Less(t, bound, total)
	assert.Positive(t, bound)
	more := newMedians(costs, n, m, k, 20_000_000)
	_, better, higher := more.solve(nil)
	assert.LessOrEqual(t, better, total)
	assert.GreaterOrEqual(t, higher, bound)
}

// everyPaper are as many papers as are asked for, along the hues.
func everyPaper(n int) (out []figure.Colour) {
	for i := range n {
		p := figure.Papers[i]
		out = append(out, figure.Colour{ID: p.ID, Name: p.ID, Hex: p.Hex})
	}
	return out
}

// With few papers and little stock of them together, the choice is the best of all choices, each with its best assignment.
func TestBestPapersWithinStockAreTheBestOfAllChoices(t *testing.T) {
	img := noise(60, 40, 7)
	all := everyPaper(7)
	stock := map[string]int{"chalk": 6, "sun": 3, "poppy": 8}
	f, r := pattern(t, img, 9, 4, Choice{Papers: all, Best: 3, Stock: stock})
	assert.True(t, r.Proven)
	least := math.Inf(1)
	each(7, 3, func(set []int) bool {
		var some []figure.Colour
		left := map[string]int{}
		for _, i := range set {
			some = append(some, all[i])
			if n, ok := stock[all[i].ID]; ok {
				left[all[i].ID] = n
			}
		}
		if _, one, err := Pattern(Of(img), Options{Title: "t", Unit: unit, Units: 9, Rings: 4, Choice: Choice{Papers: some, Stock: left}}); err == nil {
			least = math.Min(least, one.Mean)
		}
		return true
	})
	assert.InDelta(t, least, r.Mean, 1e-5)
	assert.LessOrEqual(t, len(f.Colours), 3)
	for _, use := range r.By {
		if use.Scarce {
			assert.LessOrEqual(t, use.Units, use.Stock)
		}
	}
}

func TestStockThatIsNotEnoughIsRefusedWithNumbers(t *testing.T) {
	img := Of(painted(10, "kw", "rk"))
	try := func(c Choice) error {
		c.Papers = papers
		_, _, err := Pattern(img, Options{Title: "t", Unit: unit, Units: 10, Rings: 4, Choice: c})
		return err
	}
	assert.EqualError(t, try(Choice{Stock: map[string]int{"k": 10, "w": 5, "r": 5, "g": 12}}),
		"The picture covers 40 units; the stock of all papers is enough for 32: 8 are missing.")
	assert.ErrorContains(t, try(Choice{Best: 2, Stock: map[string]int{"k": 10, "w": 15, "r": 15, "g": 12}}),
		"the 2 papers of which there are most are enough for 30")
	assert.ErrorContains(t, try(Choice{Stock: map[string]int{"gold": 10}}), "no paper “gold”")
	assert.ErrorContains(t, try(Choice{Stock: map[string]int{"k": math.MaxInt}}), "0 to 10000000 units of Soot")
	assert.ErrorContains(t, try(Choice{Stock: map[string]int{"k": -1}}), "-1 is not possible")
	assert.ErrorContains(t, try(Choice{Spread: 1.5}), "from 0 to 1; 1.5 is not possible")
	assert.NoError(t, try(Choice{Stock: map[string]int{"k": 10, "w": 10, "r": 10, "g": 10}}))
}

// Papers may come from outside: what no document could have is no paper to choose from.
func TestPapersThatNoFigureCanHaveAreRefused(t *testing.T) {
	f := figure.Tube("t", unit, papers, 10, 4)
	g := groundOf(t, f, 0, 0)
	img := Of(painted(10, "kw"))
	try := func(list []figure.Colour) error {
		_, err := Choose(g, img, g.Fit(img, Around, 1), Choice{Papers: list}, LiveWork)
		return err
	}
	assert.ErrorContains(t, try([]figure.Colour{{ID: "a", Name: "A", Hex: "mauve"}}), "colours[0].hex")
	assert.ErrorContains(t, try([]figure.Colour{{ID: "a", Name: "A", Hex: "#112233"}, {ID: "a", Name: "B", Hex: "#112244"}}), "colours[1].id")
	many := make([]figure.Colour, figure.MaxColours)
	for i := range many {
		many[i] = figure.Colour{ID: fmt.Sprint(i), Name: fmt.Sprint(i), Hex: fmt.Sprintf("#%02x%02x%02x", 4*i, 255-4*i, 128)}
	}
	full := figure.Tube("t", unit, many, 10, 4)
	onto := groundOf(t, full, 0, 0)
	_, err := Choose(onto, img, onto.Fit(img, Around, 1), Choice{Papers: papers}, LiveWork)
	assert.ErrorContains(t, err, "colours; 67 is not possible", "black, white, and grey where they meet")
}

func TestStockIsReadLineByLine(t *testing.T) {
	stock, err := Stock([]byte("\ufeffk 60\n\n  Brick\t12 \nchalk 0"), papers)
	require.NoError(t, err)
	assert.Equal(t, map[string]int{"k": 60, "r": 12, "w": 0}, stock)
	for file, want := range map[string]string{
		"k 1\nsixty":  "Line 2 of the stock is “sixty”",
		"k many":      "Line 1 of the stock says “many”",
		"k -1":        "says “-1”",
		"gold 5":      "Line 1 of the stock names “gold”",
		"k 1\nsoot 2": "Line 2 of the stock names “soot” a second time",
	} {
		_, err := Stock([]byte(file), papers)
		assert.ErrorContains(t, err, want, file)
	}
}

func FuzzStock(f *testing.F) {
	f.Add([]byte("soot 60\nbrick 12"))
	f.Add([]byte("\xff 1\n9999999999999999999 9"))
	f.Fuzz(func(t *testing.T, data []byte) {
		stock, err := Stock(data, papers)
		for _, n := range stock {
			if err == nil && (n < 0 || n > MaxStock) {
				t.Fatalf("%d units came through", n)
			}
		}
	})
}

// grey is an even picture.
func grey(v uint8) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, 40, 40))
	for i := range img.Pix {
		img.Pix[i] = v
	}
	for i := 3; i < len(img.Pix); i += 4 {
		img.Pix[i] = 255
	}
	return img
}

// An even grey of black and white papers has as much white as its light is: 128 of 255 in sRGB is 21.6 % of full light (IEC 61966-2-1).
func TestSpreadKeepsTheLight(t *testing.T) {
	two := papers[:2]
	share := func(v uint8, strength float64) float64 {
		f, _ := pattern(t, grey(v), 40, 50, Choice{Papers: two, Spread: strength})
		white := 0
		for i := range f.Rings {
			for _, c := range f.Rings[i].Cells {
				white += int(c.Colour)
			}
		}
		return float64(white) / float64(f.Units())
	}
	assert.InDelta(t, 0.216, share(128, 1), 0.01)
	assert.InDelta(t, toLinear(200.0/255), share(200, 1), 0.01)
	assert.Equal(t, 1.0, share(128, 0), "L* 54 is nearer to white")
	assert.Less(t, share(60, 0.3), share(60, 1))
}

func TestSpreadKeepsToTheStock(t *testing.T) {
	_, r := pattern(t, grey(188), 20, 20, Choice{Papers: papers[:2], Spread: 1, Stock: map[string]int{"k": 60}})
	for _, use := range r.By {
		if use.Colour.ID == "k" {
			assert.Equal(t, 60, use.Units, "half of 400 would be black")
		}
	}
}

func TestTheSameComesOfTheSame(t *testing.T) {
	img := noise(90, 70, 9)
	c := Choice{Papers: everyPaper(12), Best: 5, Spread: 0.6, Edges: true, Clean: true, Mirror: true, Background: true, Gains: true}
	f, r := pattern(t, img, 20, 12, c)
	for range 3 {
		g, again := pattern(t, img, 20, 12, c)
		require.Equal(t, string(f.Write()), string(g.Write()))
		require.Equal(t, r, again)
	}
}

func TestMirroredPatternIsAlikeOnBothSidesOfTheFront(t *testing.T) {
	for _, stock := range []map[string]int{nil, {"k": 21, "r": 30}} {
		f, r := pattern(t, noise(90, 70, 4), 15, 8, Choice{Mirror: true, Stock: stock})
		for ring := range f.Rings {
			u := figure.Unroll(f)
			n := len(f.Rings[ring].Cells)
			for k := range n {
				turn := 2*u.FrontTurn() - u.Middle(ring, k)
				other, ok := u.UnitAt(ring, turn)
				require.True(t, ok)
				assert.Equal(t, f.Rings[ring].Cells[k].Colour, f.Rings[ring].Cells[other].Colour, "ring %d, units %d and %d", ring+1, k, other)
			}
		}
		for _, use := range r.By {
			if use.Scarce {
				assert.LessOrEqual(t, use.Units, use.Stock)
			}
		}
	}
}

// framed is a motif of four letters a side before a ground that is not quite even.
func framed() *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, 200, 100))
	for y := range 100 {
		for x := range 200 {
			v := uint8(178 + (x+y)%20)
			c := color.NRGBA{v, v, v, 255}
			if dx, dy := x-100, y-50; dx*dx+dy*dy < 30*30 {
				c = color.NRGBA{192, 0, 0, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

func TestBackgroundIsOnePaper(t *testing.T) {
	shades := append(slices.Clone(papers), figure.Colour{ID: "a", Name: "A", Hex: "#b4b4b4"}, figure.Colour{ID: "b", Name: "B", Hex: "#c3c3c3"})
	count := func(c Choice) map[string]int {
		f, _ := pattern(t, framed(), 30, 18, c)
		out := map[string]int{}
		for i := range f.Rings {
			for _, c := range f.Rings[i].Cells {
				out[f.Colours[c.Colour].ID]++
			}
		}
		return out
	}
	loose := count(Choice{Papers: shades})
	assert.Greater(t, loose["a"]+loose["b"], 100, "the shades of the ground have several papers")
	one := count(Choice{Papers: shades, Background: true})
	grounds := 0
	for _, id := range []string{"a", "b", "g"} {
		if one[id] > 20 {
			grounds++
		}
	}
	assert.Equal(t, 1, grounds, "%v", one)
	assert.Equal(t, loose["r"], one["r"], "the motif stays")
	white := count(Choice{Papers: shades, Background: true, Ground: "w"})
	assert.Greater(t, white["w"], 350)
	_, _, err := Pattern(Of(framed()), Options{Title: "t", Unit: unit, Units: 30, Rings: 18, Choice: Choice{Papers: shades, Background: true,
		Stock: map[string]int{"k": 100, "w": 100, "r": 100, "g": 100, "a": 100, "b": 100}}})
	assert.ErrorContains(t, err, "No paper is enough for the background")
}

// What is not covered on a present figure stays, or is the ground where there is to be one.
func TestWhatIsNotCoveredStaysAsItIs(t *testing.T) {
	f := figure.Tube("t", unit, papers, 20, 6)
	g := groundOf(t, f, 2, 5)
	img := Of(painted(10, "r.", "r."))
	l := Lay{Way: Flat, Y: 2.5, Width: 8, Height: 3}
	r, err := Choose(g, img, l, Choice{}, LiveWork)
	require.NoError(t, err)
	assert.Less(t, r.Covered, 20)
	for _, run := range r.Paint {
		assert.Equal(t, "r", run.Colour)
		assert.NotContains(t, []figure.RingID{1, 6}, run.Ring)
	}
	r, err = Choose(g, img, l, Choice{Background: true, Ground: "w"}, LiveWork)
	require.NoError(t, err)
	assert.Equal(t, 4*20, r.Covered, "all units of the rings chosen get a paper")
}

func TestEdgesShowTheGreaterSide(t *testing.T) {
	img := painted(20, "kkkkwwww")
	mixed, _ := pattern(t, img, 12, 6, Choice{})
	kept, _ := pattern(t, img, 12, 6, Choice{Edges: true})
	count := func(f *figure.Figure) (n int) {
		for ring := range f.Rings {
			for _, c := range letters(f, ring) {
				if c == 'g' {
					n++
				}
			}
		}
		return n
	}
	assert.Positive(t, count(mixed), "half black, half white is grey")
	assert.Zero(t, count(kept))
}

func TestCleanTakesOutLoneUnitsOnly(t *testing.T) {
	f := figure.Tube("t", unit, papers, 8, 6)
	for _, at := range [][2]int{{2, 3}, {4, 6}, {4, 7}} { // a lone one, and a pair
		f.Rings[at[0]].Cells[at[1]].Colour = 1
	}
	g := groundOf(t, f, 0, 0)
	img := Of(drawn(f, 12))
	for i := range f.Rings {
		for k := range f.Rings[i].Cells {
			f.Rings[i].Cells[k].Colour = 2
		}
	}
	for _, c := range []struct {
		choice Choice
		lone   int
	}{{Choice{}, 1}, {Choice{Clean: true}, 0}, {Choice{Clean: true, Stock: map[string]int{"k": 45}}, 1}} {
		r, err := Choose(g, img, g.Fit(img, Around, 1), c.choice, LiveWork)
		require.NoError(t, err)
		after := f.Clone()
		_, _, err = figure.Apply(after, r.Edit())
		require.NoError(t, err)
		want := "kkkkkkkk"
		if c.lone > 0 {
			want = "kkkwkkkk"
		}
		assert.Equal(t, want, letters(after, 2), "%+v", c.choice)
		assert.Equal(t, "kkkkkkww", letters(after, 4))
	}
}

func TestStockCountsWhatTheFigureHasElsewhere(t *testing.T) {
	f := figure.Tube("t", unit, papers, 20, 6) // all soot
	f.Extras = []figure.Extra{{ID: 1, Kind: figure.Tucked, Name: "rail", Colour: "r", Units: 4, Ring: 1}}
	g := groundOf(t, f, 3, 4)
	img := Of(painted(10, "rrkk"))
	r, err := Choose(g, img, g.Fit(img, Around, 1), Choice{Stock: map[string]int{"r": 15, "k": 90}}, LiveWork)
	require.NoError(t, err)
	for _, use := range r.By {
		switch use.Colour.ID {
		case "r":
			assert.Equal(t, PaperUse{Colour: papers[2], Units: 15, Laid: 11, Stock: 15, Scarce: true}, use, "4 are on the rail")
		case "k":
			assert.LessOrEqual(t, use.Units, 90, "80 of them on the other rings")
		}
	}
	_, err = Choose(g, img, g.Fit(img, Around, 1), Choice{Stock: map[string]int{"k": 70}}, LiveWork)
	assert.ErrorContains(t, err, "There are 70 units of Soot, and the figure has 80 already")
}

// A wing and its twin: what one gets the other gets too, so there must be enough for both.
func TestPartWithATwinTakesTwiceTheStock(t *testing.T) {
	doc := `{"tuckring":2,"title":"t","unit":{"long_mm":52,"short_mm":37},"colours":[{"id":"k","name":"Soot","hex":"#000000"},{"id":"w","name":"Chalk","hex":"#ffffff"}],
		"parts":[{"id":"body","name":"Body","front":8.5,"rings":[{"runs":[{"n":24,"colour":"k"}]},{"runs":[{"n":24,"colour":"k"}]},{"runs":[{"n":24,"colour":"k"}]}]},
		{"id":"wing","name":"Right wing","grows":{"on":"body","ring":3,"point":19},"rows":[{"runs":[{"n":8,"colour":"k"}]},{"runs":[{"skip":1},{"n":7,"colour":"k"},{"skip":1}]}]},
		{"id":"wing2","name":"Left wing","twin":"wing"}]}`
	f, err := figure.Read([]byte(doc))
	require.NoError(t, err)
	white := Of(painted(10, "ww"))
	g, err := NewGround(f, gaugeOf(f), f.Parts[1].ID, 0, 0)
	require.NoError(t, err)
	r, err := Choose(g, white, g.Fit(white, Around, 1), Choice{Stock: map[string]int{"w": 13}}, LiveWork)
	require.NoError(t, err)
	after := f.Clone()
	_, _, err = figure.Apply(after, r.Edit())
	require.NoError(t, err)
	count := 0
	for i := range after.Rings {
		for _, c := range after.Rings[i].Cells {
			count += int(c.Colour)
		}
	}
	assert.Equal(t, 12, count, "13 are enough for 6 and their images")
	for _, use := range r.By {
		if use.Colour.ID == "w" {
			assert.Equal(t, 12, use.Units)
		}
	}
	_, err = NewGround(f, gaugeOf(f), f.Parts[2].ID, 0, 0)
	assert.ErrorContains(t, err, "Left wing is the mirror image of Right wing")
}

// One more paper, and ten more units, bring what they bring when they are there.
func TestGainsAreWhatComesOfThem(t *testing.T) {
	img := noise(90, 70, 6)
	few := everyPaper(5)
	stock := map[string]int{"sand": 20}
	c := Choice{Papers: few, Stock: stock, Gains: true}
	_, r := pattern(t, img, 20, 12, c)
	require.NotNil(t, r.OneMore)
	_, with := pattern(t, img, 20, 12, Choice{Papers: append(slices.Clone(few), r.OneMore.Colour), Stock: stock})
	assert.GreaterOrEqual(t, r.Mean-with.Mean, r.OneMore.Mean-1e-6)
	require.Len(t, r.TenMore, 1, fmt.Sprint(r.By))
	_, with = pattern(t, img, 20, 12, Choice{Papers: few, Stock: map[string]int{"sand": 30}})
	assert.InDelta(t, r.Mean-with.Mean, r.TenMore[0].Mean, 1e-6)
}

// A white face before sand-coloured paper is no part of the paper, though both are light: even paper is told from little else.
func TestLightMotifBeforeEvenPaperStays(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 200, 120))
	for y := range 120 {
		for x := range 200 {
			c := color.NRGBA{0xe9, 0xdc, 0xc0, 255}
			if math.Hypot(float64(x-100), float64(y-60)) < 34 {
				c = color.NRGBA{0xf7, 0xf4, 0xec, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	two := []figure.Colour{{ID: "sand", Name: "Sand", Hex: "#e3cfa4"}, {ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}}
	f, _ := pattern(t, img, 30, 18, Choice{Papers: two, Background: true, Ground: "sand"})
	chalk := 0
	for i := range f.Rings {
		for _, c := range f.Rings[i].Cells {
			chalk += int(c.Colour)
		}
	}
	assert.InDelta(t, 30*18*math.Pi*34*34/(200*120), chalk, 20, "as much as the disc covers")
}
