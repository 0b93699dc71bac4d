package draw

import (
	"math"
	"strconv"

	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// Diagrams of folding in the notation of Yoshizawa and Randlett (Samuel Randlett, The Art of Origami, 1961; from memory): a
// valley fold is a dashed line, a mountain fold one of dashes and dots, a crease that is there already a thin line that ends
// short of the edges. An arrow with a full head shows where the paper goes; one that comes back, with a second, open head at
// its start, is for a fold that is opened again; a stroke across its tail says that the same is done once more on the other
// side; an arrow with a loop turns the paper over. The coloured side of the paper is tinted, the plain one white.

// Measures of the signs, mm.
const (
	foldLine   = 0.45 // of a fold, and of arrows
	headLong   = 2.6
	headWide   = 1.9
	diagramRim = 2.5 // left free around a diagram
	loopRoom   = 12.0
)

var (
	valleyDashes   = []float64{1.6, 1.0}
	mountainDashes = []float64{2.4, 0.8, 0.35, 0.8, 0.35, 0.8}
)

// diagram is one of the pictures that show how a unit is folded.
type diagram struct {
	caption string
	draw    func(width, height float64) *Drawing
}

// foldDiagrams are the steps of a unit, and the unit.
func foldDiagrams(p *fold.Pattern, say *words.Speaker) (out []diagram) {
	for _, st := range p.Steps {
		out = append(out, diagram{strconv.Itoa(st.Number) + ". " + say.Say(st.Text), func(width, height float64) *Drawing { return FoldStep(st, width, height, say) }})
	}
	return append(out, diagram{say.T("draw.unit.title"), func(width, height float64) *Drawing { return FoldedUnit(p, width, height, say) }})
}

// FoldStep draws one step of folding a unit into a frame of the given size in mm: the paper as it lies before the step, what is
// folded, and where it goes.
func FoldStep(st fold.Folding, width, height float64, say *words.Speaker) *Drawing {
	d := NewDrawing(width, height, say.Say(st.Text))
	right := width
	if len(st.Moves) == 0 {
		right -= loopRoom
	}
	b := boxOf(st.Before)
	middle := b.middle()
	for _, m := range st.Moves {
		b.take(m.From)
		b.take(m.To)
		b.take(bulge(m, middle))
	}
	at := b.into(0, right, height)
	layers(d, st.Before, at)
	for _, s := range st.Marks {
		a, z := at(s.A), at(s.B)
		d.Add((&Path{}).Move(mixed(a, z, 0.08)).Line(mixed(a, z, 0.92)), Paint{Stroke: muted, Line: 0.25})
	}
	lines := &Path{}
	for _, s := range st.Lines {
		a, z := at(s.A), at(s.B)
		lines.Move(a.X, a.Y).Line(z.X, z.Y)
	}
	d.Add(lines, Paint{Stroke: accent, Line: foldLine, Dashes: valleyDashes})
	for _, m := range st.Moves {
		moveArrow(d, at(m.From), at(bulge(m, middle)), at(m.To), m)
	}
	if len(st.Moves) == 0 {
		turnSign(d, right+loopRoom/2-1, height/2)
	}
	return d
}

// FoldedUnit draws the finished unit into a frame, and says what is what.
func FoldedUnit(p *fold.Pattern, width, height float64, say *words.Speaker) *Drawing {
	d := NewDrawing(width, height, say.T("draw.unit.title"))
	const letters = 2.4
	faces := p.Steps[len(p.Steps)-1].After
	b := boxOf(faces)
	leg, side := p.Measures.LegMM, math.Copysign(p.Measures.LegMM, b.lo.X+b.hi.X)
	room := func(a, b string) float64 {
		return 3.6 + math.Max(TextWidth(a, letters, false), TextWidth(b, letters, false))
	}
	left, right := room(say.T("draw.unit.pockets"), say.T("draw.unit.short")), room(say.T("draw.unit.long"), say.T("draw.unit.points"))
	if side < 0 {
		left, right = right, left
	}
	at := b.into(left, width-right, height-2*letters)
	shift := func(q fold.Pt) Point { o := at(q); return Point{o.X, o.Y + letters} }
	layers(d, faces, shift)
	label := func(q fold.Pt, text string, anchor Anchor, dx, dy float64) {
		from := shift(q)
		to := Point{from.X + dx, from.Y + dy}
		d.Add((&Path{}).Move(from.X, from.Y).Line(to.X, to.Y), Paint{Stroke: ink, Line: 0.2})
		d.Add((&Path{}).Oval(from.X, from.Y, 0.5, 0.5), Paint{Fill: ink})
		gap := 1.0
		if anchor == End {
			gap = -gap
		}
		d.Write(Label{X: to.X + gap, Y: to.Y + letters*0.35, Text: text, Size: letters, Anchor: anchor, Ink: ink})
	}
	outer, inner, out := Start, End, 2.4
	if side < 0 {
		outer, inner, out = End, Start, -2.4
	}
	label(fold.Pt{X: side, Y: 0}, say.T("draw.unit.points"), outer, out*0.6, 0)
	label(fold.Pt{X: side / 2, Y: leg / 2}, say.T("draw.unit.long"), outer, out, -2)
	label(fold.Pt{X: 0, Y: leg * 0.45}, say.T("draw.unit.pockets"), inner, -out, 0)
	label(fold.Pt{X: side * 0.3, Y: 0}, say.T("draw.unit.short"), inner, -out, 2.6)
	return d
}

// Creases draws the sheet of a unit, opened flat with its plain side up, with all that is folded in it.
func Creases(p *fold.Pattern, width, height float64, say *words.Speaker) *Drawing {
	d := NewDrawing(width, height, say.T("draw.creases.title"))
	u := p.Measures.Unit
	sheet := []fold.Face{{Outline: []fold.Pt{{X: -u.LongMM / 2}, {X: u.LongMM / 2}, {X: u.LongMM / 2, Y: u.ShortMM}, {X: -u.LongMM / 2, Y: u.ShortMM}}}}
	at := boxOf(sheet).into(0, width, height)
	layers(d, sheet, at)
	valleys, mountains := &Path{}, &Path{}
	for _, c := range p.Creases {
		a, z := at(c.A), at(c.B)
		path := mountains
		if c.Direction == fold.Valley {
			path = valleys
		}
		path.Move(a.X, a.Y).Line(z.X, z.Y)
	}
	d.Add(valleys, Paint{Stroke: accent, Line: foldLine, Dashes: valleyDashes})
	d.Add(mountains, Paint{Stroke: ink, Line: foldLine, Dashes: mountainDashes})
	return d
}

// FoldSigns draws what the lines and arrows of the diagrams mean, one below the other; width is in mm.
func FoldSigns(width float64, say *words.Speaker) *Drawing {
	const row, sign, letters = 7.0, 16.0, 3.2
	type line struct {
		key  string
		draw func(d *Drawing, y float64)
	}
	stroke := func(paint Paint, from, to float64) func(d *Drawing, y float64) {
		return func(d *Drawing, y float64) { d.Add((&Path{}).Move(from, y).Line(to, y), paint) }
	}
	arrow := func(m fold.Move) func(d *Drawing, y float64) {
		return func(d *Drawing, y float64) { moveArrow(d, Point{1, y + 1.5}, Point{7, y - 3.5}, Point{13, y + 1.5}, m) }
	}
	patch := func(fill colour) func(d *Drawing, y float64) {
		return func(d *Drawing, y float64) {
			d.Add((&Path{}).Rect(3, y-2, 8, 4), Paint{Fill: fill, Stroke: ink, Line: 0.25})
		}
	}
	all := []line{
		{"valley", stroke(Paint{Stroke: accent, Line: foldLine, Dashes: valleyDashes}, 0, 14)},
		{"mountain", stroke(Paint{Stroke: ink, Line: foldLine, Dashes: mountainDashes}, 0, 14)},
		{"crease", stroke(Paint{Stroke: muted, Line: 0.25}, 1.5, 12.5)},
		{"moves", arrow(fold.Move{})},
		{"back", arrow(fold.Move{Back: true})},
		{"again", arrow(fold.Move{Again: 1})},
		{"turn", func(d *Drawing, y float64) { turnSign(d, 7, y+0.5) }},
		{"coloured", patch(paperTint)},
		{"plain", patch(white)},
	}
	columns := 1
	if width > 120 {
		columns = 3
	} else if width > 80 {
		columns = 2
	}
	rows := (len(all) + columns - 1) / columns
	d := NewDrawing(width, row*float64(rows), say.T("draw.signs.title"))
	for i, l := range all {
		x, y := float64(i/rows)*width/float64(columns), row*(float64(i%rows)+0.5)
		one := NewDrawing(sign, row, "")
		l.draw(one, row/2)
		d.Place(one, x, y-row/2, 1)
		d.Write(Label{X: x + sign + 1, Y: y + letters*0.35, Text: fitting(say.T("draw.signs."+l.key), letters, false, width/float64(columns)-sign-2), Size: letters, Ink: ink})
	}
	return d
}

// box is a rectangle of the folded plane, mm.
type box struct{ lo, hi fold.Pt }

func boxOf(faces []fold.Face) *box {
	b := &box{fold.Pt{X: math.Inf(1), Y: math.Inf(1)}, fold.Pt{X: math.Inf(-1), Y: math.Inf(-1)}}
	for _, f := range faces {
		for _, p := range f.Outline {
			b.take(p)
		}
	}
	return b
}

func (b *box) take(p fold.Pt) {
	b.lo = fold.Pt{X: math.Min(b.lo.X, p.X), Y: math.Min(b.lo.Y, p.Y)}
	b.hi = fold.Pt{X: math.Max(b.hi.X, p.X), Y: math.Max(b.hi.Y, p.Y)}
}

func (b *box) middle() fold.Pt { return fold.Pt{X: (b.lo.X + b.hi.X) / 2, Y: (b.lo.Y + b.hi.Y) / 2} }

// into fits the box into the part of a frame from left to right, mm, upright: y goes up in the folded plane and down in pictures.
func (b *box) into(left, right, height float64) func(fold.Pt) Point {
	wide, high := math.Max(right-left-2*diagramRim, 1), math.Max(height-2*diagramRim, 1)
	scale := math.Min(wide/(b.hi.X-b.lo.X), high/(b.hi.Y-b.lo.Y))
	m := b.middle()
	return func(p fold.Pt) Point {
		return Point{(left+right)/2 + (p.X-m.X)*scale, height/2 - (p.Y-m.Y)*scale}
	}
}

// layers draws folded paper, the lowest layer first.
func layers(d *Drawing, faces []fold.Face, at func(fold.Pt) Point) {
	for _, f := range faces {
		points := make([]Point, len(f.Outline))
		for i, p := range f.Outline {
			points[i] = at(p)
		}
		fill := white
		if f.Coloured {
			fill = paperTint
		}
		d.Add((&Path{}).Polygon(points...), Paint{Fill: fill, Stroke: ink, Line: 0.25})
	}
}

func mixed(a, b Point, share float64) (x, y float64) {
	return a.X + (b.X-a.X)*share, a.Y + (b.Y-a.Y)*share
}

// bulge is the place that the arrow of a move bends towards, away from the middle of the paper.
func bulge(m fold.Move, middle fold.Pt) fold.Pt {
	dx, dy := m.To.X-m.From.X, m.To.Y-m.From.Y
	half := fold.Pt{X: m.From.X + dx/2, Y: m.From.Y + dy/2}
	n := fold.Pt{X: -dy, Y: dx}
	away := n.X*(half.X-middle.X) + n.Y*(half.Y-middle.Y)
	if away < -1e-9 || math.Abs(away) <= 1e-9 && n.Y < 0 {
		n.X, n.Y = -n.X, -n.Y
	}
	return fold.Pt{X: half.X + 0.45*n.X, Y: half.Y + 0.45*n.Y}
}

// moveArrow draws the arrow of a move, bent towards a place.
func moveArrow(d *Drawing, from, bend, to Point, m fold.Move) {
	ends := func(at, towards Point) Point { // where the line ends, behind the head
		x, y := mixed(at, towards, math.Min(1, headLong*0.9/math.Max(math.Hypot(towards.X-at.X, towards.Y-at.Y), 0.1)))
		return Point{x, y}
	}
	start, end := from, ends(to, bend)
	if m.Back {
		start = ends(from, bend)
	}
	third := func(a Point) (float64, float64) { return mixed(a, bend, 2.0/3) }
	x1, y1 := third(start)
	x2, y2 := third(end)
	d.Add((&Path{}).Move(start.X, start.Y).Curve(x1, y1, x2, y2, end.X, end.Y), Paint{Stroke: accent, Line: foldLine})
	d.Add(head(to, bend), Paint{Fill: accent, Stroke: accent, Line: 0.2})
	if m.Back {
		d.Add(head(from, bend), Paint{Fill: white, Stroke: accent, Line: 0.3})
	}
	if m.Again > 0 {
		dx, dy := bend.X-from.X, bend.Y-from.Y
		long := math.Max(math.Hypot(dx, dy), 0.1)
		dx, dy = dx/long, dy/long
		strokes := &Path{}
		for k := range m.Again {
			x, y := from.X+dx*(1.6+1.1*float64(k)), from.Y+dy*(1.6+1.1*float64(k))
			strokes.Move(x-dy*1.5, y+dx*1.5).Line(x+dy*1.5, y-dx*1.5)
		}
		d.Add(strokes, Paint{Stroke: accent, Line: foldLine})
	}
}

// head is an arrow's head at a place, coming from another.
func head(at, from Point) *Path {
	dx, dy := at.X-from.X, at.Y-from.Y
	long := math.Max(math.Hypot(dx, dy), 0.1)
	dx, dy = dx/long, dy/long
	x, y := at.X-dx*headLong, at.Y-dy*headLong
	return (&Path{}).Polygon(at, Point{x - dy*headWide/2, y + dx*headWide/2}, Point{x + dy*headWide/2, y - dx*headWide/2})
}

// turnSign says that the paper is turned over: an arrow with a loop.
func turnSign(d *Drawing, x, y float64) {
	p := (&Path{}).Move(x-5, y+0.8).Curve(x-1.5, y+1.6, x+2.6, y+0.6, x+2, y-1.6).Curve(x+1.4, y-3.4, x-2, y-3.2, x-2, y-1).Curve(x-2, y+0.8, x+0.6, y+1.4, x+3, y+0.9)
	d.Add(p, Paint{Stroke: accent, Line: foldLine})
	d.Add(head(Point{x + 5, y + 0.4}, Point{x + 2, y + 1.1}), Paint{Fill: accent, Stroke: accent, Line: 0.2})
}

var paperTint = mustHex("#a9cfcd")
