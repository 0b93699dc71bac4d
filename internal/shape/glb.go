package shape

import (
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
	Name     string `json:"name,omitempty"`
	Mesh     *int   `json:"mesh,omitempty"`
	Children []int  `json:"children,omitempty"`
}

type gltfMesh struct {
	Primitives []gltfPrimitive `json:"primitives"`
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

// lump is everything of one colour, merged into one mesh, in metres.
type lump struct {
	positions, normals []float32
	indices            []uint32
}

// WriteGLB writes the figure as a binary glTF 2.0 model in metres, y up, its front to +z, the table at
// y = 0. All units and pieces of a colour are merged into one mesh, so that the model has one node
// a colour in use and one for the figure: at most 66. It uses no extension. Only writing to w fails.
func (p *Placement) WriteGLB(w io.Writer, f *figure.Figure) error {
	doc := gltf{
		Asset:  gltfAsset{Version: "2.0", Generator: "Tuckring"},
		Scenes: []gltfScene{{Nodes: []int{0}}},
		Nodes:  []gltfNode{{Name: f.Title}},
	}
	var bin []byte
	for colour, l := range p.lumps(f) {
		if len(l.indices) > 0 {
			bin = doc.add(bin, l, materialOf(f, colour))
		}
	}
	doc.Buffers = []gltfBuffer{{Length: len(bin)}}
	text, err := json.Marshal(doc)
	if err != nil {
		return err
	}
	for len(text)%4 != 0 {
		text = append(text, ' ')
	}
	head := make([]byte, 0, 20+len(text)+8)
	for _, v := range []uint32{glbMagic, glbVersion, uint32(12 + 8 + len(text) + 8 + len(bin)), uint32(len(text)), glbJSON} {
		head = binary.LittleEndian.AppendUint32(head, v)
	}
	head = append(head, text...)
	head = binary.LittleEndian.AppendUint32(head, uint32(len(bin)))
	head = binary.LittleEndian.AppendUint32(head, glbBIN)
	if _, err := w.Write(head); err != nil {
		return err
	}
	_, err = w.Write(bin)
	return err
}

// lumps gathers the figure by colour; the last lump is of the pieces without one.
func (p *Placement) lumps(f *figure.Figure) []lump {
	out := make([]lump, len(f.Colours)+1)
	solid := p.Solid
	if len(p.Spots) > DetailedUnits {
		solid = fold.NewPlainSolid(p.Measures, p.Gauge.Pitch.Best/2, fold.PaperMM)
	}
	count := make([]int, len(out))
	for _, s := range p.Spots {
		count[s.Colour]++
	}
	for i, n := range count {
		out[i].positions = make([]float32, 0, n*len(solid.Positions))
		out[i].normals = make([]float32, 0, n*len(solid.Normals))
		out[i].indices = make([]uint32, 0, n*len(solid.Indices))
	}
	for i := range p.Spots {
		out[p.Spots[i].Colour].unit(solid, &p.Spots[i])
	}
	for i := range p.Pieces {
		c := p.Pieces[i].Colour
		if c < 0 {
			c = len(f.Colours)
		}
		out[c].piece(&p.Pieces[i])
	}
	return out
}

func (l *lump) unit(solid *fold.Solid, s *Spot) {
	first := uint32(len(l.positions) / 3)
	turn := turning(s.Yaw, s.Tilt)
	for i := 0; i < len(solid.Positions); i += 3 {
		v := turn.apply(float64(solid.Positions[i]), float64(solid.Positions[i+1]), float64(solid.Positions[i+2]))
		l.positions = append(l.positions, metres(v[0]+s.X), metres(v[1]+s.Y), metres(v[2]+s.Z))
		n := turn.apply(float64(solid.Normals[i]), float64(solid.Normals[i+1]), float64(solid.Normals[i+2]))
		l.normals = append(l.normals, float32(n[0]), float32(n[1]), float32(n[2]))
	}
	for _, i := range solid.Indices {
		l.indices = append(l.indices, first+uint32(i))
	}
}

func (l *lump) piece(q *Piece) {
	first := uint32(len(l.positions) / 3)
	turn := turning(q.Azimuth, q.Tilt)
	n := turn.apply(0, 0, 1)
	for _, c := range q.Outline {
		v := turn.apply(c[0], c[1], 0)
		l.positions = append(l.positions, metres(v[0]+q.X), metres(v[1]+q.Y), metres(v[2]+q.Z))
		l.normals = append(l.normals, float32(n[0]), float32(n[1]), float32(n[2]))
	}
	for i := 2; i < len(q.Outline); i++ {
		l.indices = append(l.indices, first, first+uint32(i-1), first+uint32(i))
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

// add appends a lump's numbers to the binary chunk and describes them.
func (d *gltf) add(bin []byte, l lump, m gltfMaterial) []byte {
	low, high := bounds(l.positions)
	bin, positions := d.floats(bin, l.positions, low, high)
	bin, normals := d.floats(bin, l.normals, nil, nil)
	start := len(bin)
	for _, i := range l.indices {
		bin = binary.LittleEndian.AppendUint32(bin, i)
	}
	indices := d.accessor(gltfAccessor{ComponentType: typeUint, Count: len(l.indices), Type: "SCALAR"}, start, len(bin)-start, targetIndices)
	mesh := len(d.Meshes)
	d.Meshes = append(d.Meshes, gltfMesh{Primitives: []gltfPrimitive{{
		Attributes: map[string]int{"POSITION": positions, "NORMAL": normals}, Indices: indices, Material: len(d.Materials),
	}}})
	d.Materials = append(d.Materials, m)
	d.Nodes[0].Children = append(d.Nodes[0].Children, len(d.Nodes))
	d.Nodes = append(d.Nodes, gltfNode{Name: m.Name, Mesh: &mesh})
	return bin
}

func (d *gltf) floats(bin []byte, vs, low, high []float32) ([]byte, int) {
	start := len(bin)
	for _, v := range vs {
		bin = binary.LittleEndian.AppendUint32(bin, math.Float32bits(v))
	}
	a := gltfAccessor{ComponentType: typeFloat, Count: len(vs) / 3, Type: "VEC3", Min: low, Max: high}
	return bin, d.accessor(a, start, len(bin)-start, targetVertices)
}

func (d *gltf) accessor(a gltfAccessor, offset, length, target int) int {
	a.View = len(d.BufferViews)
	d.BufferViews = append(d.BufferViews, gltfView{Offset: offset, Length: length, Target: target})
	d.Accessors = append(d.Accessors, a)
	return len(d.Accessors) - 1
}

func bounds(vs []float32) (low, high []float32) {
	low, high = append([]float32(nil), vs[:3]...), append([]float32(nil), vs[:3]...)
	for i, v := range vs {
		low[i%3], high[i%3] = min(low[i%3], v), max(high[i%3], v)
	}
	return low, high
}
