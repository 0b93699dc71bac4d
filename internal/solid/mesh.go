package solid

import (
	"bytes"
	"context"
	"io"
	"math"

	"tuckring/internal/picture"
	"tuckring/internal/words"
)

// Limits of a solid. A model that Tuckring writes of the largest figure stays within them.
const (
	MaxBytes     = 256 << 20
	MaxTriangles = 2_500_000
	MaxVertices  = 7_500_000
	MaxPixels    = 33_000_000 // of all its pictures together
	MaxPaints    = 100_000
	mostCorners  = 10_000 // of one face
)

// Kind is a format of solids.
type Kind string

// The formats that can be read.
const (
	STL Kind = "STL"
	OBJ Kind = "OBJ"
	PLY Kind = "PLY"
	GLB Kind = "GLB"
)

// Mesh is a solid as its file has it: triangles in the file's own unit of length and its own axes, and the colours of its
// surface as linear light (IEC 61966-2-1).
type Mesh struct {
	Kind      Kind
	Positions []float32 // x, y and z of each vertex
	Triangles []uint32  // three vertices each
	Lights    []float32 // red, green and blue of each vertex, 0 … 1; none where vertices have no colours
	Paint     []int32   // of each triangle, the index in Paints; none where all have the first
	Paints    []Paint   // one at least
	Places    []float32 // u and v of each corner of each triangle; none where no paint has a picture
	InFile    int       // triangles that the file has, those without area among them
	Coloured  bool      // the file says how it is coloured

	own *own // what a model that Tuckring wrote is made of

	ctx   context.Context // of who waits while it is read
	steps int             // of reading
}

// Paint is what triangles are painted with: a light, which the lights of vertices and a picture are multiplied with.
type Paint struct {
	Light   [3]float32
	Picture *Picture
}

var white = Paint{Light: [3]float32{1, 1, 1}}

// Beside reads a file that a solid names, such as one of materials, by its bare name. It is nil where there are none.
type Beside func(name string) ([]byte, error)

// Read reads a solid, whatever its name says: STL and PLY, as text or as bytes, OBJ, or GLB (glTF 2.0 binary). What it cannot
// follow it refuses: a file of another kind, one that is cut off or that contradicts itself, numbers that are none, and all
// that is beyond the limits. The error says what was found, where, and what would be right; it is the context's when nobody waits
// any more. Triangles of which two corners are one place have no area and are left out.
func Read(ctx context.Context, data []byte, beside Beside) (*Mesh, error) {
	if len(data) == 0 {
		return nil, words.T("solid.empty")
	}
	if len(data) > MaxBytes {
		return nil, words.T("solid.heavy", "Limit", MaxBytes>>20)
	}
	m := &Mesh{ctx: ctx}
	if err := m.readKind(data, beside); err != nil {
		return nil, err
	}
	m.ctx = nil
	if len(m.Triangles) == 0 {
		return nil, words.T("solid.no_triangles", "Kind", string(m.Kind))
	}
	if len(m.Paints) == 0 {
		m.Paints = []Paint{white}
	}
	return m, nil
}

func (m *Mesh) readKind(data []byte, beside Beside) error {
	start := bytes.TrimLeft(data[:min(len(data), 4096)], " \t\r\n\ufeff")
	switch {
	case bytes.HasPrefix(data, []byte("glTF")):
		return readGLB(m, data)
	case bytes.HasPrefix(data, []byte("ply\n")), bytes.HasPrefix(data, []byte("ply\r")):
		return readPLY(m, data)
	case binarySTL(data):
		return readBinarySTL(m, data)
	case word(bytes.ToLower(start[:min(len(start), 6)]), "solid") && textual(start):
		return readTextSTL(m, data)
	case bytes.HasPrefix(start, []byte("{")):
		return words.T("solid.gltf")
	case looksLikeOBJ(data):
		return readOBJ(m, data, beside)
	case len(data) >= stlHead && !textual(start):
		return readBinarySTL(m, data) // which says what is missing
	}
	return words.T("solid.format")
}

// word says whether text begins with a word.
func word(text []byte, w string) bool {
	return bytes.HasPrefix(text, []byte(w)) && (len(text) == len(w) || text[len(w)] <= ' ')
}

// textual says whether bytes look like text.
func textual(data []byte) bool {
	for _, b := range data {
		if b < ' ' && b != '\t' && b != '\r' && b != '\n' {
			return false
		}
	}
	return true
}

// TriangleCount is how many triangles the solid has.
func (m *Mesh) TriangleCount() int { return len(m.Triangles) / 3 }

// step fails when nobody waits any more.
func (m *Mesh) step() error {
	const often = 1 << 12
	if m.steps++; m.steps%often == 0 {
		return m.ctx.Err()
	}
	return nil
}

// vertex appends a vertex. It fails when a coordinate is not a number that can be.
func (m *Mesh) vertex(x, y, z float64) error {
	n := len(m.Positions) / 3
	if n >= MaxVertices {
		return words.T("solid.vertices", "Most", MaxVertices)
	}
	for i, v := range [3]float64{x, y, z} {
		if !(math.Abs(v) <= mostCoordinate) {
			return words.T("solid.coordinate", "Vertex", n+1, "Axis", string("xyz"[i]))
		}
	}
	m.Positions = append(m.Positions, float32(x), float32(y), float32(z))
	return m.step()
}

