package solid

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/figure"
	"tuckring/internal/findings"
	"tuckring/internal/shape"
	"tuckring/internal/shelf"
	"tuckring/internal/solid/solidtest"
)

var papers = []figure.Colour{
	{ID: "chalk", Name: "Chalk", Hex: "#f4efe6"}, {ID: "brick", Name: "Brick", Hex: "#a63a2b"}, {ID: "sea", Name: "Sea", Hex: "#2277a0"},
}

func read(t testing.TB, data []byte) *Mesh {
	t.Helper()
	m, err := Read(context.Background(), data, nil)
	require.NoError(t, err)
	return m
}

func made(t testing.TB, m *Mesh, o Options) *Result {
	t.Helper()
	if o.Papers == nil {
		o.Papers = papers
	}
	o.Title = "Solid"
	r, err := Make(context.Background(), m, o)
	require.NoError(t, err)
	require.Empty(t, r.Figure.Validate())
	return r
}

// formats are all that a solid can be written in.
func formats(s *solidtest.Solid) map[string][]byte {
	return map[string][]byte{
		"STL": s.STL(), "STL as text": s.TextSTL(), "OBJ": s.OBJ(), "GLB": s.GLB(),
		"PLY as text": s.PLY("ascii"), "PLY": s.PLY("binary_little_endian"), "PLY, big end first": s.PLY("binary_big_endian"),
	}
}

// warned are the faults and warnings of a figure.
func warned(f *figure.Figure) (out []string) {
	for _, found := range findings.Check(f, shape.FromMemory(f.Unit)) {
		if found.Level != findings.Hint {
			out = append(out, found.What.String())
		}
	}
	return out
}

// A ring is as long as the outline of the body where its points are: 2π times the radius there, over the pitch. Near the ends of
// round bodies that changes faster than rings can (by a third at the most, The Star (Malaysia), 14 March 2012; and what a unit
// reaches): there, and where six units are wider than the body, the counts need not follow.
func TestRoundBodiesGetTheCountsOfTheirFormula(t *testing.T) {
	const tall = 180.0
	for name, body := range map[string]struct {
		solid  *solidtest.Solid
		radius func(share float64) float64
	}{
		"sphere":   {solidtest.Sphere(150, 96, 64), func(s float64) float64 { return tall * math.Sqrt(s*(1-s)) }},
		"cylinder": {solidtest.Cylinder(120, 180, 96, 8), func(float64) float64 { return 60 }},
		"cone":     {solidtest.Cone(150, 150, 96, 8), func(s float64) float64 { return tall / 2 * (1 - s) }},
		"egg":      {solidtest.Egg(100, 150, 96, 64), func(s float64) float64 { return 120 * solidtest.EggRadius(s) }},
	} {
		for format, data := range formats(body.solid) {
			t.Run(name+" as "+format, func(t *testing.T) {
				r := made(t, read(t, data), Options{HeightMM: tall})
				g := shape.FromMemory(r.Figure.Unit)
				p := shape.Place(r.Figure, g)
				assert.InDelta(t, tall, p.Size.Height.Best, g.Rise.Best/2)
				assert.Empty(t, warned(r.Figure))
				formula := func(i int) float64 {
					return 2 * math.Pi * body.radius(math.Min(p.Rings[i].Y/tall, 1)) / g.Pitch.Best
				}
				close := 0
				for i, ring := range r.Rings {
					n := formula(i)
					assert.InDelta(t, n, ring.Wanted, 1, "ring %d", i+1)
					assert.Len(t, r.Figure.Rings[i].Cells, ring.Units)
					if i > 0 && math.Abs(n-formula(i-1)) > 7 || n < 6 || i+1 < len(r.Rings) && math.Abs(n-formula(i+1)) > 7 {
						continue
					}
					close++
					assert.InDelta(t, n, ring.Units, 1, "ring %d", i+1)
				}
				assert.Greater(t, close, len(r.Rings)*3/4)
			})
		}
	}
}

