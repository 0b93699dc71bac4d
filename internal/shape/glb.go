package shape

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"io"
	"math"

	"github.com/lucasb-eyer/go-colorful"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
)

// DetailedUnits is up to how many units a model shows every unit with its pockets and flaps (about
// 3 kB a unit, 19 MB in all); larger figures get the plain unit (about 1 kB a unit), so that a figure
// of 100 000 units, the most a document holds, stays below 100 MB.
const DetailedUnits = 6000

// modelScale turns mm into metres, the unit of glTF.
const modelScale = 0.001

// Numbers of glTF 2.0 (Khronos Group, glTF 2.0 specification, §3.6, §4.4 and §5.1).
const (
	glbMagic       = 0x46546C67
	glbVersion     = 2
	glbJSON        = 0x4E4F534A
	glbBIN         = 0x004E4942
	typeFloat      = 5126
	typeUint       = 5125
	targetVertices = 34962
	targetIndices  = 34963
)

type gltf struct {
	Asset       gltfAsset      `json:"asset"`
	Scene       int            `json:"scene"`
	Scenes      []gltfScene    `json:"scenes"`
	Nodes       []gltfNode     `json:"nodes"`
	Meshes      []gltfMesh     `json:"meshes"`
	Materials   []gltfMaterial `json:"materials"`
	Accessors   []gltfAccessor `json:"accessors"`
	BufferViews []gltfView     `json:"bufferViews"`
	Buffers     []gltfBuffer   `json:"buffers"`
}

type gltfAsset struct {
	Version   string `json:"version"`
	Generator string `json:"generator"`
}

type gltfScene struct {
	Nodes []int `json:"nodes"`
}

type gltfNode struct {
	Name     string      `json:"name,omitempty"`
	Mesh     *int        `json:"mesh,omitempty"`
	Children []int       `json:"children,omitempty"`
	Extras   *modelNotes `json:"extras,omitempty"`
}

type gltfMesh struct {
	Primitives []gltfPrimitive `json:"primitives"`
	Extras     meshNotes       `json:"extras"`
}

// modelNotes and meshNotes are what a model notes of its own (glTF 2.0, §3.4, extras): which unit it is made of, how far apart its
// points stand, and whether it is the plain one; and how many units a mesh begins with. Package solid finds the rings again by them.
type modelNotes struct {
	Unit   modelUnit `json:"unit"`
	TipsMM float64   `json:"tips_mm"`
	Plain  bool      `json:"plain"`
}

type modelUnit struct {
	LongMM  float64     `json:"long_mm"`
	ShortMM float64     `json:"short_mm"`
	Fold    figure.Fold `json:"fold"`
}

type meshNotes struct {
	Units int `json:"units"`
}

type gltfPrimitive struct {
	Attributes map[string]int `json:"attributes"`
	Indices    int            `json:"indices"`
	Material   int            `json:"material"`
}

type gltfMaterial struct {
	Name        string  `json:"name"`
	Surface     gltfPBR `json:"pbrMetallicRoughness"`
	DoubleSided bool    `json:"doubleSided"`
}

type gltfPBR struct {
	Colour    [4]float64 `json:"baseColorFactor"`
	Metallic  float64    `json:"metallicFactor"`
	Roughness float64    `json:"roughnessFactor"`
}

type gltfAccessor struct {
	View          int       `json:"bufferView"`
	ComponentType int       `json:"componentType"`
	Count         int       `json:"count"`
	Type          string    `json:"type"`
	Min           []float32 `json:"min,omitempty"`
	Max           []float32 `json:"max,omitempty"`
}

type gltfView struct {
	Buffer int `json:"buffer"`
	Offset int `json:"byteOffset"`
	Length int `json:"byteLength"`
	Target int `json:"target"`
}

type gltfBuffer struct {
	Length int `json:"byteLength"`
}

// lump is everything of one colour, to be merged into one mesh. Its numbers are worked out as they
// are written, so that the largest model needs no more memory than the figure itself.
type lump struct {
	of     *Placement
	solid  *fold.Solid
	spots  []*Spot
	pieces []*Piece
}

