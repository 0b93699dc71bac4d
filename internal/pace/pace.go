// Package pace estimates how long a figure takes: cutting from blade strokes and stacks, folding on
// a learning curve, assembling per unit and per ring, finishing per extra, the drying of glue; for
// one person, and for a group in which everyone folds a share at their own pace. It plans sessions.
//
// The learning curve is Wright's cumulative average (T. P. Wright, "Factors affecting the cost of
// airplanes", 1936; the same power law is tabulated in RAND RM-6191, 1970), with a floor below
// which no unit falls. Every number that is not a law stands in defaults.go with its source.
//
// Times are minutes unless a name ends in S or says seconds. Nothing is rounded here.
package pace

// Range is an honest estimate: the best guess between a low and a high one.
type Range struct {
	Low  float64 `json:"low"`
	Best float64 `json:"best"`
	High float64 `json:"high"`
}

// Exactly is the range of a number that is known.
func Exactly(v float64) Range { return Range{v, v, v} }

// Plus adds two ranges end to end, as for jobs that follow each other.
func (r Range) Plus(o Range) Range { return Range{r.Low + o.Low, r.Best + o.Best, r.High + o.High} }

// Times scales a range by a factor of 0 or more.
func (r Range) Times(k float64) Range { return Range{r.Low * k, r.Best * k, r.High * k} }

// longest takes the larger of each end, as for jobs that run side by side.
func (r Range) longest(o Range) Range {
	return Range{max(r.Low, o.Low), max(r.Best, o.Best), max(r.High, o.High)}
}

// minutes turns a range of seconds into minutes.
func (r Range) minutes() Range { return r.Times(1.0 / 60) }
