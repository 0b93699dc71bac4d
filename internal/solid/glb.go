package solid

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tuckring/internal/words"
)

// GLB: glTF 2.0 in one file (Khronos Group, glTF 2.0 specification, §3 and §4; ISO/IEC 12113:2022). Meshes are read as they
// stand at rest, with the colours that their surface has by itself.

// Numbers of glTF (§3.6.2, §3.7.2, §4.4).
const (
	glbHead  = 12
	glbJSON  = 0x4E4F534A
	glbBIN   = 0x004E4942
	triList  = 4
	triStrip = 5
	triFan   = 6
)

// Limits of a GLB's description, and of what its nodes make of it.
const (
	maxGLBText  = 16 << 20
	maxGLBList  = 100_000 // entries of one of its lists
	maxGLBDepth = 64      // nodes below nodes
	maxGLBParts = 100_000 // primitives, counted as often as nodes show them
)

// list is a list of a GLB's description that is refused before it fills the memory.
type list[T any] []T

var errLongList = errors.New("too many entries")

func (l *list[T]) UnmarshalJSON(data []byte) error {
	d := json.NewDecoder(bytes.NewReader(data))
	first, err := d.Token()
	if err != nil {
		return err
	}
	if first == nil {
		return nil
	}
	if first != json.Delim('[') {
		return fmt.Errorf("found %v where a list should be", first)
	}
	for d.More() {
		if len(*l) == maxGLBList {
			return errLongList
		}
		var v T
		if err := d.Decode(&v); err != nil {
			return err
		}
		*l = append(*l, v)
	}
	return nil
}

type gltf struct {
	Asset struct {
		Version   string `json:"version"`
		Generator string `json:"generator"`
	} `json:"asset"`
	Required    list[string]       `json:"extensionsRequired"`
	Scene       int                `json:"scene"`
	Scenes      list[gltfScene]    `json:"scenes"`
	Nodes       list[gltfNode]     `json:"nodes"`
	Meshes      list[gltfMesh]     `json:"meshes"`
	Materials   list[gltfMaterial] `json:"materials"`
	Textures    list[gltfTexture]  `json:"textures"`
	Samplers    list[gltfSampler]  `json:"samplers"`
	Images      list[gltfImage]    `json:"images"`
	Accessors   list[gltfAccessor] `json:"accessors"`
	BufferViews list[gltfView]     `json:"bufferViews"`
	Buffers     list[gltfBuffer]   `json:"buffers"`
}

type gltfScene struct {
	Nodes list[int] `json:"nodes"`
}

type gltfNode struct {
	Mesh        *int            `json:"mesh"`
	Children    list[int]       `json:"children"`
	Matrix      []float64       `json:"matrix"`
	Translation []float64       `json:"translation"`
	Rotation    []float64       `json:"rotation"`
	Scale       []float64       `json:"scale"`
	Extras      json.RawMessage `json:"extras"`
}

type gltfMesh struct {
	Primitives list[gltfPrimitive] `json:"primitives"`
	Extras     json.RawMessage     `json:"extras"`
}

type gltfPrimitive struct {
	Attributes map[string]int `json:"attributes"`
	Indices    *int           `json:"indices"`
	Material   *int           `json:"material"`
	Mode       *int           `json:"mode"`
}

type gltfMaterial struct {
	Surface struct {
		Colour  []float64    `json:"baseColorFactor"`
		Texture *gltfTexInfo `json:"baseColorTexture"`
	} `json:"pbrMetallicRoughness"`
}

type gltfTexInfo struct {
	Index      int `json:"index"`
	Set        int `json:"texCoord"`
	Extensions struct {
		Transform *gltfTransform `json:"KHR_texture_transform"`
	} `json:"extensions"`
}

// gltfTransform is KHR_texture_transform: places are scaled, turned and moved.
type gltfTransform struct {
	Offset   []float64 `json:"offset"`
	Rotation float64   `json:"rotation"`
	Scale    []float64 `json:"scale"`
	Set      *int      `json:"texCoord"`
}

