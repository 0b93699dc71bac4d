package solid

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tuckring/internal/solid/solidtest"
)

// box is 10 × 20 × 30 mm, y up.
func box() *solidtest.Solid {
	return solidtest.Cylinder(10*math.Sqrt2, 20, 4, 1).Scaled(1, 1, 3)
}

func TestEveryFormatGivesTheSameTriangles(t *testing.T) {
	want := box()
	for name, data := range formats(want) {
		m := read(t, data)
		require.Equal(t, len(want.Triangles), m.TriangleCount(), name)
		for i, tri := range want.Triangles {
			for k, v := range tri {
				p := m.Positions[3*m.Triangles[3*i+k]:][:3]
				place := [3]float64{float64(p[0]), float64(p[1]), float64(p[2])}
				switch m.Kind {
				case STL, PLY:
					place = [3]float64{place[0], place[2], -place[1]}
				case GLB:
					place = [3]float64{1000 * place[0], 1000 * place[1], 1000 * place[2]}
				}
				for c := range place {
					assert.InDelta(t, want.Vertices[v][c], place[c], 1e-4, name)
				}
			}
		}
	}
}

// The linear light of sRGB 188 is 0.503 (IEC 61966-2-1; from memory: middle grey of light).
func TestColoursAreReadAsLight(t *testing.T) {
	s := box()
	for range s.Vertices {
		s.Colours = append(s.Colours, [3]uint8{188, 255, 0})
	}
	for _, data := range [][]byte{s.OBJ(), s.PLY("ascii"), s.PLY("binary_big_endian"), s.GLB()} {
		m := read(t, data)
		require.True(t, m.Coloured)
		l := m.lightAt(0, [3]float64{0.2, 0.3, 0.5})
		assert.InDeltaSlice(t, []float64{0.503, 1, 0}, l[:], 0.001, m.Kind)
	}
	stl := s.STL()
	assert.False(t, read(t, stl).Coloured)
	for i := range s.Triangles { // 1 bit that it is there, then 5 bits each of red, green and blue (common practice)
		binary.LittleEndian.PutUint16(stl[84+50*i+48:], 0x8000|31<<10|0<<5|31)
	}
	m := read(t, stl)
	require.True(t, m.Coloured)
	l := m.lightAt(3, [3]float64{1, 0, 0})
	assert.InDeltaSlice(t, []float64{1, 0, 1}, l[:], 1e-6)
	copy(stl, "COLOR=\xff\x00\x00\xff") // then the bit says that a facet has the colour of the whole
	l = read(t, stl).lightAt(3, [3]float64{1, 0, 0})
	assert.InDeltaSlice(t, []float64{1, 0, 0}, l[:], 1e-6)
}

func TestMaterialsOfAnOBJAreReadBesideIt(t *testing.T) {
	obj := "mtllib sub/dir/colours.mtl\nv 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nvt 0 0\nvt 1 0\nvt 0 1\nusemtl red paper\nf 1 2 3\nusemtl flag\nf -4/1 -3/2 -1/3\nusemtl nobody\nf 2 3 \\\n 4\n"
	img := image.NewNRGBA(image.Rect(0, 0, 2, 2))
	img.Set(0, 1, color.White) // the lower left pixel, where u and v are small
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	m, err := Read(context.Background(), []byte(obj), func(name string) ([]byte, error) {
		switch name {
		case "colours.mtl":
			return []byte("newmtl red paper\nKd 1 0 0\n\nnewmtl flag\nKd 1 1 1\nmap_Kd -s 1 1 1 ..\\pictures\\flag.png\n"), nil
		case "flag.png":
			return b.Bytes(), nil
		}
		return nil, errors.New("not there")
	})
	require.NoError(t, err)
	require.True(t, m.Coloured)
	assert.Equal(t, [3]float64{1, 0, 0}, m.lightAt(0, [3]float64{1, 0, 0}))
	assert.Equal(t, [3]float64{1, 1, 1}, m.lightAt(1, [3]float64{0.9, 0.05, 0.05}))
	assert.Equal(t, [3]float64{0, 0, 0}, m.lightAt(1, [3]float64{0.1, 0.8, 0.1}))
	assert.Equal(t, [3]float64{1, 1, 1}, m.lightAt(2, [3]float64{1, 0, 0}))
	m, err = Read(context.Background(), []byte(obj), nil) // alone it has no colours
	require.NoError(t, err)
	assert.False(t, m.Coloured)
}

