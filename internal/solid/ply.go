package solid

import (
	"encoding/binary"
	"math"
	"strings"

	"tuckring/internal/words"
)

// PLY (Greg Turk, The PLY Polygon File Format, Stanford 1994): a head that names elements and their properties, then all of
// them, as text or as bytes of either order.

// plyType is a type of numbers: its size in bytes, and what its bits mean.
type plyType struct {
	size   int
	float  bool
	signed bool
}

var plyTypes = map[string]plyType{
	"char": {1, false, true}, "uchar": {1, false, false}, "short": {2, false, true}, "ushort": {2, false, false},
	"int": {4, false, true}, "uint": {4, false, false}, "float": {4, true, true}, "double": {8, true, true},
	"int8": {1, false, true}, "uint8": {1, false, false}, "int16": {2, false, true}, "uint16": {2, false, false},
	"int32": {4, false, true}, "uint32": {4, false, false}, "float32": {4, true, true}, "float64": {8, true, true},
}

type plyProperty struct {
	name  string
	list  bool
	count plyType // of a list, the type of its length
	of    plyType
}

type plyElement struct {
	name       string
	count      int
	properties []plyProperty
}

const (
	mostPLYElements   = 64
	mostPLYProperties = 256
)

// plyReader takes the numbers of the body one after another.
type plyReader struct {
	text  *text // of a body of text
	words [][]byte
	data  []byte // of a body of bytes
	order binary.ByteOrder
}

func readPLY(m *Mesh, data []byte) error {
	elements, r, err := plyHead(data)
	if err != nil {
		return err
	}
	m.Kind = PLY
	p := &plyMesh{Mesh: m}
	for i := range elements {
		e := &elements[i]
		if err := r.room(e); err != nil {
			return err
		}
		if err := p.element(r, e); err != nil {
			return err
		}
	}
	m.Paints = p.palette.paints
	if !p.faces {
		return words.T("solid.ply.faces")
	}
	return nil
}

func plyHead(data []byte) ([]plyElement, *plyReader, error) {
	t := newText(data)
	t.next() // "ply"
	r := &plyReader{}
	var elements []plyElement
	properties := 0
	for fields := t.next(); ; fields = t.next() {
		if fields == nil {
			return nil, nil, words.T("solid.ply.head")
		}
		bad := func() error {
			return words.T("solid.line", "Kind", string(PLY), "Line", t.line, "Found", t.shown())
		}
		switch string(fields[0]) {
		case "comment", "obj_info":
		case "format":
			if len(fields) < 2 {
				return nil, nil, bad()
			}
			switch string(fields[1]) {
			case "ascii":
				r.text = t
			case "binary_little_endian":
				r.order = binary.LittleEndian
			case "binary_big_endian":
				r.order = binary.BigEndian
			default:
				return nil, nil, bad()
			}
		case "element":
			if len(fields) < 3 || len(elements) == mostPLYElements {
				return nil, nil, bad()
			}
			n, ok := whole(fields[2])
			if !ok || n < 0 || n > math.MaxInt32 {
				return nil, nil, bad()
			}
			elements = append(elements, plyElement{name: string(fields[1]), count: n})
		case "property":
			p, ok := plyPropertyOf(fields)
			if properties++; !ok || len(elements) == 0 || properties > mostPLYProperties {
				return nil, nil, bad()
			}
			e := &elements[len(elements)-1]
			e.properties = append(e.properties, p)
		case "end_header":
			if r.text == nil && r.order == nil {
				return nil, nil, words.T("solid.ply.head")
			}
			r.data = t.data
			return elements, r, nil
		default:
			return nil, nil, bad()
		}
	}
}

func plyPropertyOf(fields [][]byte) (p plyProperty, ok bool) {
	var known bool
	switch {
	case len(fields) >= 5 && string(fields[1]) == "list":
		p.list = true
		p.count, ok = plyTypes[string(fields[2])]
		p.of, known = plyTypes[string(fields[3])]
		p.name = string(fields[4])
		ok = ok && known && !p.count.float
	case len(fields) >= 3:
		p.of, ok = plyTypes[string(fields[1])]
		p.name = string(fields[2])
	}
	return p, ok
}

// room refuses an element of which there are more than what is left of the file can hold.
func (r *plyReader) room(e *plyElement) error {
	each := 0
	for _, p := range e.properties {
		switch {
		case r.text != nil:
			each += 2 // a digit and what parts it from the next
		case p.list:
			each += p.count.size
		default:
			each += p.of.size
		}
	}
	left := len(r.data)
	if r.text != nil {
		left = len(r.text.data) + 1 + 2*len(r.words)
	}
	if each == 0 {
		if e.count > 0 && len(e.properties) == 0 {
			return words.T("solid.ply.bare", "Element", clip([]byte(e.name)))
		}
		return nil
	}
	if e.count > left/each {
		return words.T("solid.ply.short", "Claimed", e.count, "Element", clip([]byte(e.name)), "Room", left/each)
	}
	return nil
}

