package draw

import (
	"math"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/wall"
	"tuckring/internal/words"
)

// PatternOptions says what the pattern shows beside its units.
type PatternOptions struct {
	Bare   bool           // the units and openings alone, without numbers, legend and extras
	Signs  bool           // every unit carries the sign of its colour
	Legend bool           // colours with sign and count, and the extras, below the pattern
	Width  float64        // of one unit of the widest ring, mm; 0 for 5 mm
	Say    *words.Speaker // nil for English

	untitled bool    // the heading stands elsewhere
	across   float64 // mm that the patterns of parts may be wide together; 0 for as wide as the widest
	piece    int     // of a figure of several parts, only that part, counted from 1; its rows may be chosen with part
	part     bool    // rings from … to−1 (counted from 0) alone, without a heading
	from, to int
	cut      bool    // of those, only what stands between two shares of the way around
	left     float64 // shares of the way around, from the left edge (the back), 0 … 1
	right    float64
}

// Measures of the pattern, mm unless said otherwise.
const (
	unitWidth  = 5.0
	riseShare  = 0.83 // height of a ring in shares of the widest unit's width: 0.48 ÷ 0.58, the rise and pitch of trade.md
	edgeLine   = 0.12
	textSize   = 2.6
	titleSize  = 5.0
	margin     = 4.0
	numberRoom = 10.0 // left and right of the units
)

// Pattern draws the unrolled figure, ring 1 at the bottom, its front in the middle: what is cut
// open is the back. Units stand as they touch each other, short sides out are flat with a fold
// line, openings are gaps.
func Pattern(f *figure.Figure, o PatternOptions) *Drawing {
	if len(f.Parts) > 0 && o.piece == 0 {
		return patternOfParts(f, o)
	}
	return newPattern(f, o).draw()
}

func newPattern(f *figure.Figure, o PatternOptions) *pattern {
	if o.Say == nil {
		o.Say = words.English
	}
	if !(o.Width > 0) {
		o.Width = unitWidth
	}
	if !o.part {
		o.from, o.to = 0, len(f.Rings)
		if o.piece > 0 {
			part := &f.Parts[o.piece-1]
			o.from, o.to = part.First, part.First+part.Rows
		}
	}
	if !o.cut {
		o.left, o.right = 0, 1
	}
	p := &pattern{f: f, o: o, arcs: figure.Unroll(f), signs: f.Signs()}
	if !o.Bare {
		p.extraLooks = shape.Looks(f, shape.FromMemory(f.Unit))
	}
	p.around = unitsAround(f, p.arcs, o.piece) * o.Width
	p.rise = riseShare * o.Width
	front := p.arcs.FrontTurn()
	if o.piece > 0 {
		front = p.arcs.PartFront(o.piece - 1)
	}
	p.first = front - 0.5
	if o.piece > 0 && f.Parts[o.piece-1].Open && !o.cut {
		reach := p.openReach(front)
		p.o.left, p.o.right = 0.5-reach, 0.5+reach
	}
	return p
}

type pattern struct {
	f     *figure.Figure
	o     PatternOptions
	arcs  *figure.Unrolled
	signs []string
	d     *Drawing

	around, rise float64 // mm of a whole turn and of a ring
	left, base   float64 // mm: where turn front−½ is, and the lowest line of ring 1
	under        float64 // mm that extras hang below it
	first        float64 // the turn at the left edge
	points       []Point // of the outline at hand
	extraLooks   []shape.Look
}

func (p *pattern) draw() *Drawing {
	height := (float64(p.o.to-p.o.from) + wall.TipRise) * p.rise
	half := p.overhang()
	title := p.o.Say.T("draw.pattern.title", "Title", p.f.Title)
	if p.o.Bare {
		p.left, p.base = half, height+half/2
		p.d = NewDrawing(p.around+2*half, height+half, title)
		p.units()
		p.unitSigns()
		return p.d
	}
	p.left = margin + numberRoom + half - p.o.left*p.around
	top := margin + textSize*1.4
	titled := !p.o.part && !p.o.untitled && p.o.piece == 0
	if titled {
		top += titleSize * 1.6
	}
	_, over, under := p.reach()
	over = math.Max(over, p.growthRoom())
	p.base, p.under = top+over+height, under
	width := (p.o.right-p.o.left)*p.around + 2*(margin+numberRoom+half)
	p.d = NewDrawing(width, p.base+under+3*textSize, title)
	if titled {
		p.heading()
	}
	p.units()
	p.looks(figure.Tucked)
	p.unitSigns()
	p.ringNumbers()
	p.frontLine(top)
	p.growths()
	p.looks(figure.Glued)
	p.badges()
	p.legend()
	return p.d
}

