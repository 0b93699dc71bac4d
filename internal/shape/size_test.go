package shape

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

var a9 = figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}

// tube is a plain tube of one colour.
func tube(units, rings int) *figure.Figure {
	f := &figure.Figure{
		Title: "Tube", Unit: a9,
		Colours: []figure.Colour{{ID: "sand", Name: "Sand", Hex: "#d9c59a"}, {ID: "sea", Name: "Sea", Hex: "#0b6e6e"}},
	}
	for i := range rings {
		f.Rings = append(f.Rings, ringOf(units, 2))
		f.Rings[i].ID = figure.RingID(i + 1)
		if i == 0 {
			for k := range f.Rings[0].Cells {
				f.Rings[0].Cells[k].Takes = 0
			}
			continue
		}
		f.Rings[i].Start = figure.DefaultStart(i, 2*units)
	}
	return f
}

func ringOf(units int, takes uint8) figure.Ring {
	r := figure.Ring{}
	for range units {
		r.Cells = append(r.Cells, figure.Cell{Takes: takes})
	}
	return r
}

func read(t testing.TB, name string) *figure.Figure {
	data, err := os.ReadFile("testdata/" + name)
	require.NoError(t, err)
	f, err := figure.Read(data)
	require.NoError(t, err)
	return f
}

func assertRange(t *testing.T, low, best, high float64, got Range, within float64) {
	t.Helper()
	assert.InDelta(t, low, got.Low, within)
	assert.InDelta(t, best, got.Best, within)
	assert.InDelta(t, high, got.High, within)
}

// The published figure of 68 units (The Star, Malaysia, 14 March 2012), half A9 single, leg 18.5 mm:
// from memory pitch 0.58 × 18.5 = 10.73 mm, rise 0.48 × 18.5 = 8.88 mm, each ±20 %; so 12 units
// measure 12 × 10.73 / 3.1416 = 41.0 mm across and 6 rings 53.3 mm.
func TestSizeFromMemoryIsARange(t *testing.T) {
	s := Estimate(read(t, "sixty-eight.tuckring.json"), FromMemory(figure.Unit{LongMM: 52, ShortMM: 18.5, Fold: figure.Single}))
	assert.False(t, s.Calibrated)
	assertRange(t, 32.8, 41.0, 49.2, s.Diameter, 0.05)
	assertRange(t, 42.6, 53.3, 63.9, s.Height, 0.05)
	require.Len(t, s.Rings, 6)
	assert.Equal(t, 8, s.Rings[5].Units)
	assertRange(t, 21.9, 27.3, 32.8, s.Rings[5].Diameter, 0.05)
	assertRange(t, 7.1, 8.9, 10.7, s.Rings[0].Top, 0.05)
}

// A swatch of 12 units and 10 rings measures 41 mm across and 89 mm high with a millimetre ruler: its
// pitch is 3.1416 × 41 / 12 = 10.73 mm, half a millimetre either way 10.60 to 10.86; its rise 8.9 mm
// ± 0.05.
func TestSwatchCalibratesToItsRounding(t *testing.T) {
	s := Swatch{Unit: a9, UnitsPerRing: 12, Rings: 10, DiameterMM: 41, HeightMM: 89}
	g, err := s.Gauge()
	require.NoError(t, err)
	assert.True(t, g.Calibrated)
	assertRange(t, 10.60, 10.73, 10.86, g.Pitch, 0.005)
	assertRange(t, 8.85, 8.90, 8.95, g.Rise, 0.001)

	// The same tube once more comes out as it was measured.
	size := Estimate(tube(12, 10), g)
	assert.True(t, size.Calibrated)
	assertRange(t, 40.5, 41, 41.5, size.Diameter, 1e-9)
	assertRange(t, 88.5, 89, 89.5, size.Height, 1e-9)
}