// A model that Tuckring wrote of a figure of one part gives its counts again, and its colours.
func TestOwnModelGivesTheFiguresCountsAgain(t *testing.T) {
	for _, demo := range shelf.Demo() {
		f := demo.Figure
		t.Run(f.Title, func(t *testing.T) {
			p := shape.Place(f, shape.FromMemory(f.Unit))
			var b bytes.Buffer
			require.NoError(t, p.WriteGLB(&b, f))
			rows := len(f.Rings)
			if len(f.Parts) > 0 {
				rows = f.Parts[0].Rows
			}
			r := made(t, read(t, b.Bytes()), Options{HeightMM: p.Size.Height.Best, Papers: f.Colours})
			var want, got []int
			for i := range rows {
				want = append(want, len(f.Rings[i].Cells))
			}
			for _, ring := range r.Rings {
				got = append(got, ring.Units)
			}
			if len(f.Parts) > 0 { // an open row upon the last ring may look like one with openings
				require.GreaterOrEqual(t, len(got), rows)
				got = got[:rows]
			}
			assert.Equal(t, want, got)
			if len(f.Parts) > 0 {
				return
			}
			same, all := 0, 0
			for i, c := range f.CountByColour() {
				same, all = same+min(c.InRings, r.Figure.CountByColour()[i].InRings), all+c.InRings
			}
			assert.GreaterOrEqual(t, float64(same), 0.97*float64(all))
		})
	}
}

// counts are those of the rings.
func counts(r *Result) (out []int) {
	for _, ring := range r.Rings {
		out = append(out, ring.Units)
	}
	return out
}

// What is missing of a surface, or turned inside out, changes nothing of what a thread around it measures.
func TestBrokenSolidsGetTheSameRings(t *testing.T) {
	whole := counts(made(t, read(t, solidtest.Egg(100, 150, 96, 64).STL()), Options{HeightMM: 180}))
	random := rand.New(rand.NewPCG(1, 2))
	holes, flipped, shells, inner := solidtest.Egg(100, 150, 96, 64), solidtest.Egg(100, 150, 96, 64), solidtest.Egg(100, 150, 96, 64), solidtest.Egg(100, 150, 96, 64)
	kept := holes.Triangles[:0]
	for _, v := range holes.Triangles {
		if random.Float64() > 0.1 {
			kept = append(kept, v)
		}
	}
	holes.Triangles = kept
	for i, v := range flipped.Triangles {
		if random.Float64() > 0.5 {
			flipped.Triangles[i] = [3]int{v[0], v[2], v[1]}
		}
	}
	shells.Add(solidtest.Egg(100, 150, 80, 50), 0, 0, 0).Add(solidtest.Sphere(60, 40, 30), 10, 40, 0)
	inner.Add(solidtest.Egg(90, 140, 96, 64), 0, 5, 0)
	for name, s := range map[string]*solidtest.Solid{"holes": holes, "flipped faces": flipped, "several shells": shells, "hollow": inner} {
		got := counts(made(t, read(t, s.STL()), Options{HeightMM: 180}))
		require.Len(t, got, len(whole), name)
		for i := range whole {
			assert.InDelta(t, whole[i], got[i], 1, "%s, ring %d", name, i+1)
		}
	}
	open := solidtest.Cylinder(100, 150, 96, 12)
	open.Triangles = open.Triangles[:2*96*12] // without lids it has no volume
	for _, n := range counts(made(t, read(t, open.STL()), Options{HeightMM: 150})) {
		assert.InDelta(t, math.Pi*100/(0.58*18.5), n, 1) // pitch 0.58 of a leg of 18.5 mm (from memory)
	}
}

