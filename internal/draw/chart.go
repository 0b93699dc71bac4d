package draw

import (
	"math"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/pace"
	"tuckring/internal/paper"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// The charts of the report. Width is the drawing's width in mm; say speaks the reader's language.
// Everything that a colour tells, a word or letter tells too, so that a print in black and white can
// be read.

const chartText = 3.2 // mm

// number writes a length without trailing zeros, to a tenth.
func number(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// SheetLayout draws a sheet and how it is cut, at scale: units with their size, offcuts hatched, and
// along the lower and left edge (inside the margin) how far from the corner the cuts are, in mm. Tree is that of a whole
// sheet (paper.Layout) or of one cut only in part (paper.Part).
func SheetLayout(c paper.Cutting, tree *paper.Node, width float64, say *words.Speaker) *Drawing {
	const left, right, top, foot = 14.0, 3.0, 8.0, 13.0
	scale := (width - left - right) / c.Sheet.WidthMM
	s := &sheet{scale: scale, margin: c.MarginMM, x: left, y: top + c.Sheet.HeightMM*scale, say: say}
	s.d = NewDrawing(width, s.y+foot, say.T("draw.sheet.title", "Width", number(c.Sheet.WidthMM), "Height", number(c.Sheet.HeightMM)))
	s.d.Add((&Path{}).Rect(left, top, c.Sheet.WidthMM*scale, c.Sheet.HeightMM*scale), Paint{Fill: card, Stroke: ink, Line: 0.35})
	s.node(tree)
	s.d.Add(&s.hatch, Paint{Stroke: hair, Line: 0.2})
	s.d.Add(&s.offcuts, Paint{Stroke: muted, Line: 0.2, Dashes: []float64{1, 0.8}})
	s.d.Add(&s.units, Paint{Fill: mustHex("#dcecea"), Stroke: accent, Line: 0.3})
	for _, l := range s.labels {
		s.d.Write(l)
	}
	s.edges(s.xs, true)
	s.edges(s.ys, false)
	s.d.Write(Label{X: left, Y: top - 2.5, Size: chartText, Ink: muted,
		Text: say.T("draw.sheet.scale", "Scale", number(1/scale), "Width", number(c.Sheet.WidthMM), "Height", number(c.Sheet.HeightMM))})
	return s.d
}

type sheet struct {
	d                     *Drawing
	say                   *words.Speaker
	scale, x, y           float64 // mm of drawing per mm; the sheet's lower left corner
	margin                float64 // mm of the sheet
	units, offcuts, hatch Path
	labels                []Label
	xs, ys                []float64 // cuts that reach the lower and the left edge, mm from the corner
}

func (s *sheet) node(n *paper.Node) {
	if n == nil {
		return
	}
	x, y := s.x+n.X*s.scale, s.y-(n.Y+n.H)*s.scale
	w, h := n.W*s.scale, n.H*s.scale
	switch n.Kind {
	case paper.CutNode:
		for _, part := range n.Parts {
			s.node(part)
		}
		return
	case paper.UnitNode:
		s.units.Rect(x, y, w, h)
	default:
		s.offcuts.Rect(x, y, w, h)
		s.hatched(x, y, w, h)
	}
	if n.Y < s.margin+0.01 {
		s.xs = append(s.xs, n.X, n.X+n.W)
	}
	if n.X < s.margin+0.01 {
		s.ys = append(s.ys, n.Y, n.Y+n.H)
	}
	s.size(n, x+w/2, y+h/2, w, h)
}

// hatched draws lines rising to the right, 2 mm apart, inside a rectangle.
func (s *sheet) hatched(x, y, w, h float64) {
	for k := 2.0; k < w+h; k += 2 {
		x0, y0 := x+math.Min(k, w), y+math.Max(0, k-w)
		x1, y1 := x+math.Max(0, k-h), y+math.Min(k, h)
		s.hatch.Move(x0, y0).Line(x1, y1)
	}
}

// size writes a piece's measures where they fit, turned when only that fits.
func (s *sheet) size(n *paper.Node, x, y, w, h float64) {
	text := number(n.W) + " × " + number(n.H)
	l := Label{X: x, Y: y, Text: text, Size: 2.6, Anchor: Middle, Ink: ink}
	long, high := TextWidth(text, l.Size, false)+1, l.Size+0.6
	switch {
	case long <= w && high <= h:
		l.Y += 0.36 * l.Size
	case long <= h && high <= w:
		l.X += 0.36 * l.Size
		l.Turned = true
	default:
		return
	}
	s.labels = append(s.labels, l)
}

// edges writes how far the cuts along one edge are from the corner, leaving out what would not fit.
func (s *sheet) edges(at []float64, along bool) {
	last := math.Inf(-1)
	for _, v := range sortedUnique(at) {
		if v <= 0 {
			continue
		}
		tick := &Path{}
		l := Label{Text: number(v), Size: 2.6, Ink: ink}
		place, room := v*s.scale, 3.4
		if along {
			room = TextWidth(l.Text, l.Size, false) + 1.2
			x := s.x + place
			tick.Move(x, s.y).Line(x, s.y+1.5)
			l.X, l.Y, l.Anchor = x, s.y+4.4, Middle
		} else {
			y := s.y - place
			tick.Move(s.x-1.5, y).Line(s.x, y)
			l.X, l.Y, l.Anchor = s.x-2.2, y+0.9, End
		}
		s.d.Add(tick, Paint{Stroke: ink, Line: 0.25})
		if place-last >= room {
			s.d.Write(l)
			last = place
		}
	}
	unit := Label{X: s.x, Y: s.y + 9.5, Text: s.say.T("draw.sheet.from"), Size: chartText, Ink: muted}
	if along {
		s.d.Write(unit)
	}
}

// sortedUnique sorts lengths and leaves out what is the same to a hundredth of a mm.
func sortedUnique(v []float64) []float64 {
	out := append([]float64(nil), v...)
	for i := 1; i < len(out); i++ {
		for k := i; k > 0 && out[k] < out[k-1]; k-- {
			out[k], out[k-1] = out[k-1], out[k]
		}
	}
	n := 0
	for _, x := range out {
		if n == 0 || x-out[n-1] > 0.01 {
			out[n] = x
			n++
		}
	}
	return out[:n]
}

// RingProfile draws how wide the figure is at each ring, to scale: a bar as wide as the ring and as
// high as it rises, its count beside it wherever the count changes.
func RingProfile(f *figure.Figure, width float64, say *words.Speaker) *Drawing {
	const room, top, most = 26.0, 7.0, 130.0
	p := shape.Place(f, shape.FromMemory(f.Unit))
	widest := 0.0
	for _, r := range p.Rings {
		widest = math.Max(widest, 2*r.RadiusMM)
	}
	rise := p.Gauge.Rise.Best
	scale := math.Min((width-2*room)/widest, most/(rise*float64(len(p.Rings))))
	high := rise * scale
	d := NewDrawing(width, top+high*float64(len(p.Rings))+9, say.T("draw.profile.title", "Title", f.Title))
	middle, base := width/2, top+high*float64(len(p.Rings))
	bars, last := &Path{}, math.Inf(1)
	var labels []Label
	for i, r := range p.Rings {
		w := 2 * r.RadiusMM * scale
		y := base - high*float64(i+1)
		bars.Rect(middle-w/2, y, w, high)
		changes := i == 0 || i == len(p.Rings)-1 || len(f.Rings[i].Cells) != len(f.Rings[i-1].Cells)
		if at := y + high/2 + 1.1; changes && (last-at >= chartText+0.3 || i == 0) {
			labels = append(labels,
				Label{X: middle - w/2 - 2, Y: at, Text: say.T("draw.profile.ring", "Ring", i+1), Size: chartText, Anchor: End, Ink: muted},
				Label{X: middle + w/2 + 2, Y: at, Text: say.T("draw.profile.units", "Count", len(f.Rings[i].Cells)), Size: chartText, Ink: ink})
			last = at
		}
	}
	d.Add(bars, Paint{Fill: mustHex("#dcecea"), Stroke: accent, Line: 0.25})
	for _, l := range labels {
		d.Write(l)
	}
	scaleBar(d, middle, base+3, widest, scale, say)
	return d
}

// scaleBar draws a bar of 1, 2, 5, 10 … cm about a third of the figure's width.
func scaleBar(d *Drawing, x, y, mm, scale float64, say *words.Speaker) {
	length := 10.0
	for _, l := range []float64{20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if l <= mm/2 {
			length = l
		}
	}
	half := length * scale / 2
	bar := (&Path{}).Move(x-half, y-1).Line(x-half, y+1).Move(x-half, y).Line(x+half, y).Move(x+half, y-1).Line(x+half, y+1)
	d.Add(bar, Paint{Stroke: ink, Line: 0.3})
	d.Write(Label{X: x, Y: y + 4.2, Text: say.T("draw.profile.scale", "Length", number(length/10)), Size: chartText, Anchor: Middle, Ink: ink})
}

// ColourBar draws the papers of a figure as one bar, each as long as its share of the units, extras
// with them. Signs stand on or over their part, so that it reads without colour.
func ColourBar(f *figure.Figure, width float64, say *words.Speaker) *Drawing {
	const top, high, foot, side, signRoom = 5.0, 9.0, 1.5, 1.0, 3.4
	d := NewDrawing(width, top+high+foot, say.T("draw.colourbar.title", "Title", f.Title))
	counts, signs, all := colourCounts(f), f.Signs(), 0
	for _, n := range counts {
		all += n
	}
	x := side
	var over []Label // signs of parts that are too narrow for them
	for i, n := range counts {
		if n == 0 {
			continue
		}
		w := (width - 2*side) * float64(n) / float64(all)
		paper, _ := FromHex(f.Colours[i].Hex)
		d.Add((&Path{}).Rect(x, top, w, high), Paint{Fill: paper, Stroke: edge, Line: 0.25})
		l := Label{X: x + w/2, Y: top + high/2 + 1.3, Text: signs[i], Size: 3.6, Bold: true, Anchor: Middle, Ink: inkOn(paper)}
		x += w
		if w < signRoom {
			l.Y, l.Ink = top-1, ink
			over = append(over, l)
			continue
		}
		d.Write(l)
	}
	spreadOut(over, signRoom, width-side-signRoom/2)
	for _, l := range over {
		d.Write(l)
	}
	return d
}

// spreadOut moves labels, given from left to right, so far apart that none covers another and none
// stands right of the limit.
func spreadOut(labels []Label, apart, limit float64) {
	for i := 1; i < len(labels); i++ {
		labels[i].X = math.Max(labels[i].X, labels[i-1].X+apart)
	}
	for i := len(labels) - 1; i >= 0; i-- {
		labels[i].X = math.Min(labels[i].X, limit)
		limit = labels[i].X - apart
	}
}

// taskInks are the fills of the timeline; each bar also names its task or carries its number.
var taskInks = map[pace.Task]colour{
	pace.Cutting: mustHex("#c9d3dc"), pace.Folding: mustHex("#dcecea"), pace.Assembling: mustHex("#f3dfae"),
	pace.Finishing: mustHex("#efc9bd"), pace.Tidying: mustHex("#eae4d6"),
}

var taskOrder = []pace.Task{pace.Cutting, pace.Folding, pace.Assembling, pace.Finishing, pace.Tidying}

// Timeline draws who does what when, session by session, a row for each person. Bars carry the
// number of their task in the legend below.
func Timeline(p pace.Plan, width float64, say *words.Speaker) *Drawing {
	const head, left, gap, least = 6.0, 22.0, 3.0, 34.0
	rows := max(1, p.People)
	row := math.Max(2.2, math.Min(5.5, 90/float64(rows)))
	perLine := max(1, min(p.Sessions, int((width-left+gap)/(least+gap))))
	column := (width-left+gap)/float64(perLine) - gap
	lines := (p.Sessions + perLine - 1) / perLine
	lineHigh := head + row*float64(rows) + 4
	d := NewDrawing(width, lineHigh*float64(lines)+7, p.Text().String())
	corner := func(session int) (x, y float64) {
		k := session - 1
		return left + float64(k%perLine)*(column+gap), float64(k/perLine)*lineHigh + head
	}
	for s := 1; s <= p.Sessions; s++ {
		x, y := corner(s)
		d.Write(Label{X: x, Y: y - 1.5, Text: say.T("draw.timeline.session", "Session", s), Size: chartText, Ink: muted})
		d.Add((&Path{}).Rect(x, y, column, row*float64(rows)), Paint{Fill: card, Stroke: hair, Line: 0.25})
		if (s-1)%perLine == 0 && row >= 2.8 {
			for i := range rows {
				d.Write(Label{X: left - 2, Y: y + row*(float64(i)+0.5) + 1, Text: say.T("draw.timeline.person", "Person", i+1), Size: math.Min(chartText, row), Anchor: End, Ink: ink})
			}
		}
	}
	for _, b := range p.Blocks {
		x, y := corner(b.Session)
		from, to := b.FromMin/p.SessionMin*column, b.ToMin/p.SessionMin*column
		top, high := y+row*float64(b.Person), row
		if b.Person == pace.Everybody {
			top, high = y, row*float64(rows)
		}
		d.Add((&Path{}).Rect(x+from, top, to-from, high), Paint{Fill: taskInks[b.Task], Stroke: edge, Line: 0.2})
		number := strconv.Itoa(taskNumber(b.Task))
		if size := math.Min(chartText, high*0.8); to-from > TextWidth(number, size, false)+0.6 {
			d.Write(Label{X: x + (from+to)/2, Y: top + high/2 + 0.36*size, Text: number, Size: size, Anchor: Middle, Ink: ink})
		}
	}
	timelineLegend(d, p, say)
	return d
}

func taskNumber(t pace.Task) int {
	for i, k := range taskOrder {
		if k == t {
			return i + 1
		}
	}
	return 0
}

func timelineLegend(d *Drawing, p pace.Plan, say *words.Speaker) {
	used := map[pace.Task]bool{}
	for _, b := range p.Blocks {
		used[b.Task] = true
	}
	x := 0.5
	for i, t := range taskOrder {
		if !used[t] {
			continue
		}
		d.Add((&Path{}).Rect(x, d.Height-5, 4, 4), Paint{Fill: taskInks[t], Stroke: edge, Line: 0.2})
		d.Write(Label{X: x + 2, Y: d.Height - 2, Text: strconv.Itoa(i + 1), Size: chartText, Anchor: Middle, Ink: ink})
		name := say.Say(t.Text())
		d.Write(Label{X: x + 5.2, Y: d.Height - 2, Text: name, Size: chartText, Ink: ink})
		x += 9 + TextWidth(name, chartText, false)
	}
}