type gltfTexture struct {
	Sampler    *int `json:"sampler"`
	Source     *int `json:"source"`
	Extensions struct {
		WebP *struct {
			Source *int `json:"source"`
		} `json:"EXT_texture_webp"`
	} `json:"extensions"`
}

type gltfSampler struct {
	WrapS int `json:"wrapS"`
	WrapT int `json:"wrapT"`
}

type gltfImage struct {
	URI  string `json:"uri"`
	View *int   `json:"bufferView"`
}

type gltfAccessor struct {
	View          *int            `json:"bufferView"`
	Offset        int             `json:"byteOffset"`
	ComponentType int             `json:"componentType"`
	Normalized    bool            `json:"normalized"`
	Count         int             `json:"count"`
	Type          string          `json:"type"`
	Sparse        json.RawMessage `json:"sparse"`
}

type gltfView struct {
	Buffer int `json:"buffer"`
	Offset int `json:"byteOffset"`
	Length int `json:"byteLength"`
	Stride int `json:"byteStride"`
}

type gltfBuffer struct {
	URI    string `json:"uri"`
	Length int    `json:"byteLength"`
}

// harmless are the extensions that may be asked for without changing what is read here, or that are read (Khronos registry).
var harmless = []string{
	"KHR_mesh_quantization", "KHR_texture_transform", "EXT_texture_webp", "KHR_materials_unlit", "KHR_lights_punctual",
	"KHR_materials_ior", "KHR_materials_clearcoat", "KHR_materials_transmission", "KHR_materials_volume", "KHR_materials_sheen",
	"KHR_materials_specular", "KHR_materials_emissive_strength", "KHR_materials_variants", "KHR_materials_iridescence",
	"KHR_materials_anisotropy", "KHR_materials_dispersion", "KHR_xmp_json_ld",
}

// glbReader reads a GLB.
type glbReader struct {
	*Mesh
	gltf
	bin      []byte
	inlined  map[int][]byte // buffers that are written in the description
	palette  palette
	pictures pictures
	images   map[int]*Picture // by image
	textures map[int]*Picture // by texture: repeated or not
	parts    int
	seen     []bool // nodes
	coloured bool
	lit      bool // some vertices have lights
	shown    []shownMesh
}

func readGLB(m *Mesh, data []byte) error {
	m.Kind = GLB
	text, bin, err := glbChunks(data)
	if err != nil {
		return err
	}
	r := &glbReader{Mesh: m, bin: bin, inlined: map[int][]byte{}, images: map[int]*Picture{}, textures: map[int]*Picture{}}
	if err := json.Unmarshal(text, &r.gltf); err != nil {
		if errors.Is(err, errLongList) {
			return words.T("solid.glb.long", "Most", maxGLBList)
		}
		return words.T("solid.glb.text", "Reason", clip([]byte(err.Error())))
	}
	if !strings.HasPrefix(r.Asset.Version, "2.") {
		return words.T("solid.glb.version", "Found", clip([]byte(r.Asset.Version)))
	}
	for _, name := range r.Required {
		if !slices.Contains(harmless, name) {
			return words.T("solid.glb.extension", "Name", clip([]byte(name)))
		}
	}
	if err := r.scene(); err != nil {
		return err
	}
	r.Paints, r.Mesh.Coloured = r.palette.paints, r.coloured
	r.own = r.ownUnits()
	return nil
}

// glbChunks parts the file into its description and its bytes (§4.4).
func glbChunks(data []byte) (text, bin []byte, err error) {
	if len(data) < glbHead+8 {
		return nil, nil, words.T("solid.cut_off", "Kind", string(GLB))
	}
	if version := binary.LittleEndian.Uint32(data[4:]); version != 2 {
		return nil, nil, words.T("solid.glb.version", "Found", version)
	}
	length := uint64(binary.LittleEndian.Uint32(data[8:]))
	if length > uint64(len(data)) {
		return nil, nil, words.T("solid.glb.short", "Claimed", length, "Found", len(data))
	}
	if length < glbHead+8 {
		return nil, nil, words.T("solid.cut_off", "Kind", string(GLB))
	}
	rest := data[glbHead:length]
	for first := true; len(rest) >= 8; first = false {
		size, kind := uint64(binary.LittleEndian.Uint32(rest)), binary.LittleEndian.Uint32(rest[4:])
		if size > uint64(len(rest)-8) {
			return nil, nil, words.T("solid.glb.short", "Claimed", size, "Found", len(rest)-8)
		}
		chunk := rest[8 : 8+size]
		rest = rest[8+size:]
		switch {
		case first && kind != glbJSON:
			return nil, nil, words.T("solid.glb.text", "Reason", "the first chunk is no JSON")
		case first:
			text = chunk
		case kind == glbBIN && bin == nil:
			bin = chunk
		}
	}
	if len(text) > maxGLBText {
		return nil, nil, words.T("solid.glb.heavy", "Limit", maxGLBText>>20)
	}
	return text, bin, nil
}

