package fold

import "math"

// PaperMM is the thickness of one layer of 80 g/m² copy paper, in mm (from memory: a ream of 500
// sheets stands about 50 mm high).
const PaperMM = 0.1

// mouthPlace is where along the spine, from the right-angled corner, the mouth of a pocket stands open
// widest, in legs. The point that enters comes from the side, from a unit half a pitch away, and pushes
// the folded-over layer out, most near the far end of the spine, until the unit touches its neighbours
// (estimated from how the units stand in the wall, from memory).
const mouthPlace = 0.6

// Limits of the angle by which one leaf opens from the middle plane, in radians.
const (
	openLeast = 0.02
	openMost  = 0.7
)

// Part is a piece of the solid that is drawn in one go: Count indices from First.
type Part struct {
	Name         string // "left", "right": the leaves as seen from outside; "pocket": the linings of the pockets
	First, Count int
}

// Solid is the finished unit standing in space, as a mesh of flat triangles, in mm.
//
// The origin lies midway between the two points. x runs to the right as seen from outside, y up, z
// outwards. The points stand at (±tips/2, 0, 0); the half bases rise to them from the right-angled
// corner below; the spine runs from that corner outwards along z at the bottom, with the mouths of
// the pockets on its outer, lower face. So the long side (hypotenuse) faces outwards; turned by half a
// turn about y, the short side does.
//
// Positions and Normals hold three numbers a vertex; Indices three vertices a triangle,
// counterclockwise as seen from the side that the normal points to. Outer faces of a leaf have the
// thickness of the paper's real layers.
type Solid struct {
	Positions, Normals []float32
	Indices            []uint16
	Parts              []Part
}

// Triangles counts the triangles of the mesh.
func (s *Solid) Triangles() int { return len(s.Indices) / 3 }

// vec is a place or direction in space, in mm.
type vec [3]float64

func (a vec) minus(b vec) vec { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a vec) unit() vec {
	l := math.Sqrt(a[0]*a[0] + a[1]*a[1] + a[2]*a[2])
	return vec{a[0] / l, a[1] / l, a[2] / l}
}

// leaf places one leaf: along runs up the spine from the right-angled corner, up along the half
// base to the point, away from the middle plane outwards.
type leaf struct {
	sign         float64 // +1 right, −1 left
	leg          float64
	open         float64 // angle from the middle plane, radians
	under, strip float64 // thickness of the folded flap and of one strip, mm
	spring       float64 // opening of the mouth at its widest, mm
	flap         float64 // length of the flap as tucked, mm
	out          *Solid
}

// NewSolid opens the unit so far that its points stand tipsMM apart, with layers of paper of the
// given thickness in mm. A paper without flap gets a solid without flap.
func NewSolid(m Measures, tipsMM, paperMM float64) *Solid {
	s := &Solid{}
	l := openLeaf(s, m, tipsMM, paperMM)
	s.leaves(l, leaf.outside)
	s.part("pocket", func() {
		for _, sign := range []float64{-1, 1} {
			l.sign = sign
			l.lining()
		}
		l.spine()
	})
	return s
}

// NewPlainSolid is the same unit without the inside of its pockets and its flaps, about a third of
// the triangles, for models of very many units.
func NewPlainSolid(m Measures, tipsMM, paperMM float64) *Solid {
	s := &Solid{}
	l := openLeaf(s, m, tipsMM, paperMM)
	l.flap = 0
	s.leaves(l, leaf.outside)
	return s
}

func openLeaf(s *Solid, m Measures, tipsMM, paperMM float64) leaf {
	plain, _, corner := m.LeafLayers()
	strip := float64(m.StripLayers) * paperMM
	under := float64(corner-plain) * paperMM
	if !m.Foldable() {
		under = 0
	}
	sine := (tipsMM/2 - under - strip) / m.LegMM
	open := math.Asin(math.Max(-1, math.Min(1, sine)))
	return leaf{
		leg: m.LegMM, open: math.Max(openLeast, math.Min(openMost, open)), under: under, strip: strip,
		spring: math.Max(tipsMM-under-2*strip, under+2*strip), flap: math.Max(0, m.TuckedFlapMM()), out: s,
	}
}

