package shape

import (
	"cmp"
	"math"
	"slices"

	"tuckring/internal/figure"
)

// Look is what an extra looks like where it is fixed to the wall. Every picture of the figure draws extras by it
// or by the same spots, pieces and leaves in space, so that they are alike everywhere: true sizes and outlines,
// a piece on another in the order of the document, tucked units standing off the wall.
type Look struct {
	ID     figure.ExtraID
	Colour int     // place in the palette, −1 for none of the figure's colours
	Turn   float64 // its direction from the axis in radians, −π … π; 0 on the front line, growing to the right
	Facets []Facet // in drawing order as seen from outside
}

// Facet is a flat piece of paper. Corners are in mm from the middle of the visible face of the unit at the extra's
// place: along the wall to the right as seen from outside, up, and out of the wall. Foot is where along the wall
// the chain of its unit begins.
type Facet struct {
	Leaf    Leaf
	Foot    float64
	Corners [][3]float64
}

// Leaf says which part of a unit a facet is, for its light.
type Leaf int8

// A facet is a glued piece, or one of a tucked unit's two leaves.
const (
	LeftLeaf  Leaf = -1
	FlatPiece Leaf = 0
	RightLeaf Leaf = 1
)

// So many tucked units are shown flat, over all extras and of one of them (in space all are): more lie over
// one another, and cost time in every picture. Each extra shows at least one column of two.
const (
	mostLooks   = 3000
	mostColumns = 12
)

// Looks gives the look of every extra in drawing order: glued pieces in the order of the document, then tucked
// units, which stand off further. The figure must keep the rules of the document.
func Looks(f *figure.Figure, g Gauge) []Look {
	if len(f.Extras) == 0 {
		return nil
	}
	u := figure.Unroll(f)
	p := setUp(f, u, g, false)
	out := make([]Look, 0, len(f.Extras))
	for i := range p.Pieces {
		out = append(out, p.pieceLook(&p.Pieces[i]))
	}
	each := mostLooks / max(1, len(p.Extras))
	for _, spots := range p.Extras {
		out = append(out, p.tuckedLook(f, u, spots, each))
	}
	return out
}

func (p *Placement) pieceLook(q *Piece) Look {
	facet := Facet{Leaf: FlatPiece, Corners: make([][3]float64, len(q.Outline))}
	for i, c := range q.Outline {
		facet.Corners[i] = [3]float64{c[0], c[1], q.OffMM}
	}
	return Look{ID: q.ID, Colour: q.Colour, Turn: nearTurn(q.Azimuth), Facets: []Facet{facet}}
}

// tuckedLook lays the chains of an extra along its ring, whose points stand half a rise over the middle of the
// face of their unit.
func (p *Placement) tuckedLook(f *figure.Figure, u *figure.Unrolled, spots ExtraSpot, most int) Look {
	e := &f.Extras[slices.IndexFunc(f.Extras, func(e figure.Extra) bool { return e.ID == spots.ID })]
	ring := p.Rings[e.RingIndex()]
	at := ring.azimuth(turnAt(f, u, e.RingIndex(), e.At))
	columns := (e.Units + chainMost - 1) / chainMost
	shown := min(mostColumns, max(1, most/chainMost))
	look := Look{ID: e.ID, Colour: -1, Turn: nearTurn(at)}
	if i, ok := f.ColourIndex(e.Colour); ok {
		look.Colour = i
	}
	for k := range spots.Count {
		if off := 2*(k%columns) - (columns - 1); off >= shown || off < -shown || k/columns >= max(2, most/shown) {
			continue
		}
		s := p.Spots[spots.First+k]
		along := (s.Azimuth - at) * ring.RadiusMM
		s.X, s.Y, s.Z = along, s.Y-ring.Y+p.Gauge.Rise.Best/2, math.Hypot(s.X, s.Z)-ring.RadiusMM
		s.Yaw -= s.Azimuth
		s.In = Standing
		leaves := p.Leaves(s)
		look.Facets = append(look.Facets, Facet{LeftLeaf, along, leaves[0][:]}, Facet{RightLeaf, along, leaves[1][:]})
	}
	byDepth(look.Facets)
	return look
}

// nearTurn brings an angle into −π … π.
func nearTurn(a float64) float64 { return math.Remainder(a, 2*math.Pi) }

// Flat is the look on the unrolled wall: every chain turned on its foot as it is seen by who stands before the
// figure's front, and what is on the back as from the side. Straight on, a chain would be a narrow line. The third
// number of a corner is then how near it is, mm.
func (l *Look) Flat() []Facet {
	if len(l.Facets) > 0 && l.Facets[0].Leaf == FlatPiece {
		return l.Facets
	}
	sin, cos := math.Sincos(math.Max(-math.Pi/2, math.Min(math.Pi/2, l.Turn)))
	out := make([]Facet, len(l.Facets))
	for i, f := range l.Facets {
		out[i] = Facet{Leaf: f.Leaf, Foot: f.Foot, Corners: make([][3]float64, len(f.Corners))}
		for k, c := range f.Corners {
			x := c[0] - f.Foot
			out[i].Corners[k] = [3]float64{f.Foot + x*cos + c[2]*sin, c[1], c[2]*cos - x*sin}
		}
	}
	byDepth(out)
	return out
}

// byDepth sorts facets so that the nearest are drawn last.
func byDepth(facets []Facet) {
	near := func(f *Facet) (sum float64) {
		for _, c := range f.Corners {
			sum += c[2] / float64(len(f.Corners))
		}
		return sum
	}
	slices.SortStableFunc(facets, func(a, b Facet) int { return cmp.Compare(near(&a), near(&b)) })
}

// leafApart is how far a tucked unit's points stand apart, in pitches: without neighbours that press them
// together they open a little (from memory).
const leafApart = 2.0 / 3

// Leaves gives the two leaves of a unit that stands on its own, the left one first, as triangles in space, in mm: its point,
// the right-angled corner a leg below, and the far end of the spine. The two meet in the spine.
func (p *Placement) Leaves(s Spot) [2][3][3]float64 {
	h, q := p.Measures.LegMM, leafApart*p.Gauge.Pitch.Best/2
	corner, end := p.Corner(&s, 0, -h, 0), p.Corner(&s, 0, -h, h)
	return [2][3][3]float64{{p.Corner(&s, -q, 0, 0), corner, end}, {p.Corner(&s, q, 0, 0), corner, end}}
}