// overhang is how far units and extras may stand over the edges, mm: half the width of the widest unit at least.
// What is cut out of the way around ends half a plain unit beyond its edges.
func (p *pattern) overhang() float64 {
	if p.o.cut {
		return p.o.Width/2 + 1
	}
	widest := p.o.Width
	for ring := p.o.from; ring < p.o.to; ring++ {
		for unit := range p.f.Rings[ring].Cells {
			from, to := p.arcs.Arc(ring, unit)
			widest = math.Max(widest, (to-from)*p.around)
		}
	}
	side, _, _ := p.reach()
	return math.Max(widest/2, side) + 1
}

// spot is a place on the unrolled wall, in turns and rises.
func spot(turn, up float64) wall.Spot { return wall.Spot{Turn: turn, Up: up} }

// at gives the place of a spot on the drawing; the lap is chosen by wrapTo.
func (p *pattern) at(s wall.Spot, lap float64) (x, y float64) {
	return p.left + (s.Turn+lap-p.first)*p.around, p.base - (s.Up-float64(p.o.from))*p.rise
}

// lap gives the whole turns that bring the turn into the picture.
func (p *pattern) lap(turn float64) float64 {
	return -math.Floor(turn - p.first + 1e-9)
}

// units draws the walls: one path per colour, one for all left leaves, one for all right ones, so
// that even 100 000 units make few and simple shapes.
func (p *pattern) units() {
	papers := make([]Path, len(p.f.Colours))
	var light, dark, flat, folds Path
	wall.Each(p.f, p.arcs, p.o.from, p.o.to, func(fc *wall.Face) {
		p.laps(fc, func(lap float64) {
			// The whole unit goes up the left leaf, then down the right one, whose first spot is the foot
			// and whose second is the top of the ridge.
			p.outline(&papers[fc.Colour], lap, fc.Left, fc.Right[2:])
			if fc.Short {
				p.outline(&flat, lap, fc.Left, fc.Right[2:])
				p.foldLine(&folds, fc, lap)
				return
			}
			p.outline(&light, lap, fc.Left)
			p.outline(&dark, lap, fc.Right)
		})
	})
	for i := range papers {
		c, _ := FromHex(p.f.Colours[i].Hex)
		p.d.Add(&papers[i], Paint{Fill: c})
	}
	line := edgeLine * p.o.Width / unitWidth
	p.d.Add(&light, Paint{Fill: leftVeil, Stroke: edge, Line: line})
	p.d.Add(&dark, Paint{Fill: rightVeil, Stroke: edge, Line: line})
	p.d.Add(&flat, Paint{Stroke: edge, Line: line})
	p.d.Add(&folds, Paint{Stroke: edge, Line: line})
}

// laps calls do with the whole turns that bring a unit into the picture: one, or where a piece is cut out
// of the way around all that show a part of it there.
func (p *pattern) laps(fc *wall.Face, do func(lap float64)) {
	lap := p.lap(fc.Middle())
	if !p.o.cut {
		do(lap)
		return
	}
	low, high := p.edges()
	for _, by := range []float64{-1, 0, 1} {
		from, _ := p.at(spot(fc.From, 0), lap+by)
		to, _ := p.at(spot(fc.To, 0), lap+by)
		if from < high && to > low {
			do(lap + by)
		}
	}
}

// edges are the left and right end of what is cut out of the way around, mm.
func (p *pattern) edges() (low, high float64) {
	return p.left + p.o.left*p.around - p.o.Width/2, p.left + p.o.right*p.around + p.o.Width/2
}

// The light falls from the upper left: the left leaf is lighter than the paper, the right darker.
var (
	leftVeil  = veil(mustHex("#ffffff"), 0.17)
	rightVeil = veil(mustHex("#1d1830"), 0.15)
)

// outline adds a closed outline through the spots, as far as it stands in the picture.
func (p *pattern) outline(out *Path, lap float64, spots ...[]wall.Spot) {
	p.points = p.points[:0]
	for _, part := range spots {
		for _, s := range part {
			x, y := p.at(s, lap)
			p.points = append(p.points, Point{x, y})
		}
	}
	points := p.points
	if p.o.cut {
		low, high := p.edges()
		points = clipped(clipped(points, low, 1), high, -1)
	}
	out.Polygon(points...)
}

// clipped cuts off what of an outline lies left of a vertical line (side 1), or right of it (side −1):
// Sutherland and Hodgman, Reentrant Polygon Clipping, CACM 17(1), 1974, for one edge.
func clipped(points []Point, at, side float64) []Point {
	var out []Point
	for i, b := range points {
		a := points[(i+len(points)-1)%len(points)]
		in, was := side*(b.X-at) >= 0, side*(a.X-at) >= 0
		if in != was {
			out = append(out, Point{at, a.Y + (b.Y-a.Y)*(at-a.X)/(b.X-a.X)})
		}
		if in {
			out = append(out, b)
		}
	}
	return out
}