func TestFlatSolidsAreRefused(t *testing.T) {
	sheet := &solidtest.Solid{Vertices: [][3]float64{{0, 0, 0}, {100, 0, 0}, {100, 100, 0}, {0, 100, 0}}, Triangles: [][3]int{{0, 1, 2}, {0, 2, 3}}}
	_, err := Make(context.Background(), read(t, sheet.STL()), Options{HeightMM: 100, Papers: papers})
	require.ErrorContains(t, err, "no body")
	_, err = Make(context.Background(), read(t, sheet.STL()), Options{HeightMM: 100, Up: UpY, Papers: papers})
	require.ErrorContains(t, err, "no height")
}

// An owl of the folding club: its ears stand off its head, and come as chains where the maker wants them, one the twin of the other.
func TestEarsBecomePartsThatTheirMakerConfirms(t *testing.T) {
	m := read(t, solidtest.Owl().PLY("binary_little_endian"))
	without := made(t, m, Options{HeightMM: 260})
	require.Len(t, without.Limbs, 2)
	assert.Equal(t, ToRight, without.Limbs[0].Side)
	assert.Equal(t, ToLeft, without.Limbs[1].Side)
	assert.Empty(t, without.Figure.Parts)
	assert.Contains(t, without.Tell().LeftOut[0], "Right limb 1, beside rings 24 to 28")
	with := made(t, m, Options{HeightMM: 260, Limbs: []int{0, 1}})
	require.Len(t, with.Figure.Parts, 3)
	assert.NotContains(t, with.Tell().LeftOut, without.Tell().LeftOut[0])
	assert.Contains(t, without.Tell().LeftOut[2], "The rings end at")
	assert.NotContains(t, strings.Join(with.Tell().LeftOut, "\n"), "The rings end at", "its ears go on from there")
	assert.Equal(t, with.Figure.Parts[1].ID, with.Figure.Parts[2].Twin)
	assert.Empty(t, warned(with.Figure))
	one := made(t, m, Options{HeightMM: 260, Limbs: []int{1}})
	require.Len(t, one.Figure.Parts, 2)
	p := shape.Place(one.Figure, shape.FromMemory(one.Figure.Unit))
	ear := p.Middle(&p.Spots[p.Rings[one.Figure.Parts[1].First].First])
	assert.Less(t, ear[0], -20.0, "the left one is to the left of who looks at the figure")
}

func TestArmsAreToldAndBecomeTubes(t *testing.T) {
	s := solidtest.Cylinder(100, 200, 96, 20).Add(solidtest.Cylinder(44, 90, 32, 10).Turned(-90), 45, 120, 0)
	m := read(t, s.GLB())
	r := made(t, m, Options{HeightMM: 200, AllLimbs: true})
	require.Len(t, r.Limbs, 1)
	assert.Equal(t, ToRight, r.Limbs[0].Side)
	assert.True(t, r.Limbs[0].Added)
	assert.Equal(t, figure.AsTube, r.Limbs[0].As)
	assert.Empty(t, warned(r.Figure))
	for _, ring := range r.Rings { // the arm makes no ring wider
		assert.InDelta(t, math.Pi*100/(0.58*18.5), ring.Units, 1, "ring %d", ring.Ring)
	}
}

func TestRingsGoAroundLegsTogether(t *testing.T) {
	s := solidtest.Cylinder(40, 80, 48, 8).Add(solidtest.Cylinder(40, 80, 48, 8), 50, 0, 0).Add(solidtest.Cylinder(100, 120, 96, 8), 25, 80, 0)
	r := made(t, read(t, s.OBJ()), Options{HeightMM: 200})
	assert.Contains(t, r.Tell().LeftOut[0], "stands on 2 legs")
	assert.Empty(t, warned(r.Figure))
	// A thread around two circles of 40 mm, 50 mm apart, is 2 × 50 + 40π = 226 mm long.
	assert.InDelta(t, 226/(0.58*18.5), r.Rings[1].Wanted, 0.5)
}

