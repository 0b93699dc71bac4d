package solid

import (
	"bytes"
	"path"
	"strings"

	"tuckring/internal/words"
)

// OBJ and MTL (Wavefront, Advanced Visualizer manual, appendix B1, object files, and the material file that goes with them):
// vertices with v, places on pictures with vt, faces with f, materials with usemtl. Colours after the coordinates of a vertex
// are not of that standard but in use (common practice). Colours of materials are read as sRGB (common practice).

// looksLikeOBJ says whether the first lines of a file are those of an OBJ.
func looksLikeOBJ(data []byte) bool {
	if !textual(data[:min(len(data), 4096)]) {
		return false
	}
	t := newText(data[:min(len(data), 1<<16)])
	for fields := t.next(); fields != nil; fields = t.next() {
		switch string(fields[0]) {
		case "v", "vn", "vt", "f", "o", "g", "s", "mtllib", "usemtl":
			return true
		}
		if fields[0][0] != '#' {
			return false
		}
	}
	return false
}

// objReader reads an OBJ.
type objReader struct {
	*Mesh
	t         *text
	beside    Beside
	palette   palette
	materials map[string]Paint
	asked     map[string]bool // files of materials
	pictures  pictures
	places    []float32 // of vt
	now       int32     // the paint of the faces that come
	painted   bool      // a material was asked for that is known
	corners   []objCorner
}

// objCorner is a corner of a face: its vertex and its place, from 0; the place is −1 where it has none.
type objCorner struct{ vertex, place int }

const mostMaterialFiles = 16

func readOBJ(m *Mesh, data []byte, beside Beside) error {
	r := &objReader{Mesh: m, t: newText(data), beside: beside, materials: map[string]Paint{}, asked: map[string]bool{}}
	m.Kind = OBJ
	if _, err := r.palette.index(white); err != nil {
		return err
	}
	for fields := r.t.next(); fields != nil; fields = r.t.next() {
		if last := fields[len(fields)-1]; len(last) > 0 && last[len(last)-1] == '\\' {
			fields = r.goesOn(fields)
		}
		if err := r.statement(fields); err != nil {
			return err
		}
		if err := r.step(); err != nil {
			return err
		}
	}
	if !r.Coloured {
		r.Lights = nil
	}
	r.Paints = r.palette.paints
	r.Coloured = r.Coloured || r.painted
	return nil
}

// goesOn joins lines that end in a backslash; of a statement that is longer than any, enough for it to be refused.
func (r *objReader) goesOn(fields [][]byte) [][]byte {
	out := append([][]byte(nil), fields...)
	for {
		last := out[len(out)-1]
		if len(last) == 0 || last[len(last)-1] != '\\' {
			return out
		}
		if out[len(out)-1] = last[:len(last)-1]; len(last) == 1 {
			out = out[:len(out)-1]
		}
		more := r.t.next()
		if more == nil || len(out) == 0 {
			return append(out, more...)
		}
		if out = append(out, more...); len(out) >= mostWords {
			return out
		}
	}
}

func (r *objReader) statement(fields [][]byte) error {
	if len(fields) == 0 {
		return nil
	}
	switch string(fields[0]) {
	case "v":
		return r.vertexLine(fields[1:])
	case "vt":
		v, err := r.numbers(fields[1:], 1, 2)
		if err != nil {
			return err
		}
		if len(r.places) >= 2*MaxVertices {
			return words.T("solid.vertices", "Most", MaxVertices)
		}
		r.places = append(r.places, float32(v[0]), float32(v[1]))
	case "f":
		return r.faceLine(fields[1:])
	case "usemtl":
		return r.use(string(bytes.Join(fields[1:], []byte(" "))))
	case "mtllib":
		return r.library(string(bytes.Join(fields[1:], []byte(" "))))
	}
	return nil // lines, curves, groups: nothing that rings go around
}

// numbers reads so many numbers, and 0 for those that may be left out.
func (r *objReader) numbers(fields [][]byte, least, most int) (out [6]float64, err error) {
	if len(fields) < least {
		return out, words.T("solid.line", "Kind", string(OBJ), "Line", r.t.line, "Found", r.t.shown())
	}
	for i, f := range fields[:min(len(fields), most)] {
		v, ok := number(f)
		if !ok {
			return out, words.T("solid.line.number", "Kind", string(OBJ), "Line", r.t.line, "Found", clip(f))
		}
		out[i] = v
	}
	return out, nil
}

func (r *objReader) vertexLine(fields [][]byte) error {
	v, err := r.numbers(fields, 3, 6)
	if err != nil {
		return err
	}
	if len(fields) >= 6 {
		if !r.Coloured {
			r.Coloured = true
			for range len(r.Positions) {
				r.Lights = append(r.Lights, 1)
			}
		}
		r.Lights = append(r.Lights, linear(v[3]), linear(v[4]), linear(v[5]))
	} else if r.Coloured {
		r.Lights = append(r.Lights, 1, 1, 1)
	}
	return r.vertex(v[0], v[1], v[2])
}