// leaves draws the left leaf, then the right one.
func (s *Solid) leaves(l leaf, draw func(leaf)) {
	l.sign = -1
	s.part("left", func() { draw(l) })
	l.sign = 1
	s.part("right", func() { draw(l) })
}

func (s *Solid) part(name string, draw func()) {
	first := len(s.Indices)
	draw()
	s.Parts = append(s.Parts, Part{Name: name, First: first, Count: len(s.Indices) - first})
}

// at is a place in the leaf: a mm along the spine, b mm towards the point, d mm from its inner face.
func (l leaf) at(a, b, d float64) vec {
	sin, cos := math.Sincos(l.open)
	return vec{l.sign * (b*sin + d*cos), b*cos - d*sin - l.leg*cos, a}
}

// apex is the far end of the spine, d mm from the inner face. No flap reaches there (it ends at the leg
// or before), so the leaves are pinched together and meet.
func (l leaf) apex(d float64) vec { return l.at(l.leg, 0, d-l.under) }

// face adds a convex flat face, given counterclockwise as seen on the right leaf from its front.
func (l leaf) face(corners ...vec) {
	if l.sign < 0 {
		for i, j := 0, len(corners)-1; i < j; i, j = i+1, j-1 {
			corners[i], corners[j] = corners[j], corners[i]
		}
	}
	n := corners[1].minus(corners[0]).cross(corners[2].minus(corners[0])).unit()
	s, first := l.out, len(l.out.Positions)/3
	for _, c := range corners {
		for k := range 3 {
			s.Positions = append(s.Positions, float32(c[k]))
			s.Normals = append(s.Normals, float32(n[k]))
		}
	}
	for i := 2; i < len(corners); i++ {
		s.Indices = append(s.Indices, uint16(first), uint16(first+i-1), uint16(first+i))
	}
}

// outside draws what is seen of a leaf from outside: the folded-over layer, sprung open at its
// mouth, the inner face with the flap on it, and the paper's edges along the two closed sides.
func (l leaf) outside() {
	h, f := l.leg, l.flap
	mid := l.under + l.strip
	top := mid + l.strip
	point, corner, apex := l.at(0, h, top), l.at(0, 0, top), l.apex(top)
	mouth := l.at(mouthPlace*h, 0, top+l.spring)
	l.face(point, apex, mouth)
	l.face(point, mouth, corner)
	l.face(l.apex(l.under), apex, point, l.at(0, h, l.under))         // along the hypotenuse
	l.face(l.at(0, 0, 0), l.at(0, h, 0), point, corner)               // along the half base
	l.face(l.at(0, 0, l.under), l.apex(l.under), l.at(0, h, l.under)) // inner face
	if l.under > 0 && f > 0 {
		l.face(l.at(0, 0, 0), l.at(f, 0, 0), l.at(f, h-f, 0), l.at(0, h, 0))
		l.face(l.at(f, h-f, 0), l.at(f, 0, 0), l.at(f, 0, l.under), l.at(f, h-f, l.under))
	}
}

// lining draws the inside of a pocket and the edge of its mouth.
func (l leaf) lining() {
	h := l.leg
	mid := l.under + l.strip
	top := mid + l.strip
	point, corner, apex := l.at(0, h, mid), l.at(0, 0, mid), l.apex(mid)
	mouth := l.at(mouthPlace*h, 0, mid+l.spring)
	l.face(point, corner, mouth)
	l.face(point, mouth, apex)
	l.face(point, apex, corner)
	l.face(corner, l.at(0, 0, top), l.at(mouthPlace*h, 0, top+l.spring), mouth)
	l.face(mouth, l.at(mouthPlace*h, 0, top+l.spring), l.apex(top), apex)
}

// spine draws the fold that joins the two inner layers, below the flaps.
func (l leaf) spine() {
	d := l.under + l.strip
	r := l
	r.sign = 1
	a, b := r.at(0, 0, d), r.apex(d)
	l.sign = 1
	l.face(a, b, vec{-b[0], b[1], b[2]}, vec{-a[0], a[1], a[2]})
}