// A body that parts halfway up ends there, and that is said, with what stands above.
func TestBodiesThatPartAreTold(t *testing.T) {
	fork := solidtest.Cylinder(100, 100, 64, 8).Add(solidtest.Cylinder(45, 170, 48, 8), 26, 100, 0).Add(solidtest.Cylinder(45, 170, 48, 8), -26, 100, 0)
	r := made(t, read(t, fork.STL()), Options{HeightMM: 270})
	assert.InDelta(t, 100, r.HeightMM, 10)
	assert.Contains(t, strings.Join(r.Tell().LeftOut, "\n"), fmt.Sprintf("The rings end at %v of 270 mm: there the solid parts in 2", tenth(r.HeightMM)))
	require.Len(t, r.Limbs, 2)
	assert.InDelta(t, 170, r.Limbs[0].LongMM, 15)
	for _, told := range made(t, read(t, solidtest.Egg(100, 150, 96, 64).STL()), Options{HeightMM: 180}).Tell().LeftOut {
		assert.NotContains(t, told, "The rings end")
	}
}

func TestLeaningSolidsAreTold(t *testing.T) {
	s := solidtest.Cylinder(80, 200, 64, 20)
	for i, v := range s.Vertices {
		s.Vertices[i][0] += 0.3 * v[1]
	}
	assert.Contains(t, made(t, read(t, s.OBJ()), Options{HeightMM: 200}).Tell().LeftOut[0], "leans")
}

// quarters paints a cylinder in two papers, the right half brick, the left half sea.
func halves(_, turn float64) [3]uint8 {
	if turn > 0 && turn < 0.5 {
		return [3]uint8{0xa6, 0x3a, 0x2b}
	}
	return [3]uint8{0x22, 0x77, 0xa0}
}

func TestUnitsGetThePaperOfTheSurface(t *testing.T) {
	s := solidtest.Lathe(200, 256, 8, func(float64) float64 { return 50 }, halves)
	for name, data := range map[string][]byte{"OBJ": s.OBJ(), "PLY": s.PLY("binary_big_endian"), "GLB": s.GLB()} {
		r := made(t, read(t, data), Options{HeightMM: 200})
		require.True(t, r.Coloured, name)
		p := shape.Place(r.Figure, shape.FromMemory(r.Figure.Unit))
		for _, spot := range p.Spots {
			if math.Abs(spot.X) < 12 { // on the line between them
				continue
			}
			want := uint8(1)
			if spot.X < 0 {
				want = 2
			}
			assert.Equal(t, want, spot.Colour, "%s: unit at %.0f, %.0f, %.0f", name, spot.X, spot.Y, spot.Z)
		}
	}
}

// Turned by 90 degrees to the right the front shows what was at the left.
func TestTurnAndUp(t *testing.T) {
	s := solidtest.Lathe(200, 256, 8, func(float64) float64 { return 50 }, halves)
	front := func(o Options) uint8 {
		o.HeightMM = 200
		r := made(t, read(t, s.GLB()), o)
		p := shape.Place(r.Figure, shape.FromMemory(r.Figure.Unit))
		best := p.Spots[0]
		for _, spot := range p.Spots {
			if spot.Z > best.Z {
				best = spot
			}
		}
		return best.Colour
	}
	assert.Equal(t, uint8(2), front(Options{Turn: 90}))
	assert.Equal(t, uint8(1), front(Options{Turn: -90}))
	lying := solidtest.Cylinder(60, 200, 64, 8).Turned(90)
	r := made(t, read(t, lying.GLB()), Options{HeightMM: 200, Up: UpX})
	for _, n := range counts(r) {
		assert.InDelta(t, math.Pi*60/(0.58*18.5), n, 1)
	}
}