type object = map[string]any

// triangle is a GLB of one triangle (0, 0, 0), (1, 0, 0), (0, 1, 0) with places on a picture, whose description may be changed.
func triangle(change func(doc object)) []byte {
	var bin []byte
	for _, v := range []float32{0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 1} {
		bin = binary.LittleEndian.AppendUint32(bin, math.Float32bits(v))
	}
	for _, i := range []uint32{0, 1, 2} {
		bin = binary.LittleEndian.AppendUint32(bin, i)
	}
	doc := object{
		"asset": object{"version": "2.0"}, "scene": 0, "scenes": []any{object{"nodes": []int{0}}}, "nodes": []any{object{"mesh": 0}},
		"meshes": []any{object{"primitives": []any{object{"attributes": object{"POSITION": 0, "TEXCOORD_0": 1}, "indices": 2}}}},
		"accessors": []any{
			object{"bufferView": 0, "componentType": 5126, "count": 3, "type": "VEC3"},
			object{"bufferView": 0, "byteOffset": 36, "componentType": 5126, "count": 3, "type": "VEC2"},
			object{"bufferView": 1, "componentType": 5125, "count": 3, "type": "SCALAR"},
		},
		"bufferViews": []any{object{"buffer": 0, "byteLength": 60}, object{"buffer": 0, "byteOffset": 60, "byteLength": 12}},
		"buffers":     []any{object{"byteLength": len(bin)}},
	}
	if change != nil {
		change(doc)
	}
	return solidtest.PackGLB(doc, bin)
}

// A node is stretched, then turned, then moved (glTF 2.0, §3.5.3), and stands in the one it hangs under.
func TestNodesPlaceTheirMeshes(t *testing.T) {
	half := math.Sqrt2 / 2
	m := read(t, triangle(func(doc object) {
		doc["nodes"] = []any{
			object{"children": []int{1}, "matrix": []float64{1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 10, 0, 0, 1}},
			object{"mesh": 0, "scale": []float64{2, 3, 1}, "rotation": []float64{0, 0, half, half}, "translation": []float64{0, 0, 5}},
		}
	}))
	// x becomes y by a quarter turn about z, and 2 long; y becomes −x, and 3 long.
	assert.InDeltaSlice(t, []float32{10, 0, 5, 10, 2, 5, 7, 0, 5}, m.Positions, 1e-6)
}

