package solid

import (
	"math"

	"tuckring/internal/words"
)

// Up says which of a file's axes points up.
type Up string

// The axes that can point up; "" is what the format has for it: y in glTF (§3.4 of its specification) and in OBJ, z in STL and
// PLY (common practice: neither standard says).
const (
	UpX     Up = "x"
	UpY     Up = "y"
	UpZ     Up = "z"
	UpMinus Up = "-"
)

// Ups are all ways up, by name.
var Ups = []Up{UpX, UpY, UpZ, UpMinus + UpX, UpMinus + UpY, UpMinus + UpZ}

// UsualUp is the axis that points up in files of a format.
func (k Kind) UsualUp() Up {
	if k == GLB || k == OBJ {
		return UpY
	}
	return UpZ
}

// axes gives the file's directions that become right, up and front. With y up the front is z, as in glTF; with z up it is −y, as
// a drawing of the front is seen (common practice).
func (u Up) axes() (right, up, front [3]float64, ok bool) {
	switch u {
	case UpY:
		return [3]float64{1, 0, 0}, [3]float64{0, 1, 0}, [3]float64{0, 0, 1}, true
	case UpMinus + UpY:
		return [3]float64{-1, 0, 0}, [3]float64{0, -1, 0}, [3]float64{0, 0, 1}, true
	case UpZ:
		return [3]float64{1, 0, 0}, [3]float64{0, 0, 1}, [3]float64{0, -1, 0}, true
	case UpMinus + UpZ:
		return [3]float64{1, 0, 0}, [3]float64{0, 0, -1}, [3]float64{0, 1, 0}, true
	case UpX:
		return [3]float64{0, -1, 0}, [3]float64{1, 0, 0}, [3]float64{0, 0, 1}, true
	case UpMinus + UpX:
		return [3]float64{0, 1, 0}, [3]float64{-1, 0, 0}, [3]float64{0, 0, 1}, true
	}
	return right, up, front, false
}

// stood is a solid that stands on the table: positions in mm, y up from the table, z to the front, x to the right of who looks
// at it.
type stood struct {
	mesh     *Mesh
	at       []float32
	heightMM float64
	toMM     affine // from the file's own
	work     int    // what cutting it took
}

// stand turns and scales a solid. turn is by how many degrees its front is turned to the right, seen from above.
func (m *Mesh) stand(up Up, turn, heightMM float64) (*stood, error) {
	if up == "" {
		up = m.Kind.UsualUp()
	}
	right, upward, front, ok := up.axes()
	if !ok {
		return nil, words.T("solid.up", "Found", string(up))
	}
	sin, cos := math.Sincos(turn * math.Pi / 180)
	a := affine{}
	for k := range 3 {
		a.m[0][k] = cos*right[k] + sin*front[k]
		a.m[1][k] = upward[k]
		a.m[2][k] = cos*front[k] - sin*right[k]
	}
	low, high := m.reach(&a)
	tall := high[1] - low[1]
	wide := math.Max(high[0]-low[0], high[2]-low[2])
	if !(tall > 0) || tall < leastTall*wide {
		return nil, words.T("solid.flat", "Up", string(up))
	}
	scale := heightMM / tall
	for i := range 3 {
		for k := range 3 {
			a.m[i][k] *= scale
		}
	}
	a.t = [3]float64{-scale * (low[0] + high[0]) / 2, -scale * low[1], -scale * (low[2] + high[2]) / 2}
	s := &stood{mesh: m, at: make([]float32, len(m.Positions)), heightMM: heightMM, toMM: a}
	for i := 0; i < len(m.Positions); i += 3 {
		v := a.at([3]float64{float64(m.Positions[i]), float64(m.Positions[i+1]), float64(m.Positions[i+2])})
		s.at[i], s.at[i+1], s.at[i+2] = float32(v[0]), float32(v[1]), float32(v[2])
	}
	return s, nil
}

// leastTall is how high a solid is for its width at the least: flatter ones stand wrong, or are no body to go around.
const leastTall = 0.02

// reach is from where to where the solid's triangles reach once they are turned.
func (m *Mesh) reach(a *affine) (low, high [3]float64) {
	low, high = [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}, [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	used := make([]bool, len(m.Positions)/3)
	for _, v := range m.Triangles {
		used[v] = true
	}
	for i, u := range used {
		if !u {
			continue
		}
		v := a.at([3]float64{float64(m.Positions[3*i]), float64(m.Positions[3*i+1]), float64(m.Positions[3*i+2])})
		for k := range v {
			low[k], high[k] = math.Min(low[k], v[k]), math.Max(high[k], v[k])
		}
	}
	return low, high
}

func (s *stood) vertex(i uint32) [3]float64 {
	p := s.at[3*int(i):][:3]
	return [3]float64{float64(p[0]), float64(p[1]), float64(p[2])}
}

func (s *stood) corners(triangle int) (a, b, c [3]float64) {
	t := s.mesh.Triangles[3*triangle:][:3]
	return s.vertex(t[0]), s.vertex(t[1]), s.vertex(t[2])
}

// shift moves the solid sideways so that a place is on the figure's axis.
func (s *stood) shift(x, z float64) {
	for i := 0; i < len(s.at); i += 3 {
		s.at[i] -= float32(x)
		s.at[i+2] -= float32(z)
	}
	s.toMM.t[0] -= x
	s.toMM.t[2] -= z
}

// bounds is from where to where its triangles reach, in mm.
func (s *stood) bounds() (low, high [3]float64) {
	low, high = [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}, [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for _, v := range s.mesh.Triangles {
		for k, c := range s.vertex(v) {
			low[k], high[k] = math.Min(low[k], c), math.Max(high[k], c)
		}
	}
	return low, high
}
