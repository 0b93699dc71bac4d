package shape

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

// callipers measures a model file as a maker measures the figure: from the table (y = 0) to its highest corner, and
// between two straight edges laid upright against it, turned until they stand farthest apart. It knows the file alone:
// every position of every mesh, in metres. All in mm.
func callipers(t testing.TB, model []byte) (high, low, wide float64) {
	doc, bin := readGLB(t, model)
	low = math.Inf(1)
	const turns = 720
	var edge [turns]float64
	for k := range edge {
		edge[k] = math.Inf(-1)
	}
	var cos, sin [turns]float64
	for k := range turns {
		sin[k], cos[k] = math.Sincos(2 * math.Pi * float64(k) / turns)
	}
	far := [turns]struct{ x, z, away float64 }{} // the farthest corner of each direction is enough to find the edges
	for _, m := range doc.Meshes {
		a := doc.Accessors[m.Primitives[0].Attributes["POSITION"]]
		at := doc.BufferViews[a.View].Offset
		for i := range a.Count {
			v := [3]float64{}
			for k := range v {
				v[k] = 1000 * float64(math.Float32frombits(binary.LittleEndian.Uint32(bin[at+12*i+4*k:])))
			}
			high, low = math.Max(high, v[1]), math.Min(low, v[1])
			away := math.Hypot(v[0], v[2])
			k := int((math.Atan2(v[2], v[0])/(2*math.Pi)+1)*turns) % turns
			if away > far[k].away {
				far[k].x, far[k].z, far[k].away = v[0], v[2], away
			}
		}
	}
	for k := range edge {
		for _, c := range far {
			if c.away > 0 {
				edge[k] = math.Max(edge[k], c.x*cos[k]+c.z*sin[k])
			}
		}
	}
	for k := range turns / 2 {
		wide = math.Max(wide, edge[k]+edge[k+turns/2])
	}
	return high, low, wide
}

func modelOf(t testing.TB, f *figure.Figure, g Gauge) []byte {
	var out bytes.Buffer
	require.NoError(t, Place(f, g).WriteGLB(&out, f))
	return out.Bytes()
}

// within2 is the measure: two per cent.
func within2(t testing.TB, want, got float64, what string) {
	t.Helper()
	assert.InDelta(t, want, got, 0.02*want, what)
}

func assertModelMeasures(t *testing.T, f *figure.Figure, g Gauge, s Size, name string) {
	t.Helper()
	high, low, wide := callipers(t, modelOf(t, f, g))
	within2(t, s.Height.Best, high, name+": height")
	within2(t, s.Diameter.Best, wide, name+": diameter")
	assert.InDelta(t, 0, low, 0.01, name+": it stands on the table")
}

func demos(t testing.TB) map[string]*figure.Figure {
	files, err := filepath.Glob("../../testdata/shelf/*.tuckring.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	out := map[string]*figure.Figure{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		f, err := figure.Read(data)
		require.NoError(t, err)
		out[filepath.Base(file)] = f
	}
	return out
}

// The model of every demo figure, extras among it, measures the size that is stated; and so do models at the ends of
// the range.
func TestModelsOfTheDemoFiguresMeasureTheStatedSize(t *testing.T) {
	for name, f := range demos(t) {
		g := FromMemory(f.Unit)
		s := Estimate(f, g)
		assertModelMeasures(t, f, g, s, name)
		assert.Equal(t, s, Place(f, g).Size, "%s: one meaning of size", name)
		low := Gauge{Pitch: Range{0, g.Pitch.Low, 0}, Rise: Range{0, g.Rise.Low, 0}}
		high, _, wide := callipers(t, modelOf(t, f, low))
		within2(t, s.Height.Low, high, name)
		within2(t, s.Diameter.Low, wide, name)
	}
}

func TestModelsOfTubesMeasureTheStatedSize(t *testing.T) {
	for _, units := range []int{3, 4, 5, 6, 12, 24, 60, 200, 1000} {
		for _, rings := range []int{1, 2, 6, 30} {
			f := tube(units, rings)
			g := FromMemory(a9)
			assertModelMeasures(t, f, g, Estimate(f, g), fmt.Sprintf("%d × %d", units, rings))
		}
	}
}

// Short sides outwards reach otherwise, and an opening leaves the tip that would stand across: still the model
// measures what is stated.
func TestModelsOfOtherWallsMeasureTheStatedSize(t *testing.T) {
	turned := tube(14, 5)
	for i := range turned.Rings {
		for k := range turned.Rings[i].Cells {
			turned.Rings[i].Cells[k].Side = figure.Side((i + k) % 2)
		}
	}
	open := tube(9, 2)
	open.Rings[1] = ringOf(5, 2)
	open.Rings[1].Start, open.Rings[1].FreeEnd = 1, 8
	require.Empty(t, open.Validate())
	for name, f := range map[string]*figure.Figure{"sides by turns": turned, "opening": open, "68": read(t, "sixty-eight.tuckring.json")} {
		g := FromMemory(f.Unit)
		assertModelMeasures(t, f, g, Estimate(f, g), name)
	}
}

