package pace

import (
	"strconv"

	"tuckring/internal/words"
)

// Standing says how well a default is founded.
type Standing string

// Standings, from the best founded to the least.
const (
	Standard Standing = "standard" // a published standard or handbook
	Example  Standing = "example"  // a published worked example
	Common   Standing = "common"   // common practice of the craft, no source
	Memory   Standing = "memory"   // from memory, to be calibrated by the maker
	Own      Standing = "own"      // the maker's own number
)

// Text says a standing in words.
func (s Standing) Text() words.Text { return words.T("pace.standing." + string(s)) }

// Default is one number of the estimate with its range, unit of measure, standing and source.
// Its name is in the catalogue as pace.default.KEY, its source as pace.source.KEY.
type Default struct {
	Key      string   `json:"key"`
	Range    Range    `json:"range"`
	Measure  string   `json:"measure"` // "s", "min", "×" or "people"
	Standing Standing `json:"standing"`
}

// Name is what the default is called.
func (d Default) Name() words.Text { return words.T("pace.default." + d.Key) }

// Source says where the default comes from.
func (d Default) Source() words.Text {
	if d.Standing == Own {
		return words.T("pace.source.own")
	}
	return words.T("pace.source." + d.Key)
}

// Text says the default with its range, standing and source.
func (d Default) Text() words.Text {
	show := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	low, high := min(d.Range.Low, d.Range.High), max(d.Range.Low, d.Range.High)
	key := "pace.says"
	if low == high {
		key = "pace.says.exactly"
	}
	return words.T(key, "Name", d.Name(), "Best", show(d.Range.Best), "Low", show(low), "High", show(high),
		"Measure", words.T("pace.measure."+measureKeys[d.Measure]), "Source", d.Source())
}

// measureKeys are the catalogue's keys of the measures.
var measureKeys = map[string]string{"s": "s", "min": "min", "×": "times", "people": "people"}

// The keys of the defaults, for settings that replace one.
const (
	Stroke  = "stroke"  // one cut of the blade with setting the stop
	Stack   = "stack"   // squaring up one stack of sheets and putting the pieces away
	Place   = "place"   // putting one unit on its points
	Close   = "close"   // counting, closing and pressing one ring
	Tuck    = "tuck"    // shaping and tucking in one extra
	Glue    = "glue"    // cutting out and gluing on one piece
	Dry     = "dry"     // drying of the glue, once for a figure
	Hands   = "hands"   // how many can build on one figure at a time
	Helping = "helping" // what each further pair of hands adds to the first
	Tidy    = "tidy"    // laying out and tidying up in each session
)

// Defaults are all numbers of the estimate beside the folding profiles, each with its standing.
// Together with the beginner's profile they must bring the published 68-unit figure (The Star,
// Malaysia, 14 March 2012: 1½ hours from cutting to glue) to between 1 and 2 hours.
func Defaults() []Default {
	return []Default{
		{Stroke, Range{6, 10, 15}, "s", Memory},
		{Stack, Range{40, 60, 120}, "s", Memory},
		{Place, Range{6, 10, 15}, "s", Memory},
		{Close, Range{30, 45, 90}, "s", Memory},
		{Tuck, Range{60, 120, 240}, "s", Memory},
		{Glue, Range{90, 180, 300}, "s", Memory},
		{Dry, Range{5, 10, 30}, "min", Common},
		{Hands, Range{2, 3, 3}, "people", Common},
		{Helping, Range{0.8, 0.6, 0.4}, "×", Memory},
		{Tidy, Range{5, 10, 15}, "min", Common},
	}
}

// Folding profiles. The first units: "a minute or two" for a beginner, "20–40 s" for a practised
// hand (common practice of the craft). The rates and floors are from memory: 80–95 % is the usual
// span for handwork.
var (
	beginner = Profile{
		Name: "beginner", Standing: Common,
		Low:  Curve{First: 60, Rate: 0.9, Floor: 20},
		Best: Curve{First: 90, Rate: 0.9, Floor: 30},
		High: Curve{First: 120, Rate: 0.9, Floor: 40},
	}
	practised = Profile{
		Name: "practised", Standing: Common,
		Low:  Curve{First: 20, Rate: 0.97, Floor: 15},
		Best: Curve{First: 30, Rate: 0.97, Floor: 20},
		High: Curve{First: 40, Rate: 0.97, Floor: 25},
	}
)

// quickest is the floor of a stopwatch profile in seconds, unless a timed unit was quicker: the
// practised hand's.
var quickest = practised.Best.Floor

// Rates are the defaults by key, with the maker's own numbers put in place of some.
type Rates map[string]Default

// DefaultRates are the defaults by key.
func DefaultRates() Rates {
	r := Rates{}
	for _, d := range Defaults() {
		r[d.Key] = d
	}
	return r
}

// Limits are what a maker's own number for a default may be, in its measure.
func (d Default) Limits() (low, high float64) {
	switch d.Measure {
	case "people":
		return 1, 20
	case "×":
		return 0, 1
	case "min":
		return 0, 24 * 60
	}
	return 0, 3600
}

// WithOwn replaces defaults by the maker's own numbers, which then have no range. Keys that are no
// default, and numbers outside Limits, are left alone: the settings are checked before.
func (r Rates) WithOwn(own map[string]float64) Rates {
	for key, v := range own {
		d, ok := r[key]
		low, high := d.Limits()
		if !ok || !(v >= low && v <= high) {
			continue
		}
		d.Range, d.Standing = Exactly(v), Own
		r[key] = d
	}
	return r
}
