package pace

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// digits shows a number with as many decimals as a printed one has.
func digits(v float64, like string) string {
	decimals := 0
	for i := range like {
		if like[i] == '.' {
			decimals = len(like) - i - 1
		}
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}

// Source: a published management-accounting text's worked example; see the head of the table.
func TestWrightsCurveIsThePublishedTable(t *testing.T) {
	file, err := os.Open("testdata/learning-curve.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 5)
	c := Curve{First: 100, Rate: 0.8}
	for _, row := range rows {
		n, err := strconv.Atoi(row[0])
		require.NoError(t, err)
		assert.Equal(t, row[1], digits(c.Average(n), row[1]), "average of %d", n)
		assert.Equal(t, row[2], digits(c.Total(n), row[2]), "total of %d", n)
	}
}

// RAND RM-6191 (1970) tabulates the power law y = a·x^b with its sums. For an 80 % slope the value at
// 1000 is 0.108 and the sum of the first 1000 values is 158.7 first units (from memory of the
// improvement-curve tables in operations-management texts).
func TestPowerLawAt1000SumsToRANDsTable(t *testing.T) {
	c := Curve{First: 1, Rate: 0.8}
	assert.Equal(t, "0.108", digits(c.Average(1000), "0.108"))
	sum := 0.0
	for n := 1; n <= 1000; n++ {
		sum += c.Average(n)
	}
	assert.Equal(t, "158.7", digits(sum, "158.7"))
}

func TestUnitsAddUpToTheTotal(t *testing.T) {
	for _, c := range []Curve{{100, 0.8, 0}, {90, 0.9, 30}, {30, 0.97, 20}, {10, 0.9, 20}, {50, 1, 20}} {
		sum := 0.0
		for n := 1; n <= 1000; n++ {
			sum += c.Unit(n)
		}
		assert.InDelta(t, sum, c.Total(1000), 1e-6, "%+v", c)
	}
}

func TestNoUnitIsFasterThanTheFloor(t *testing.T) {
	c := Curve{First: 90, Rate: 0.8, Floor: 30}
	assert.Equal(t, 90.0, c.Unit(1))
	assert.Equal(t, 30.0, c.Unit(5000))
	assert.InDelta(t, 30, c.Total(100_001)-c.Total(100_000), 1e-6)
}

// Common practice: a first unit takes a beginner a minute or two, a practised hand 20–40 s.
func TestProfilesStartWhereTheCraftSays(t *testing.T) {
	assert.Equal(t, Range{1, 1.5, 2}, Beginner().Fold(1))
	p := Practised().Fold(1)
	assert.InDelta(t, 20, p.Low*60, 1e-9)
	assert.InDelta(t, 40, p.High*60, 1e-9)
	_, ok := Named("champion")
	assert.False(t, ok)
}

// The Star (Malaysia), 14 March 2012: a figure of 68 units, five rings of 12 and one of 8, from one and
// a half sheets of A4 cut into 64 strips each, takes 1½ hours from cutting to glue. Its eyes and
// hat are glued. 64 strips of 18.5 × 52 need about 68 cuts.
func TestPublishedFigureTakesOneToTwoHours(t *testing.T) {
	e := DefaultRates().Estimate(Work{Strokes: 68, Stacks: 1, Units: 68, Placed: 68, Rings: 6, Glued: 2}, nil)
	assert.Greater(t, e.Total.Best, 60.0)
	assert.Less(t, e.Total.Best, 120.0)
	assert.Less(t, e.Total.Low, 90.0)
	assert.Greater(t, e.Total.High, 90.0)
}

// origami-resource-center.com, swan: 20 folders × 20 units = 400, a class period (about 45 minutes).
func TestClassOfTwentyFolds400InAPeriod(t *testing.T) {
	people := make([]Profile, 20)
	for i := range people {
		people[i] = Beginner()
	}
	e := DefaultRates().Estimate(Work{Units: 400}, people)
	for _, s := range e.Shares {
		assert.Equal(t, 20, s.Units)
	}
	assert.Less(t, e.Folding.Best, 45.0)
}

// Common practice: no more than a few hands reach one figure.
func TestBuildingDoesNotGetFasterBeyondAFewHands(t *testing.T) {
	crowd := func(n int) Estimate {
		people := make([]Profile, n)
		for i := range people {
			people[i] = Practised()
		}
		return DefaultRates().Estimate(Work{Placed: 500, Rings: 20}, people)
	}
	assert.Greater(t, crowd(1).Assembly.Best, crowd(2).Assembly.Best)
	assert.Equal(t, crowd(3).Assembly, crowd(30).Assembly)
	assert.Greater(t, crowd(3).Assembly.Best, crowd(1).Assembly.Best/3)
}

func TestTheSlowestFolderSetsTheTime(t *testing.T) {
	e := DefaultRates().Estimate(Work{Units: 100}, []Profile{Practised(), Beginner()})
	assert.Equal(t, Beginner().Fold(50), e.Folding)
}

func TestGlueDriesOnce(t *testing.T) {
	one := DefaultRates().Estimate(Work{Glued: 1}, nil)
	two := DefaultRates().Estimate(Work{Glued: 2}, nil)
	assert.Equal(t, 10.0, one.Drying.Best)
	assert.Equal(t, 10.0, two.Drying.Best)
	assert.InDelta(t, 3, two.Finishing.Best-one.Finishing.Best, 1e-9)
}

func TestStopwatchOfEvenTimesHasNoLearning(t *testing.T) {
	p, err := Stopwatch([]float64{300})
	require.NoError(t, err)
	assert.InDelta(t, 30, p.Best.Unit(1), 1e-6)
	assert.InDelta(t, 30*200/60.0, p.Fold(200).Best, 1e-6)
}

// Times made from the published 80 % table: units 1 and 2 take 100 and 60, units 3 and 4 together 96.
func TestStopwatchFindsTheRateOfTheTable(t *testing.T) {
	p, err := Stopwatch([]float64{100, 60, 50.63, 45.37})
	require.NoError(t, err)
	assert.InDelta(t, 0.8, p.Best.Rate, 0.001)
	assert.InDelta(t, 100, p.Best.First, 0.2)
}

func TestStopwatchRefusesWhatNoUnitTakes(t *testing.T) {
	for _, bad := range [][]float64{nil, {40, 30}, {40, 30, 0}, {40, -1, 30}, {40, 30, 5000}, make([]float64, 101), {5}} {
		_, err := Stopwatch(bad)
		assert.Error(t, err, "%v", bad)
	}
}

func TestPlanCoversTheWorkInsideItsSessions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		people := make([]Profile, rapid.IntRange(1, 12).Draw(t, "people"))
		for i := range people {
			people[i] = rapid.SampledFrom([]Profile{Beginner(), Practised()}).Draw(t, "profile")
		}
		w := Work{
			Strokes: rapid.IntRange(0, 400).Draw(t, "strokes"), Stacks: 1,
			Units:  rapid.IntRange(1, 2000).Draw(t, "units"),
			Placed: rapid.IntRange(1, 2000).Draw(t, "placed"), Rings: 20, Glued: 2,
		}
		r := DefaultRates()
		e := r.Estimate(w, people)
		before := rapid.Bool().Draw(t, "before")
		p := r.Plan(e, rapid.Float64Range(MinSessionMin, 240).Draw(t, "session"), before)
		if p.Low > p.Sessions || p.Sessions > p.High {
			t.Fatalf("sessions %d, %d, %d", p.Low, p.Sessions, p.High)
		}
		if len(p.Blocks) == 0 {
			return
		}
		folding, last := 0.0, 0
		for _, b := range p.Blocks {
			if b.FromMin < -1e-9 || b.ToMin > p.SessionMin+1e-9 || b.FromMin >= b.ToMin {
				t.Fatalf("block %+v is not inside its session", b)
			}
			if before && b.Task == Cutting {
				t.Fatalf("cutting in the plan though it is done before")
			}
			if b.Task == Folding {
				folding += b.ToMin - b.FromMin
			}
			last = max(last, b.Session)
		}
		shares := 0.0
		for _, s := range e.Shares {
			shares += s.Folding.Best
		}
		if d := folding - shares; d > 1e-6 || d < -1e-6 {
			t.Fatalf("folding in the plan %v, in the shares %v", folding, shares)
		}
		if last != p.Sessions {
			t.Fatalf("last block in session %d of %d", last, p.Sessions)
		}
	})
}