func TestTexturesOfAGLB(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 2, 2))
	img.Set(0, 0, color.White) // the upper left pixel: glTF counts from there (§3.8.1)
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	m := read(t, triangle(func(doc object) {
		doc["images"] = []any{object{"uri": "data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())}}
		doc["textures"] = []any{object{"source": 0}}
		doc["materials"] = []any{object{"pbrMetallicRoughness": object{"baseColorFactor": []float64{0.5, 1, 1, 1}, "baseColorTexture": object{"index": 0}}}}
		doc["meshes"].([]any)[0].(object)["primitives"].([]any)[0].(object)["material"] = 0
	}))
	require.True(t, m.Coloured)
	assert.Equal(t, [3]float64{0.5, 1, 1}, m.lightAt(0, [3]float64{0.9, 0.05, 0.05}))
	assert.Equal(t, [3]float64{0, 0, 0}, m.lightAt(0, [3]float64{0.1, 0.8, 0.1}))
}

// A picture is read once, however many materials show it.
func TestAPictureOfManyTexturesIsReadOnce(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewNRGBA(image.Rect(0, 0, 3000, 3000))))
	many := func(images int) []byte {
		return triangle(func(doc object) {
			var imageList, textures, materials, primitives []any
			for i := range 40 {
				if i < images {
					imageList = append(imageList, object{"uri": "data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())})
				}
				textures = append(textures, object{"source": i % images})
				materials = append(materials, object{"pbrMetallicRoughness": object{"baseColorTexture": object{"index": i}}})
				primitives = append(primitives, object{"attributes": object{"POSITION": 0, "TEXCOORD_0": 1}, "material": i})
			}
			doc["images"], doc["textures"], doc["materials"] = imageList, textures, materials
			doc["meshes"] = []any{object{"primitives": primitives}}
		})
	}
	assert.Equal(t, 40, read(t, many(1)).TriangleCount())
	_, err := Read(context.Background(), many(4), nil)
	assert.ErrorContains(t, err, "more than 33 million pixels together")
	p := &pictures{bytes: MaxBytes}
	_, err = p.read(b.Bytes(), "images[0]")
	assert.ErrorContains(t, err, "larger than 256 MiB together")
}

// Files of bytes may begin with the word that files of text begin with, and words may be in capitals.
func TestTextAndBytesOfAnSTLAreToldApart(t *testing.T) {
	data := box().STL()
	copy(data, "solid owl\n")
	assert.Equal(t, len(box().Triangles), read(t, append(data, "and a note"...)).TriangleCount())
	assert.Equal(t, len(box().Triangles), read(t, bytes.ToUpper(box().TextSTL())).TriangleCount())
}

// What cannot be read is refused: what was found, where, and what would be right.
func TestHostileSolidsAreRefused(t *testing.T) {
	nan := func(data []byte, at int) []byte {
		binary.LittleEndian.PutUint32(data[at:], math.Float32bits(float32(math.NaN())))
		return data
	}
	claim := func(n uint32) []byte {
		data := box().STL()
		binary.LittleEndian.PutUint32(data[80:], n)
		return data
	}
	view := func(change object) []byte {
		return triangle(func(doc object) {
			for k, v := range change {
				doc["bufferViews"].([]any)[0].(object)[k] = v
			}
		})
	}
	accessor := func(i int, change object) []byte {
		return triangle(func(doc object) {
			for k, v := range change {
				doc["accessors"].([]any)[i].(object)[k] = v
			}
		})
	}
	nodes := func(list ...any) []byte { return triangle(func(doc object) { doc["nodes"] = list }) }
	deep := make([]any, 0, 100)
	for i := range 100 {
		deep = append(deep, object{"children": []int{i + 1}})
	}
	deep = append(deep, object{"mesh": 0})
	glb := triangle(nil)
	head := func(order string, rest string) []byte { return []byte("ply\nformat " + order + " 1.0\n" + rest) }
	places := "property float x\nproperty float y\nproperty float z\n"
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"nothing":                         {nil, "empty"},
		"a picture":                       {[]byte("\x89PNG\r\n\x1a\n"), "not a solid"},
		"words":                           {[]byte("Dear library, here is the owl."), "not a solid"},
		"text of glTF":                    {[]byte(`{"asset":{"version":"2.0"}}`), "as one file"},
		"STL cut off":                     {box().STL()[:200], "room for 2"},
		"STL that claims 2³² triangles":   {claim(math.MaxUint32), "claims 4294967295 triangles"},
		"STL with a corner that is none":  {nan(box().STL(), 84+12), "triangle 1, corner 1: x is no number"},
		"STL as text, cut off":            {box().TextSTL()[:150], "ends too early"},
		"STL as text, a number":           {[]byte("solid a\nfacet normal 0 0 1\nouter loop\nvertex 0 0 zero\n"), "line 4: “zero” is no number"},
		"STL as text, two corners":        {[]byte("solid a\nfacet\nouter loop\nvertex 0 0 0\nvertex 0 1 0\nendloop\nendfacet\n"), "ends with 2 corners"},
		"STL without triangles":           {[]byte("solid a\nendsolid a\n"), "no triangles"},
		"OBJ, a corner that is not there": {[]byte("v 0 0 0\nv 1 0 0\nf 1 2 3\n"), "line 3: “3” names a corner that is not there; so far there are 2"},
		"OBJ, corner 0":                   {[]byte("v 0 0 0\nf 0 1 1\n"), "“0” names a corner"},
		"OBJ, far back":                   {[]byte("v 0 0 0\nf -2 1 1\n"), "“-2” names a corner"},
		"OBJ, 2³²":                        {[]byte("v 0 0 0\nf 4294967297 1 1\n"), "names a corner"},
		"OBJ, infinite":                   {[]byte("v 0 0 Inf\nf 1 1 1\n"), "z is no number"},
		"OBJ, two corners":                {[]byte("v 0 0 0\nf 1 1\n"), "makes no sense"},
		"OBJ, a face of 10 001 corners":   {[]byte("v 0 0 0\nv 9 0 0\nv 0 9 0\nf" + strings.Repeat(" 1 2 3", 3334) + "\n"), "line 4: a face has more than 10000 corners"},
		"OBJ, such a face on many lines":  {[]byte("v 0 0 0\nv 9 0 0\nv 0 9 0\nf \\\n" + strings.Repeat("1 2 3 \\\n", 4000) + "1\n"), "a face has more than 10000 corners"},
		"OBJ, corners in one place":       {[]byte("v 0 0 0\nv 9 0 0\nv 0 0 0\nf 1 2 1\nf 1 2 3\n"), "no triangles with an area"},
		"OBJ of points":                   {[]byte("v 0 0 0\nv 0 0 1\n"), "no triangles"},
		"PLY without a head":              {[]byte("ply\nformat ascii 1.0\n"), "end_header"},
		"PLY that claims more vertices":   {head("binary_little_endian", "element vertex 2000000000\n"+places+"element face 1\nproperty list uchar int vertex_indices\nend_header\nxxxx"), "claims 2000000000"},
		"PLY of elements without size":    {head("binary_little_endian", "element dust 2000000000\nend_header\n"), "no properties"},
		"PLY of points":                   {head("ascii", "element vertex 1\n"+places+"end_header\n0 0 0\n"), "points but no faces"},
		"PLY, an index of 2³²":            {head("ascii", "element vertex 1\n"+places+"element face 1\nproperty list uchar uint vertex_indices\nend_header\n0 0 0\n3 0 0 4294967295\n"), "names corner"},
		"PLY, an index below 0":           {head("ascii", "element vertex 1\n"+places+"element face 1\nproperty list uchar int vertex_indices\nend_header\n0 0 0\n3 0 0 -1\n"), "names corner -1"},
		"PLY, a list of 2³² corners":      {head("ascii", "element vertex 1\n"+places+"element face 1\nproperty list uint int vertex_indices\nend_header\n0 0 0\n4294967295 0 0 0\n"), "a list has 0 to 10000"},
		"PLY, not a number":               {head("ascii", "element vertex 1\n"+places+"element face 1\nproperty list uchar int vertex_indices\nend_header\n0 nan 0\n3 0 0 0\n"), "y is no number"},
		"PLY, cut off":                    {box().PLY("binary_big_endian")[:400], "ends"},
		"GLB, cut off":                    {glb[:len(glb)-8], "not copied whole"},
		"GLB, head alone":                 {glb[:14], "too early"},
		"GLB of version 1":                {append([]byte("glTF\x01\x00\x00\x00"), glb[8:]...), "version 2"},
		"GLB whose text is none":          {[]byte(strings.Replace(string(glb), `"asset":`, `"asset";`, 1)), "cannot be read"},
		"GLB, a node under itself":        {nodes(object{"children": []int{0}, "mesh": 0}), "nodes[0]: it hangs under"},
		"GLB, nodes in a circle":          {nodes(object{"children": []int{1}}, object{"children": []int{2}}, object{"children": []int{1}}), "nodes[1]: it hangs under"},
		"GLB, nodes too deep":             {nodes(deep...), "more than 64 deep"},
		"GLB, a node that is not there":   {nodes(object{"children": []int{7}}), "number 7 of nodes"},
		"GLB, a matrix of 3":              {nodes(object{"mesh": 0, "matrix": []int{1, 2, 3}}), "16 numbers"},
		"GLB, a mesh that is not there":   {nodes(object{"mesh": -1}), "number -1 of meshes"},
		"GLB, an external buffer":         {triangle(func(doc object) { doc["buffers"].([]any)[0].(object)["uri"] = "owl.bin" }), "another file, “owl.bin”"},
		"GLB, a view beyond":              {view(object{"byteLength": 1 << 40}), "bufferViews[0]: it reaches beyond"},
		"GLB, a view from below 0":        {view(object{"byteOffset": -4}), "bufferViews[0]: it reaches beyond"},
		"GLB, a view of no buffer":        {view(object{"buffer": 9}), "number 9 of buffers"},
		"GLB, 2⁴⁰ vertices":               {accessor(0, object{"count": 1 << 40}), "accessors[0]: it reaches beyond"},
		"GLB, an odd stride":              {view(object{"byteStride": 2}), "accessors[0]: it is not the kind"},
		"GLB, a text for a number":        {accessor(0, object{"count": "three"}), "cannot be read"},
		"GLB, sparse":                     {accessor(0, object{"sparse": object{"count": 1}}), "accessors[0]: it is stored in pieces"},
		"GLB, indices of floats":          {accessor(2, object{"componentType": 5126}), "not the kind of list"},
		"GLB, compressed":                 {triangle(func(doc object) { doc["extensionsRequired"] = []string{"KHR_draco_mesh_compression"} }), "KHR_draco_mesh_compression"},
		"GLB, a million scenes":           {triangle(func(doc object) { doc["scenes"] = make([]object, maxGLBList+1) }), "more than 100000 entries"},
		"GLB, index 2³²−1": {func() []byte {
			b := triangle(nil)
			binary.LittleEndian.PutUint32(b[len(b)-4:], math.MaxUint32)
			return b
		}(), "names corner 4294967295, and there are 3"},
		"GLB, a place that is none": {func() []byte { b := triangle(nil); return nan(b, len(b)-72) }(), "x is no number"},
	} {
		_, err := Read(context.Background(), c.data, nil)
		assert.ErrorContains(t, err, c.want, name)
	}
}

