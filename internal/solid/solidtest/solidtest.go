// Package solidtest makes solids by code and writes them in the formats that package solid reads, for tests, benchmarks and
// the pictures of the README. Only tests import it.
package solidtest

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
)

// Solid is triangles, in mm, y up, its front to +z. Colour is the sRGB colour of each vertex, none for a bare solid.
type Solid struct {
	Vertices  [][3]float64
	Triangles [][3]int
	Colours   [][3]uint8
}

// Lathe turns an outline about the y axis: radius is its reach at each share of the height, 0 … 1. colour may be nil; it is
// told the share of the height and of a turn, from the front to the right.
func Lathe(height float64, around, up int, radius func(share float64) float64, colour func(share, turn float64) [3]uint8) *Solid {
	s := &Solid{}
	for j := 0; j <= up; j++ {
		share := float64(j) / float64(up)
		for i := range around {
			turn := float64(i) / float64(around)
			sin, cos := math.Sincos(2 * math.Pi * turn)
			r := radius(share)
			s.Vertices = append(s.Vertices, [3]float64{r * sin, height * share, r * cos})
			if colour != nil {
				s.Colours = append(s.Colours, colour(share, turn))
			}
		}
	}
	at := func(j, i int) int { return j*around + i%around }
	for j := range up {
		for i := range around {
			s.Triangles = append(s.Triangles, [3]int{at(j, i), at(j, i+1), at(j+1, i+1)}, [3]int{at(j, i), at(j+1, i+1), at(j+1, i)})
		}
	}
	s.lid(0, 0, around, 0, colour)
	s.lid(height, up*around, around, 1, colour)
	return s
}

// lid closes the bottom or top with triangles around its middle.
func (s *Solid) lid(y float64, first, around int, share float64, colour func(share, turn float64) [3]uint8) {
	middle := len(s.Vertices)
	s.Vertices = append(s.Vertices, [3]float64{0, y, 0})
	if colour != nil {
		s.Colours = append(s.Colours, colour(share, 0))
	}
	for i := range around {
		a, b := first+i, first+(i+1)%around
		if share == 0 {
			a, b = b, a
		}
		s.Triangles = append(s.Triangles, [3]int{middle, a, b})
	}
}

// Sphere, Cylinder, Cone and Egg are bodies of which every measure is known.

// Sphere is a ball of a diameter.
func Sphere(diameter float64, around, up int) *Solid {
	return Lathe(diameter, around, up, func(s float64) float64 { return diameter * math.Sqrt(s*(1-s)) }, nil)
}

// Cylinder is an upright one.
func Cylinder(diameter, height float64, around, up int) *Solid {
	return Lathe(height, around, up, func(float64) float64 { return diameter / 2 }, nil)
}

// Cone stands on its base.
func Cone(diameter, height float64, around, up int) *Solid {
	return Lathe(height, around, up, func(s float64) float64 { return diameter / 2 * (1 - s) }, nil)
}

// EggRadius is the radius of an egg at a share of its height, in diameters: two half ellipses, the blunt one below, 0.42 of the
// height.
func EggRadius(s float64) float64 {
	const blunt = 0.42
	t := (s - blunt) / (1 - blunt)
	if s < blunt {
		t = (blunt - s) / blunt
	}
	return 0.5 * math.Sqrt(math.Max(0, 1-t*t))
}

// Egg stands on its blunt end.
func Egg(diameter, height float64, around, up int) *Solid {
	return Lathe(height, around, up, func(s float64) float64 { return diameter * EggRadius(s) }, nil)
}

// Add puts another solid beside, without joining them.
func (s *Solid) Add(more *Solid, x, y, z float64) *Solid {
	first := len(s.Vertices)
	for _, v := range more.Vertices {
		s.Vertices = append(s.Vertices, [3]float64{v[0] + x, v[1] + y, v[2] + z})
	}
	s.Colours = append(s.Colours, more.Colours...)
	for _, t := range more.Triangles {
		s.Triangles = append(s.Triangles, [3]int{first + t[0], first + t[1], first + t[2]})
	}
	return s
}

// Turned is the solid turned about the z axis, by degrees to the left as seen from the front.
func (s *Solid) Turned(degrees float64) *Solid {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for i, v := range s.Vertices {
		s.Vertices[i] = [3]float64{v[0]*cos - v[1]*sin, v[0]*sin + v[1]*cos, v[2]}
	}
	return s
}

// Scaled stretches the solid along its axes.
func (s *Solid) Scaled(x, y, z float64) *Solid {
	for i, v := range s.Vertices {
		s.Vertices[i] = [3]float64{v[0] * x, v[1] * y, v[2] * z}
	}
	return s
}

// zUp is a place with z up and the front to −y.
func zUp(v [3]float64) [3]float64 { return [3]float64{v[0], -v[2], v[1]} }

// STL writes the bytes of an STL, z up.
func (s *Solid) STL() []byte {
	out := make([]byte, 84, 84+50*len(s.Triangles))
	copy(out, "made by code")
	binary.LittleEndian.PutUint32(out[80:], uint32(len(s.Triangles)))
	for _, t := range s.Triangles {
		out = append(out, make([]byte, 12)...) // readers work the normal out
		for _, i := range t {
			for _, c := range zUp(s.Vertices[i]) {
				out = binary.LittleEndian.AppendUint32(out, math.Float32bits(float32(c)))
			}
		}
		out = append(out, 0, 0)
	}
	return out
}

