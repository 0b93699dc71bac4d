package shape

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tuckring/internal/figure"
)

// pier is a figure of one ring row upon which a part may grow.
func pier(units, rings int) *figure.Figure {
	return figure.Tube("Pier", figure.Unit{LongMM: 52, ShortMM: 37, Fold: figure.Doubled}, []figure.Colour{{ID: "a", Name: "A", Hex: "#c83c28"}}, units, rings)
}

// chain grows a chain from the two points next to the front of the top ring, every unit bent so many degrees.
func chain(units int, out, right float64) *figure.Figure {
	f := pier(24, 2)
	point := 2 * (len(f.Rings[1].Cells) / 2)
	must(f, &figure.Grow{On: f.Rings[1].ID, Point: point, As: figure.AsChain, Rows: units, Colour: "a", Name: "Neck"})
	part := f.Parts[1]
	must(f, &figure.EditPart{Part: part.ID, Name: part.Name, Bend: []figure.Bend{{Rows: units, Out: out, Right: right}}})
	return f
}

// model is the corners of every unit, in mm, as a loader reads them from the model file: a solid of so many corners each.
func model(t testing.TB, f *figure.Figure) [][][3]float64 {
	p := Place(f, FromMemory(f.Unit))
	var file bytes.Buffer
	require.NoError(t, p.WriteGLB(&file, f))
	doc, bin := readGLB(t, file.Bytes())
	var loaded [][3]float64
	for _, m := range doc.Meshes {
		a := doc.Accessors[m.Primitives[0].Attributes["POSITION"]]
		at := doc.BufferViews[a.View].Offset
		for i := range 3 * a.Count {
			if i%3 == 0 {
				loaded = append(loaded, [3]float64{})
			}
			loaded[len(loaded)-1][i%3] = 1000 * float64(math.Float32frombits(binary.LittleEndian.Uint32(bin[at+4*i:])))
		}
	}
	per := len(p.solid().Positions) / 3
	var out [][][3]float64
	for at := 0; at+per <= len(loaded); at += per {
		out = append(out, loaded[at:at+per])
	}
	require.Len(t, out, f.Units())
	return out
}

// between is the angle in degrees by which one copy of the unit's corners is turned against another: that of the rotation that
// takes the edges of the one to those of the other (its trace is 1 + 2 cos, Euler).
func between(a, b [][3]float64) float64 {
	axes := func(c [][3]float64) (out [3]solidVec) {
		one, two := edge(c, 0, 1), edge(c, 0, 2)
		out[0] = one.unit()
		out[1] = two.plus(-two.dot(out[0]), out[0]).unit()
		out[2] = out[0].cross(out[1])
		return out
	}
	x, y := axes(a), axes(b)
	trace := 0.0
	for i := range 3 {
		trace += x[i].dot(y[i])
	}
	return math.Acos(math.Max(-1, math.Min(1, (trace-1)/2))) * 180 / math.Pi
}

type solidVec [3]float64

