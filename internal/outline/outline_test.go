package outline

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
)

var (
	papers = []figure.Colour{{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "sea", Name: "Sea", Hex: "#2277a0"}}
	folds  = []figure.Unit{{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, {LongMM: 80, ShortMM: 30, Fold: figure.Single}}
)

// The nearest counts within a step of each other are those of a search through all.
func TestNearestCountsAreTheBestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wanted := rapid.SliceOfN(rapid.Float64Range(6, 12), 1, 4).Draw(t, "wanted")
		most := rapid.IntRange(1, 3).Draw(t, "most")
		off := func(counts []int) (sum float64) {
			for i, n := range counts {
				sum += math.Pow(math.Abs(float64(n)-wanted[i]), offPower)
			}
			return sum
		}
		best := math.Inf(1)
		var try func(counts []int)
		try = func(counts []int) {
			if len(counts) == len(wanted) {
				best = min(best, off(counts))
				return
			}
			for n := LeastUnits; n <= 14; n++ {
				if k := len(counts); k > 0 {
					if step := n - counts[k-1]; step > most || -step > most || 3*max(step, -step) > counts[k-1] {
						continue
					}
				}
				try(append(counts[:len(counts):len(counts)], n))
			}
		}
		try(nil)
		assert.InDelta(t, best, off(Nearest(wanted, most)), 1e-9)
	})
}

// Whatever is wanted becomes a figure that keeps the rules and makes the checks warn of nothing, on either fold.
func TestFittedOutlinesHoldTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wanted := rapid.SliceOfN(rapid.Float64Range(8, 60), 2, 14).Draw(t, "wanted")
		unit := rapid.SampledFrom(folds).Draw(t, "unit")
		g := shape.FromMemory(unit)
		counts, f, err := Fit("Mole head", unit, papers, wanted, g)
		require.NoError(t, err)
		require.Empty(t, f.Validate())
		assert.Nil(t, Warns(f, g))
		for i, n := range counts {
			assert.Len(t, f.Rings[i].Cells, n)
		}
	})
}

func TestOutlinesThatNoFigureHasAreRefused(t *testing.T) {
	g := shape.FromMemory(folds[0])
	for _, c := range []struct {
		wanted []float64
		says   string
	}{
		{nil, "0 rings"}, {make([]float64, 1001), "1001 rings"}, {[]float64{12, math.NaN()}, "Ring 2"}, {[]float64{-1}, "Ring 1"},
		{[]float64{math.Inf(1)}, "Ring 1"}, {[]float64{1001}, "Ring 1"},
		{func() (w []float64) {
			for range 101 {
				w = append(w, 1000)
			}
			return w
		}(), "101000 units"},
	} {
		_, _, err := Fit("Pier", folds[0], papers, c.wanted, g)
		require.Error(t, err)
		assert.Contains(t, err.Error(), c.says)
	}
}