// What sticks out on one side only, and what hangs below the rings, is measured too: wings, feet, eyes larger than the wall,
// and several of them at odd places. The model stands on the table whatever hangs from it.
func TestModelsWithExtrasMeasureTheStatedSize(t *testing.T) {
	tucked := func(ring int, at float64, units int) figure.Extra {
		return figure.Extra{Kind: figure.Tucked, Name: "Wing", Ring: ring, At: at, Units: units}
	}
	disc := func(ring int, at, mm float64) figure.Extra {
		return figure.Extra{Kind: figure.Glued, Name: "Eye", Outline: figure.Disc, Ring: ring, At: at, Diameter: mm}
	}
	bar := func(ring int, wide, high float64) figure.Extra {
		return figure.Extra{Kind: figure.Glued, Name: "Scarf", Outline: figure.Bar, Ring: ring, Width: wide, Height: high}
	}
	for _, c := range []struct {
		units, rings int
		extras       []figure.Extra
		hang         int
	}{
		{16, 8, []figure.Extra{tucked(1, 0, 8)}, 0},
		{16, 8, []figure.Extra{tucked(3, 4, 8)}, 0},
		{16, 8, []figure.Extra{tucked(5, 0, 1), tucked(5, 3.5, 7), tucked(6, 6, 2)}, 0},
		{16, 8, []figure.Extra{tucked(2, 4, 24)}, 1},
		{16, 8, []figure.Extra{disc(1, 0, 60)}, 1},
		{16, 8, []figure.Extra{disc(8, 0, 60)}, 0},
		{24, 12, []figure.Extra{bar(2, 30, 60)}, 1},
		{16, 8, []figure.Extra{bar(4, 200, 8)}, 0},
		{3, 1, []figure.Extra{tucked(1, 0, 5)}, 0},
		{40, 2, []figure.Extra{tucked(2, 20.5, 9), disc(1, 3, 90)}, 1},
	} {
		f := tube(c.units, c.rings)
		for i := range c.extras {
			c.extras[i].ID, c.extras[i].Colour = figure.ExtraID(i+1), f.Colours[0].ID
		}
		f.Extras = c.extras
		require.Empty(t, f.Validate())
		g := FromMemory(f.Unit)
		name := fmt.Sprintf("%d × %d with %+v", c.units, c.rings, c.extras)
		high, low, wide := callipers(t, modelOf(t, f, g))
		s := Estimate(f, g)
		assert.InEpsilon(t, high, s.Height.Best, 0.01, name)
		assert.InEpsilon(t, wide, s.Diameter.Best, 0.01, name)
		assert.InDelta(t, 0, low, 0.01, "it stands on the table: "+name)
		assert.Len(t, Place(f, g).Hanging, c.hang, name)
	}
}

// A swatch's own measures, put in, come out again: on its tube's stated size, to the rounding of its range, and on the
// model file of that tube.
func TestSwatchComesOutAgainAsItWasMeasured(t *testing.T) {
	card := figure.Unit{LongMM: 80, ShortMM: 30, Fold: figure.Single}
	for _, s := range []Swatch{
		{Unit: a9, UnitsPerRing: 12, Rings: 6, DiameterMM: 63, HeightMM: 66},
		{Unit: a9, UnitsPerRing: 24, Rings: 2, DiameterMM: 108.5, HeightMM: 33, RoundingMM: 0.5},
		{Unit: a9, UnitsPerRing: 3, Rings: 4, DiameterMM: 34, HeightMM: 51},
		{Unit: a9, UnitsPerRing: 7, Rings: 30, DiameterMM: 50, HeightMM: 290},
		{Unit: card, UnitsPerRing: 200, Rings: 10, DiameterMM: 1130, HeightMM: 170, RoundingMM: 5},
	} {
		g, err := s.Gauge()
		require.NoError(t, err)
		f := tube(s.UnitsPerRing, s.Rings)
		f.Unit = s.Unit
		half := s.rounding() / 2
		size := Estimate(f, g)
		assertRange(t, s.DiameterMM-half, s.DiameterMM, s.DiameterMM+half, size.Diameter, 1e-6)
		assertRange(t, s.HeightMM-half, s.HeightMM, s.HeightMM+half, size.Height, 1e-6)
		high, _, wide := callipers(t, modelOf(t, f, g))
		assert.InDelta(t, s.HeightMM, high, 0.01)
		assert.InDelta(t, s.DiameterMM, wide, 0.001*s.DiameterMM)
	}
}

func BenchmarkEstimate100000Units(b *testing.B) {
	f := tube(1000, 100)
	g := FromMemory(a9)
	for b.Loop() {
		Estimate(f, g)
	}
}

func BenchmarkSwatchGauge(b *testing.B) {
	s := Swatch{Unit: a9, UnitsPerRing: 12, Rings: 6, DiameterMM: 63, HeightMM: 66}
	for b.Loop() {
		if _, err := s.Gauge(); err != nil {
			b.Fatal(err)
		}
	}
}
