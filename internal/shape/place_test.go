package shape

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
)

func apart(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// A regular 2n-gon with circumradius R has sides of 2R·sin(π/2n); the points of a plain ring of n units are
// its corners. Source: any textbook of geometry. A unit's two points stand on a chord, so a little outside the circle.
func TestPointsOfAPlainRingLieOnARegularPolygon(t *testing.T) {
	for _, n := range []int{12, 20, 200} {
		p := Place(tube(n, 3), FromMemory(a9))
		for ring := range 3 {
			var corners [][3]float64
			for k := range n {
				l, r := p.Points(ring, k)
				corners = append(corners, l, r)
			}
			side := 2 * p.Rings[ring].RadiusMM * math.Sin(math.Pi/float64(2*n))
			for i, c := range corners {
				assert.InDelta(t, side, apart(c, corners[(i+1)%len(corners)]), 0.02*side)
				assert.InDelta(t, p.Rings[ring].RadiusMM, math.Hypot(c[0], c[2]), 0.3)
			}
		}
	}
}

// A plain tube turned by one unit is the same tube.
func TestPlainTubeIsInvariantUnderTurningByOneUnit(t *testing.T) {
	const n = 12
	p := Place(tube(n, 5), FromMemory(a9))
	sin, cos := math.Sincos(2 * math.Pi / n)
	for _, r := range p.Rings {
		for k := range n {
			a, b := p.Spots[r.First+k], p.Spots[r.First+(k+1)%n]
			assert.InDelta(t, b.X, a.X*cos+a.Z*sin, 1e-9)
			assert.InDelta(t, b.Z, a.Z*cos-a.X*sin, 1e-9)
			assert.InDelta(t, b.Y, a.Y, 1e-9)
			assert.InDelta(t, b.Tilt, a.Tilt, 1e-9)
		}
	}
}

func TestAlternateRingsDifferByHalfAUnit(t *testing.T) {
	const n = 20
	p := Place(tube(n, 6), FromMemory(a9))
	for i := 1; i < 6; i++ {
		d := p.Spots[p.Rings[i].First].Azimuth - p.Spots[p.Rings[i-1].First].Azimuth
		assert.InDelta(t, 9.0, math.Abs(d)*180/math.Pi, 1e-9, "half of 360°/20")
	}
}

// The new unit sits over the gap: its left point stands straight over the right point of the unit
// below, its right point over the left point of that unit's neighbour, one rise higher.
func TestUnitStandsOverTheTwoPointsItTakes(t *testing.T) {
	f := tube(12, 3)
	p := Place(f, FromMemory(a9))
	for ring := 1; ring < 3; ring++ {
		for k := range 12 {
			below := f.Below(ring, k)
			require.Len(t, below, 2)
			l, r := p.Points(ring, k)
			_, taken := p.Points(ring-1, below[0])
			assert.InDelta(t, 8.88, apart(l, taken), 0.1)
			taken, _ = p.Points(ring-1, below[1])
			assert.InDelta(t, 8.88, apart(r, taken), 0.1)
		}
	}
}

// Units that all take as many points stand evenly spaced even where the ring narrows; the published closing ring of 8
// on 12 (The Star, 14 March 2012).
func TestClosedRingStandsEvenlySpaced(t *testing.T) {
	p := Place(read(t, "sixty-eight.tuckring.json"), FromMemory(a9))
	last := p.Rings[5]
	require.Equal(t, 8, last.Count)
	for k := range 8 {
		a, b := p.Spots[last.First+k], p.Spots[last.First+(k+1)%8]
		assert.InDelta(t, 1/math.Sqrt2, math.Cos(a.Azimuth)*math.Cos(b.Azimuth)+math.Sin(a.Azimuth)*math.Sin(b.Azimuth), 1e-9, "an eighth of a turn apart")
	}
}

// Ears stand up from the top ring; the longer chain of a wing hangs down from its wall (from memory).
func TestEarsStandAndWingsHang(t *testing.T) {
	f := tube(20, 6)
	f.Extras = []figure.Extra{
		{ID: 1, Kind: figure.Tucked, Name: "ear", Colour: "sea", Units: 3, Ring: 6, At: 3},
		{ID: 2, Kind: figure.Tucked, Name: "wing", Colour: "sea", Units: 6, Ring: 4, At: 9},
	}
	p := Place(f, FromMemory(a9))
	ear, wing := p.Spots[120:123], p.Spots[123:129]
	assert.Greater(t, ear[2].Y, ear[0].Y+10)
	assert.Less(t, wing[5].Y, wing[0].Y-10)
}

func TestFrontLineLooksAtTheViewer(t *testing.T) {
	f := tube(20, 2)
	f.Front = 5
	p := Place(f, FromMemory(a9))
	assert.InDelta(t, 0, p.Spots[5].X, 1e-9)
	assert.Positive(t, p.Spots[5].Z)
	assert.Positive(t, p.Spots[6].X, "the next unit stands to its right")
}

func TestWallLeansWithTheRadius(t *testing.T) {
	p := Place(read(t, "sixty-eight.tuckring.json"), FromMemory(figure.Unit{LongMM: 52, ShortMM: 18.5, Fold: figure.Single}))
	assert.Zero(t, p.Rings[1].Lean, "a tube stands upright")
	assert.Negative(t, p.Rings[5].Lean, "the closing ring leans in")
	assert.Less(t, p.Rings[5].RadiusMM, p.Rings[4].RadiusMM)
}

func TestShortSideOutIsTurnedAround(t *testing.T) {
	f := tube(12, 2)
	f.Rings[1].Cells[3].Side = figure.Short
	p := Place(f, FromMemory(a9))
	s := p.Spots[p.Rings[1].First+3]
	assert.InDelta(t, 180, (s.Yaw-s.Azimuth)*180/math.Pi, 1e-9)
	s = p.Spots[p.Rings[1].First+4]
	assert.InDelta(t, 0, s.Yaw-s.Azimuth, 1e-9)
}

// Nothing of ring 1 reaches below the table, and its lowest corner stands on it.
func TestFigureStandsOnTheTable(t *testing.T) {
	f := tube(12, 4)
	p := Place(f, FromMemory(a9))
	low := math.Inf(1)
	for _, s := range p.Spots {
		turn := turning(s.Yaw, s.Tilt)
		for i := 0; i < len(p.Solid.Positions); i += 3 {
			v := turn.apply(float64(p.Solid.Positions[i]), float64(p.Solid.Positions[i+1]), float64(p.Solid.Positions[i+2]))
			low = math.Min(low, s.Y+v[1])
		}
	}
	assert.InDelta(t, 0, low, 1.5, "within the thickness of the folded paper")
}

func TestOpeningLeavesAGap(t *testing.T) {
	f := tube(20, 2)
	f.Rings[1] = ringOf(19, 2)
	f.Rings[1].Start, f.Rings[1].FreeEnd = 1, 2
	p := Place(f, FromMemory(a9))
	last, first := p.Spots[p.Rings[1].First+18], p.Spots[p.Rings[1].First]
	assert.InDelta(t, 36, (first.Azimuth-last.Azimuth+2*math.Pi)*180/math.Pi, 1e-9, "two steps of 18° across the opening")
}

func withExtras(t testing.TB) *figure.Figure {
	f := tube(20, 6)
	f.Front = 8.5
	f.Extras = []figure.Extra{
		{ID: 1, Kind: figure.Tucked, Name: "gallery rail", Colour: "sea", Units: 3, Ring: 3, At: 8},
		{ID: 2, Kind: figure.Glued, Name: "lamp", Outline: figure.Disc, Diameter: 20, Ring: 4, At: 8.5},
		{ID: 3, Kind: figure.Glued, Name: "door", Colour: "sea", Outline: figure.Bar, Width: 10, Height: 20, Ring: 2, At: 19.5},
	}
	require.Empty(t, f.Validate())
	return f
}

func TestExtrasStandAtTheirPlaces(t *testing.T) {
	f := withExtras(t)
	p := Place(f, FromMemory(a9))
	require.Len(t, p.Extras, 1)
	require.Equal(t, ExtraSpot{ID: 1, First: 120, Count: 3}, p.Extras[0])
	unit := p.Spots[p.Rings[2].First+8]
	away := p.Rings[2].RadiusMM
	for _, s := range p.Spots[120:] {
		assert.InDelta(t, unit.Azimuth, s.Azimuth, 1e-9, "over the unit it is tucked in")
		assert.Greater(t, math.Hypot(s.X, s.Z), away, "each further off the wall than the one before")
		away = math.Hypot(s.X, s.Z)
		assert.Equal(t, uint8(1), s.Colour)
	}
	require.Len(t, p.Pieces, 2)
	lamp, door := p.Pieces[0], p.Pieces[1]
	assert.InDelta(t, 9, math.Abs(lamp.Azimuth)*180/math.Pi, 1e-9, "place 8.5 of ring 4, which lies half a unit off ring 1")
	assert.Equal(t, -1, lamp.Colour)
	assert.Equal(t, 1, door.Colour)
	for _, q := range p.Pieces {
		assert.Greater(t, math.Hypot(q.X, q.Z), p.Rings[0].RadiusMM)
		assert.InDelta(t, p.RadiusMM, math.Hypot(q.X, q.Z), 30)
	}
	wide := 0.0
	for _, c := range lamp.Outline {
		wide = math.Max(wide, 2*math.Hypot(c[0], c[1]))
	}
	assert.InDelta(t, 20, wide, 1e-9)
}

func TestInstancesAreEightNumbersAUnit(t *testing.T) {
	f := withExtras(t)
	p := Place(f, FromMemory(a9))
	b := p.AppendInstances(nil)
	require.Len(t, b, len(p.Spots)*8*4)
	number := func(i int) float64 { return float64(math.Float32frombits(binary.LittleEndian.Uint32(b[4*i:]))) }
	s := p.Spots[121]
	for k, want := range []float64{s.X, s.Y, s.Z, s.Yaw, s.Tilt, s.Azimuth, 0, 1} {
		assert.InDelta(t, want, number(121*8+k), 1e-3)
	}
	_, err := json.Marshal(p.Scene(f))
	assert.NoError(t, err)
}

// readGLB takes a model apart as the glTF 2.0 specification asks (Khronos Group, §4.4: header of magic
// "glTF", version and length, then chunks whose lengths are multiples of four).
func readGLB(t testing.TB, b []byte) (doc gltf, bin []byte) {
	word := func(i int) int { return int(binary.LittleEndian.Uint32(b[i:])) }
	require.Equal(t, "glTF", string(b[:4]))
	require.Equal(t, 2, word(4))
	require.Equal(t, len(b), word(8))
	n := word(12)
	require.Zero(t, n%4)
	require.Equal(t, "JSON", string(b[16:20]))
	require.NoError(t, json.Unmarshal(b[20:20+n], &doc))
	require.Equal(t, "BIN\x00", string(b[24+n:28+n]))
	bin = b[28+n:]
	require.Equal(t, len(bin), word(20+n))
	require.Zero(t, len(bin)%4)
	return doc, bin
}

func TestModelIsValidGLTF(t *testing.T) {
	f := withExtras(t)
	p := Place(f, FromMemory(a9))
	var out bytes.Buffer
	require.NoError(t, p.WriteGLB(&out, f))
	doc, bin := readGLB(t, out.Bytes())

	assert.Equal(t, "2.0", doc.Asset.Version)
	assert.Len(t, doc.Nodes, 4, "the figure, sand, sea and the card of the lamp")
	assert.Equal(t, len(bin), doc.Buffers[0].Length)
	for _, a := range doc.Accessors {
		v := doc.BufferViews[a.View]
		size := map[string]int{"VEC3": 12, "SCALAR": 4}[a.Type]
		assert.Equal(t, a.Count*size, v.Length)
		assert.LessOrEqual(t, v.Offset+v.Length, len(bin))
		assert.Zero(t, v.Offset%4)
	}
	float := func(v gltfView, i int) float64 {
		return float64(math.Float32frombits(binary.LittleEndian.Uint32(bin[v.Offset+4*i:])))
	}
	top := 0.0
	for _, m := range doc.Meshes {
		prim := m.Primitives[0]
		pos, nor, ind := doc.Accessors[prim.Attributes["POSITION"]], doc.Accessors[prim.Attributes["NORMAL"]], doc.Accessors[prim.Indices]
		require.Equal(t, pos.Count, nor.Count)
		require.Len(t, pos.Min, 3)
		low, high := [3]float64{1, 1, 1}, [3]float64{-1, -1, -1}
		for i := range 3 * pos.Count {
			x := float(doc.BufferViews[pos.View], i)
			low[i%3], high[i%3] = math.Min(low[i%3], x), math.Max(high[i%3], x)
		}
		for k := range 3 {
			assert.Equal(t, low[k], float64(pos.Min[k]))
			assert.Equal(t, high[k], float64(pos.Max[k]))
		}
		top = math.Max(top, high[1])
		for i := range nor.Count {
			v := doc.BufferViews[nor.View]
			assert.InDelta(t, 1, math.Sqrt(float(v, 3*i)*float(v, 3*i)+float(v, 3*i+1)*float(v, 3*i+1)+float(v, 3*i+2)*float(v, 3*i+2)), 1e-3)
		}
		for i := range ind.Count {
			assert.Less(t, int(binary.LittleEndian.Uint32(bin[doc.BufferViews[ind.View].Offset+4*i:])), pos.Count)
		}
	}
	assert.InDelta(t, p.Size.Height.Best/1000, top, 0.002, "in metres")
}

// A figure of 100 000 units, the most a document holds, stays below 100 MB and a bounded node count.
func TestLargestModelIsBounded(t *testing.T) {
	f := tube(1000, 100)
	var out bytes.Buffer
	require.NoError(t, Place(f, FromMemory(a9)).WriteGLB(&out, f))
	assert.Less(t, out.Len(), 100_000_000)
	doc, _ := readGLB(t, out.Bytes())
	assert.LessOrEqual(t, len(doc.Nodes), 66)
}

func BenchmarkPlace100000Units(b *testing.B) {
	f := tube(1000, 100)
	g := FromMemory(a9)
	for b.Loop() {
		Place(f, g)
	}
}

func BenchmarkInstances100000Units(b *testing.B) {
	p := Place(tube(1000, 100), FromMemory(a9))
	buffer := make([]byte, 0, 4*Stride*len(p.Spots))
	for b.Loop() {
		p.AppendInstances(buffer)
	}
}