func (r *objReader) faceLine(fields [][]byte) error {
	if len(fields) > mostCorners {
		return words.T("solid.obj.face", "Line", r.t.line, "Most", mostCorners)
	}
	r.corners = r.corners[:0]
	for _, f := range fields {
		c, err := r.corner(f)
		if err != nil {
			return err
		}
		r.corners = append(r.corners, c)
	}
	if len(r.corners) < 3 {
		return words.T("solid.line", "Kind", string(OBJ), "Line", r.t.line, "Found", r.t.shown())
	}
	textured := r.palette.paints[r.now].Picture != nil
	for k := 2; k < len(r.corners); k++ {
		three := [3]objCorner{r.corners[0], r.corners[k-1], r.corners[k]}
		kept, err := r.triangle(uint32(three[0].vertex), uint32(three[1].vertex), uint32(three[2].vertex))
		if err != nil {
			return err
		}
		if !kept {
			continue
		}
		r.Paint = append(r.Paint, r.now)
		if !textured && r.Places == nil {
			continue
		}
		for len(r.Places) < 6*(r.TriangleCount()-1) {
			r.Places = append(r.Places, 0)
		}
		for _, c := range three {
			u, v := float32(0), float32(0)
			if c.place >= 0 {
				u, v = r.places[2*c.place], r.places[2*c.place+1]
			}
			r.Places = append(r.Places, u, v)
		}
	}
	return nil
}

// corner reads "7", "7/3", "7/3/2" or "7//2"; numbers below 0 count back from the last vertex.
func (r *objReader) corner(field []byte) (objCorner, error) {
	vertex, rest, _ := bytes.Cut(field, []byte("/"))
	place, _, _ := bytes.Cut(rest, []byte("/"))
	there := len(r.Positions) / 3
	v, ok := back(vertex, there)
	if !ok {
		return objCorner{}, words.T("solid.obj.index", "Line", r.t.line, "Found", clip(field), "There", there)
	}
	c := objCorner{v, -1}
	if len(place) > 0 {
		there := len(r.places) / 2
		if c.place, ok = back(place, there); !ok {
			return objCorner{}, words.T("solid.obj.place", "Line", r.t.line, "Found", clip(field), "There", there)
		}
	}
	return c, nil
}

// back gives the index, from 0, that a number from 1 up or from −1 back names.
func back(field []byte, count int) (int, bool) {
	n, ok := whole(field)
	if n < 0 {
		n += count
	} else {
		n--
	}
	return n, ok && n >= 0 && n < count
}

// use takes a material for the faces that come. One that is not known is white.
func (r *objReader) use(name string) error {
	paint, ok := r.materials[name]
	if !ok {
		paint = white
	}
	r.painted = r.painted || ok
	var err error
	r.now, err = r.palette.index(paint)
	return err
}

// library reads a file of materials, if it is there: without it the solid has no colours.
func (r *objReader) library(name string) error {
	if r.beside == nil || r.asked[name] || len(r.asked) == mostMaterialFiles {
		return nil
	}
	r.asked[name] = true
	data, err := r.beside(bare(name))
	if err != nil || len(data) > MaxBytes {
		return nil
	}
	return r.readMaterials(data, bare(name))
}

// bare is the name of a file without its folders, of whichever system.
func bare(name string) string { return path.Base(strings.ReplaceAll(name, `\`, "/")) }

func (r *objReader) readMaterials(data []byte, file string) error {
	t := newText(data)
	name := ""
	at := func(f func(*Paint)) {
		p := r.materials[name]
		f(&p)
		r.materials[name] = p
	}
	for fields := t.next(); fields != nil; fields = t.next() {
		switch string(fields[0]) {
		case "newmtl":
			name = string(bytes.Join(fields[1:], []byte(" ")))
			if r.materials[name] = white; len(r.materials) > MaxPaints {
				return words.T("solid.paints", "Most", MaxPaints)
			}
		case "Kd":
			var light [3]float32
			for k := range light {
				if len(fields) < 4 {
					return words.T("solid.materials.line", "File", clip([]byte(file)), "Line", t.line, "Found", t.shown())
				}
				v, ok := number(fields[1+k])
				if !ok {
					return words.T("solid.materials.line", "File", clip([]byte(file)), "Line", t.line, "Found", t.shown())
				}
				light[k] = linear(v)
			}
			at(func(p *Paint) { p.Light = light })
		case "map_Kd":
			if len(fields) < 2 {
				continue
			}
			data, err := r.beside(bare(string(fields[len(fields)-1])))
			if err != nil {
				continue // the colour alone
			}
			img, err := r.pictures.read(data, name)
			if err != nil {
				return err
			}
			img.upwards = true
			at(func(p *Paint) { p.Picture = img })
		}
	}
	return nil
}
