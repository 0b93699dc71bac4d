package fold

import "math"

// Pocket is the room of one pocket of the standing unit, in the unit's own directions and mm (see Solid): a tetrahedron
// between the inner layer of the leaf (Point, Corner, End: the unit's point, the right-angled corner and the far end of
// the spine) and the folded-over layer, which stands open widest at Mouth. A point of the ring below comes in along the
// spine.
type Pocket struct{ Point, Corner, End, Mouth [3]float64 }

// Pockets gives the pockets of the unit that NewSolid makes of the same measures: what its linings enclose.
func Pockets(m Measures, tipsMM, paperMM float64) (left, right Pocket) {
	l := openLeaf(nil, m, tipsMM, paperMM)
	of := func(sign float64) Pocket {
		l.sign = sign
		mid := l.under + l.strip
		return Pocket{Point: l.at(0, l.leg, mid), Corner: l.at(0, 0, mid), End: l.apex(mid), Mouth: l.at(mouthPlace*l.leg, 0, mid+l.spring)}
	}
	return of(-1), of(1)
}

// Away is how far a place is from the pocket, in mm: 0 inside.
func (p *Pocket) Away(at [3]float64) float64 {
	corners := [4]vec{p.Point, p.Corner, p.End, p.Mouth}
	inside, least := true, math.Inf(1)
	for k := range corners {
		a, b, c, other := corners[(k+1)%4], corners[(k+2)%4], corners[(k+3)%4], corners[k]
		n := b.minus(a).cross(c.minus(a))
		if n.dot(vec(at).minus(a))*n.dot(other.minus(a)) < 0 {
			inside = false
			least = math.Min(least, vec(at).toTriangle(a, b, c))
		}
	}
	if inside {
		return 0
	}
	return least
}

func (a vec) dot(b vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (a vec) plus(k float64, b vec) vec { return vec{a[0] + k*b[0], a[1] + k*b[1], a[2] + k*b[2]} }

// toTriangle is the distance from a place to a triangle: to its face where the place lies over it, else to an edge.
func (q vec) toTriangle(a, b, c vec) float64 {
	n := b.minus(a).cross(c.minus(a))
	if size := math.Sqrt(n.dot(n)); size > 0 {
		over := true
		for _, e := range [3][2]vec{{a, b}, {b, c}, {c, a}} {
			over = over && e[1].minus(e[0]).cross(q.minus(e[0])).dot(n) >= 0
		}
		if over {
			return math.Abs(q.minus(a).dot(n)) / size
		}
	}
	return math.Min(q.toEdge(a, b), math.Min(q.toEdge(b, c), q.toEdge(c, a)))
}

func (q vec) toEdge(a, b vec) float64 {
	along := b.minus(a)
	t := 0.0
	if l := along.dot(along); l > 0 {
		t = math.Max(0, math.Min(1, q.minus(a).dot(along)/l))
	}
	d := q.minus(a.plus(t, along))
	return math.Sqrt(d.dot(d))
}
