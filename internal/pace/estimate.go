package pace

import "math"

// Work is what there is to do for a figure.
type Work struct {
	Strokes int   // cuts of the blade
	Stacks  int   // stacks of sheets squared up for cutting
	Units   int   // units to fold: in rings, in extras, and spares
	Shares  []int // of Units, what each person folds; where it is not given, all fold as evenly as can be
	Placed  int   // units to place in rings
	Rings   int   // rings to close
	Tucked  int   // extras to tuck in
	Glued   int   // pieces to cut out and glue on
}

// Estimate is the time of a whole job by the clock, in minutes, one stage after the other:
// one person cuts, then everybody folds a share, then a few hands build, then one finishes.
type Estimate struct {
	People    int
	Cutting   Range
	Folding   Range // until the last one has folded their share
	Assembly  Range
	Finishing Range // with drying
	Drying    Range // of Finishing, the wait for the glue
	Total     Range // the four together
	Labour    Range // person-minutes at work, without the wait for the glue
	Shares    []Share
	Builders  int // hands that build at once
}

// Share is what one person of the group folds.
type Share struct {
	Profile Profile
	Units   int
	Folding Range // minutes
}

// Estimate works out the time for a job done by these people, each with a pace of their own.
// No people at all counts as one beginner.
func (r Rates) Estimate(w Work, people []Profile) Estimate {
	if len(people) == 0 {
		people = []Profile{Beginner()}
	}
	e := Estimate{People: len(people), Shares: w.shares(people)}
	e.Cutting = r.seconds(Stroke, w.Strokes).Plus(r.seconds(Stack, w.Stacks))
	for _, s := range e.Shares {
		e.Folding = e.Folding.longest(s.Folding)
		e.Labour = e.Labour.Plus(s.Folding)
	}
	building := r.seconds(Place, w.Placed).Plus(r.seconds(Close, w.Rings))
	e.Assembly, e.Builders = r.together(building, len(people))
	if w.Glued > 0 {
		e.Drying = r[Dry].Range
	}
	finishing := r.seconds(Tuck, w.Tucked).Plus(r.seconds(Glue, w.Glued))
	e.Finishing = finishing.Plus(e.Drying)
	e.Total = e.Cutting.Plus(e.Folding).Plus(e.Assembly).Plus(e.Finishing)
	e.Labour = e.Labour.Plus(e.Cutting).Plus(building).Plus(finishing)
	return e
}

// seconds is count times a default of so many seconds, in minutes.
func (r Rates) seconds(key string, count int) Range {
	return r[key].Range.Times(float64(count)).minutes()
}

// together is the time for building work that a few hands share: the second and third pair of
// hands add less than the first, and further ones nothing.
func (r Rates) together(work Range, people int) (Range, int) {
	hands, helping := r[Hands].Range, r[Helping].Range
	speed := func(hands, helping float64) float64 {
		return 1 + helping*(min(float64(people), math.Floor(hands))-1)
	}
	return Range{
		work.Low / speed(hands.High, helping.Low),
		work.Best / speed(hands.Best, helping.Best),
		work.High / speed(hands.Low, helping.High),
	}, min(people, int(hands.Best))
}

// shares gives everybody their share: as given, or else so that no two differ by more than one unit.
func (w Work) shares(people []Profile) []Share {
	out := make([]Share, len(people))
	for i, p := range people {
		n := w.Units / len(people)
		if i < w.Units%len(people) {
			n++
		}
		if len(w.Shares) == len(people) {
			n = w.Shares[i]
		}
		out[i] = Share{Profile: p, Units: n, Folding: p.Fold(n)}
	}
	return out
}
