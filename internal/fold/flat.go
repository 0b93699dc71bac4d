package fold

import "math"

// Pt is a point of the plane, in mm.
type Pt struct{ X, Y float64 }

// Isometry is a rigid motion of the plane, with or without a reflection:
// (x, y) ↦ (A·x + B·y + X, C·x + D·y + Y).
type Isometry struct{ A, B, C, D, X, Y float64 }

// still is the motion that moves nothing.
var still = Isometry{A: 1, D: 1}

// Apply moves a point.
func (m Isometry) Apply(p Pt) Pt {
	return Pt{m.A*p.X + m.B*p.Y + m.X, m.C*p.X + m.D*p.Y + m.Y}
}

// Reflects tells whether the motion turns the paper's face over.
func (m Isometry) Reflects() bool { return m.A*m.D-m.B*m.C < 0 }

// then is the motion that does first m, then n.
func (m Isometry) then(n Isometry) Isometry {
	o := n.Apply(Pt{m.X, m.Y})
	return Isometry{
		A: n.A*m.A + n.B*m.C, B: n.A*m.B + n.B*m.D,
		C: n.C*m.A + n.D*m.C, D: n.C*m.B + n.D*m.D,
		X: o.X, Y: o.Y,
	}
}

// line is a directed straight line through at; what lies to its left moves in a fold.
type line struct{ at, along Pt }

// through is the line from a to b.
func through(a, b Pt) line {
	d := math.Hypot(b.X-a.X, b.Y-a.Y)
	return line{at: a, along: Pt{(b.X - a.X) / d, (b.Y - a.Y) / d}}
}

// left is the distance of p from the line, in mm, positive on its left.
func (l line) left(p Pt) float64 {
	return l.along.X*(p.Y-l.at.Y) - l.along.Y*(p.X-l.at.X)
}

// reflection is the motion that mirrors the plane in the line.
func (l line) reflection() Isometry {
	c, s := l.along.X*l.along.X-l.along.Y*l.along.Y, 2*l.along.X*l.along.Y
	m := Isometry{A: c, B: s, C: s, D: -c}
	o := m.Apply(l.at)
	m.X, m.Y = l.at.X-o.X, l.at.Y-o.Y
	return m
}

// near is how close two points of a pattern must be to be one, in mm.
const near = 1e-7

// flake is a facet while the sheet is being folded: a convex polygon on the flat sheet and its
// motions after every step so far.
type flake struct {
	sheet  []Pt
	stages []Stage
}

func (f *flake) motion() Isometry { return f.stages[len(f.stages)-1].Motion }

// folded is the facet's outline where it lies now.
func (f *flake) folded() []Pt {
	m := f.motion()
	out := make([]Pt, len(f.sheet))
	for i, p := range f.sheet {
		out[i] = m.Apply(p)
	}
	return out
}

// split cuts the facet along a line of the folded plane. Either part is nil when it is empty.
func (f *flake) split(l line) (left, right *flake) {
	m := f.motion()
	var a, b []Pt
	for i, p := range f.sheet {
		q := f.sheet[(i+1)%len(f.sheet)]
		dp, dq := l.left(m.Apply(p)), l.left(m.Apply(q))
		if dp > -near {
			a = append(a, p)
		}
		if dp < near {
			b = append(b, p)
		}
		if dp > near && dq < -near || dp < -near && dq > near {
			t := dp / (dp - dq)
			x := Pt{p.X + t*(q.X-p.X), p.Y + t*(q.Y-p.Y)}
			a, b = append(a, x), append(b, x)
		}
	}
	return f.part(a), f.part(b)
}

// part is the facet cut down to an outline; nil when the outline has no area.
func (f *flake) part(outline []Pt) *flake {
	if area(outline) < near {
		return nil
	}
	return &flake{sheet: outline, stages: append([]Stage(nil), f.stages...)}
}

// area of a polygon, positive when its corners run counterclockwise, in mm².
func area(ps []Pt) float64 {
	s := 0.0
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		s += p.X*q.Y - p.Y*q.X
	}
	return s / 2
}

// stack is the folded paper: its facets from the lowest layer to the highest.
type stack []*flake

// where a fold brings the moving paper: over all other layers, or under them.
type where bool

const (
	over  where = true
	under where = false
)

// crease is one straight fold: what is left of the line, as far as only allows it, moves.
type crease struct {
	line line
	only func(outline []Pt) bool // nil: everything
}

// fold folds along each of the lines in turn and returns the paper after it. All folds of the unit
// are simple ones: the moving layers turn over together and come to lie over or under the rest.
func (s stack) fold(to where, creases ...crease) stack {
	for _, c := range creases {
		var stay, move stack
		for _, f := range s {
			if c.only != nil && !c.only(f.folded()) {
				stay = append(stay, f)
				continue
			}
			l, r := f.split(c.line)
			if r != nil {
				stay = append(stay, r)
			}
			if l != nil {
				last := &l.stages[len(l.stages)-1]
				last.Motion = last.Motion.then(c.line.reflection())
				move = append(stack{l}, move...)
			}
		}
		if to == over {
			s = append(stay, move...)
		} else {
			s = append(move, stay...)
		}
	}
	for i, f := range s {
		f.stages[len(f.stages)-1].Layer = i
	}
	return s
}

// next begins a new step: every facet stays as it was until a fold moves it.
func (s stack) next() {
	for _, f := range s {
		f.stages = append(f.stages, f.stages[len(f.stages)-1])
	}
}

// faces shows the paper as it lies, lowest layer first, as seen from above or, turned, from below
// with left and right exchanged.
func (s stack) faces(turned bool) []Face {
	out := make([]Face, len(s))
	for i, f := range s {
		face := Face{Outline: f.folded(), Coloured: f.motion().Reflects() != turned}
		at := i
		if turned {
			mirror(face.Outline)
			at = len(s) - 1 - i
		}
		out[at] = face
	}
	return out
}

func mirror(ps []Pt) {
	for i := range ps {
		ps[i].X = -ps[i].X
	}
}