// Whatever way a format has of naming many triangles, those without area among them, there are so many at most; and of a face, corners.
func TestTrianglesAreBoundedInEveryFormat(t *testing.T) {
	places := "property float x\nproperty float y\nproperty float z\n"
	three := "v 0 0 0\nv 9 0 0\nv 0 9 0\n"
	faces := MaxTriangles/9998 + 2
	for name, data := range map[string][]byte{
		"OBJ": []byte(three + strings.Repeat("f"+strings.Repeat(" 1", 10_000)+"\n", faces)),
		"PLY": []byte("ply\nformat ascii 1.0\nelement vertex 3\n" + places + fmt.Sprintf("element face %d\n", faces) + "property list int int vertex_indices\nend_header\n0 0 0 9 0 0 0 9 0 " + strings.Repeat("10000"+strings.Repeat(" 2", 10_000)+" ", faces)),
		"GLB": triangle(func(doc object) {
			primitives := []any{}
			for range MaxTriangles/99_998 + 2 {
				primitives = append(primitives, object{"attributes": object{"POSITION": 0}, "indices": 2, "mode": 6})
			}
			doc["meshes"] = []any{object{"primitives": primitives}}
			doc["accessors"].([]any)[2] = object{"bufferView": 2, "componentType": 5121, "count": 100_000, "type": "SCALAR"}
			doc["bufferViews"] = append(doc["bufferViews"].([]any), object{"buffer": 1, "byteLength": 100_000})
			doc["buffers"] = append(doc["buffers"].([]any), object{"byteLength": 100_000, "uri": "data:application/octet-stream;base64," + base64.StdEncoding.EncodeToString(make([]byte, 100_000))})
		}),
	} {
		_, err := Read(context.Background(), data, nil)
		assert.ErrorContains(t, err, "more than 2500000 triangles", name)
	}
}