// mostCoordinate is the greatest coordinate that is read; squares and volumes of it are still numbers.
const mostCoordinate = 1e30

// triangle appends a triangle of vertices that are there, and says whether it did: it has an area only if its corners are three places.
func (m *Mesh) triangle(a, b, c uint32) (kept bool, err error) {
	if m.InFile++; m.InFile > MaxTriangles {
		return false, tooMany()
	}
	if kept = !m.same(a, b) && !m.same(b, c) && !m.same(a, c); kept {
		m.Triangles = append(m.Triangles, a, b, c)
	}
	return kept, m.step()
}

// same says whether two vertices are one place.
func (m *Mesh) same(a, b uint32) bool {
	p, q := m.Positions[3*int(a):][:3], m.Positions[3*int(b):][:3]
	return p[0] == q[0] && p[1] == q[1] && p[2] == q[2]
}

func tooMany() error { return words.T("solid.triangles", "Most", MaxTriangles) }

// palette numbers paints that differ.
type palette struct {
	paints []Paint
	known  map[Paint]int32
}

func (p *palette) index(paint Paint) (int32, error) {
	if i, ok := p.known[paint]; ok {
		return i, nil
	}
	if len(p.paints) >= MaxPaints {
		return 0, words.T("solid.paints", "Most", MaxPaints)
	}
	if p.known == nil {
		p.known = map[Paint]int32{}
	}
	i := int32(len(p.paints))
	p.paints = append(p.paints, paint)
	p.known[paint] = i
	return i, nil
}

// linear gives the light of an sRGB value, 0 … 1 (IEC 61966-2-1).
func linear(v float64) float32 {
	v = math.Max(0, math.Min(1, v))
	if v <= 0.04045 {
		return float32(v / 12.92)
	}
	return float32(math.Pow((v+0.055)/1.055, 2.4))
}

// linearByte is linear of v/255.
var linearByte = func() (out [256]float32) {
	for i := range out {
		out[i] = linear(float64(i) / 255)
	}
	return out
}()

// Picture is a picture that lies on a solid.
type Picture struct {
	width, height int
	pix           []byte // red, green, blue and how opaque, of each pixel from the upper left one
	upwards       bool   // v counts from the lower edge
	clamp         [2]bool
}

// pictures reads the pictures of one solid and bounds them together, each as often as it is read.
type pictures struct{ pixels, bytes int }

// read reads a picture; where says whose it is, for the error.
func (p *pictures) read(data []byte, where string) (*Picture, error) {
	if p.bytes += len(data); p.bytes > MaxBytes {
		return nil, words.T("solid.pictures", "Limit", MaxBytes>>20)
	}
	img, err := picture.Read(bytes.NewReader(data))
	if err != nil {
		return nil, words.T("solid.picture", "Where", where, "Reason", err.Error())
	}
	if p.pixels += img.Width * img.Height; p.pixels > MaxPixels {
		return nil, words.T("solid.pixels", "Million", MaxPixels/1_000_000)
	}
	up := img.Upright()
	return &Picture{width: img.Width, height: img.Height, pix: up.Pix}, nil
}

// at gives the light of the picture at a place, repeated beyond its edges or as its edges are.
func (p *Picture) at(u, v float64) [3]float32 {
	if p.upwards {
		v = 1 - v
	}
	x, y := pixel(u, p.width, p.clamp[0]), pixel(v, p.height, p.clamp[1])
	q := p.pix[4*(y*p.width+x):][:3]
	return [3]float32{linearByte[q[0]], linearByte[q[1]], linearByte[q[2]]}
}

func pixel(at float64, size int, clamp bool) int {
	if !clamp {
		at -= math.Floor(at)
	}
	at = math.Max(0, math.Min(at, 1)) // of a number that is none, 0
	return min(int(at*float64(size)), size-1)
}

// lightAt is the light of a triangle's surface where its corners have these shares.
func (m *Mesh) lightAt(triangle int, share [3]float64) (out [3]float64) {
	paint := &m.Paints[0]
	if m.Paint != nil {
		paint = &m.Paints[m.Paint[triangle]]
	}
	for c := range out {
		out[c] = float64(paint.Light[c])
	}
	if m.Lights != nil {
		var l [3]float64
		for k, s := range share {
			v := 3 * int(m.Triangles[3*triangle+k])
			for c := range l {
				l[c] += s * float64(m.Lights[v+c])
			}
		}
		for c := range out {
			out[c] *= l[c]
		}
	}
	if paint.Picture != nil && m.Places != nil {
		u, v := 0.0, 0.0
		for k, s := range share {
			u += s * float64(m.Places[6*triangle+2*k])
			v += s * float64(m.Places[6*triangle+2*k+1])
		}
		for c, l := range paint.Picture.at(u, v) {
			out[c] *= float64(l)
		}
	}
	return out
}

// ReadAll reads the bytes of a solid, and a little over the limit at the most. size is how many there may be, 0 if nobody knows.
func ReadAll(r io.Reader, size int64) ([]byte, error) {
	b := bytes.NewBuffer(make([]byte, 0, max(0, min(size, MaxBytes))+bytes.MinRead))
	if _, err := b.ReadFrom(io.LimitReader(r, MaxBytes+1)); err != nil {
		return nil, words.T("solid.read", "Reason", err.Error())
	}
	return b.Bytes(), nil
}
