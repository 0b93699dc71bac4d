package solid

import (
	"cmp"
	"encoding/json"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
)

// own is what a model that Tuckring wrote says it is made of, and where its units stand.
type own struct {
	unit  figure.Unit
	tips  float64 // how far apart a unit's points stand, in its own mm: half a pitch
	units []ownUnit
}

type ownUnit struct {
	at    [3]float64 // the middle between its points, in the file's own unit of length
	light [3]float32
}

// generator is how Tuckring signs its models.
const generator = "Tuckring"

// ownRoot and ownMesh are what Tuckring notes in its models ("extras", §3.4 of glTF): which unit they are made of, and how many
// units a mesh begins with.
type ownRoot struct {
	Unit *struct {
		LongMM  float64     `json:"long_mm"`
		ShortMM float64     `json:"short_mm"`
		Fold    figure.Fold `json:"fold"`
	} `json:"unit"`
	TipsMM float64 `json:"tips_mm"`
	Plain  bool    `json:"plain"`
}

type ownMesh struct {
	Units int `json:"units"`
}

// ownUnits finds the units of a model that Tuckring wrote, by the corners of the one unit that all are copies of. Of any other
// model, and of one in which they cannot be found, it gives nil: that is read like any solid.
func (r *glbReader) ownUnits() *own {
	if r.Asset.Generator != generator || len(r.Nodes) == 0 {
		return nil
	}
	var root ownRoot
	if json.Unmarshal(r.Nodes[0].Extras, &root) != nil || root.Unit == nil {
		return nil
	}
	unit := figure.Unit{LongMM: root.Unit.LongMM, ShortMM: root.Unit.ShortMM, Fold: root.Unit.Fold}
	m := fold.Of(unit)
	if !m.Foldable() || !(m.LegMM <= figure.MaxUnitMM) || !(root.TipsMM > 0 && root.TipsMM <= 2*m.LegMM) || unit.Fold != figure.Single && unit.Fold != figure.Doubled {
		return nil
	}
	solid := fold.NewSolid(m, root.TipsMM, fold.PaperMM)
	if root.Plain {
		solid = fold.NewPlainSolid(m, root.TipsMM, fold.PaperMM)
	}
	anchors, weights, ok := middleOf(solid)
	if !ok {
		return nil
	}
	out := &own{unit: unit, tips: root.TipsMM}
	each := len(solid.Positions) / 3
	for _, n := range r.shown {
		var note ownMesh
		if json.Unmarshal(n.extras, &note) != nil || note.Units < 0 || note.Units > n.vertices/each {
			return nil
		}
		for i := range note.Units {
			var u ownUnit
			for k, a := range anchors {
				p := r.Positions[3*(n.first+i*each+a):][:3]
				for c := range u.at {
					u.at[c] += weights[k] * float64(p[c])
				}
			}
			u.light = r.palette.paints[n.paint].Light
			out.units = append(out.units, u)
		}
	}
	if len(out.units) == 0 {
		return nil
	}
	return out
}

// middleOf gives four corners of a unit and the weights with which they make its origin, wherever and however large it stands.
func middleOf(s *fold.Solid) (at [4]int, weights [4]float64, ok bool) {
	n := len(s.Positions) / 3
	corner := func(i int) [3]float64 {
		p := s.Positions[3*i:][:3]
		return [3]float64{float64(p[0]), float64(p[1]), float64(p[2])}
	}
	far := func(measure func(i int) float64) (best int) {
		for i := range n {
			if measure(i) > measure(best) {
				best = i
			}
		}
		return best
	}
	a := corner(0)
	at[1] = far(func(i int) float64 { d := minus(corner(i), a); return dot(d, d) })
	ab := minus(corner(at[1]), a)
	at[2] = far(func(i int) float64 { d := cross(minus(corner(i), a), ab); return dot(d, d) })
	n2 := cross(ab, minus(corner(at[2]), a))
	at[3] = far(func(i int) float64 { return math.Abs(dot(minus(corner(i), a), n2)) })
	b, c, d := ab, minus(corner(at[2]), a), minus(corner(at[3]), a)
	det := dot(b, cross(c, d))
	if math.Abs(det) < 1e-6 {
		return at, weights, false
	}
	o := minus([3]float64{}, a)
	weights[1] = dot(o, cross(c, d)) / det
	weights[2] = dot(b, cross(o, d)) / det
	weights[3] = dot(b, cross(c, o)) / det
	weights[0] = 1 - weights[1] - weights[2] - weights[3]
	return at, weights, true
}

