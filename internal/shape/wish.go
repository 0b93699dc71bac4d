package shape

import (
	"math"
	"sort"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// Limits of a wished size, in mm.
const (
	MinWishMM = 10.0
	MaxWishMM = 5000.0
)

// leastUnits is the smallest ring that is suggested: fewer than 6 units hardly close to a tube
// (common practice).
const leastUnits = 6

// Wish is the size a maker wants, in mm.
type Wish struct {
	HeightMM   float64 `json:"height_mm"`
	DiameterMM float64 `json:"diameter_mm"`
}

// Cut is a way to get unit papers out of a sheet: Pieces of them from one sheet by halving.
type Cut struct {
	Sheet  string      `json:"sheet"`
	Pieces int         `json:"pieces"`
	Unit   figure.Unit `json:"-"`
}

// UsualCuts are A4 sheets halved again and again (ISO 216: A7 74 × 105, A8 52 × 74, A9 37 × 52,
// A10 26 × 37 mm), doubled, and halved once more lengthways into strips for the single fold; common
// practice of the craft.
func UsualCuts() []Cut {
	cut := func(pieces int, long, short float64, how figure.Fold) Cut {
		return Cut{Sheet: "A4", Pieces: pieces, Unit: figure.Unit{LongMM: long, ShortMM: short, Fold: how}}
	}
	return []Cut{
		cut(8, 105, 74, figure.Doubled),
		cut(16, 74, 52, figure.Doubled),
		cut(32, 52, 37, figure.Doubled),
		cut(64, 37, 26, figure.Doubled),
		cut(16, 105, 37, figure.Single),
		cut(32, 74, 26, figure.Single),
		cut(64, 52, 18.5, figure.Single),
	}
}

// LetterCuts are Letter sheets (ANSI/ASME Y14.1: 8.5 × 11 in) halved as UsualCuts halves A4, to the half mm below.
func LetterCuts() []Cut {
	cut := func(pieces int, long, short float64, how figure.Fold) Cut {
		return Cut{Sheet: "Letter", Pieces: pieces, Unit: figure.Unit{LongMM: long, ShortMM: short, Fold: how}}
	}
	return []Cut{
		cut(8, 107.5, 69.5, figure.Doubled),
		cut(16, 69.5, 53.5, figure.Doubled),
		cut(32, 53.5, 34.5, figure.Doubled),
		cut(64, 34.5, 26.5, figure.Doubled),
		cut(16, 107.5, 34.5, figure.Single),
		cut(32, 69.5, 26.5, figure.Single),
	}
}

// Candidate is one way to come close to a wished size, with a plain tube or with a figure. Miss is the larger of the
// two relative differences between the best estimate and the wish.
type Candidate struct {
	Cut
	Units    int     `json:"units"` // in a ring
	Rings    int     `json:"rings"`
	Total    int     `json:"total"`
	Height   Range   `json:"height_mm"`
	Diameter Range   `json:"diameter_mm"`
	LegMM    float64 `json:"leg_mm"`
	Miss     float64 `json:"miss"`
	Refused  error   `json:"-"` // why the figure cannot go it
	AsItIs   bool    `json:"-"` // the figure is so already
}

// Suggest finds for each cut the units per ring and rings that come closest to the wish, those that
// miss it least first (to the whole per cent), fewer units before more. Cuts that cannot be folded,
// or that would need fewer than 6 units in a ring or more than a document holds, are left out; the
// list may be empty. gauge tells the gauge of a unit, such as FromMemory. It fails with a words.Text
// when the wish is outside 1 cm to 5 m.
func Suggest(w Wish, cuts []Cut, gauge func(figure.Unit) Gauge) ([]Candidate, error) {
	for _, mm := range []float64{w.HeightMM, w.DiameterMM} {
		if !(mm >= MinWishMM && mm <= MaxWishMM) {
			return nil, words.T("shape.wish", "Low", MinWishMM/10, "High", MaxWishMM/10)
		}
	}
	var out []Candidate
	for _, c := range cuts {
		if k, ok := closest(w, c, gauge(c.Unit)); ok {
			out = append(out, k)
		}
	}
	inOrder(out)
	return out, nil
}

// inOrder sorts ways: what misses the wish least first (to the whole per cent), of those the figure as
// it is and then fewer units before more, and what cannot be last.
func inOrder(out []Candidate) {
	percent := func(c Candidate) float64 { return math.Round(c.Miss * 100) }
	sort.SliceStable(out, func(i, j int) bool {
		if a, b := out[i].Refused != nil, out[j].Refused != nil; a != b {
			return b
		}
		if a, b := percent(out[i]), percent(out[j]); a != b {
			return a < b
		}
		if out[i].AsItIs != out[j].AsItIs {
			return out[i].AsItIs
		}
		return out[i].Total < out[j].Total
	})
}

// tries is how often the units and rings of a way are brought nearer to the wish, and manyUnits how large a figure may be
// that is resized so often: each try resizes and measures the whole figure.
//
// farOff is by how much of the wish the figure as it is may miss it and is still told as a way.
const (
	farOff    = 0.5
	tries     = 4
	manyUnits = 20_000
)

// SuggestFor finds for each cut the units in the widest ring and the rings with which the figure itself, its other rings in
// proportion and its extras as they are, comes closest to the wish; the figure as it is stands among them. Sizes are those
// of the figure so resized, on a copy. A way that the figure cannot go has the size of a plain tube and says in Refused why.
// It fails with a words.Text when the wish is outside 1 cm to 5 m.
func SuggestFor(f *figure.Figure, w Wish, cuts []Cut, gauge func(figure.Unit) Gauge) ([]Candidate, error) {
	list, err := Suggest(w, cuts, gauge)
	if err != nil {
		return nil, err
	}
	own := Candidate{Cut: Cut{Unit: f.Unit}, LegMM: fold.Of(f.Unit).LegMM, Units: widestOf(f), Rings: len(f.Rings), AsItIs: true}
	for _, c := range cuts {
		if c.Unit == f.Unit {
			own.Cut = c
		}
	}
	var out []Candidate
	if own = own.of(f, w, gauge); own.Miss <= farOff {
		out = append(out, own)
	}
	for _, k := range list {
		k = k.nearerBy(f, w, gauge)
		if k.Unit != own.Unit || k.Units != own.Units || k.Rings != own.Rings {
			out = append(out, k)
		}
	}
	inOrder(out)
	return out, nil
}

// nearerBy resizes the figure by a way and brings its units and rings nearer to the wish by what is missing.
func (k Candidate) nearerBy(f *figure.Figure, w Wish, gauge func(figure.Unit) Gauge) Candidate {
	g, best, most := gauge(k.Unit), k, tries
	if f.Units() > manyUnits || k.Total > manyUnits {
		most = 1
	}
	for n := range most {
		then, err := resized(f, k)
		if err != nil {
			if n == 0 {
				best.Refused = err
			}
			return best
		}
		if k = k.of(then, w, gauge); n == 0 || k.Miss < best.Miss {
			best = k
		}
		rings := max(1, k.Rings+int(math.Round((w.HeightMM-k.Height.Best)/g.Rise.Best)))
		units := max(leastUnits, k.Units+int(math.Round((w.DiameterMM-k.Diameter.Best)*math.Pi/g.Pitch.Best)))
		if rings == k.Rings && units == k.Units || units > figure.MaxUnits || rings > figure.MaxRings || units*rings > figure.MaxAllUnits {
			return best
		}
		k.Rings, k.Units = rings, units
	}
	return best
}

// of is the way with the size of a figure that went it.
func (k Candidate) of(f *figure.Figure, w Wish, gauge func(figure.Unit) Gauge) Candidate {
	s := Estimate(f, gauge(f.Unit))
	k.Total, k.Height, k.Diameter, k.Miss = f.Units(), s.Height, s.Diameter, w.miss(s.Height, s.Diameter)
	return k
}

func resized(f *figure.Figure, k Candidate) (*figure.Figure, error) {
	edit, err := figure.Resize(f, k.Unit, k.Units, k.Rings)
	if err != nil {
		return nil, err
	}
	then := f.Clone()
	if edit != nil {
		_, _, err = figure.Apply(then, edit)
	}
	return then, err
}

func widestOf(f *figure.Figure) int {
	n := 0
	for i := range f.Rings {
		n = max(n, len(f.Rings[i].Cells))
	}
	return n
}

func (w Wish) miss(height, diameter Range) float64 {
	return math.Max(math.Abs(height.Best/w.HeightMM-1), math.Abs(diameter.Best/w.DiameterMM-1))
}

func closest(w Wish, c Cut, g Gauge) (Candidate, bool) {
	m := fold.Of(c.Unit)
	if !m.Foldable() {
		return Candidate{}, false
	}
	best, low, high := tubeOf(m, g.Pitch.Best), tubeOf(m, g.Pitch.Low), tubeOf(m, g.Pitch.High)
	rings := 1 + max(0, int(math.Round((w.HeightMM-best.height(1, 0))/g.Rise.Best)))
	units := nearest(w.DiameterMM, int(w.DiameterMM*math.Pi/g.Pitch.Best)+1, func(n int) float64 { return best.diameter(n, rings) })
	if units < leastUnits || units > figure.MaxUnits || rings > figure.MaxRings || units*rings > figure.MaxAllUnits {
		return Candidate{}, false
	}
	k := Candidate{
		Cut: c, Units: units, Rings: rings, Total: units * rings, LegMM: m.LegMM,
		Height:   rangeOf(low.height(rings, g.Rise.Low), best.height(rings, g.Rise.Best), high.height(rings, g.Rise.High)),
		Diameter: rangeOf(low.diameter(units, rings), best.diameter(units, rings), high.diameter(units, rings)),
	}
	k.Miss = w.miss(k.Height, k.Diameter)
	return k, true
}

// nearest is the number from 1 to most whose measure comes closest to the wanted one; measures grow with numbers.
func nearest(want float64, most int, measure func(int) float64) int {
	n := sort.Search(most, func(i int) bool { return measure(i+1) >= want }) + 1
	if n > 1 && want-measure(n-1) < measure(n)-want {
		return n - 1
	}
	return n
}
