package solid

import (
	"bytes"
	"encoding/binary"
	"math"

	"tuckring/internal/words"
)

// STL as bytes (3D Systems, StereoLithography Interface Specification, 1989): 80 bytes of anything, a count, and 50 bytes
// for each facet: its normal, three corners and an attribute of 16 bits.
const (
	stlHead  = 84
	stlFacet = 50
)

// binarySTL says whether a file is as long as an STL of bytes of its count. Such files may begin with the word "solid".
func binarySTL(data []byte) bool {
	return len(data) >= stlHead && uint64(len(data)) == stlHead+stlFacet*uint64(binary.LittleEndian.Uint32(data[80:]))
}

func readBinarySTL(m *Mesh, data []byte) error {
	count := uint64(binary.LittleEndian.Uint32(data[80:]))
	if room := uint64(len(data)-stlHead) / stlFacet; count > room {
		return words.T("solid.stl.short", "Claimed", count, "Room", room)
	}
	if count > MaxTriangles {
		return tooMany()
	}
	n := int(count)
	m.Kind, m.Positions, m.Triangles, m.Paint = STL, make([]float32, 0, 9*n), make([]uint32, 0, 3*n), make([]int32, 0, n)
	colours := newFacetColours(data[:80])
	for i := range n {
		facet := data[stlHead+stlFacet*i:][:stlFacet]
		for k := range 9 {
			v := math.Float32frombits(binary.LittleEndian.Uint32(facet[12+4*k:]))
			if !(math.Abs(float64(v)) <= mostCoordinate) {
				return words.T("solid.stl.coordinate", "Facet", i+1, "Corner", k/3+1, "Axis", string("xyz"[k%3]))
			}
			m.Positions = append(m.Positions, v)
		}
		at := uint32(3 * i)
		kept, err := m.triangle(at, at+1, at+2)
		if err != nil {
			return err
		}
		paint, err := colours.of(binary.LittleEndian.Uint16(facet[48:]))
		if err != nil {
			return err
		}
		if kept {
			m.Paint = append(m.Paint, paint)
		}
	}
	if m.Paints, m.Coloured = colours.palette.paints, colours.any; !m.Coloured {
		m.Paints, m.Paint = nil, nil
	}
	return nil
}

// facetColours reads the attributes of facets as colours of 5 bits each. The standard leaves them open; two ways are in use
// (common practice): the highest bit says that a colour is there, red in the high bits; or the head has "COLOR=" with the colour of
// the whole, the bit says that a facet has that one, and red is in the low bits.
type facetColours struct {
	palette palette
	whole   *Paint
	any     bool
}

func newFacetColours(head []byte) *facetColours {
	c := &facetColours{}
	if at := bytes.Index(head, []byte("COLOR=")); at >= 0 && at+10 <= len(head) {
		q := head[at+6:]
		c.whole = &Paint{Light: [3]float32{linearByte[q[0]], linearByte[q[1]], linearByte[q[2]]}}
	}
	return c
}

// of gives the index of a facet's paint.
func (c *facetColours) of(attribute uint16) (int32, error) {
	marked := attribute&0x8000 != 0
	low, middle, high := five(attribute), five(attribute>>5), five(attribute>>10)
	paint := white
	switch {
	case c.whole != nil && marked:
		paint = *c.whole
	case c.whole != nil:
		paint.Light = [3]float32{low, middle, high}
	case marked:
		paint.Light = [3]float32{high, middle, low}
	}
	c.any = c.any || marked || c.whole != nil
	return c.palette.index(paint)
}

func five(v uint16) float32 { return linear(float64(v&31) / 31) }

// readTextSTL reads an STL as text: facets of three vertices. What else is said of a facet is not needed.
func readTextSTL(m *Mesh, data []byte) error {
	m.Kind = STL
	t := newText(data)
	corners, open := 0, false
	for fields := t.next(); fields != nil; fields = t.next() {
		switch first := string(bytes.ToLower(fields[0])); first {
		case "facet":
			corners, open = 0, true
		case "vertex":
			if !open || len(fields) < 4 || corners == 3 {
				return words.T("solid.line", "Kind", string(STL), "Line", t.line, "Found", t.shown())
			}
			var at [3]float64
			for k := range at {
				v, ok := number(fields[1+k])
				if !ok {
					return words.T("solid.line.number", "Kind", string(STL), "Line", t.line, "Found", clip(fields[1+k]))
				}
				at[k] = v
			}
			if err := m.vertex(at[0], at[1], at[2]); err != nil {
				return err
			}
			corners++
		case "endfacet":
			if corners != 3 {
				return words.T("solid.stl.corners", "Line", t.line, "Found", corners)
			}
			n := uint32(len(m.Positions) / 3)
			if _, err := m.triangle(n-3, n-2, n-1); err != nil {
				return err
			}
			open, corners = false, 0
		case "solid", "outer", "endloop", "endsolid", "color":
		default:
			return words.T("solid.line", "Kind", string(STL), "Line", t.line, "Found", t.shown())
		}
	}
	if open {
		return words.T("solid.cut_off", "Kind", string(STL))
	}
	return nil
}