func TestUnitsAroundScaleThePaper(t *testing.T) {
	m := read(t, solidtest.Sphere(150, 96, 64).STL())
	for _, n := range []int{18, 30, 60} {
		r := made(t, m, Options{HeightMM: 200, Units: n})
		most := 0
		for _, c := range counts(r) {
			most = max(most, c)
		}
		assert.InDelta(t, n, most, 1)
		assert.InDelta(t, 52.0/37, r.Figure.Unit.LongMM/r.Figure.Unit.ShortMM, 0.02, "its shape stays")
		assert.InDelta(t, 200, r.HeightMM, shape.FromMemory(r.Figure.Unit).Rise.Best/2)
		assert.Empty(t, warned(r.Figure))
	}
	_, err := Make(context.Background(), m, Options{HeightMM: 200, Units: 5, Papers: papers})
	require.ErrorContains(t, err, "6 to 1000 units")
	_, err = Make(context.Background(), m, Options{HeightMM: 5, Papers: papers})
	require.ErrorContains(t, err, "10 to 5000 mm")
	_, err = Make(context.Background(), m, Options{HeightMM: 12, Papers: papers})
	require.ErrorContains(t, err, "less than two rings")
	_, err = Make(context.Background(), m, Options{HeightMM: 200, Up: "w", Papers: papers})
	require.ErrorContains(t, err, "x, y, z")
}

// A tower as wide throughout has walls that the checks warn of, unless a ring in between has its short side out.
func TestTallTowersPassTheChecks(t *testing.T) {
	assert.Empty(t, warned(made(t, read(t, solidtest.Cylinder(80, 900, 48, 4).STL()), Options{HeightMM: 900}).Figure))
}

func TestTheSameSolidGivesTheSameFigure(t *testing.T) {
	data := solidtest.Lighthouse().GLB()
	a, b := made(t, read(t, data), Options{HeightMM: 300}), made(t, read(t, data), Options{HeightMM: 300})
	assert.Equal(t, string(a.Figure.Write()), string(b.Figure.Write()))
	assert.Equal(t, a.Tell(), b.Tell())
}

// The wall of a cylinder of 300 mm turned into a box is off by what a square is off a circle as long: its sides are π/4 of the
// circle's radius away from the middle, its corners 1.11 times, so by a tenth of the radius on average, more or less.
func TestDistancesAreThoseOfASquareFromItsCircle(t *testing.T) {
	box := solidtest.Cylinder(200*math.Sqrt2, 300, 4, 4) // 200 mm wide
	r := made(t, read(t, box.OBJ()), Options{HeightMM: 300})
	radius := 800 / (2 * math.Pi)
	for _, ring := range r.Rings {
		assert.Greater(t, ring.DistanceMM, 0.05*radius)
		assert.Less(t, ring.DistanceMM, 0.25*radius)
	}
	assert.Contains(t, r.Tell().LeftOut[0], "not round")
}

// A light mesh is one that a phone draws: of few triangles, about as large as the solid, in its colours.
func TestLightMeshIsSmallAndAlike(t *testing.T) {
	for _, n := range []int{40, 400} {
		r := made(t, read(t, solidtest.Lathe(200, n, n, func(float64) float64 { return 50 }, halves).GLB()), Options{HeightMM: 200})
		m := r.Light()
		assert.LessOrEqual(t, len(m.Indices), 3*MostLightTriangles)
		assert.Greater(t, len(m.Indices), 3*2000)
		high := float32(0)
		for i := 0; i < len(m.Positions); i += 3 {
			high = max(high, m.Positions[i+1])
			away := math.Hypot(float64(m.Positions[i]), float64(m.Positions[i+2]))
			assert.LessOrEqual(t, away, 51.0)
			if x := m.Positions[i]; x < -8 {
				assert.Greater(t, m.Colours[i+2], m.Colours[i], "blue on the left")
			}
		}
		assert.InDelta(t, 200, high, 3)
		assert.Len(t, m.Append(nil), 8+4*len(m.Positions)+4*len(m.Indices)+len(m.Colours))
	}
}
