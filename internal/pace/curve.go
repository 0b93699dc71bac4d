package pace

import (
	"math"
	"sort"
)

// Curve is Wright's cumulative-average learning curve with a floor: each doubling of the number of
// units brings their average time down to Rate times what it was, until a single unit would take
// less than Floor; from then on every unit takes Floor.
type Curve struct {
	First float64 `json:"first_s"` // seconds for the first unit
	Rate  float64 `json:"rate"`    // 0.9 is the "90 % curve"; 1 means no learning
	Floor float64 `json:"floor_s"` // seconds below which no unit falls; 0 for the bare law
}

// Average is the average time of the first n units in seconds, n ≥ 1.
func (c Curve) Average(n int) float64 {
	if n < 1 {
		return 0
	}
	return c.Total(n) / float64(n)
}

// Total is the time of the first n units together in seconds; 0 for n < 1.
func (c Curve) Total(n int) float64 {
	if n < 1 {
		return 0
	}
	learned := c.learning(n)
	return c.wright(learned) + float64(n-learned)*c.Floor
}

// Unit is the time of the n-th unit alone in seconds, n ≥ 1.
func (c Curve) Unit(n int) float64 { return max(c.Floor, c.marginal(n)) }

// learning counts the units, of the first n, that are still slower than the floor. The time of a
// single unit only falls along the curve, so the units that are come first.
func (c Curve) learning(n int) int {
	if c.Floor <= 0 || c.marginal(n) > c.Floor {
		return n
	}
	return sort.Search(n, func(i int) bool { return c.marginal(i+1) <= c.Floor })
}

// wright is the bare law: n units take First · n · Rate^log2(n).
func (c Curve) wright(n int) float64 {
	if n < 1 {
		return 0
	}
	return c.First * float64(n) * math.Pow(c.Rate, math.Log2(float64(n)))
}

func (c Curve) marginal(n int) float64 { return c.wright(n) - c.wright(n-1) }