// Who asked may go: then reading ends, and so does the making of rings.
func TestWorkEndsWhenNobodyWaits(t *testing.T) {
	gone, leave := context.WithCancel(context.Background())
	leave()
	egg := solidtest.Egg(100, 150, 96, 64)
	for name, data := range formats(egg) {
		_, err := Read(gone, data, nil)
		assert.ErrorIs(t, err, context.Canceled, name)
	}
	_, err := Make(gone, read(t, egg.STL()), Options{Title: "Egg", HeightMM: 180, Papers: papers})
	assert.ErrorIs(t, err, context.Canceled)
}

// However the bytes are, a solid is read or refused, and what was read becomes a figure or is refused.
// A line of millions of words is not read into memory whole, and a face of as many corners is refused (found by an attack: 65 s and
// 3 GB for 6 MB). What follows on such a line is nothing new.
func TestLongLinesOfAnOBJ(t *testing.T) {
	body := "v 0 0 0\nv 1 0 0\nv 0 1 0\n"
	_, err := Read(context.Background(), []byte(body+"f"+strings.Repeat(" 1 2 3", 4000)+"\n"), nil)
	assert.EqualError(t, err, "OBJ, line 4: a face has more than 10000 corners. Save the solid with smaller faces, as triangles, and try again.")
	m := read(t, []byte(body+"#"+strings.Repeat(" f 1 2 3", 9000)+"\nf 1 2 3\n"))
	assert.Equal(t, 1, m.TriangleCount())
	_, err = Read(context.Background(), []byte(body+strings.Repeat("f 1 2 3 \\\n", 9000)+"\n"), nil)
	assert.ErrorContains(t, err, "OBJ, line")
	head, rows, _ := strings.Cut(string(box().PLY("ascii")), "end_header\n")
	m = read(t, []byte(head+"comment "+strings.Repeat("long ", 20000)+"\nend_header\n"+strings.ReplaceAll(rows, "\n", " ")))
	assert.Equal(t, len(box().Triangles), m.TriangleCount())
}

