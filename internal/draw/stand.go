package draw

import (
	"math"
	"slices"
	"sort"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// View is where the viewer stands.
type View struct {
	Turn float64 // radians that the viewer has walked around to the right; 0 looks at the front line
	Rise float64 // radians the viewer looks down from
}

// besideWall is the cosine of the direction beyond which a tucked unit stands beside the figure, not
// in front of it: there the wall hides where it goes in.
const besideWall = 0.35

const lookDown = 11 * math.Pi / 180

// The usual views of a standing figure.
var (
	Front        = View{0, lookDown}
	Right        = View{math.Pi / 2, lookDown}
	Back         = View{math.Pi, lookDown}
	Left         = View{-math.Pi / 2, lookDown}
	ThreeQuarter = View{math.Pi / 5, 1.6 * lookDown}
)

// The visible face of a unit in a wall, seen as a scale: heights in rises under the unit's points,
// depths in legs outwards from the circle of the points (drawn to look right; common practice: the
// lowest corner stands out, the points are tucked under the ring above). The foot stands out as far as the end of
// the spine does in an upright wall (shape), so that the drawing is as wide as the figure; the lowest ring's feet
// reach down to the table.
const (
	footDown, footOut         = 1.55, 0.64
	shoulderDown, shoulderOut = 1.04, 0.32
	sideDown, sideOut         = 0.20, 0.02 // under the ring above, so that no gap shows in a lean wall
	ridgeDown, ridgeOut       = -0.20, 0.09
	tipDown, tipOut           = -0.12, 0.02
	notchDown                 = 0.30
	signDown, signOut         = 1.0, 0.27
	fanWidth                  = 1.04 // scales overlap a little
)

// Stand draws the figure as it stands, in mm of the real figure, on a clear ground.
func Stand(f *figure.Figure, v View, say *words.Speaker) *Drawing {
	return stand(f, v, say, mostInPicture, false)
}

// Signed draws the figure as Stand does, with the sign of its colour on every unit that faces the viewer.
func Signed(f *figure.Figure, v View, say *words.Speaker) *Drawing {
	return stand(f, v, say, mostInPicture, true)
}

// standPrinted draws the figure into a frame, with signs if they can be read there.
func standPrinted(f *figure.Figure, v View, say *words.Speaker, width, height float64) *Drawing {
	d := Stand(f, v, say)
	if scale := math.Min(width/d.Width, height/d.Height); scale*pitchMM(f.Unit) >= leastCell {
		d = Signed(f, v, say)
	}
	return fitted(d, width, height)
}

// Figures of more units than these are drawn in coarse patches, where single units could not be seen
// any more and the picture would be too large to send.
const (
	mostOnCard    = 3000
	mostInPicture = 20_000
)

func stand(f *figure.Figure, v View, say *words.Speaker, most int, signs bool) *Drawing {
	if say == nil {
		say = words.English
	}
	s := newStage(f, v)
	if signs {
		s.signs = f.Signs()
	}
	s.compose(most)
	return s.drawing(say.T("draw.stand.title", "Title", f.Title))
}

// compose puts everything into the picture, in the order in which one thing covers another.
func (s *stage) compose(most int) {
	f := s.f
	s.ringOf = map[figure.ExtraID]int{}
	for i := range f.Extras {
		s.ringOf[f.Extras[i].ID] = f.Extras[i].RingIndex()
	}
	s.roofs = slices.Repeat([]int{-1}, len(s.p.Extras))
	if f.Units() <= most { // patches have no lid that could hide anything
		s.findRoofs()
	}
	s.tucked(true)
	s.parts(true, most)
	if f.Units() > most {
		s.patches()
	} else {
		s.rings()
	}
	s.parts(false, most)
	s.glued()
	s.tucked(false)
}

// Thumbnail draws the figure from the front into a square of the given side in mm.
func Thumbnail(f *figure.Figure, side float64) *Drawing {
	return fitted(stand(f, Front, nil, mostOnCard, false), side, side)
}

// fitted scales a drawing into a frame, standing on its lower edge in the middle.
func fitted(d *Drawing, width, height float64) *Drawing {
	out := NewDrawing(width, height, d.Title)
	scale := math.Min(width/d.Width, height/d.Height)
	out.Place(d, (width-d.Width*scale)/2, height-d.Height*scale, scale)
	return out
}

// Views draws the figure from the front, from three quarters and from the back, side by side.
func Views(f *figure.Figure, say *words.Speaker) *Drawing {
	if say == nil {
		say = words.English
	}
	const side, gap, head = 90.0, 6.0, 14.0
	out := NewDrawing(3*side+4*gap, side+head+2*gap+4, say.T("draw.stand.title", "Title", f.Title))
	out.Write(Label{X: gap, Y: gap + 5, Text: fitting(f.Title, titleSize, true, out.Width-2*gap), Size: titleSize, Bold: true, Ink: ink})
	for i, v := range []struct {
		view View
		key  string
	}{{Front, "draw.view.front"}, {ThreeQuarter, "draw.view.threequarter"}, {Back, "draw.view.back"}} {
		x := gap + float64(i)*(side+gap)
		out.Place(fitted(Stand(f, v.view, say), side, side), x, head, 1)
		out.Write(Label{X: x + side/2, Y: head + side + 5, Text: say.T(v.key), Size: 3.2, Anchor: Middle, Ink: muted})
	}
	return out
}

// solid is a place in the room, mm: x to the right, y up, z to the viewer of the front.
type solid [3]float64

func (a solid) plus(k float64, b solid) solid {
	return solid{a[0] + k*b[0], a[1] + k*b[1], a[2] + k*b[2]}
}

func (a solid) dot(b solid) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (a solid) cross(b solid) solid {
	return solid{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a solid) unit() solid {
	n := math.Sqrt(a.dot(a))
	if n == 0 {
		return a
	}
	return solid{a[0] / n, a[1] / n, a[2] / n}
}

// frame is a unit's own directions: to its right, up the wall, and out of it.
type frame struct{ at, right, up, out solid }

func frameAt(x, y, z, azimuth, lean float64) frame {
	sa, ca := math.Sincos(azimuth)
	sl, cl := math.Sincos(lean)
	o := solid{sa, 0, ca}
	return frame{
		at:    solid{x, y, z},
		right: solid{ca, 0, -sa},
		up:    solid{sl * o[0], cl, sl * o[2]},
		out:   solid{cl * o[0], -sl, cl * o[2]},
	}
}

func (f *frame) spot(right, up, out float64) solid {
	return f.at.plus(right, f.right).plus(up, f.up).plus(out, f.out)
}

// facet is one flat piece of paper in the picture, or the sign on one.
type facet struct {
	points []Point
	fill   colour
	line   colour
	band   float64 // width of its line, mm; 0: as all units have
	sign   *Label
}

// stage collects the facets of a figure, seen from one view.
type stage struct {
	ringOf  map[figure.ExtraID]int
	roofs   []int // by extra: the ring (0-based) that hangs over it, −1 for none
	f       *figure.Figure
	p       *shape.Placement
	arcs    *figure.Unrolled
	v       View
	sin     [2]float64 // of turn and rise
	cos     [2]float64
	leg     float64
	rise    float64
	signs   []string // of the colours, where they are wanted
	facets  []facet
	built   []bool // the rows that are drawn; nil when all are
	min     Point
	max     Point
	started bool
}

func newStage(f *figure.Figure, v View) *stage {
	s := &stage{f: f, v: v, p: shape.Place(f, shape.FromMemory(f.Unit)), arcs: figure.Unroll(f)}
	s.sin[0], s.cos[0] = math.Sincos(v.Turn)
	s.sin[1], s.cos[1] = math.Sincos(v.Rise)
	s.leg, s.rise = s.p.Measures.LegMM, s.p.Gauge.Rise.Best
	return s
}

// toView turns a place or direction into the viewer's: x right, y up, z towards the viewer.
func (s *stage) toView(a solid) solid {
	x := a[0]*s.cos[0] - a[2]*s.sin[0]
	z := a[0]*s.sin[0] + a[2]*s.cos[0]
	return solid{x, a[1]*s.cos[1] - z*s.sin[1], a[1]*s.sin[1] + z*s.cos[1]}
}

// sunlight falls from the upper left, a little from the front.
var sunlight = solid{-0.52, 0.62, 0.59}.unit()

// add puts a flat piece into the picture. Its brightness follows the light on it, but is at least
// dim; its reverse is darker, as the inside of the figure is.
func (s *stage) add(paper colour, dim float64, corners ...solid) {
	var normal solid
	seen := make([]solid, len(corners))
	for i, c := range corners {
		seen[i] = s.toView(c)
	}
	for i := range seen {
		j := (i + 1) % len(seen)
		normal = normal.plus(1, seen[i].cross(seen[j]))
	}
	normal = normal.unit()
	bright := math.Max(dim, normal.dot(sunlight))
	if normal[2] < 0 {
		bright = -0.75 - 0.2*math.Abs(bright)
	}
	points := make([]Point, len(seen))
	for i, c := range seen {
		points[i] = Point{c[0], -c[1]}
	}
	s.put(points, paper, bright)
}

func (s *stage) put(points []Point, paper colour, bright float64) {
	fill := lit(paper, bright)
	s.facets = append(s.facets, facet{points: points, fill: fill, line: mix(fill, edge, 0.45)})
	for _, q := range points {
		if !s.started {
			s.min, s.max, s.started = q, q, true
		}
		s.min = Point{math.Min(s.min.X, q.X), math.Min(s.min.Y, q.Y)}
		s.max = Point{math.Max(s.max.X, q.X), math.Max(s.max.Y, q.Y)}
	}
}

// lit gives a paper's colour under light of brightness −1 … 1; 0.6 shows the paper as it is.
func lit(paper colour, bright float64) colour {
	const full, steps = 0.6, 24
	k := math.Round((bright-full)*steps) / steps
	if k >= 0 {
		return mix(paper, white, 0.55*k)
	}
	return mix(paper, shade, math.Min(0.75, -0.42*k))
}

var (
	shade = mustHex("#1b1626")
)

// rings draws first what is turned away (the inside of the far wall), then what faces the viewer,
// ring by ring from the bottom: each ring's feet lie over the ring below.
func (s *stage) rings() {
	for _, away := range []bool{true, false} {
		for ring := range s.standing() {
			if !s.p.Rings[ring].Around() || away && !s.insideShows(ring) {
				continue
			}
			if !away {
				s.hung(ring)
			}
			s.ring(ring, away)
		}
	}
}

// patches draws the wall as a net of at most 100 × 60 patches, each in the paper of the unit at its
// middle.
func (s *stage) patches() {
	const across, bands = 60, 100
	rings := s.standing()
	if rings == 0 || !s.p.Rings[0].Around() {
		return // it is bent, and drawn as the other parts are
	}
	n := min(rings, bands)
	for _, inside := range []bool{true, false} {
		for b := range n {
			from, to := b*rings/n, (b+1)*rings/n
			if inside && to < rings-s.ringsInside() {
				continue
			}
			for k := range across {
				turn := (float64(k)+0.5)/across - 0.5
				if !inside { // from both sides to the middle, which is nearest
					turn = float64(k/2+1) / across * map[bool]float64{true: 1, false: -1}[k%2 == 0]
					turn = math.Copysign(0.5-math.Abs(turn)+0.5/across, turn)
				}
				if (math.Abs(turn) > 0.27) == inside {
					s.patch(from, to, turn+s.v.Turn/(2*math.Pi), 1.0/across)
				}
			}
		}
	}
}

// patch draws rings from … to−1 at a turn from the front, so many turns wide.
func (s *stage) patch(from, to int, turn, width float64) {
	ring := (from + to) / 2
	unit, ok := s.arcs.UnitAt(ring, turn+s.arcs.FrontTurn())
	if !ok {
		return
	}
	low, high := s.p.Rings[from], s.p.Rings[min(to, s.standing()-1)]
	corner := func(r shape.RingSpot, at, y float64) solid {
		sin, cos := math.Sincos(2 * math.Pi * at)
		return solid{r.RadiusMM * sin, y, r.RadiusMM * cos}
	}
	band := s.p.Rings[from:to]
	below, above := low.Y-1.5*s.rise, band[len(band)-1].Y
	paper, _ := FromHex(s.f.Colours[s.f.Rings[ring].Cells[unit].Colour].Hex)
	half := width * 0.52
	s.add(paper, -1, corner(low, turn-half, below), corner(low, turn+half, below), corner(high, turn+half, above), corner(high, turn-half, above))
	last := &s.facets[len(s.facets)-1]
	last.line = last.fill
}

// ringsInside is how many rings of the far wall can be seen through the open top.
func (s *stage) ringsInside() int {
	rim := s.p.Rings[s.standing()-1].RadiusMM
	return int(2*rim*s.sin[1]/s.cos[1]/s.rise) + 4
}

// insideShows says whether the inside of a ring can be seen: near the rim, or anywhere when the
// figure has openings.
func (s *stage) insideShows(ring int) bool {
	if ring >= s.standing()-s.ringsInside() {
		return true
	}
	for i := range s.standing() {
		if _, free := s.f.Rings[i].Points(); free > 0 {
			return true
		}
	}
	return false
}

// standing is how many rows the part on the table has, as far as they are drawn: they are built from the lowest on.
func (s *stage) standing() int {
	rows := len(s.f.Rings)
	if len(s.f.Parts) > 0 {
		rows = s.f.Parts[0].Rows
	}
	for rows > 0 && !s.shows(rows-1) {
		rows--
	}
	return rows
}

// shows tells whether a row is drawn.
func (s *stage) shows(row int) bool { return s.built == nil || s.built[row] }

// showsExtra tells whether an extra of the placement is drawn: when the row that it stands on is.
func (s *stage) showsExtra(id figure.ExtraID) bool { return s.shows(s.ringOf[id]) }

func (s *stage) ring(ring int, away bool) {
	r := s.p.Rings[ring]
	free := s.freePoints(ring)
	type seat struct {
		unit  int
		depth float64
	}
	var seats []seat
	for k := 0; k < r.Count; k++ {
		spot := s.p.Spots[r.First+k]
		depth := math.Cos(spot.Azimuth - s.v.Turn)
		if (depth < -0.12) == away {
			seats = append(seats, seat{k, depth})
		}
	}
	sort.SliceStable(seats, func(a, b int) bool { return seats[a].depth < seats[b].depth })
	for _, seat := range seats {
		spot := s.p.Spots[r.First+seat.unit]
		width := s.p.WidthMM(s.arcs, ring, seat.unit) * fanWidth
		fr := frameAt(spot.X, spot.Y, spot.Z, spot.Azimuth, r.Lean)
		paper, _ := FromHex(s.f.Colours[spot.Colour].Hex)
		if !away {
			s.backing(ring, spot, width, paper)
		}
		rise := s.rise / math.Cos(r.Lean)
		foot := footDown * rise
		if s.f.Footing(ring).OnTable() {
			foot = math.Max(foot, (spot.Y-footOut*s.leg*math.Sin(r.Lean))/math.Cos(r.Lean))
		}
		s.scale(fr, width, rise, foot, paper, s.f.Rings[ring].Cells[seat.unit].Side == figure.Short, free(seat.unit))
		if s.signs != nil && seat.depth > turnedAway {
			s.sign(fr, width, rise, paper, s.signs[spot.Colour])
		}
	}
}

// backing closes the chinks between a unit's scale and the ring above with its own paper in the
// shade, where the wall leans.
func (s *stage) backing(ring int, spot shape.Spot, width float64, paper colour) {
	upon, ok := s.f.Upon(ring)
	if !ok || !s.shows(upon) {
		return
	}
	here, above := s.p.Rings[ring], s.p.Rings[upon]
	if math.Abs(above.RadiusMM-here.RadiusMM) < 0.12*s.rise && math.Abs(here.Lean) < 0.12 {
		return
	}
	half := 0.55 * width / here.RadiusMM
	corner := func(r shape.RingSpot, turn, down float64) solid {
		sin, cos := math.Sincos(spot.Azimuth + turn)
		return solid{r.RadiusMM * sin, r.Y - down*s.rise, r.RadiusMM * cos}
	}
	points := make([]Point, 0, 4)
	for _, c := range []solid{corner(here, -half, 0.8), corner(here, half, 0.8), corner(above, half, 0.5), corner(above, -half, 0.5)} {
		at := s.toView(c)
		points = append(points, Point{at[0], -at[1]})
	}
	s.put(points, paper, -0.4)
}

// scale draws the visible face of a unit: two leaves with a ridge between them, or one flat face
// when the short side is out. It reaches foot mm below its points.
func (s *stage) scale(fr frame, width, rise, foot float64, paper colour, flat bool, free [2]bool) {
	h, r, w := s.leg, rise, width/2
	if flat {
		low := -shoulderDown*r - 0.35*r - (foot - footDown*r)
		out := 0.12 * h
		s.add(paper, -1, fr.spot(-w, low, out), fr.spot(w, low, out), fr.spot(w, -sideDown*r, out*0.6),
			fr.spot(0, -ridgeDown*r, out*0.6), fr.spot(-w, -sideDown*r, out*0.6))
		return
	}
	low, ridge := fr.spot(0, -foot, footOut*h), fr.spot(0, -ridgeDown*r, ridgeOut*h)
	for _, side := range []float64{-1, 1} {
		isFree := free[0]
		if side > 0 {
			isFree = free[1]
		}
		outer, upper := fr.spot(side*w, -shoulderDown*r-(foot-footDown*r)/2, shoulderOut*h), fr.spot(side*w, -sideDown*r, sideOut*h)
		top := ridge
		if isFree {
			upper = fr.spot(side*w*0.56, -tipDown*r, tipOut*h)
			top = fr.spot(0, -notchDown*r, ridgeOut*h)
		}
		if side < 0 {
			s.add(paper, -1, low, top, upper, outer)
		} else {
			s.add(paper, -1, low, outer, upper, top)
		}
	}
}

// turnedAway is the cosine of the direction beyond which a unit is seen too much from the side for its sign.
const turnedAway = 0.5

// sign writes the sign of a unit on the part of its face that the ring above leaves in sight.
func (s *stage) sign(fr frame, width, rise float64, paper colour, sign string) {
	size := math.Min(0.42*width, 0.75*rise)
	at := s.toView(fr.spot(0, -signDown*rise, signOut*s.leg))
	s.facets = append(s.facets, facet{sign: &Label{X: at[0], Y: -at[1] + 0.36*size, Text: sign, Size: size, Anchor: Middle, Ink: inkOn(paper), Bold: true}})
}

// tucked draws the chains of tucked units as they are: two triangular leaves that meet in the
// spine, legs as long as the folded unit's.
func (s *stage) tucked(behind bool) {
	for i, e := range s.p.Extras {
		if !s.showsExtra(e.ID) {
			continue
		}
		for k := range e.Count {
			spot := s.p.Spots[e.First+k]
			beside := s.facing(&spot) < besideWall
			if beside == behind && (behind || s.roofs[i] < 0) {
				paper, _ := FromHex(s.f.Colours[spot.Colour].Hex)
				s.whole(s.p.Leaves(spot), paper)
			}
		}
	}
}

// hung draws the tucked units before the wall that a ring hangs over, before the ring itself.
func (s *stage) hung(ring int) {
	for i, e := range s.p.Extras {
		if s.roofs[i] != ring || !s.showsExtra(e.ID) {
			continue
		}
		for _, spot := range s.p.Spots[e.First : e.First+e.Count] {
			if s.facing(&spot) >= besideWall {
				paper, _ := FromHex(s.f.Colours[spot.Colour].Hex)
				s.whole(s.p.Leaves(spot), paper)
			}
		}
	}
}

// hangsOver is by how much of a leg a ring must reach out further than a tucked extra below it to hide it: spines of
// a plain wall reach about as far as two tucked units and leave them in sight.
const hangsOver = 0.3

// findRoofs finds for every tucked extra the lowest ring (0-based) that hangs over it, as a lid does, −1 for none.
func (s *stage) findRoofs() {
	if len(s.p.Extras) == 0 {
		return
	}
	reach, low := make([]float64, len(s.p.Rings)), make([]float64, len(s.p.Rings))
	for k, r := range s.p.Rings {
		if !r.Around() {
			continue
		}
		reach[k], low[k], _ = s.extent(s.p.Spots[r.First : r.First+1])
	}
	for i, e := range s.p.Extras {
		if !s.p.Rings[s.ringOf[e.ID]].Around() {
			continue
		}
		out, _, top := s.extent(s.p.Spots[e.First : e.First+e.Count])
		for k, r := range s.p.Rings {
			if s.shows(k) && r.Around() && r.Y > s.p.Spots[e.First].Y && reach[k] > out+hangsOver*s.leg && low[k] < top {
				s.roofs[i] = k
				break
			}
		}
	}
}

// extent gives how far units reach out from the axis, and their lowest and highest places, mm.
func (s *stage) extent(spots []shape.Spot) (out, low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, spot := range spots {
		for _, leaf := range s.p.Leaves(spot) {
			for _, c := range leaf {
				out, low, high = math.Max(out, math.Hypot(c[0], c[2])), math.Min(low, c[1]), math.Max(high, c[1])
			}
		}
	}
	return out, low, high
}

// whole draws a unit on its own, the leaf behind first.
func (s *stage) whole(leaves [2][3][3]float64, paper colour) {
	far, near := leaves[0], leaves[1]
	if s.toView(far[0])[2] > s.toView(near[0])[2] {
		near, far = far, near
	}
	for _, leaf := range [][3][3]float64{far, near} {
		point, a, b := solid(leaf[0]), solid(leaf[1]), solid(leaf[2])
		if s.facesAway(point, a, b) { // a leaf is seen from either side
			a, b = b, a
		}
		s.add(paper, 0.1, point, a, b)
		if last, band := &s.facets[len(s.facets)-1], ownBand*pitchMM(s.f.Unit); narrow(last.points, band) {
			last.line, last.band = last.fill, band // seen edge-on a leaf is only a line, which shows its paper
		}
	}
}

// narrow tells whether a triangle is less high than so many mm.
func narrow(t []Point, mm float64) bool {
	longest := 0.0
	for i, p := range t {
		q := t[(i+1)%len(t)]
		longest = math.Max(longest, math.Hypot(q.X-p.X, q.Y-p.Y))
	}
	twice := math.Abs((t[1].X-t[0].X)*(t[2].Y-t[0].Y) - (t[2].X-t[0].X)*(t[1].Y-t[0].Y))
	return twice < longest*mm
}

func (s *stage) facesAway(a, b, c solid) bool {
	a, b, c = s.toView(a), s.toView(b), s.toView(c)
	return b.plus(-1, a).cross(c.plus(-1, a))[2] < 0
}

// glued draws the glued pieces that face the viewer.
func (s *stage) glued() {
	for _, q := range s.p.Pieces {
		if !s.showsExtra(q.ID) {
			continue
		}
		spot := shape.Spot{X: q.X, Y: q.Y, Z: q.Z, Azimuth: q.Azimuth, Yaw: q.Azimuth, Tilt: q.Tilt, In: q.In}
		if s.facing(&spot) <= 0 {
			continue
		}
		paper := unpainted
		if q.Colour >= 0 {
			paper, _ = FromHex(s.f.Colours[q.Colour].Hex)
		}
		fr := s.frameOf(&spot, q.Tilt)
		points := make([]Point, len(q.Outline))
		for i, c := range q.Outline {
			at := s.toView(fr.spot(c[0], c[1], 0))
			points[i] = Point{at[0], -at[1]}
		}
		s.put(points, paper, 0.6)
	}
}

// drawing lays the facets on a picture with a shadow under them.
func (s *stage) drawing(title string) *Drawing {
	pad := 0.04 * math.Max(s.max.X-s.min.X, s.max.Y-s.min.Y)
	foot := s.p.Rings[0].RadiusMM
	d := NewDrawing(s.max.X-s.min.X+2*pad, s.max.Y-s.min.Y+2*pad, title)
	move := func(q Point) Point { return Point{q.X - s.min.X + pad, q.Y - s.min.Y + pad} }
	shadow := &Path{}
	at := move(Point{0.06 * foot, 0})
	shadow.Oval(at.X, at.Y, foot*1.16, foot*1.16*math.Max(0.12, s.sin[1]))
	d.Add(shadow, Paint{Fill: veil(shade, 0.14)})
	line := math.Max(0.12, s.leg/110)
	for _, fc := range s.facets {
		if fc.sign != nil {
			at := move(Point{fc.sign.X, fc.sign.Y})
			fc.sign.X, fc.sign.Y = at.X, at.Y
			d.Write(*fc.sign)
			continue
		}
		p := &Path{}
		for i, q := range fc.points {
			fc.points[i] = move(q)
		}
		d.Add(p.Polygon(fc.points...), Paint{Fill: fc.fill, Stroke: fc.line, Line: math.Max(line, fc.band)})
	}
	return d
}