// WriteGLB writes the figure as a binary glTF 2.0 model in metres, y up, its front to +z, the table at
// y = 0. All units and pieces of a colour are merged into one mesh, so that the model has one node
// a colour in use and one for the figure: at most 66. It uses no extension. Only writing to w fails.
func (p *Placement) WriteGLB(w io.Writer, f *figure.Figure) error {
	doc := gltf{
		Asset:  gltfAsset{Version: "2.0", Generator: "Tuckring"},
		Scenes: []gltfScene{{Nodes: []int{0}}},
		Nodes: []gltfNode{{Name: f.Title, Extras: &modelNotes{
			Unit: modelUnit{f.Unit.LongMM, f.Unit.ShortMM, f.Unit.Fold}, TipsMM: p.Gauge.Pitch.Best / 2, Plain: len(p.Spots) > DetailedUnits,
		}}},
	}
	var used []lump
	length := 0
	for colour, l := range p.lumps(f) {
		if l.vertexCount() > 0 {
			length = doc.add(length, l, materialOf(f, colour))
			used = append(used, l)
		}
	}
	doc.Buffers = []gltfBuffer{{Length: length}}
	text, err := json.Marshal(doc)
	if err != nil {
		return err
	}
	for len(text)%4 != 0 {
		text = append(text, ' ')
	}
	out := &words32{w: bufio.NewWriterSize(w, 1<<16)}
	out.put(glbMagic, glbVersion, uint32(12+8+len(text)+8+length), uint32(len(text)), glbJSON)
	out.w.Write(text)
	out.put(uint32(length), glbBIN)
	for _, l := range used {
		float := func(v float32) { out.put(math.Float32bits(v)) }
		l.positions(float)
		l.normals(float)
		l.indices(func(i uint32) { out.put(i) })
	}
	return out.w.Flush()
}

// words32 writes 32-bit numbers, little-endian; the first failure is kept for Flush.
type words32 struct {
	w      *bufio.Writer
	buffer [4]byte
}

func (o *words32) put(vs ...uint32) {
	for _, v := range vs {
		binary.LittleEndian.PutUint32(o.buffer[:], v)
		o.w.Write(o.buffer[:])
	}
}

// solid is the mesh of a unit in the detail that the number of units allows.
func (p *Placement) solid() *fold.Solid {
	if len(p.Spots) > DetailedUnits {
		return fold.NewPlainSolid(p.Measures, p.Gauge.Pitch.Best/2, fold.PaperMM)
	}
	return p.Solid
}

// lumps gathers the figure by colour; the last lump is of the pieces without one.
func (p *Placement) lumps(f *figure.Figure) []lump {
	out := make([]lump, len(f.Colours)+1)
	solid := p.solid()
	for i := range out {
		out[i].of, out[i].solid = p, solid
	}
	for i := range p.Spots {
		l := &out[p.Spots[i].Colour]
		l.spots = append(l.spots, &p.Spots[i])
	}
	for i := range p.Pieces {
		c := p.Pieces[i].Colour
		if c < 0 {
			c = len(f.Colours)
		}
		out[c].pieces = append(out[c].pieces, &p.Pieces[i])
	}
	return out
}

func (l *lump) vertexCount() int {
	n := len(l.spots) * len(l.solid.Positions) / 3
	for _, q := range l.pieces {
		n += len(q.Outline)
	}
	return n
}

func (l *lump) indexCount() int {
	n := len(l.spots) * len(l.solid.Indices)
	for _, q := range l.pieces {
		n += 3 * (len(q.Outline) - 2)
	}
	return n
}

// positions gives x, y, z of every vertex, in metres.
func (l *lump) positions(give func(float32)) {
	at := func(in int32, v [3]float64, x, y, z float64) {
		v = l.of.inSpace(in, [3]float64{v[0] + x, v[1] + y, v[2] + z})
		give(metres(v[0]))
		give(metres(v[1]))
		give(metres(v[2]))
	}
	for _, s := range l.spots {
		turn, from := turning(s.Yaw, s.Tilt), l.solid.Positions
		for i := 0; i < len(from); i += 3 {
			at(s.In, turn.apply(float64(from[i]), float64(from[i+1]), float64(from[i+2])), s.X, s.Y, s.Z)
		}
	}
	for _, q := range l.pieces {
		turn := turning(q.Azimuth, q.Tilt)
		for _, c := range q.Outline {
			at(q.In, turn.apply(c[0], c[1], 0), q.X, q.Y, q.Z)
		}
	}
}

// normals gives x, y, z of every vertex's normal.
func (l *lump) normals(give func(float32)) {
	along := func(in int32, v [3]float64) {
		if in != Standing {
			v = l.of.Frames[in].Direction(v)
		}
		give(float32(v[0]))
		give(float32(v[1]))
		give(float32(v[2]))
	}
	for _, s := range l.spots {
		turn, from := turning(s.Yaw, s.Tilt), l.solid.Normals
		for i := 0; i < len(from); i += 3 {
			along(s.In, turn.apply(float64(from[i]), float64(from[i+1]), float64(from[i+2])))
		}
	}
	for _, q := range l.pieces {
		n := turning(q.Azimuth, q.Tilt).apply(0, 0, 1)
		for range q.Outline {
			along(q.In, n)
		}
	}
}

