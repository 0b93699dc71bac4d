package pace

import (
	"math"

	"tuckring/internal/words"
)

// OwnStopwatch names the profile that Stopwatch fits.
const OwnStopwatch = "stopwatch"

// Profile is how quickly somebody folds: a curve each for the quick, the likely and the slow case.
type Profile struct {
	Name            string // "beginner", "practised" or "stopwatch"
	Standing        Standing
	Low, Best, High Curve
}

// Beginner is somebody who folds their first unit; Practised somebody who has folded many.
func Beginner() Profile  { return beginner }
func Practised() Profile { return practised }

// Named finds a built-in profile.
func Named(name string) (p Profile, ok bool) {
	switch name {
	case beginner.Name:
		return beginner, true
	case practised.Name:
		return practised, true
	}
	return Profile{}, false
}

// Text says what the profile is called.
func (p Profile) Text() words.Text { return words.T("pace.profile." + p.Name) }

// Source says where the profile comes from.
func (p Profile) Source() words.Text { return words.T("pace.profile.source." + p.Name) }

// Fold is the time to fold n units, in minutes.
func (p Profile) Fold(n int) Range {
	return Range{p.Low.Total(n), p.Best.Total(n), p.High.Total(n)}.minutes()
}

// What the stopwatch takes: the seconds of each unit in the order of folding, or one number for
// TimedUnits units together.
const (
	TimedUnits = 10
	MaxTimed   = 100
	MinUnitS   = 3.0    // nobody folds a unit in less (common practice)
	MaxUnitS   = 1800.0 // half an hour
)

// Stopwatch fits a profile to units that somebody timed: the seconds of each, in order. A single
// number is the time of TimedUnits units together. It fits the line log(average) over log(n),
// which Wright's law makes straight, by least squares, with a rate kept between 70 % and 100 %.
// The range is two standard errors of the fit either way, at least 10 %.
// The error is a words.Text: too few or too many times, or a time no unit takes.
func Stopwatch(seconds []float64) (Profile, error) {
	if len(seconds) == 1 {
		seconds = evenly(seconds[0])
	}
	if n := len(seconds); n < 3 || n > MaxTimed {
		return Profile{}, words.T("pace.stopwatch.count", "Count", n, "Max", MaxTimed, "Timed", TimedUnits)
	}
	for i, s := range seconds {
		if !(s >= MinUnitS && s <= MaxUnitS) {
			return Profile{}, words.T("pace.stopwatch.time", "Number", i+1, "Seconds", s, "Min", MinUnitS, "Max", MaxUnitS)
		}
	}
	best, spread := fit(seconds)
	return Profile{
		Name: OwnStopwatch, Standing: Own,
		Low:  best.scaled(1 - spread),
		Best: best,
		High: best.scaled(1 + spread),
	}, nil
}

func evenly(total float64) []float64 {
	s := make([]float64, TimedUnits)
	for i := range s {
		s[i] = total / TimedUnits
	}
	return s
}

func (c Curve) scaled(k float64) Curve { return Curve{c.First * k, c.Rate, c.Floor * k} }

// fit gives the curve through the cumulative averages and its relative uncertainty.
func fit(seconds []float64) (c Curve, spread float64) {
	n := float64(len(seconds))
	var sum, mx, my float64
	x, y := make([]float64, len(seconds)), make([]float64, len(seconds))
	for i, s := range seconds {
		sum += s
		x[i], y[i] = math.Log2(float64(i+1)), math.Log2(sum/float64(i+1))
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	var sxx, sxy, left float64
	for i := range x {
		sxx += (x[i] - mx) * (x[i] - mx)
		sxy += (x[i] - mx) * (y[i] - my)
	}
	rate := min(1, max(0.7, math.Exp2(sxy/sxx)))
	slope := math.Log2(rate)
	for i := range x {
		d := y[i] - my - slope*(x[i]-mx)
		left += d * d
	}
	spread = math.Exp2(2*math.Sqrt(left/(n-2))) - 1
	c = Curve{First: math.Exp2(my - slope*mx), Rate: rate, Floor: quickest}
	for _, s := range seconds {
		c.Floor = min(c.Floor, s)
	}
	return c, min(0.5, max(0.1, spread))
}