func TestSwatchOfAnotherUnitIsNoCalibration(t *testing.T) {
	s := Swatch{Unit: a9, UnitsPerRing: 12, Rings: 10, DiameterMM: 41, HeightMM: 89}
	g, err := s.GaugeFor(figure.Unit{LongMM: 104, ShortMM: 74, Fold: figure.Doubled}) // twice the leg
	require.NoError(t, err)
	assert.False(t, g.Calibrated)
	assert.InDelta(t, 17.8, g.Rise.Best, 1e-9)
	assert.InDelta(t, 17.8*0.8, g.Rise.Low, 1e-9)

	g, err = s.GaugeFor(a9)
	require.NoError(t, err)
	assert.True(t, g.Calibrated)
}

func TestSwatchSaysWhichEntryCannotBe(t *testing.T) {
	good := Swatch{Unit: a9, UnitsPerRing: 12, Rings: 10, DiameterMM: 41, HeightMM: 89}
	for want, spoil := range map[string]func(*Swatch){
		"2 units in a ring":     func(s *Swatch) { s.UnitsPerRing = 2 },
		"1 rings are no swatch": func(s *Swatch) { s.Rings = 1 },
		"diameter must be":      func(s *Swatch) { s.DiameterMM = -4 },
		"height must be":        func(s *Swatch) { s.HeightMM = 0 },
		"what the measures":     func(s *Swatch) { s.RoundingMM = -1 },
	} {
		s := good
		spoil(&s)
		_, err := s.Gauge()
		assert.ErrorContains(t, err, want)
	}
}

// A ring whose units leave an opening is as wide as the whole circle: 18 units on 36 of the 40 points of
// 20 units stand on the circle of those 20.
func TestOpeningDoesNotNarrowTheRing(t *testing.T) {
	f := tube(20, 2)
	f.Rings[1] = ringOf(18, 2)
	f.Rings[1].Start, f.Rings[1].FreeEnd = 1, 4
	require.Empty(t, f.Validate())
	s := Estimate(f, FromMemory(a9))
	assert.InDelta(t, s.Rings[0].Diameter.Best, s.Rings[1].Diameter.Best, 1e-9)
}

// "30 cm tall and 12 cm wide": with A9 doubled (pitch 10.73, rise 8.88 mm) 35 units make
// 35 × 10.73 / 3.1416 = 119.5 mm and 34 rings 301.9 mm.
func TestWishBecomesCountsThatComeClosest(t *testing.T) {
	got, err := Suggest(Wish{HeightMM: 300, DiameterMM: 120}, UsualCuts(), FromMemory)
	require.NoError(t, err)
	require.Len(t, got, 7)
	for i, c := range got {
		if i > 0 {
			assert.LessOrEqual(t, int(got[i-1].Miss*100+0.5), int(c.Miss*100+0.5), "closest first")
		}
		assert.Equal(t, c.Units*c.Rings, c.Total)
		assert.InDelta(t, 300, c.Height.Best, c.Miss*300+1e-9)
		assert.InDelta(t, 120, c.Diameter.Best, c.Miss*120+1e-9)
		if c.Pieces == 32 && c.Unit == a9 {
			assert.Equal(t, 35, c.Units)
			assert.Equal(t, 34, c.Rings)
			assert.InDelta(t, 119.5, c.Diameter.Best, 0.05)
			assert.InDelta(t, 301.9, c.Height.Best, 0.05)
		}
	}
}

func TestWishLeavesOutWhatCannotBe(t *testing.T) {
	got, err := Suggest(Wish{HeightMM: 100, DiameterMM: 30}, UsualCuts(), FromMemory)
	require.NoError(t, err)
	for _, c := range got {
		assert.GreaterOrEqual(t, c.Units, 6)
	}
	got, err = Suggest(Wish{HeightMM: 300, DiameterMM: 120}, []Cut{{Sheet: "square", Unit: figure.Unit{LongMM: 50, ShortMM: 50, Fold: figure.Doubled}}}, FromMemory)
	require.NoError(t, err)
	assert.Empty(t, got, "a square has no flap")
	_, err = Suggest(Wish{HeightMM: 3, DiameterMM: 120}, UsualCuts(), FromMemory)
	assert.ErrorContains(t, err, "1 to 500 cm")
}