// take reads the next number. ok is false at the end of the file, and for what is no number.
func (r *plyReader) take(t plyType) (v float64, ok bool) {
	if r.text != nil {
		if len(r.words) == 0 {
			if r.words = r.text.flow(); r.words == nil {
				return 0, false
			}
		}
		v, ok = number(r.words[0])
		r.words = r.words[1:]
		return v, ok
	}
	if len(r.data) < t.size {
		return 0, false
	}
	b := r.data[:t.size]
	r.data = r.data[t.size:]
	switch t.size {
	case 1:
		if v = float64(b[0]); t.signed {
			v = float64(int8(b[0]))
		}
	case 2:
		if q := r.order.Uint16(b); t.signed {
			v = float64(int16(q))
		} else {
			v = float64(q)
		}
	case 4:
		switch q := r.order.Uint32(b); {
		case t.float:
			v = float64(math.Float32frombits(q))
		case t.signed:
			v = float64(int32(q))
		default:
			v = float64(q)
		}
	default:
		v = math.Float64frombits(r.order.Uint64(b))
	}
	return v, true
}

// plyMesh fills a mesh from elements.
type plyMesh struct {
	*Mesh
	palette palette
	faces   bool
	corners []uint32
}

// plyRole is what a property is to a mesh.
type plyRole int

const (
	plyOther plyRole = iota
	plyX
	plyY
	plyZ
	plyRed
	plyGreen
	plyBlue
	plyCorners
)

func plyRoleOf(p plyProperty) plyRole {
	name := strings.TrimPrefix(p.name, "diffuse_")
	if p.list {
		if name == "vertex_indices" || name == "vertex_index" {
			return plyCorners
		}
		return plyOther
	}
	switch name {
	case "x":
		return plyX
	case "y":
		return plyY
	case "z":
		return plyZ
	case "red", "r":
		return plyRed
	case "green", "g":
		return plyGreen
	case "blue", "b":
		return plyBlue
	}
	return plyOther
}

func (p *plyMesh) element(r *plyReader, e *plyElement) error {
	vertices, faces := e.name == "vertex", e.name == "face"
	roles, has := make([]plyRole, len(e.properties)), map[plyRole]bool{}
	for i, q := range e.properties {
		roles[i] = plyRoleOf(q)
		has[roles[i]] = true
	}
	coloured := has[plyRed] && has[plyGreen] && has[plyBlue]
	if vertices && !(has[plyX] && has[plyY] && has[plyZ]) {
		return words.T("solid.ply.places")
	}
	if vertices {
		if p.Positions != nil {
			return words.T("solid.ply.twice", "Element", e.name)
		}
		if e.count > MaxVertices {
			return words.T("solid.vertices", "Most", MaxVertices)
		}
		p.Positions = make([]float32, 0, 3*e.count)
		if coloured {
			p.Lights = make([]float32, 0, 3*e.count)
		}
	}
	if faces && has[plyCorners] {
		p.faces = true
	}
	p.Coloured = p.Coloured || coloured && (vertices || faces)
	for i := range e.count {
		if err := p.one(r, e, roles, i, vertices, faces, coloured); err != nil {
			return err
		}
	}
	return nil
}

// one reads one vertex, face or other element.
func (p *plyMesh) one(r *plyReader, e *plyElement, roles []plyRole, i int, vertices, faces, coloured bool) error {
	cut := func() error {
		return words.T("solid.ply.cut", "Element", clip([]byte(e.name)), "Number", i+1, "There", e.count)
	}
	var at [plyCorners]float64
	p.corners = p.corners[:0]
	for k, q := range e.properties {
		if !q.list {
			v, ok := r.take(q.of)
			if !ok {
				return cut()
			}
			if roles[k] >= plyRed && roles[k] <= plyBlue && !q.of.float {
				v /= plyFull(q.of)
			}
			if roles[k] != plyCorners {
				at[roles[k]] = v
			}
			continue
		}
		n, ok := r.take(q.count)
		if !ok {
			return cut()
		}
		if !(n >= 0 && n <= mostCorners) || n != math.Trunc(n) {
			return words.T("solid.ply.list", "Element", clip([]byte(e.name)), "Number", i+1, "Most", mostCorners)
		}
		for range int(n) {
			v, ok := r.take(q.of)
			if !ok {
				return cut()
			}
			if !faces || roles[k] != plyCorners {
				continue
			}
			if there := len(p.Positions) / 3; !(v >= 0 && v < float64(there)) || v != math.Trunc(v) {
				return words.T("solid.index", "Kind", string(PLY), "Face", i+1, "Found", v, "There", there)
			}
			p.corners = append(p.corners, uint32(v))
		}
	}
	switch {
	case vertices:
		if coloured {
			p.Lights = append(p.Lights, linear(at[plyRed]), linear(at[plyGreen]), linear(at[plyBlue]))
		}
		return p.vertex(at[plyX], at[plyY], at[plyZ])
	case faces:
		var paint *Paint
		if coloured {
			paint = &Paint{Light: [3]float32{linear(at[plyRed]), linear(at[plyGreen]), linear(at[plyBlue])}}
		}
		return p.face(paint)
	}
	return nil
}

// plyFull is the value of a whole number that means full light.
func plyFull(t plyType) float64 {
	bits := 8 * t.size
	if t.signed {
		bits--
	}
	return math.Pow(2, float64(bits)) - 1
}

// face appends a face as triangles around its first corner.
func (p *plyMesh) face(paint *Paint) error {
	for k := 2; k < len(p.corners); k++ {
		kept, err := p.triangle(p.corners[0], p.corners[k-1], p.corners[k])
		if err != nil {
			return err
		}
		if paint == nil || !kept {
			continue
		}
		index, err := p.palette.index(*paint)
		if err != nil {
			return err
		}
		p.Paint = append(p.Paint, index)
	}
	return nil
}