// shownMesh is a primitive as a node shows it.
type shownMesh struct {
	first, vertices int
	paint           int32
	extras          json.RawMessage
}

// ownRings are the rings of the standing part of a model that Tuckring wrote, in mm.
type ownRings struct {
	unit  figure.Unit
	scale float64 // mm of the solid for a mm of the model
	rings []ownRing
	off   int // units that stand on none of them
	stood *stood
	units []ownUnit
}

type ownRing struct {
	y, radius float64
	units     int
	turn      float64 // of a single unit
}

// sameMM is how far units of one ring are off each other's height and circle at the most.
const sameMM = 0.05

func newOwnRings(m *own, s *stood) *ownRings {
	out := &ownRings{unit: m.unit, units: make([]ownUnit, len(m.units)), stood: s}
	column := s.toMM.m[0]
	out.scale = math.Sqrt(dot(column, column)) / 1000 // models are in metres
	list := make([]ownRing, len(m.units))
	for i, u := range m.units {
		at := s.toMM.at(u.at)
		out.units[i] = ownUnit{at, u.light}
		x, z := at[0]-s.toMM.t[0], at[2]-s.toMM.t[2]
		list[i] = ownRing{at[1], math.Hypot(x, z), 1, math.Atan2(x, z) / (2 * math.Pi)}
	}
	for _, level := range alike(list, func(r ownRing) float64 { return r.y }) {
		best := 0 // of its circles the one with most units is a ring
		circles := alike(level, func(r ownRing) float64 { return r.radius })
		for i := range circles {
			if len(circles[i]) > len(circles[best]) {
				best = i
			}
		}
		ring := ownRing{y: circles[best][0].y, radius: circles[best][0].radius, units: len(circles[best])}
		if ring.units >= figure.MinUnits && around(circles[best]) && full(ring, 2*m.tips*out.scale) && out.next(ring.y) {
			out.rings = append(out.rings, ring)
			out.off -= ring.units
		}
		out.off += len(level)
	}
	return out
}

// widestGap is the widest opening of a ring, in turns: what leaves more is no ring.
const widestGap = 0.3

// around says whether units stand all around.
func around(list []ownRing) bool {
	slices.SortFunc(list, func(a, b ownRing) int { return cmp.Compare(a.turn, b.turn) })
	gap := list[0].turn + 1 - list[len(list)-1].turn
	for i := 1; i < len(list); i++ {
		gap = math.Max(gap, list[i].turn-list[i-1].turn)
	}
	return gap <= widestGap || len(list) <= 4
}

// leastFull is how much of its circle a ring with openings fills at the least.
const leastFull = 0.6

func full(r ownRing, pitch float64) bool {
	return float64(r.units)*pitch >= leastFull*2*math.Pi*r.radius
}

// next says whether a height is that of the next ring: all rise alike. What stands higher is a part.
func (o *ownRings) next(y float64) bool {
	found := o.rings
	n := len(found)
	return n < 2 || math.Abs(y-found[n-1].y-(found[1].y-found[0].y)) <= sameMM
}

// alike sorts a list by a measure and parts it where that jumps by more than sameMM.
func alike(list []ownRing, measure func(ownRing) float64) [][]ownRing {
	slices.SortFunc(list, func(a, b ownRing) int { return cmp.Compare(measure(a), measure(b)) })
	var out [][]ownRing
	for i := 0; i < len(list); {
		n := i + 1
		for n < len(list) && measure(list[n])-measure(list[n-1]) <= sameMM {
			n++
		}
		out = append(out, list[i:n])
		i = n
	}
	return out
}