// affine is a turn, stretch and move in space: rows of three, and where the origin goes.
type affine struct {
	m [3][3]float64
	t [3]float64
}

var stay = affine{m: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}

func (a *affine) at(v [3]float64) (out [3]float64) {
	for i, row := range a.m {
		out[i] = row[0]*v[0] + row[1]*v[1] + row[2]*v[2] + a.t[i]
	}
	return out
}

// after does first, then a.
func (a *affine) after(first *affine) (out affine) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out.m[i][j] += a.m[i][k] * first.m[k][j]
			}
		}
	}
	out.t = a.at(first.t)
	return out
}

// local is where a node stands in the one that it hangs under (§3.5.3).
func (n *gltfNode) local() (affine, bool) {
	out := stay
	if len(n.Matrix) > 0 {
		if len(n.Matrix) != 16 {
			return out, false
		}
		for i := range 3 {
			for j := range 3 {
				out.m[i][j] = n.Matrix[4*j+i]
			}
			out.t[i] = n.Matrix[12+i]
		}
		return out, true
	}
	for _, l := range []struct{ found, want int }{{len(n.Translation), 3}, {len(n.Rotation), 4}, {len(n.Scale), 3}} {
		if l.found != 0 && l.found != l.want {
			return out, false
		}
	}
	if len(n.Rotation) == 4 {
		x, y, z, w := n.Rotation[0], n.Rotation[1], n.Rotation[2], n.Rotation[3]
		out.m = [3][3]float64{
			{1 - 2*(y*y+z*z), 2 * (x*y - z*w), 2 * (x*z + y*w)},
			{2 * (x*y + z*w), 1 - 2*(x*x+z*z), 2 * (y*z - x*w)},
			{2 * (x*z - y*w), 2 * (y*z + x*w), 1 - 2*(x*x+y*y)},
		}
	}
	if len(n.Scale) == 3 {
		for i := range 3 {
			for j := range 3 {
				out.m[i][j] *= n.Scale[j]
			}
		}
	}
	copy(out.t[:], n.Translation)
	return out, true
}

// scene reads what the scene shows, or without scenes all nodes that hang under none.
func (r *glbReader) scene() error {
	r.seen = make([]bool, len(r.Nodes))
	var roots []int
	switch {
	case len(r.Scenes) > 0:
		if r.Scene < 0 || r.Scene >= len(r.Scenes) {
			return words.T("solid.glb.reference", "From", "scene", "Kind", "scenes", "Found", r.Scene, "There", len(r.Scenes))
		}
		roots = r.Scenes[r.Scene].Nodes
	default:
		below := make([]bool, len(r.Nodes))
		for i := range r.Nodes {
			for _, c := range r.Nodes[i].Children {
				if c >= 0 && c < len(below) {
					below[c] = true
				}
			}
		}
		for i := range r.Nodes {
			if !below[i] {
				roots = append(roots, i)
			}
		}
	}
	for _, n := range roots {
		if err := r.node(n, stay, 0); err != nil {
			return err
		}
	}
	return nil
}

