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
		f.Rings[i].Start = f.Footing(i).Usual()
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
// from memory pitch 0.58 × 18.5 = 10.73 mm, rise 0.48 × 18.5 = 8.88 mm, each ±20 %; so the points of 12 units stand on
// a circle of 12 × 10.73 / 3.1416 = 41.0 mm. In an upright wall a unit leans 18° out (from memory): the end of its
// spine stands 18.5 × (cos 18° − sin 18°) = 11.9 mm beyond its points and 18.5 × (cos 18° + sin 18°) = 23.3 mm below
// them. So ring 1 measures 41.0 + 2 × 11.9 = 64.8 mm from tip to tip and six rings 23.3 + 5 × 8.88 = 67.7 mm; at 0.8
// of pitch and rise 56.6 and 58.8, at 1.2 73.0 and 76.6.
func TestSizeFromMemoryIsTheOutsideAndARange(t *testing.T) {
	s := Estimate(read(t, "sixty-eight.tuckring.json"), FromMemory(figure.Unit{LongMM: 52, ShortMM: 18.5, Fold: figure.Single}))
	assert.False(t, s.Calibrated)
	assertRange(t, 58.8, 67.7, 76.6, s.Height, 0.3)
	require.Len(t, s.Rings, 6)
	assert.Equal(t, 8, s.Rings[5].Units)
	assertRange(t, 56.6, 64.8, 73.0, s.Rings[0].Diameter, 0.3)
	assertRange(t, 23.3, 23.3, 23.3, s.Rings[0].Top, 0.3)
	assertRange(t, 58.8, 67.7, 76.6, s.Rings[5].Top, 0.3)
	// Ring 5 leans in under the closing ring, until the points below it, straight under its own, would leave its
	// pockets (4° are kept): its spines end 18.5 × (cos 4° − sin 4°) = 17.2 mm beyond its points: the widest place.
	assert.InDelta(t, 41.0+2*17.2, s.Diameter.Best, 0.3)
	assert.Equal(t, s.Rings[4].Diameter.Best, s.Diameter.Best)
}

// A swatch of 12 units and 10 rings measures 64.8 mm from tip to tip and 103.2 mm high with a millimetre ruler. By the
// geometry above its points stand on 64.8 − 23.8 = 41.0 mm, its pitch is 3.1416 × 41 / 12 = 10.73 mm, and nine rises
// make 103.2 − 23.3 = 79.9 mm, 8.88 each. Half a millimetre either way is 0.13 mm of pitch and 0.06 mm of rise.
func TestSwatchCalibratesToItsRounding(t *testing.T) {
	s := Swatch{Unit: a9, UnitsPerRing: 12, Rings: 10, DiameterMM: 64.8, HeightMM: 103.2}
	g, err := s.Gauge()
	require.NoError(t, err)
	assert.True(t, g.Calibrated)
	assertRange(t, 10.60, 10.73, 10.86, g.Pitch, 0.07)
	assertRange(t, 8.82, 8.88, 8.94, g.Rise, 0.02)

	// The same tube once more comes out as it was measured.
	size := Estimate(tube(12, 10), g)
	assert.True(t, size.Calibrated)
	assertRange(t, 64.3, 64.8, 65.3, size.Diameter, 1e-6)
	assertRange(t, 102.7, 103.2, 103.7, size.Height, 1e-6)
}

func TestSwatchOfAnotherUnitIsNoCalibration(t *testing.T) {
	s := Swatch{Unit: a9, UnitsPerRing: 12, Rings: 10, DiameterMM: 64.8, HeightMM: 103.2}
	own, err := s.Gauge()
	require.NoError(t, err)
	g, err := s.GaugeFor(figure.Unit{LongMM: 104, ShortMM: 74, Fold: figure.Doubled}) // twice the leg
	require.NoError(t, err)
	assert.False(t, g.Calibrated)
	assert.InDelta(t, 2*own.Rise.Best, g.Rise.Best, 1e-9)
	assert.InDelta(t, 2*own.Rise.Best*0.8, g.Rise.Low, 1e-9)

	g, err = s.GaugeFor(a9)
	require.NoError(t, err)
	assert.True(t, g.Calibrated)
}

// A unit's spine is as long as its leg and leans 18° out, so a tube of 12 A9 is at least the 23.8 mm wide that its
// spines stand out; its points are 2 × 18.5 mm apart at most, when it lies flat. Ten rings that rise by a leg each,
// the farthest a point can be from the ring that takes it, are 23.3 + 9 × 18.5 = 190 mm high.
func TestSwatchSaysWhichEntryCannotBe(t *testing.T) {
	good := Swatch{Unit: a9, UnitsPerRing: 12, Rings: 10, DiameterMM: 64.8, HeightMM: 103.2}
	for _, c := range []struct {
		entry SwatchEntry
		want  string
		spoil func(*Swatch)
	}{
		{SwatchUnits, "units; 2 is not possible", func(s *Swatch) { s.UnitsPerRing = 2 }},
		{SwatchRings, "rings; 1 is not possible", func(s *Swatch) { s.Rings = 1 }},
		{SwatchDiameter, "width must be", func(s *Swatch) { s.DiameterMM = -4 }},
		{SwatchHeight, "height must be", func(s *Swatch) { s.HeightMM = 0 }},
		{SwatchRounding, "how finely you measured", func(s *Swatch) { s.RoundingMM = -1 }},
		{SwatchUnit, "two sides", func(s *Swatch) { s.Unit = figure.Unit{} }},
		{SwatchDiameter, "With 12 units", func(s *Swatch) { s.DiameterMM = 23 }},
		{SwatchDiameter, "With 12 units", func(s *Swatch) { s.DiameterMM = 200 }},
		{SwatchHeight, "With 10 rings", func(s *Swatch) { s.HeightMM = 24 }},
		{SwatchHeight, "With 10 rings", func(s *Swatch) { s.HeightMM = 192 }},
	} {
		s := good
		c.spoil(&s)
		_, err := s.Gauge()
		var refused *SwatchFault
		require.ErrorAs(t, err, &refused, c.want)
		assert.Equal(t, c.entry, refused.Entry)
		assert.ErrorContains(t, err, c.want)
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

// "30 cm tall and 12 cm wide" with A9 doubled (pitch 10.73, rise 8.88 mm, 11.9 mm of spine on either side, 23.3 mm of
// the lowest ring): 28 units make 28 × 10.73 / 3.1416 + 23.8 = 119.4 mm and 32 rings 23.3 + 31 × 8.88 = 298.6 mm.
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
			assert.Equal(t, 28, c.Units)
			assert.Equal(t, 32, c.Rings)
			assert.InDelta(t, 119.4, c.Diameter.Best, 0.3)
			assert.InDelta(t, 298.6, c.Height.Best, 0.3)
			again := Estimate(tube(c.Units, c.Rings), FromMemory(a9))
			assert.InDelta(t, again.Diameter.Low, c.Diameter.Low, 1e-9, "as a figure of these counts is measured")
			assert.InDelta(t, again.Height.High, c.Height.High, 1e-9)
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