// TextSTL writes an STL as text, z up.
func (s *Solid) TextSTL() []byte {
	var b bytes.Buffer
	b.WriteString("solid made by code\n")
	for _, t := range s.Triangles {
		b.WriteString("facet normal 0 0 0\n  outer loop\n")
		for _, i := range t {
			v := zUp(s.Vertices[i])
			fmt.Fprintf(&b, "    vertex %g %g %g\n", float32(v[0]), float32(v[1]), float32(v[2]))
		}
		b.WriteString("  endloop\nendfacet\n")
	}
	b.WriteString("endsolid made by code\n")
	return b.Bytes()
}

// OBJ writes an OBJ, y up, with colours after the coordinates.
func (s *Solid) OBJ() []byte {
	var b bytes.Buffer
	b.WriteString("# made by code\n")
	for i, v := range s.Vertices {
		fmt.Fprintf(&b, "v %g %g %g", v[0], v[1], v[2])
		if s.Colours != nil {
			c := s.Colours[i]
			fmt.Fprintf(&b, " %.4f %.4f %.4f", float64(c[0])/255, float64(c[1])/255, float64(c[2])/255)
		}
		b.WriteByte('\n')
	}
	for _, t := range s.Triangles {
		fmt.Fprintf(&b, "f %d %d %d\n", t[0]+1, t[1]+1, t[2]+1)
	}
	return b.Bytes()
}

// PLY writes a PLY, z up; format is ascii, binary_little_endian or binary_big_endian.
func (s *Solid) PLY(format string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "ply\nformat %s 1.0\ncomment made by code\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\n", format, len(s.Vertices))
	if s.Colours != nil {
		b.WriteString("property uchar red\nproperty uchar green\nproperty uchar blue\n")
	}
	fmt.Fprintf(&b, "element face %d\nproperty list uchar int vertex_indices\nend_header\n", len(s.Triangles))
	var order binary.AppendByteOrder = binary.LittleEndian
	if format == "binary_big_endian" {
		order = binary.BigEndian
	}
	for i, v := range s.Vertices {
		v = zUp(v)
		if format == "ascii" {
			fmt.Fprintf(&b, "%g %g %g", float32(v[0]), float32(v[1]), float32(v[2]))
			if s.Colours != nil {
				fmt.Fprintf(&b, " %d %d %d", s.Colours[i][0], s.Colours[i][1], s.Colours[i][2])
			}
			b.WriteByte('\n')
			continue
		}
		for _, c := range v {
			b.Write(order.AppendUint32(nil, math.Float32bits(float32(c))))
		}
		if s.Colours != nil {
			b.Write(s.Colours[i][:])
		}
	}
	for _, t := range s.Triangles {
		if format == "ascii" {
			fmt.Fprintf(&b, "3 %d %d %d\n", t[0], t[1], t[2])
			continue
		}
		b.WriteByte(3)
		for _, i := range t {
			b.Write(order.AppendUint32(nil, uint32(i)))
		}
	}
	return b.Bytes()
}

// GLB writes a GLB in metres, with the lights of vertices as floats.
func (s *Solid) GLB() []byte {
	var bin []byte
	word := func(v uint32) { bin = binary.LittleEndian.AppendUint32(bin, v) }
	float := func(v float64) { word(math.Float32bits(float32(v))) }
	for _, v := range s.Vertices {
		for _, c := range v {
			float(c / 1000)
		}
	}
	type object = map[string]any
	attributes := object{"POSITION": 0}
	accessors := []object{
		{"bufferView": 0, "componentType": 5126, "count": len(s.Vertices), "type": "VEC3"},
		{"bufferView": 1, "componentType": 5125, "count": 3 * len(s.Triangles), "type": "SCALAR"},
	}
	views := []object{{"buffer": 0, "byteOffset": 0, "byteLength": len(bin)}}
	at := len(bin)
	for _, t := range s.Triangles {
		for _, i := range t {
			word(uint32(i))
		}
	}
	views = append(views, object{"buffer": 0, "byteOffset": at, "byteLength": len(bin) - at})
	if s.Colours != nil {
		at = len(bin)
		for _, c := range s.Colours {
			for _, v := range c {
				float(Linear(v))
			}
		}
		attributes["COLOR_0"] = 2
		accessors = append(accessors, object{"bufferView": 2, "componentType": 5126, "count": len(s.Vertices), "type": "VEC3"})
		views = append(views, object{"buffer": 0, "byteOffset": at, "byteLength": len(bin) - at})
	}
	return PackGLB(object{
		"asset": object{"version": "2.0", "generator": "code"}, "scene": 0, "scenes": []object{{"nodes": []int{0}}},
		"nodes": []object{{"mesh": 0}}, "meshes": []object{{"primitives": []object{{"attributes": attributes, "indices": 1}}}},
		"accessors": accessors, "bufferViews": views, "buffers": []object{{"byteLength": len(bin)}},
	}, bin)
}

// PackGLB puts a description and bytes into a GLB.
func PackGLB(description any, bin []byte) []byte {
	text, err := json.Marshal(description)
	if err != nil {
		panic(err)
	}
	for len(text)%4 != 0 {
		text = append(text, ' ')
	}
	for len(bin)%4 != 0 {
		bin = append(bin, 0)
	}
	out := []byte("glTF")
	for _, v := range []int{2, 12 + 8 + len(text) + 8 + len(bin), len(text), 0x4E4F534A} {
		out = binary.LittleEndian.AppendUint32(out, uint32(v))
	}
	out = append(out, text...)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(bin)))
	out = binary.LittleEndian.AppendUint32(out, 0x004E4942)
	return append(out, bin...)
}

// Linear is the light of an sRGB byte, after IEC 61966-2-1.
func Linear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}
