package draw

import (
	"cmp"
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// Tuck is a way in which a unit goes onto the ring below.
type Tuck string

// The ways: a unit takes two points, the right one of a unit and the left one of its neighbour; or three, four or one; or it
// stands with its short side out.
const (
	TuckTwo   Tuck = "two"
	TuckThree Tuck = "three"
	TuckFour  Tuck = "four"
	TuckOne   Tuck = "one"
	TuckShort Tuck = "short"
)

// Tucks are all ways, the usual one first.
var Tucks = []Tuck{TuckTwo, TuckThree, TuckFour, TuckOne, TuckShort}

// TucksOf are the ways that a figure's units need, the usual one always among them.
func TucksOf(f *figure.Figure) (out []Tuck) {
	needs := map[Tuck]bool{TuckTwo: true}
	for i := range f.Rings {
		for _, c := range f.Rings[i].Cells {
			needs[map[uint8]Tuck{1: TuckOne, 3: TuckThree, 4: TuckFour}[c.Takes]] = true
			needs[TuckShort] = needs[TuckShort] || c.Side == figure.Short
		}
	}
	for _, how := range Tucks {
		if needs[how] {
			out = append(out, how)
		}
	}
	return out
}

// tuckRing is how many units the rings have that the pictures are taken of, and tuckAt which unit of the upper one comes.
const tuckRing, tuckAt = 24, 12

// upper is the ring that shows a way: the unit at tuckAt does it, others make up for the points.
func (t Tuck) upper() []figure.Run {
	plain := func(n int) figure.Run { return figure.Run{N: n, Colour: "below", Takes: 2, Side: "long"} }
	one := func(takes int, side string) figure.Run {
		return figure.Run{N: 1, Colour: "new", Takes: takes, Side: side}
	}
	less := func(n, takes int) figure.Run { return figure.Run{N: n, Colour: "below", Takes: takes, Side: "long"} }
	switch t {
	case TuckThree:
		return []figure.Run{plain(tuckAt), one(3, "long"), less(1, 1), plain(tuckRing - tuckAt - 2)}
	case TuckFour:
		return []figure.Run{plain(tuckAt), one(4, "long"), less(2, 1), plain(tuckRing - tuckAt - 3)}
	case TuckOne:
		return []figure.Run{plain(tuckAt), one(1, "long"), less(1, 3), plain(tuckRing - tuckAt - 2)}
	case TuckShort:
		return []figure.Run{plain(tuckAt), one(2, "short"), plain(tuckRing - tuckAt - 1)}
	}
	return []figure.Run{plain(tuckAt), one(2, "long"), plain(tuckRing - tuckAt - 1)}
}

// Tucking draws how a unit is tucked onto the points below it, in a frame of the given size in mm: true units of this paper as
// they stand in a ring, seen from outside and a little from above; the one that comes is lifted off the points that it takes.
func Tucking(u figure.Unit, how Tuck, width, height float64, say *words.Speaker) *Drawing {
	f := figure.Tube("", u, []figure.Colour{{ID: "below", Name: "-", Hex: "#f3efe6"}, {ID: "new", Name: "+", Hex: "#a9cfcd"}}, tuckRing, 2)
	if _, _, err := figure.Apply(f, &figure.Reshape{Ring: f.Rings[1].ID, Runs: how.upper()}); err != nil {
		panic(err) // a ring of ours that breaks the rules
	}
	s := newStage(f, View{Rise: 28 * math.Pi / 180})
	s.look(s.p.Spots[s.p.Rings[1].First+tuckAt].Azimuth)
	point := f.Rings[1].Start
	for i := range tuckAt {
		point += int(f.Rings[1].Cells[i].Takes)
	}
	foot, takes := f.Footing(1), int(f.Rings[1].Cells[tuckAt].Takes)
	first, _, _ := foot.Owner(point)
	last, _, _ := foot.Owner(point + takes - 1)
	var below []looseUnit
	for unit := first - 1; unit <= last+1; unit++ {
		below = append(below, looseUnit{row: 0, unit: unit})
	}
	lift := 1.3 * s.leg
	s.solids(below, 0)
	lower := len(s.facets)
	s.solids([]looseUnit{{row: 1, unit: tuckAt}}, lift)
	d, at := s.pictured(say.T("draw.tuck." + string(how)))
	upper := d.items[lower:]
	d.items = slices.Clone(d.items[:lower])
	row := &s.p.Rings[1]
	_, up, _ := s.p.Axes(&s.p.Spots[row.First+tuckAt], row.Lean)
	for k := range takes {
		unit, side, _ := foot.Owner(point + k)
		left, right := s.p.Points(0, unit)
		tip := solid(left)
		if side == 1 {
			tip = right
		}
		from, to := at(tip.plus(lift/2, up)), at(tip)
		d.Add((&Path{}).Move(from.X, from.Y).Line(to.X, to.Y), Paint{Stroke: accent, Line: s.leg / 45, Dashes: []float64{s.leg / 16, s.leg / 16}})
		d.Add((&Path{}).Oval(to.X, to.Y, s.leg/22, s.leg/22), Paint{Fill: accent})
	}
	d.items = append(d.items, upper...)
	return fitted(d, width, height)
}

// Joining is a step of the first rings.
type Joining string

// The steps: three units at a time make two rings together, the row is closed to a circle, it lies like a star, and is opened out.
const (
	JoinThree  Joining = "three_units"
	JoinRow    Joining = "row"
	JoinCircle Joining = "circle"
	JoinOpen   Joining = "open_out"
)

// Joinings are all steps of the first rings, in their order.
var Joinings = []Joining{JoinThree, JoinRow, JoinCircle, JoinOpen}

// FirstRings draws a step of making the first two rings together, in a frame of the given size in mm.
func FirstRings(u figure.Unit, step Joining, width, height float64, say *words.Speaker) *Drawing {
	f := figure.Tube("", u, []figure.Colour{{ID: "below", Name: "-", Hex: "#f3efe6"}, {ID: "new", Name: "+", Hex: "#a9cfcd"}}, tuckRing, 2)
	for i := range f.Rings[1].Cells {
		f.Rings[1].Cells[i].Colour = 1
	}
	title := say.T("draw.join." + string(step))
	rise := 28.0
	if step == JoinCircle {
		rise = 62
	}
	s := newStage(f, View{Rise: rise * math.Pi / 180})
	first := func(ring, from, to int) (out []looseUnit) {
		for unit := from; unit < to; unit++ {
			out = append(out, looseUnit{row: ring, unit: unit})
		}
		return out
	}
	s.look((s.p.Spots[tuckAt].Azimuth + s.p.Spots[tuckAt+1].Azimuth) / 2)
	switch step {
	case JoinThree:
		s.solids(append(first(0, tuckAt, tuckAt+2), first(1, tuckAt, tuckAt+1)...), 0)
	case JoinRow:
		s.solids(append(first(0, tuckAt-2, tuckAt+3), first(1, tuckAt-2, tuckAt+2)...), 0)
	case JoinCircle:
		s.lay(-75 * math.Pi / 180)
		s.solids(append(first(0, 0, tuckRing), first(1, 0, tuckRing)...), 0)
	case JoinOpen:
		s.solids(append(first(0, 0, tuckRing), first(1, 0, tuckRing)...), 0)
	}
	d, _ := s.pictured(title)
	return fitted(d, width, height)
}

// lay turns all units about the line of their corners, outwards.
func (s *stage) lay(by float64) {
	sin, cos := math.Sincos(-by)
	for i := range s.p.Spots {
		spot := &s.p.Spots[i]
		foot := s.p.Rings[0].RadiusMM
		up := spot.Y
		radius := foot + up*sin
		spot.Tilt -= by
		spot.X, spot.Y, spot.Z = radius*math.Sin(spot.Azimuth), up*cos, radius*math.Cos(spot.Azimuth)
	}
}

// look turns the view so that the viewer stands in a direction from the axis, in radians.
func (s *stage) look(azimuth float64) {
	s.v.Turn = azimuth
	s.sin[0], s.cos[0] = math.Sincos(azimuth)
}

// solids puts units into the picture as their folded paper, face by face, the farthest first, lifted so far along the wall, mm.
func (s *stage) solids(units []looseUnit, lift float64) {
	type face struct {
		depth, bright float64
		points        []Point
		paper         colour
	}
	var faces []face
	mesh := s.p.Solid
	if len(units) > tuckRing { // too small in the picture for what is within
		mesh = fold.NewPlainSolid(s.p.Measures, s.p.Gauge.Pitch.Best/2, fold.PaperMM)
	}
	for _, lu := range units {
		row := &s.p.Rings[lu.row]
		spot := &s.p.Spots[row.First+lu.unit]
		_, up, _ := s.p.Axes(spot, row.Lean)
		for k := 0; k < len(mesh.Indices); k += 3 {
			fc := face{paper: s.paper(lu.row, lu.unit)}
			var seen [3]solid
			for c := range seen {
				v := 3 * int(mesh.Indices[k+c])
				at := solid(s.p.Corner(spot, float64(mesh.Positions[v]), float64(mesh.Positions[v+1]), float64(mesh.Positions[v+2])))
				seen[c] = s.toView(at.plus(lift, up))
				fc.points = append(fc.points, Point{seen[c][0], -seen[c][1]})
				fc.depth += seen[c][2] / 3
			}
			normal := seen[1].plus(-1, seen[0]).cross(seen[2].plus(-1, seen[0])).unit()
			if normal[2] < 0 {
				normal = solid{-normal[0], -normal[1], -normal[2]}
			}
			fc.bright = 0.3 + 0.4*normal.dot(sunlight)
			faces = append(faces, fc)
		}
	}
	slices.SortStableFunc(faces, func(a, b face) int { return cmp.Compare(a.depth, b.depth) })
	for _, fc := range faces {
		s.put(fc.points, fc.paper, fc.bright)
	}
}

// pictured is the picture of what the stage holds, without a ground, and where places of space are in it.
func (s *stage) pictured(title string) (d *Drawing, at func(solid) Point) {
	d = NewDrawing(s.max.X-s.min.X, s.max.Y-s.min.Y, title)
	for _, fc := range s.facets {
		p := &Path{}
		for i, q := range fc.points {
			fc.points[i] = Point{q.X - s.min.X, q.Y - s.min.Y}
		}
		d.Add(p.Polygon(fc.points...), Paint{Fill: fc.fill, Stroke: fc.line, Line: s.leg / 150})
	}
	return d, func(a solid) Point {
		v := s.toView(a)
		return Point{v[0] - s.min.X, -v[1] - s.min.Y}
	}
}

// paper is the colour of a unit's paper.
func (s *stage) paper(row, unit int) colour {
	c, _ := FromHex(s.f.Colours[s.f.Rings[row].Cells[unit].Colour].Hex)
	return c
}
