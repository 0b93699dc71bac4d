package solid

import (
	"encoding/binary"
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// MostLightTriangles is how many triangles a light mesh has at the most.
const MostLightTriangles = 24_000

// LightMesh is the solid as it stands by the figure, in mm, for looking at: places of corners, their sRGB colours, three corners a
// triangle.
type LightMesh struct {
	Positions []float32
	Colours   []uint8
	Indices   []uint32
}

// Light gives the solid with so few triangles that any browser draws it: corners that are near each other become one, between
// them (Rossignac and Borrel, Multi-resolution 3D Approximations for Rendering Complex Scenes, 1993).
func (r *Result) Light() *LightMesh {
	for boxes := 64; ; boxes = boxes * 3 / 4 {
		m := newLightener(r.stood, boxes).mesh()
		if len(m.Indices) <= 3*MostLightTriangles || boxes <= 8 {
			m.Indices = m.Indices[:min(len(m.Indices), 3*MostLightTriangles)]
			return m
		}
	}
}

type lightener struct {
	s     *stood
	low   [3]float64
	size  float64
	n     [3]int
	of    []int32 // of each box its corner, −1 where it is empty
	sums  [][3]float64
	light [][3]float64
	count []float64
}

func newLightener(s *stood, boxes int) *lightener {
	low, high := s.bounds()
	longest := math.Max(high[0]-low[0], math.Max(high[1]-low[1], high[2]-low[2]))
	l := &lightener{s: s, low: low, size: longest / float64(boxes)}
	if s.mesh.TriangleCount() <= MostLightTriangles {
		l.size /= 2
	}
	for k := range l.n {
		l.n[k] = int((high[k]-low[k])/l.size) + 1
	}
	l.of = make([]int32, l.n[0]*l.n[1]*l.n[2])
	for i := range l.of {
		l.of[i] = -1
	}
	return l
}

// corner gives the corner that a vertex becomes one with, and lets it weigh.
func (l *lightener) corner(v uint32, light [3]float64) int32 {
	at := l.s.vertex(v)
	box := 0
	for k := 2; k >= 0; k-- {
		box = box*l.n[k] + max(0, min(l.n[k]-1, int((at[k]-l.low[k])/l.size)))
	}
	i := l.of[box]
	if i < 0 {
		i = int32(len(l.sums))
		l.of[box] = i
		l.sums, l.light, l.count = append(l.sums, [3]float64{}), append(l.light, [3]float64{}), append(l.count, 0)
	}
	l.count[i]++
	for k := range at {
		l.sums[i][k] += at[k]
		l.light[i][k] += light[k]
	}
	return i
}

func (l *lightener) mesh() *LightMesh {
	out := &LightMesh{}
	seen := map[[3]int32]bool{}
	for t := range l.s.mesh.TriangleCount() {
		var three [3]int32
		for k := range three {
			var share [3]float64
			share[k] = 1
			three[k] = l.corner(l.s.mesh.Triangles[3*t+k], l.s.mesh.lightAt(t, share))
		}
		if three[0] == three[1] || three[1] == three[2] || three[2] == three[0] {
			continue
		}
		for three[0] > three[1] || three[0] > three[2] {
			three[0], three[1], three[2] = three[1], three[2], three[0]
		}
		if seen[three] {
			continue
		}
		seen[three] = true
		out.Indices = append(out.Indices, uint32(three[0]), uint32(three[1]), uint32(three[2]))
	}
	for i, n := range l.count {
		for k := range 3 {
			out.Positions = append(out.Positions, float32(l.sums[i][k]/n))
		}
		c := l.light[i]
		r, g, b := colorful.LinearRgb(c[0]/n, c[1]/n, c[2]/n).Clamped().RGB255()
		out.Colours = append(out.Colours, r, g, b)
	}
	return out
}

// Append writes the mesh as bytes: how many corners and how many triangles (uint32), the places (float32), the triangles (uint32)
// and the colours (a byte each), all little-endian.
func (m *LightMesh) Append(b []byte) []byte {
	b = binary.LittleEndian.AppendUint32(b, uint32(len(m.Positions)/3))
	b = binary.LittleEndian.AppendUint32(b, uint32(len(m.Indices)/3))
	for _, v := range m.Positions {
		b = binary.LittleEndian.AppendUint32(b, math.Float32bits(v))
	}
	for _, i := range m.Indices {
		b = binary.LittleEndian.AppendUint32(b, i)
	}
	return append(b, m.Colours...)
}