// node reads a node and all below it. In glTF every node hangs under one at most (§3.5.2), so that one that is met twice is
// refused, and with it every circle.
func (r *glbReader) node(index int, at affine, depth int) error {
	if index < 0 || index >= len(r.Nodes) {
		return words.T("solid.glb.reference", "From", "nodes", "Kind", "nodes", "Found", index, "There", len(r.Nodes))
	}
	if r.seen[index] {
		return words.T("solid.glb.twice", "Node", index)
	}
	if depth > maxGLBDepth {
		return words.T("solid.glb.deep", "Most", maxGLBDepth)
	}
	r.seen[index] = true
	n := &r.Nodes[index]
	local, ok := n.local()
	if !ok {
		return words.T("solid.glb.matrix", "Node", index)
	}
	there := at.after(&local)
	if n.Mesh != nil {
		if *n.Mesh < 0 || *n.Mesh >= len(r.Meshes) {
			return words.T("solid.glb.reference", "From", fmt.Sprintf("nodes[%d]", index), "Kind", "meshes", "Found", *n.Mesh, "There", len(r.Meshes))
		}
		for k := range r.Meshes[*n.Mesh].Primitives {
			if r.parts++; r.parts > maxGLBParts {
				return words.T("solid.glb.long", "Most", maxGLBParts)
			}
			where := fmt.Sprintf("meshes[%d].primitives[%d]", *n.Mesh, k)
			if err := r.primitive(&r.Meshes[*n.Mesh], k, &there, where); err != nil {
				return err
			}
		}
	}
	for _, c := range n.Children {
		if err := r.node(c, there, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// primitive adds the triangles of a primitive; points and lines have no surface.
func (r *glbReader) primitive(mesh *gltfMesh, k int, at *affine, where string) error {
	p, mode := &mesh.Primitives[k], triList
	if p.Mode != nil {
		mode = *p.Mode
	}
	if mode < triList || mode > triFan {
		return nil
	}
	position, ok := p.Attributes["POSITION"]
	if !ok {
		return nil // it is drawn by an extension, or not at all
	}
	places, err := r.numbers(position, 3, where+".POSITION")
	if err != nil {
		return err
	}
	first, n := len(r.Positions)/3, places.count
	if first+n > MaxVertices {
		return words.T("solid.vertices", "Most", MaxVertices)
	}
	for i := range n {
		v := at.at([3]float64{places.at(i, 0), places.at(i, 1), places.at(i, 2)})
		if err := r.vertex(v[0], v[1], v[2]); err != nil {
			return err
		}
	}
	if err := r.lights(p, first, n, where); err != nil {
		return err
	}
	paint, texture, err := r.paint(p, where)
	if err != nil {
		return err
	}
	r.shown = append(r.shown, shownMesh{first, n, paint, mesh.Extras})
	var uv func(vertex int) (u, v float32)
	if texture != nil {
		if uv, err = r.texturePlaces(p, texture, n, where); err != nil {
			return err
		}
	}
	corners, err := r.corners(p, n, where)
	if err != nil {
		return err
	}
	return r.triangles(corners, mode, first, paint, uv)
}

// lights notes the lights of the vertices first … first+n−1.
func (r *glbReader) lights(p *gltfPrimitive, first, n int, where string) error {
	colour, ok := p.Attributes["COLOR_0"]
	if !ok {
		if r.lit {
			for range 3 * n {
				r.Lights = append(r.Lights, 1)
			}
		}
		return nil
	}
	lights, err := r.numbers(colour, 3, where+".COLOR_0")
	if err != nil {
		return err
	}
	if lights.count < n {
		return words.T("solid.glb.fewer", "Where", where+".COLOR_0", "Found", lights.count, "Want", n)
	}
	for len(r.Lights) < 3*first {
		r.Lights = append(r.Lights, 1)
	}
	r.lit, r.coloured = true, true
	for i := range n {
		for k := range 3 {
			r.Lights = append(r.Lights, float32(within(lights.at(i, k), 0, 1)))
		}
	}
	return nil
}

// within brings a number between two others; what is none becomes the lower one.
func within(v, low, high float64) float64 {
	if !(v > low) {
		return low
	}
	return math.Min(v, high)
}

// paint gives the index of a primitive's paint, and where its picture lies if it has one.
func (r *glbReader) paint(p *gltfPrimitive, where string) (int32, *gltfTexInfo, error) {
	if p.Material == nil {
		index, err := r.palette.index(white)
		return index, nil, err
	}
	if *p.Material < 0 || *p.Material >= len(r.Materials) {
		return 0, nil, words.T("solid.glb.reference", "From", where, "Kind", "materials", "Found", *p.Material, "There", len(r.Materials))
	}
	surface := &r.Materials[*p.Material].Surface
	paint := white
	if len(surface.Colour) >= 3 {
		for k := range paint.Light {
			paint.Light[k] = float32(within(surface.Colour[k], 0, 1))
		}
		r.coloured = true
	}
	if surface.Texture != nil {
		var err error
		if paint.Picture, err = r.texture(surface.Texture.Index); err != nil {
			return 0, nil, err
		}
		r.coloured = true
	}
	index, err := r.palette.index(paint)
	return index, surface.Texture, err
}

// texture gives the picture of a texture, the same one every time.
func (r *glbReader) texture(index int) (*Picture, error) {
	if index < 0 || index >= len(r.Textures) {
		return nil, words.T("solid.glb.reference", "From", "materials", "Kind", "textures", "Found", index, "There", len(r.Textures))
	}
	if img, ok := r.textures[index]; ok {
		return img, nil
	}
	t := &r.Textures[index]
	source := t.Source
	if t.Extensions.WebP != nil && t.Extensions.WebP.Source != nil {
		source = t.Extensions.WebP.Source
	}
	where := fmt.Sprintf("textures[%d]", index)
	if source == nil || *source < 0 || *source >= len(r.Images) {
		found := -1
		if source != nil {
			found = *source
		}
		return nil, words.T("solid.glb.reference", "From", where, "Kind", "images", "Found", found, "There", len(r.Images))
	}
	read, err := r.image(*source)
	if err != nil {
		return nil, err
	}
	img := *read
	const clampToEdge = 33071
	if t.Sampler != nil && *t.Sampler >= 0 && *t.Sampler < len(r.Samplers) {
		s := r.Samplers[*t.Sampler]
		img.clamp = [2]bool{s.WrapS == clampToEdge, s.WrapT == clampToEdge}
	}
	r.textures[index] = &img
	return &img, nil
}

// image reads a picture, once.
func (r *glbReader) image(source int) (*Picture, error) {
	if img, ok := r.images[source]; ok {
		return img, nil
	}
	data, err := r.imageBytes(source)
	if err != nil {
		return nil, err
	}
	read, err := r.pictures.read(data, fmt.Sprintf("images[%d]", source))
	if err != nil {
		return nil, err
	}
	r.images[source] = read
	return read, nil
}

func (r *glbReader) imageBytes(index int) ([]byte, error) {
	img := &r.Images[index]
	if img.View == nil {
		data, ok := inline(img.URI)
		if !ok {
			return nil, words.T("solid.glb.outside", "Where", fmt.Sprintf("images[%d]", index), "Name", clip([]byte(img.URI)))
		}
		return data, nil
	}
	return r.view(*img.View, fmt.Sprintf("images[%d]", index))
}

// inline decodes what is written into the description itself (RFC 2397).
func inline(uri string) ([]byte, bool) {
	rest, ok := strings.CutPrefix(uri, "data:")
	if !ok {
		return nil, false
	}
	_, coded, ok := strings.Cut(rest, ";base64,")
	if !ok {
		return nil, false
	}
	data, err := base64.StdEncoding.DecodeString(coded)
	return data, err == nil
}

// view gives the bytes of a view of a buffer.
func (r *glbReader) view(index int, from string) ([]byte, error) {
	if index < 0 || index >= len(r.BufferViews) {
		return nil, words.T("solid.glb.reference", "From", from, "Kind", "bufferViews", "Found", index, "There", len(r.BufferViews))
	}
	v := &r.BufferViews[index]
	where := fmt.Sprintf("bufferViews[%d]", index)
	data, err := r.buffer(v.Buffer, where)
	if err != nil {
		return nil, err
	}
	if v.Offset < 0 || v.Length < 0 || v.Offset > len(data) || v.Length > len(data)-v.Offset {
		return nil, words.T("solid.glb.beyond", "Where", where, "There", len(data))
	}
	return data[v.Offset:][:v.Length], nil
}

func (r *glbReader) buffer(index int, from string) ([]byte, error) {
	if index < 0 || index >= len(r.Buffers) {
		return nil, words.T("solid.glb.reference", "From", from, "Kind", "buffers", "Found", index, "There", len(r.Buffers))
	}
	b := &r.Buffers[index]
	if b.URI == "" && index == 0 {
		return r.bin, nil
	}
	if data, ok := r.inlined[index]; ok {
		return data, nil
	}
	data, ok := inline(b.URI)
	if !ok {
		return nil, words.T("solid.glb.outside", "Where", fmt.Sprintf("buffers[%d]", index), "Name", clip([]byte(b.URI)))
	}
	r.inlined[index] = data
	return data, nil
}

// numbers is a list of tuples of numbers in the bytes.
type numbers struct {
	data       []byte
	count      int
	stride     int
	kind       int
	normalized bool
}

// Types of numbers (§3.6.2.2): signed and unsigned bytes and shorts, unsigned ints, floats.
const (
	aByte   = 5120
	aUbyte  = 5121
	aShort  = 5122
	aUshort = 5123
	aUint   = 5125
	aFloat  = 5126
)

var numberSizes = map[int]int{aByte: 1, aUbyte: 1, aShort: 2, aUshort: 2, aUint: 4, aFloat: 4}

var tupleSizes = map[string]int{"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}

// numbers finds the numbers of an accessor with so many in a tuple at least, and that all of them are there.
func (r *glbReader) numbers(index, least int, where string) (*numbers, error) {
	if index < 0 || index >= len(r.Accessors) {
		return nil, words.T("solid.glb.reference", "From", where, "Kind", "accessors", "Found", index, "There", len(r.Accessors))
	}
	a := &r.Accessors[index]
	where = fmt.Sprintf("accessors[%d]", index)
	size, tuple := numberSizes[a.ComponentType], tupleSizes[a.Type]
	if size == 0 || tuple < least || a.Count < 0 || a.Offset < 0 {
		return nil, words.T("solid.glb.accessor", "Where", where)
	}
	if len(a.Sparse) > 0 || a.View == nil {
		return nil, words.T("solid.glb.sparse", "Where", where)
	}
	data, err := r.view(*a.View, where)
	if err != nil {
		return nil, err
	}
	stride := r.BufferViews[*a.View].Stride
	if stride == 0 {
		stride = size * tuple
	}
	if stride < size*tuple || stride > 1<<16 {
		return nil, words.T("solid.glb.accessor", "Where", where)
	}
	if a.Offset > len(data) {
		return nil, words.T("solid.glb.beyond", "Where", where, "There", len(data))
	}
	data = data[a.Offset:]
	if a.Count > 0 && (len(data) < size*tuple || a.Count-1 > (len(data)-size*tuple)/stride) {
		return nil, words.T("solid.glb.beyond", "Where", where, "There", len(data))
	}
	return &numbers{data, a.Count, stride, a.ComponentType, a.Normalized}, nil
}

// at gives a number of a tuple.
func (n *numbers) at(i, k int) float64 {
	b := n.data[i*n.stride:]
	var v, full float64
	switch n.kind {
	case aByte:
		v, full = float64(int8(b[k])), 127
	case aUbyte:
		v, full = float64(b[k]), 255
	case aShort:
		v, full = float64(int16(binary.LittleEndian.Uint16(b[2*k:]))), 32767
	case aUshort:
		v, full = float64(binary.LittleEndian.Uint16(b[2*k:])), 65535
	case aUint:
		return float64(binary.LittleEndian.Uint32(b[4*k:]))
	default:
		return float64(math.Float32frombits(binary.LittleEndian.Uint32(b[4*k:])))
	}
	if n.normalized {
		return math.Max(v/full, -1)
	}
	return v
}

// index gives a whole number of a list of them.
func (n *numbers) index(i int) uint32 {
	b := n.data[i*n.stride:]
	switch n.kind {
	case aUbyte:
		return uint32(b[0])
	case aUshort:
		return uint32(binary.LittleEndian.Uint16(b))
	}
	return binary.LittleEndian.Uint32(b)
}

// texturePlaces gives the place of each vertex of a primitive on its picture.
func (r *glbReader) texturePlaces(p *gltfPrimitive, t *gltfTexInfo, vertices int, where string) (func(int) (u, v float32), error) {
	set, move := t.Set, t.Extensions.Transform
	if move != nil && move.Set != nil {
		set = *move.Set
	}
	name := fmt.Sprintf("TEXCOORD_%d", set)
	index, ok := p.Attributes[name]
	if !ok {
		return nil, words.T("solid.glb.no_places", "Where", where, "Name", name)
	}
	uv, err := r.numbers(index, 2, where+"."+name)
	if err != nil {
		return nil, err
	}
	if uv.count < vertices {
		return nil, words.T("solid.glb.fewer", "Where", where+"."+name, "Found", uv.count, "Want", vertices)
	}
	return func(i int) (float32, float32) {
		u, v := move.of(uv.at(i, 0), uv.at(i, 1))
		return float32(u), float32(v)
	}, nil
}

func (m *gltfTransform) of(u, v float64) (float64, float64) {
	if m == nil {
		return u, v
	}
	if len(m.Scale) == 2 {
		u, v = u*m.Scale[0], v*m.Scale[1]
	}
	sin, cos := math.Sincos(m.Rotation)
	u, v = u*cos+v*sin, v*cos-u*sin
	if len(m.Offset) == 2 {
		u, v = u+m.Offset[0], v+m.Offset[1]
	}
	return u, v
}

// corners gives the vertices that a primitive names one after another, and how many.
func (r *glbReader) corners(p *gltfPrimitive, vertices int, where string) (*cornerList, error) {
	if p.Indices == nil {
		return &cornerList{count: vertices}, nil
	}
	n, err := r.numbers(*p.Indices, 1, where+".indices")
	if err != nil {
		return nil, err
	}
	if n.kind != aUbyte && n.kind != aUshort && n.kind != aUint {
		return nil, words.T("solid.glb.accessor", "Where", where+".indices")
	}
	for i := range n.count {
		if v := n.index(i); uint64(v) >= uint64(vertices) {
			return nil, words.T("solid.glb.index", "Where", where, "Number", i, "Found", v, "There", vertices)
		}
	}
	return &cornerList{n, n.count}, nil
}

type cornerList struct {
	named *numbers
	count int
}

func (c *cornerList) at(i int) uint32 {
	if c.named == nil {
		return uint32(i)
	}
	return c.named.index(i)
}

// triangles adds the triangles of a list, strip or fan of corners (§3.7.2.1).
func (r *glbReader) triangles(c *cornerList, mode, first int, paint int32, uv func(int) (float32, float32)) error {
	n := c.count - 2
	if mode == triList {
		n = c.count / 3
	}
	for i := range max(n, 0) {
		var three [3]uint32
		switch {
		case mode == triList:
			three = [3]uint32{c.at(3 * i), c.at(3*i + 1), c.at(3*i + 2)}
		case mode == triFan:
			three = [3]uint32{c.at(0), c.at(i + 1), c.at(i + 2)}
		case i%2 == 0:
			three = [3]uint32{c.at(i), c.at(i + 1), c.at(i + 2)}
		default:
			three = [3]uint32{c.at(i + 1), c.at(i), c.at(i + 2)}
		}
		off := uint32(first)
		kept, err := r.triangle(off+three[0], off+three[1], off+three[2])
		if err != nil {
			return err
		}
		if !kept {
			continue
		}
		r.Paint = append(r.Paint, paint)
		if uv == nil && r.Places == nil {
			continue
		}
		for len(r.Places) < 6*(r.TriangleCount()-1) {
			r.Places = append(r.Places, 0)
		}
		for _, v := range three {
			var a, b float32
			if uv != nil {
				a, b = uv(int(v))
			}
			r.Places = append(r.Places, a, b)
		}
	}
	return nil
}