// front is the front line of a ring of so many units, in units from the seam, that puts its units where those of the lowest ring
// were.
func (o *ownRings) front(units int) float64 {
	middle := units / 2
	least := math.Inf(1) // of the unit of that ring that is nearest to the front, its turn
	for _, u := range o.units {
		if math.Abs(u.at[1]-o.rings[0].y) > sameMM {
			continue
		}
		turn := math.Atan2(u.at[0]-o.stood.toMM.t[0], u.at[2]-o.stood.toMM.t[2]) / (2 * math.Pi)
		if math.Abs(turn) < math.Abs(least) {
			least = turn
		}
	}
	return math.Max(0, float64(middle)-math.Round(2*least*float64(units))/2)
}

// fits says whether the model is as large as a figure of a unit would be.
func (o *ownRings) fits(unit figure.Unit) bool {
	const same = 0.01
	leg := fold.Of(o.unit).LegMM * o.scale
	return math.Abs(fold.Of(unit).LegMM/leg-1) < same && len(o.rings) > 1
}

// slices gives circles as wide as the wall is at heights.
func (o *ownRings) slices(heights []float64) []slice {
	const corners = 96
	out := make([]slice, len(heights))
	for i, y := range heights {
		out[i].y = y
		radius := o.radius(y)
		if radius <= 0 {
			continue
		}
		lines := make([]crossing, corners)
		at := func(k int) point {
			sin, cos := math.Sincos(float64(k%corners) * 2 * math.Pi / corners)
			return point{o.stood.toMM.t[0] + radius*cos, o.stood.toMM.t[2] + radius*sin}
		}
		for k := range lines {
			lines[k] = crossing{at(k), at(k + 1)}
		}
		circle, _ := loopOf(group{lines: lines, whole: true}, new(int))
		circle.perimeter = 2 * math.Pi * radius
		out[i].loops = []loop{circle}
	}
	return out
}

// radius is that of the wall at a height: a ring's own at its points.
func (o *ownRings) radius(y float64) float64 {
	r := o.rings
	if len(r) == 0 {
		return 0
	}
	i, _ := slices.BinarySearchFunc(r, y, func(r ownRing, y float64) int { return cmp.Compare(r.y, y) })
	switch {
	case i == 0:
		return r[0].radius
	case i == len(r):
		return r[i-1].radius
	}
	share := (y - r[i-1].y) / (r[i].y - r[i-1].y)
	return r[i-1].radius + share*(r[i].radius-r[i-1].radius)
}

// ownBoxes finds units by place.
type ownBoxes struct {
	size  float64
	boxes map[[3]int][]ownUnit
	all   []ownUnit
}

func newOwnBoxes(units []ownUnit, size float64) *ownBoxes {
	b := &ownBoxes{size, map[[3]int][]ownUnit{}, units}
	for _, u := range units {
		at := b.box(u.at)
		b.boxes[at] = append(b.boxes[at], u)
	}
	return b
}

func (b *ownBoxes) box(at [3]float64) (out [3]int) {
	for k := range out {
		out[k] = int(math.Floor(at[k] / b.size))
	}
	return out
}

// nearest looks in the boxes around a place; where they are empty anything will do.
func (b *ownBoxes) nearest(p [3]float64) ownUnit {
	best, least := b.all[0], math.Inf(1)
	at := b.box(p)
	for x := -1; x <= 1; x++ {
		for y := -1; y <= 1; y++ {
			for z := -1; z <= 1; z++ {
				for _, u := range b.boxes[[3]int{at[0] + x, at[1] + y, at[2] + z}] {
					if d := minus(u.at, p); dot(d, d) < least {
						best, least = u, dot(d, d)
					}
				}
			}
		}
	}
	return best
}
