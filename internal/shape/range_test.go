package shape

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
)

// rangesInOrder fails where a range of the size is upside down.
func rangesInOrder(t require.TestingT, name string, s Size) {
	check := func(what string, ring int, r Range) {
		if !(r.Low <= r.Best && r.Best <= r.High) {
			require.Fail(t, "upside down", "%s: %s of ring %d: %+v", name, what, ring, r)
		}
	}
	check("height", 0, s.Height)
	check("diameter", 0, s.Diameter)
	for _, r := range s.Rings {
		check("diameter", r.Ring, r.Diameter)
		check("top", r.Ring, r.Top)
	}
}

// The least is never above the likely one, nor that above the greatest: on every demo figure ...
func TestRangesOfTheDemoFiguresAreInOrder(t *testing.T) {
	files, err := filepath.Glob("../../testdata/shelf/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		f, err := figure.Read(data)
		require.NoError(t, err)
		rangesInOrder(t, file, Estimate(f, FromMemory(f.Unit)))
	}
}

// ... and on any figure, from memory or from a swatch: rings that widen and narrow, either side out, any unit.
func TestRangesAreInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		units := rapid.IntRange(figure.MinUnits, 60).Draw(t, "units")
		f := tube(units, rapid.IntRange(1, 8).Draw(t, "rings"))
		f.Unit = figure.Unit{
			LongMM: rapid.Float64Range(45, 90).Draw(t, "long"), ShortMM: rapid.Float64Range(25, 44).Draw(t, "short"),
			Fold: rapid.SampledFrom([]figure.Fold{figure.Doubled, figure.Single}).Draw(t, "fold"),
		}
		for i := range f.Rings {
			if rapid.Bool().Draw(t, "short out") {
				for k := range f.Rings[i].Cells {
					f.Rings[i].Cells[k].Side = figure.Short
				}
			}
		}
		if n := rapid.IntRange(0, 2).Draw(t, "last ring"); n > 0 { // twice as many units, or half as many
			last := ringOf(2*units, 1)
			if n == 2 && units%2 == 0 {
				last = ringOf(units/2, 4)
			}
			last.ID = figure.RingID(len(f.Rings) + 1)
			f.Rings = append(f.Rings, last)
		}
		g := FromMemory(f.Unit)
		if rapid.Bool().Draw(t, "measured") {
			s := Swatch{Unit: f.Unit, UnitsPerRing: rapid.IntRange(6, 30).Draw(t, "swatch units"), Rings: rapid.IntRange(2, 9).Draw(t, "swatch rings"),
				RoundingMM: rapid.Float64Range(0.1, MaxRounding).Draw(t, "rounding")}
			pitch, rise := rapid.Float64Range(0.4, 1).Draw(t, "pitch"), rapid.Float64Range(0.3, 0.7).Draw(t, "rise")
			wall := tubeOf(fold.Of(f.Unit), pitch*fold.Of(f.Unit).LegMM)
			s.DiameterMM = wall.diameter(s.UnitsPerRing, s.Rings)
			s.HeightMM = wall.height(s.Rings, rise*fold.Of(f.Unit).LegMM)
			if measured, err := s.Gauge(); err == nil { // a rounding as large as the swatch gives none
				for _, r := range []Range{measured.Pitch, measured.Rise} {
					if !(r.Low <= r.Best && r.Best <= r.High) {
						t.Fatalf("gauge of %+v: %+v", s, measured)
					}
				}
				g = measured
			}
		}
		rangesInOrder(t, "drawn", Estimate(f, g))
	})
}