func fuzz(f *testing.F, seeds ...[]byte) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := Read(context.Background(), data, func(string) ([]byte, error) { return data, nil })
		if err != nil {
			return
		}
		for _, v := range m.Triangles {
			if int(v) >= len(m.Positions)/3 {
				t.Fatal("a corner that is not there")
			}
		}
		r, err := Make(context.Background(), m, Options{Title: "Solid", HeightMM: 120, Papers: papers, AllLimbs: true})
		if err != nil {
			return
		}
		if faults := r.Figure.Validate(); len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, ring := range r.Rings {
			if math.IsNaN(ring.Wanted) || math.IsNaN(ring.DistanceMM) {
				t.Fatal("no number")
			}
		}
	})
}

func small() *solidtest.Solid {
	return solidtest.Lathe(120, 12, 6, func(s float64) float64 { return 40 - 10*s }, func(s, _ float64) [3]uint8 { return [3]uint8{uint8(255 * s), 80, 40} })
}

func FuzzSTL(f *testing.F) { fuzz(f, small().STL(), small().TextSTL()) }

func FuzzOBJ(f *testing.F) {
	fuzz(f, small().OBJ(), []byte("mtllib a\nnewmtl b\nKd 1 0 0\nmap_Kd c\nusemtl b\nv 0 0 0\nv 9 0 0\nv 0 9 0\nv 0 0 9\nvt 0 1\nf 1/1 2/1 3/1 4\nf -1//2 -2 -3\n"))
}

func FuzzPLY(f *testing.F) {
	fuzz(f, small().PLY("ascii"), small().PLY("binary_little_endian"), small().PLY("binary_big_endian"))
}

func FuzzGLB(f *testing.F) { fuzz(f, small().GLB(), triangle(nil)) }