// indices gives the vertices of every triangle.
func (l *lump) indices(give func(uint32)) {
	first := uint32(0)
	for range l.spots {
		for _, i := range l.solid.Indices {
			give(first + uint32(i))
		}
		first += uint32(len(l.solid.Positions) / 3)
	}
	for _, q := range l.pieces {
		for i := 2; i < len(q.Outline); i++ {
			give(first)
			give(first + uint32(i-1))
			give(first + uint32(i))
		}
		first += uint32(len(q.Outline))
	}
}

func metres(mm float64) float32 { return float32(mm * modelScale) }

// rotation turns by tilt about x, then by yaw about y.
type rotation struct{ sinYaw, cosYaw, sinTilt, cosTilt float64 }

func turning(yaw, tilt float64) rotation {
	var r rotation
	r.sinYaw, r.cosYaw = math.Sincos(yaw)
	r.sinTilt, r.cosTilt = math.Sincos(tilt)
	return r
}

func (r rotation) apply(x, y, z float64) [3]float64 {
	y, z = y*r.cosTilt-z*r.sinTilt, y*r.sinTilt+z*r.cosTilt
	return [3]float64{x*r.cosYaw + z*r.sinYaw, y, z*r.cosYaw - x*r.sinYaw}
}

// materialOf is the paper of a colour; glued pieces of no colour are white card.
func materialOf(f *figure.Figure, colour int) gltfMaterial {
	m := gltfMaterial{Name: "card", DoubleSided: true, Surface: gltfPBR{Colour: [4]float64{0.9, 0.9, 0.9, 1}, Roughness: 0.9}}
	if colour < len(f.Colours) {
		m.Name = f.Colours[colour].Name
		if c, err := colorful.Hex(f.Colours[colour].Hex); err == nil {
			r, g, b := c.LinearRgb()
			m.Surface.Colour = [4]float64{r, g, b, 1}
		}
	}
	return m
}

// add describes a lump whose numbers begin at offset in the binary chunk: positions, normals, then
// indices. It returns where they end.
func (d *gltf) add(offset int, l lump, m gltfMaterial) int {
	const wordBytes, vertexBytes = 4, 12
	vertices, corners := l.vertexCount(), l.indexCount()
	low, high := l.bounds()
	positions := d.accessor(gltfAccessor{ComponentType: typeFloat, Count: vertices, Type: "VEC3", Min: low, Max: high}, offset, vertices*vertexBytes, targetVertices)
	offset += vertices * vertexBytes
	normals := d.accessor(gltfAccessor{ComponentType: typeFloat, Count: vertices, Type: "VEC3"}, offset, vertices*vertexBytes, targetVertices)
	offset += vertices * vertexBytes
	indices := d.accessor(gltfAccessor{ComponentType: typeUint, Count: corners, Type: "SCALAR"}, offset, corners*wordBytes, targetIndices)
	mesh := len(d.Meshes)
	d.Meshes = append(d.Meshes, gltfMesh{Primitives: []gltfPrimitive{{
		Attributes: map[string]int{"POSITION": positions, "NORMAL": normals}, Indices: indices, Material: len(d.Materials),
	}}, Extras: meshNotes{len(l.spots)}})
	d.Materials = append(d.Materials, m)
	d.Nodes[0].Children = append(d.Nodes[0].Children, len(d.Nodes))
	d.Nodes = append(d.Nodes, gltfNode{Name: m.Name, Mesh: &mesh})
	return offset + corners*wordBytes
}

func (d *gltf) accessor(a gltfAccessor, offset, length, target int) int {
	a.View = len(d.BufferViews)
	d.BufferViews = append(d.BufferViews, gltfView{Offset: offset, Length: length, Target: target})
	d.Accessors = append(d.Accessors, a)
	return len(d.Accessors) - 1
}

// bounds are the least and greatest x, y and z, in metres.
func (l *lump) bounds() (low, high []float32) {
	inf := float32(math.Inf(1))
	low, high = []float32{inf, inf, inf}, []float32{-inf, -inf, -inf}
	k := 0
	l.positions(func(v float32) {
		low[k], high[k] = min(low[k], v), max(high[k], v)
		k = (k + 1) % 3
	})
	return low, high
}