func edge(c [][3]float64, i, j int) solidVec {
	return solidVec{c[j][0] - c[i][0], c[j][1] - c[i][1], c[j][2] - c[i][2]}
}
func (a solidVec) dot(b solidVec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a solidVec) plus(k float64, b solidVec) solidVec {
	return solidVec{a[0] + k*b[0], a[1] + k*b[1], a[2] + k*b[2]}
}
func (a solidVec) unit() solidVec { return solidVec{}.plus(1/math.Sqrt(a.dot(a)), a) }
func (a solidVec) cross(b solidVec) solidVec {
	return solidVec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func TestAChainTurnsByTheStatedAngle(t *testing.T) {
	for _, c := range []struct{ out, right float64 }{{15, 0}, {-10, 0}, {0, 12}, {3, 0}, {-45, 0}, {0, -45}} {
		units := model(t, chain(10, c.out, c.right))
		for k := 48; k < 57; k++ {
			assert.InDelta(t, math.Abs(c.out+c.right), between(units[k], units[k+1]), 0.01, "%+v unit %d", c, k)
		}
	}
}

func TestTwentyFourUnitsOf15DegreesCloseToACircle(t *testing.T) {
	for _, c := range []struct{ out, right float64 }{{15, 0}, {-15, 0}, {0, 15}, {0, -15}} {
		units := model(t, chain(25, c.out, c.right))
		first, last := units[48], units[72] // 24 units apart: a full circle
		for k := range first {
			d := edge([][3]float64{first[k], last[k]}, 0, 1)
			assert.Less(t, math.Sqrt(d.dot(d)), 0.1, "%+v corner %d", c, k)
		}
	}
}

func swan(t *testing.T) *figure.Figure {
	t.Helper()
	raw, err := os.ReadFile("../figure/testdata/parts/swan.json")
	require.NoError(t, err)
	f, err := figure.Read(raw)
	require.NoError(t, err)
	return f
}

// A twin's units stand where the mirror image of its part's does: x is turned over at the front line.
func TestATwinStandsWhereTheMirrorImageIs(t *testing.T) {
	f := swan(t)
	p := Place(f, FromMemory(f.Unit))
	part, twin := f.Parts[1], f.Parts[2]
	require.Equal(t, part.ID, twin.Twin)
	for k := range part.Rows {
		n := len(f.Rings[part.First+k].Cells)
		for i := range n {
			left, right := p.Points(part.First+k, i)
			imageLeft, imageRight := p.Points(twin.First+k, n-1-i)
			for axis, sign := range []float64{-1, 1, 1} {
				assert.InDelta(t, sign*left[axis], imageRight[axis], 1e-9)
				assert.InDelta(t, sign*right[axis], imageLeft[axis], 1e-9)
			}
		}
	}
}

// Every point that a unit of a wing, a strip, a chain or a set part takes lies in its pocket, bent as makers bend them.
func TestPartsAreSeatedInTheirPockets(t *testing.T) {
	f := swan(t)
	p := Place(f, FromMemory(f.Unit))
	for row := range f.Rings {
		for k, away := range p.Away(f, row) {
			assert.LessOrEqual(t, away, FitLegs*p.Measures.LegMM, "%v unit %d", f.RowName(row), k+1)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		f := chain(rapid.IntRange(1, 30).Draw(t, "units"), rapid.Float64Range(-15, 15).Draw(t, "out"), rapid.Float64Range(-8, 8).Draw(t, "right"))
		p := Place(f, FromMemory(f.Unit))
		for row := range f.Rings {
			for _, away := range p.Away(f, row) {
				require.LessOrEqual(t, away, 0.1*p.Measures.LegMM)
			}
		}
	})
}

// What stands on the table at y = 0 and how high and wide it is agrees with the model file's corners, whatever parts do.
func TestSizeOfPartsIsThatOfTheModelFile(tt *testing.T) {
	rapid.Check(tt, func(t *rapid.T) {
		f := pier(rapid.IntRange(8, 16).Draw(t, "units"), rapid.IntRange(1, 3).Draw(t, "rings"))
		for k := range rapid.IntRange(1, 3).Draw(t, "parts") {
			on := rapid.IntRange(0, len(f.Rings)-1).Draw(t, "on")
			e := &figure.Grow{On: f.Rings[on].ID, Point: rapid.IntRange(0, 2*len(f.Rings[on].Cells)-1).Draw(t, "point"),
				As:    rapid.SampledFrom([]figure.As{figure.AsWing, figure.AsStrip, figure.AsChain, figure.AsTube}).Draw(t, "as"),
				Units: rapid.IntRange(1, 6).Draw(t, "n"), Rows: rapid.IntRange(1, 4).Draw(t, "rows"), Colour: "a", Name: "P" + string(rune('a'+k))}
			if _, _, err := figure.Apply(f, e); err != nil {
				set := &figure.SetOn{On: e.On, How: figure.GluedOn, Tilt: rapid.Float64Range(-90, 90).Draw(t, "tilt"), Name: e.Name, Colour: "a", Units: 6, Rows: 2}
				_, _, err = figure.Apply(f, set)
				require.NoError(t, err)
			}
			part := f.Parts[len(f.Parts)-1]
			must(f, &figure.EditPart{Part: part.ID, Name: part.Name, Front: part.Front, Bend: []figure.Bend{{Rows: 3,
				Out: rapid.Float64Range(-45, 45).Draw(t, "out"), Right: rapid.Float64Range(-45, 45).Draw(t, "right")}}})
		}
		size := Estimate(f, FromMemory(f.Unit))
		low, high, wide := math.Inf(1), math.Inf(-1), 0.0
		var all [][3]float64
		for _, unit := range model(tt, f) {
			all = append(all, unit...)
		}
		// Only corners far enough from the axis can be one end of the widest pair: the other is at most most away from it.
		most, far := 0.0, all[0]
		for _, c := range all {
			low, high = math.Min(low, c[1]), math.Max(high, c[1])
			if away := math.Hypot(c[0], c[2]); away > most {
				most, far = away, c
			}
		}
		apart := func(a, b [3]float64) float64 { return math.Hypot(a[0]-b[0], a[2]-b[2]) }
		for _, c := range all {
			wide = math.Max(wide, apart(c, far))
		}
		all = slices.DeleteFunc(all, func(c [3]float64) bool { return math.Hypot(c[0], c[2])+most < wide })
		for i, c := range all {
			for _, d := range all[:i] {
				wide = math.Max(wide, apart(c, d))
			}
		}
		require.InDelta(t, 0, low, 1e-3)
		require.InDelta(t, high, size.Height.Best, 1e-2)
		require.InDelta(t, wide, size.Diameter.Best, 0.02+wide*2e-4)
	})
}