func TestPlanOfAHugeJobHasNoChart(t *testing.T) {
	r := DefaultRates()
	p := r.Plan(r.Estimate(Work{Units: 100_000, Placed: 100_000, Rings: 100}, nil), 90, true)
	assert.Empty(t, p.Blocks)
	assert.Greater(t, p.Sessions, 600)
}

func TestOwnNumbersTakeThePlaceOfDefaults(t *testing.T) {
	r := DefaultRates().WithOwn(map[string]float64{Stroke: 20, "nonsense": 3, Dry: -1})
	assert.Equal(t, Exactly(20), r[Stroke].Range)
	assert.Equal(t, Own, r[Stroke].Standing)
	assert.Equal(t, 10.0, r[Dry].Range.Best)
	assert.Len(t, r, len(Defaults()))
}

func TestEveryDefaultSaysWhereItComesFrom(t *testing.T) {
	for _, d := range Defaults() {
		for _, text := range []string{d.Name().String(), d.Source().String(), d.Standing.Text().String()} {
			assert.NotContains(t, text, "[", d.Key)
		}
	}
	for _, p := range []Profile{Beginner(), Practised(), {Name: "stopwatch"}} {
		assert.NotContains(t, p.Text().String()+p.Source().String(), "[")
	}
}

func BenchmarkEstimate(b *testing.B) {
	r, people := DefaultRates(), []Profile{Beginner(), Practised(), Beginner()}
	for b.Loop() {
		e := r.Estimate(Work{Strokes: 600, Stacks: 10, Units: 100_000, Placed: 100_000, Rings: 1000}, people)
		r.Plan(e, 90, true)
	}
}

// The trade's example of a plan: club evenings of 90 minutes with 9 people.
func TestPlanIsSaidInASentence(t *testing.T) {
	p := Plan{People: 9, SessionMin: 90, Sessions: 4, Low: 3, High: 6}
	assert.Equal(t, "4 sessions of 90 minutes with 9 people (3 to 6)", p.Text().String())
	p = Plan{People: 1, SessionMin: 45, Sessions: 1, Low: 1, High: 1}
	assert.Equal(t, "1 session of 45 minutes with 1 person", p.Text().String(), "a range of one number is none")
	for _, task := range []Task{Cutting, Folding, Assembling, Finishing, Tidying} {
		assert.NotContains(t, task.Text().String(), "[")
	}
}

func FuzzStopwatch(f *testing.F) {
	f.Add(40.0, 35.0, 30.0, 28.0)
	f.Fuzz(func(t *testing.T, a, b, c, d float64) {
		p, err := Stopwatch([]float64{a, b, c, d})
		if err != nil {
			return
		}
		fold := p.Fold(1000)
		if !(fold.Low > 0 && fold.Low <= fold.Best && fold.Best <= fold.High) {
			t.Fatalf("%v gives %v", []float64{a, b, c, d}, fold)
		}
	})
}
