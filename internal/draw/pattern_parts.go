package draw

import (
	"math"
	"strings"

	"tuckring/internal/figure"
	"tuckring/internal/guide"
	"tuckring/internal/wall"
	"tuckring/internal/words"
)

// A figure of several parts has a pattern for each of them, all of one scale: their names and where they begin over them, and
// over the row they grow from a line along the points that they take.

// unitsAround is how many units would stand in a whole turn of the fullest row of a part, counted from 1; 0 is the whole of a
// figure of one part.
func unitsAround(f *figure.Figure, arcs *figure.Unrolled, piece int) float64 {
	first, end := 0, len(f.Rings)
	if piece > 0 {
		part := &f.Parts[piece-1]
		first, end = part.First, part.First+part.Rows
	}
	around := 0.0
	for i := first; i < end; i++ {
		n := len(f.Rings[i].Cells)
		if !f.Open(i) {
			around = math.Max(around, float64(n))
			continue
		}
		from, to := arcs.Span(i)
		around = math.Max(around, float64(n)/(to-from))
	}
	return around
}

// openReach is how far the units of an open part reach to either side of its middle, in turns.
func (p *pattern) openReach(front float64) (reach float64) {
	for row := p.o.from; row < p.o.to; row++ {
		for unit := range p.f.Rings[row].Cells {
			from, to := p.arcs.Arc(row, unit)
			lap := math.Round((from+to)/2 - front)
			reach = math.Max(reach, math.Max(front-(from-lap), to-lap-front))
		}
	}
	return math.Min(reach, 0.5)
}

// Where parts grow, in mm: a line over the tips, and the name above it.
const (
	growthSize = 2.2
	growthOver = 0.6
	growthLine = 0.5
	// growthBeyond is how far the line goes on beyond the first and the last point.
	growthBeyond = 0.8
)

// growthRoom is how much room the names of parts need that grow on the highest row shown.
func (p *pattern) growthRoom() float64 {
	if p.o.to == p.o.from || len(p.f.Growing(p.o.to-1)) == 0 {
		return 0
	}
	return growthOver + 1.3*growthSize
}

// growths draws a line along the points that every part takes which grows on a row shown, with its name.
func (p *pattern) growths() {
	for row := p.o.from; row < p.o.to; row++ {
		for _, first := range p.f.Growing(row) {
			part := &p.f.Parts[p.f.PartOf(first)]
			foot, ring := p.f.Footing(first), &p.f.Rings[first]
			taken, free := ring.Points()
			if taken+free == 0 {
				continue
			}
			tip := func(k int) float64 {
				unit, side, lap := foot.Owner(ring.Start + k)
				return p.arcs.Tip(row, unit, side) + float64(lap)
			}
			from, to := tip(0), tip(taken+free-1)
			lap := p.lap((from + to) / 2)
			x1, y := p.at(spot(from, float64(row)+wall.TipRise), lap)
			x2, _ := p.at(spot(to, 0), lap)
			p.growth(part.Name, x1-growthBeyond, x2+growthBeyond, y-growthOver)
		}
	}
}

// growth draws the line of a part along what is shown of x1 … x2 — where it goes over the back that is a piece at either end —
// and writes its name over the longest piece, on the ground of the page so that nothing strikes it through.
func (p *pattern) growth(name string, x1, x2, y float64) {
	low, high := p.left+p.o.left*p.around, p.left+p.o.right*p.around
	var left, right float64 // of the longest piece
	for _, by := range []float64{-p.around, 0, p.around} {
		from, to := math.Max(x1+by, low), math.Min(x2+by, high)
		if from >= to {
			continue
		}
		p.d.Add((&Path{}).Move(from, y).Line(to, y), Paint{Stroke: accent, Line: growthLine})
		if to-from > right-left {
			left, right = from, to
		}
	}
	if left == right {
		return
	}
	name = fitting(name, growthSize, false, math.Min(math.Max(right-left+p.o.Width/2, 2.2*p.o.Width), high-low))
	half := TextWidth(name, growthSize, false) / 2
	middle := math.Max(low+half, math.Min(high-half, (left+right)/2))
	base := y - 0.4*growthSize
	p.d.Add((&Path{}).Rect(middle-half-0.4, base-0.85*growthSize, 2*half+0.8, 1.1*growthSize), Paint{Fill: card})
	p.d.Write(Label{X: middle, Y: base, Text: name, Size: growthSize, Anchor: Middle, Ink: accent})
}

// partHeading is what stands over the pattern of a part: its name and units, and where it begins.
func partHeading(f *figure.Figure, k int, say *words.Speaker) (name, where string) {
	part := &f.Parts[k]
	units := 0
	for _, r := range f.Rings[part.First : part.First+part.Rows] {
		units += len(r.Cells)
	}
	name = say.T("draw.pattern.of_part", "Part", part.Name, "Count", units)
	if k == 0 {
		return name, ""
	}
	var lines []string
	for _, l := range guide.Starts(f, k) {
		lines = append(lines, l.Say(say))
	}
	return name, strings.Join(lines, " ")
}

const (
	partNameSize = 3.6
	partGap      = 6.0
)

// patternOfParts sets the patterns of all parts beside and below one another, no wider than the widest of them.
func patternOfParts(f *figure.Figure, o PatternOptions) *Drawing {
	if o.Say == nil {
		o.Say = words.English
	}
	if !(o.Width > 0) {
		o.Width = unitWidth
	}
	drawn := make([]*Drawing, len(f.Parts))
	width := 0.0
	for k := range f.Parts {
		one := o
		one.piece, one.Legend = k+1, false
		drawn[k] = newPattern(f, one).draw()
		width = math.Max(width, drawn[k].Width)
	}
	width = math.Max(math.Max(width, 110), o.across)
	out := NewDrawing(width, 0, o.Say.T("draw.pattern.title", "Title", f.Title))
	t := newTypesetter(A4, "", nil)
	y := margin
	if !o.untitled && !o.Bare {
		out.Write(Label{X: margin, Y: margin + titleSize*0.8, Text: fitting(f.Title, titleSize, true, width-2*margin), Size: titleSize, Bold: true, Ink: ink})
		y += titleSize * 1.8
	}
	x, row := 0.0, 0.0 // where the next goes, and how high the row at hand is
	for k, d := range drawn {
		var name, where string
		var lines []string
		high := 0.0
		wide := math.Max(d.Width, 70)
		if !o.Bare {
			name, where = partHeading(f, k, o.Say)
			if where != "" {
				lines = t.broken(where, textSize, wide-2*margin, 0)
			}
			high = 1.4*partNameSize + float64(len(lines))*lineStep
		}
		if x > 0 && x+wide > width+1e-6 {
			x, y, row = 0, y+row+partGap, 0
		}
		if !o.Bare {
			out.Write(Label{X: x + margin, Y: y + partNameSize, Text: fitting(name, partNameSize, true, wide-2*margin), Size: partNameSize, Bold: true, Ink: ink})
			for i, line := range lines {
				out.Write(Label{X: x + margin, Y: y + 1.4*partNameSize + float64(i)*lineStep + textSize, Text: line, Size: textSize, Ink: muted})
			}
		}
		out.Place(d, x, y+high, 1)
		row = math.Max(row, high+d.Height)
		x += wide + partGap
	}
	out.Height = y + row
	if o.Legend && !o.Bare {
		p := newPattern(f, PatternOptions{Legend: true, Width: o.Width, Say: o.Say, piece: 1})
		p.d, p.o.piece = out, 0
		p.legend()
	}
	return out
}