// foldLine is the crease across a unit with its short side out.
func (p *pattern) foldLine(out *Path, fc *wall.Face, lap float64) {
	up := float64(fc.Ring) + wall.Shoulder
	x1, y := p.at(spot(fc.From, up), lap)
	x2, _ := p.at(spot(fc.To, up), lap)
	if p.o.cut {
		low, high := p.edges()
		x1, x2 = math.Max(x1, low), math.Min(x2, high)
	}
	out.Move(x1, y).Line(x2, y)
}

// unitSigns writes the sign of its colour on every unit, in dark or light ink, if signs are wanted.
func (p *pattern) unitSigns() {
	if !p.o.Signs {
		return
	}
	size := 0.42 * p.o.Width
	inks := make([]Label, len(p.f.Colours))
	for i := range inks {
		c, _ := FromHex(p.f.Colours[i].Hex)
		inks[i] = Label{Text: p.signs[i], Size: size, Anchor: Middle, Ink: inkOn(c), Bold: true}
	}
	lines := make([][]Label, len(p.f.Colours)) // by colour, so that alike letters stand together
	flush := func() {
		for i := range lines {
			for _, l := range lines[i] {
				p.d.Write(l)
			}
			lines[i] = lines[i][:0]
		}
	}
	ring := p.o.from
	wall.Each(p.f, p.arcs, p.o.from, p.o.to, func(fc *wall.Face) {
		if fc.Ring != ring {
			flush()
			ring = fc.Ring
		}
		l := inks[fc.Colour]
		m := fc.Middle()
		l.X, l.Y = p.at(spot(m, float64(fc.Ring)+0.72), p.lap(m))
		l.Y += 0.36 * size
		if !p.within(l.X) {
			return
		}
		lines[fc.Colour] = append(lines[fc.Colour], l)
	})
	flush()
}

func (p *pattern) heading() {
	p.d.Write(Label{X: margin, Y: margin + titleSize*0.8, Text: fitting(p.f.Title, titleSize, true, p.d.Width-2*margin), Size: titleSize, Bold: true, Ink: ink})
}

// ringNumbers writes the ring's number at the left and its count at the right.
func (p *pattern) ringNumbers() {
	leftX := margin + numberRoom - 2
	rightX := p.left + p.o.right*p.around + p.overhang() + 2
	size := math.Min(textSize, p.rise*0.8)
	above := p.base - (float64(p.o.to-p.o.from)+wall.TipRise)*p.rise
	p.d.Write(Label{X: leftX, Y: above, Text: p.o.Say.T("draw.pattern.ring"), Size: textSize, Anchor: End, Ink: muted})
	p.d.Write(Label{X: rightX, Y: above, Text: p.o.Say.T("draw.pattern.units"), Size: textSize, Ink: muted})
	for i := p.o.from; i < p.o.to; i++ {
		_, y := p.at(spot(0, float64(i)+0.75), 0)
		y += 0.36 * size
		number := p.f.RowNumber(i)
		bold := number%5 == 0
		p.d.Write(Label{X: leftX, Y: y, Text: strconv.Itoa(number), Size: size, Anchor: End, Ink: ink, Bold: bold})
		p.d.Write(Label{X: rightX, Y: y, Text: strconv.Itoa(len(p.f.Rings[i].Cells)), Size: size, Ink: muted})
	}
}

// within tells whether a place across belongs to what is cut out of the way around.
func (p *pattern) within(x float64) bool {
	share := (x - p.left) / p.around
	return !p.o.cut || share >= p.o.left-1e-9 && share < p.o.right-1e-9
}

func (p *pattern) frontLine(top float64) {
	below := p.base + p.under + textSize*1.5
	if x := p.left + p.around/2; p.within(x) {
		line := &Path{}
		line.Move(x, top-1).Line(x, p.base+p.under+1)
		p.d.Add(line, Paint{Stroke: accent, Line: 0.3, Dashes: []float64{1.6, 1.2}})
		name := p.o.Say.T("draw.pattern.front")
		if p.o.piece > 0 && p.f.Parts[p.o.piece-1].Open {
			name = p.o.Say.T("draw.pattern.middle")
		}
		p.d.Write(Label{X: x, Y: top - 2, Text: name, Size: textSize, Anchor: Middle, Ink: accent})
		p.d.Write(Label{X: x, Y: below, Text: name, Size: textSize, Anchor: Middle, Ink: accent})
	}
	for _, back := range []struct {
		x    float64
		here bool
	}{{p.left, p.o.left == 0}, {p.left + p.around, p.o.right == 1}} {
		if back.here {
			p.d.Write(Label{X: back.x, Y: below, Text: p.o.Say.T("draw.pattern.back"), Size: textSize, Anchor: Middle, Ink: muted})
		}
	}
}

// short cuts a text to n characters.
func short(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
