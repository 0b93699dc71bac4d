package draw

import (
	"math"
	"slices"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/wall"
	"tuckring/internal/words"
)

const (
	legendRow    = 6.0
	legendColumn = 62.0
	badgeRadius  = 1.7
	faceMiddle   = 0.25 // so many rises under the next ring's lowest point is the middle of a unit's face
)

// place gives the middle of an extra's place on the pattern, mm.
func (p *pattern) place(e *figure.Extra) (x, y float64) {
	turn := placeTurn(p.arcs, p.f, e.RingIndex(), e.At)
	return p.at(spot(turn, float64(e.Ring)-faceMiddle), p.lap(turn))
}

// placeTurn gives the turn of a place given in units from the seam of a ring (0-based): whole
// numbers are middles of units, halves the joints after them.
func placeTurn(arcs *figure.Unrolled, f *figure.Figure, ring int, at float64) float64 {
	n := len(f.Rings[ring].Cells)
	unit := int(at + 0.5)
	lap := 0
	for unit >= n {
		unit -= n
		at -= float64(n)
		lap++
	}
	from, to := arcs.Arc(ring, unit)
	return from + (at-float64(unit)+0.5)*(to-from) + float64(lap)
}

// looks draws the extras that are tucked in, or those glued on, at their places as shape.Looks gives them.
func (p *pattern) looks(kind figure.Kind) {
	for k := range p.extraLooks {
		if e := p.extraOf(&p.extraLooks[k]); e.Kind == kind && p.shows(e) {
			p.look(&p.extraLooks[k], e)
		}
	}
}

func (p *pattern) extraOf(l *shape.Look) *figure.Extra {
	return &p.f.Extras[slices.IndexFunc(p.f.Extras, func(e figure.Extra) bool { return e.ID == l.ID })]
}

// badges writes the number of every extra at its place, for the legend.
func (p *pattern) badges() {
	scale := p.extraScale()
	taken := map[[2]int]int{}
	for i := range p.f.Extras {
		e := &p.f.Extras[i]
		if !p.shows(e) {
			continue
		}
		x, y := p.place(e)
		key := [2]int{int(x), int(y)}
		if e.Kind == figure.Glued { // beside the piece, so that it stays in sight
			w, h := pieceSize(e)
			x, y = x+0.36*w*scale+badgeRadius, y-0.36*h*scale-badgeRadius
		}
		x += float64(taken[key]) * 2.2 * badgeRadius
		taken[key]++
		p.badge(x, y, i+1)
	}
}

// seeThrough is how much of the wall a tucked unit that stands off it hides: who builds must see what is behind.
const seeThrough = 0.55

// ownBand is how wide the band of its own paper around a tucked unit is, in units' widths.
const ownBand = 0.1

// extraScale is how many mm of the drawing are one of an extra.
func (p *pattern) extraScale() float64 { return p.o.Width / pitchMM(p.f.Unit) }

func (p *pattern) look(l *shape.Look, e *figure.Extra) {
	x, y := p.place(e)
	paper, scale := extraColour(p.f, e), p.extraScale()
	line := edgeOn(paper)
	thin := 0.25 * p.o.Width / unitWidth
	facets := l.Flat()
	outlines := make([][]Point, len(facets))
	for i, facet := range facets {
		points := make([]Point, len(facet.Corners))
		for k, c := range facet.Corners {
			points[k] = Point{x + c[0]*scale, y - c[1]*scale}
		}
		if p.o.cut {
			low, high := p.edges()
			points = clipped(clipped(points, low, 1), high, -1)
		}
		outlines[i] = points
	}
	// A leaf seen edge-on is only a line: tucked units are lined with their own paper, and with a thin rim around it.
	band := ownBand * p.o.Width
	if e.Kind == figure.Tucked {
		for _, points := range outlines {
			p.d.Add((&Path{}).Polygon(points...), Paint{Stroke: line, Line: band + 2*thin})
		}
	}
	for i, facet := range facets {
		fill := paper
		paint := Paint{Stroke: line, Line: thin}
		switch facet.Leaf {
		case shape.LeftLeaf:
			fill = mix(paper, white, 0.17)
			paint = Paint{Stroke: fill, Line: band}
			fill = veil(fill, seeThrough)
		case shape.RightLeaf:
			fill = mix(paper, shade, 0.15)
			paint = Paint{Stroke: fill, Line: band}
			fill = veil(fill, seeThrough)
		}
		paint.Fill = fill
		p.d.Add((&Path{}).Polygon(outlines[i]...), paint)
	}
}

// reach is how far tucked units stand over the edges of the pattern, mm: to either side, over the tips of the
// highest ring shown, and under the lowest.
func (p *pattern) reach() (side, over, under float64) {
	tips := (float64(p.o.to-p.o.from) + wall.TipRise) * p.rise
	for k := range p.extraLooks {
		e := p.extraOf(&p.extraLooks[k])
		if e.Kind != figure.Tucked || !p.shows(e) {
			continue
		}
		turn := placeTurn(p.arcs, p.f, e.RingIndex(), e.At)
		x, up := (turn+p.lap(turn)-p.first)*p.around, (float64(e.Ring-p.o.from)-faceMiddle)*p.rise
		for _, facet := range p.extraLooks[k].Flat() {
			for _, c := range facet.Corners {
				at, high := x+c[0]*p.extraScale(), up+c[1]*p.extraScale()
				side = math.Max(side, math.Max(-at, at-p.around))
				over, under = math.Max(over, high-tips), math.Max(under, -high)
			}
		}
	}
	return side, over, under
}

func (p *pattern) shows(e *figure.Extra) bool {
	x, _ := p.place(e)
	return e.Ring > p.o.from && e.Ring <= p.o.to && p.within(x)
}

func (p *pattern) badge(x, y float64, number int) {
	disc := &Path{}
	disc.Oval(x, y, badgeRadius, badgeRadius)
	p.d.Add(disc, Paint{Fill: card, Stroke: ink, Line: 0.25})
	p.d.Write(Label{X: x, Y: y + 0.8, Text: strconv.Itoa(number), Size: 2.3, Bold: true, Anchor: Middle, Ink: ink})
}

// legend lists the colours with sign and count, then the extras, below the pattern. Long names take more lines.
func (p *pattern) legend() {
	if !p.o.Legend {
		return
	}
	colours := legendOf(p.f)
	keys := legendKeys(colours, p.o.Say, p.d.Width, p.o.part)
	y := keys.write(p.d, p.d.Height+1, legendWords, func(i int, x, y float64) {
		swatch(p.d, x+2, y, colours[i].paper)
		p.d.Write(Label{X: x + 7, Y: y + 3.6, Text: colours[i].sign, Size: textSize * 1.1, Bold: true, Anchor: Middle, Ink: ink})
	})
	if p.o.part { // the extras are listed elsewhere
		p.d.Height = y
		return
	}
	texts := make([]string, len(p.f.Extras))
	for i := range p.f.Extras {
		texts[i] = p.o.Say.Say(ExtraText(p.f, &p.f.Extras[i]))
	}
	extras := keysOf(texts, p.d.Width, legendColumn-extraWords-2, 0)
	p.d.Height = margin + extras.write(p.d, y, extraWords, func(i int, x, y float64) { p.badge(x+2, y+2.6, i+1) })
}

// Where the words of a legend's entry begin, mm from its left edge.
const legendWords, extraWords = 10.0, 6.5

// keys are a legend's entries, broken into lines, in as many columns as there is room for.
type keys struct {
	lines   [][]string
	columns int
}

// keysOf breaks texts into lines so wide, in mm; most, unless it is 0, is how many lines an entry has, the last of
// them cut.
func keysOf(texts []string, across, width float64, most int) keys {
	t := newTypesetter(A4, "", nil)
	k := keys{columns: max(1, int((across-2*margin)/legendColumn))}
	for _, text := range texts {
		lines := t.broken(text, textSize, width, 0)
		if most > 0 && len(lines) > most {
			lines = append(lines[:most-1], fitting(lines[most-1]+"…", textSize, false, width))
		}
		k.lines = append(k.lines, lines)
	}
	return k
}

// partLines is how many lines a colour has in the legend of a part of the pattern, whose colours are all listed
// elsewhere in full.
const partLines = 2

func legendKeys(colours []legendColour, say *words.Speaker, across float64, part bool) keys {
	texts := make([]string, len(colours))
	for i := range colours {
		texts[i] = colours[i].words(say)
	}
	most := 0
	if part {
		most = partLines
	}
	return keysOf(texts, across, legendColumn-legendWords-2, most)
}

// rowHeight is the height of the row that begins with entry i, mm.
func (k *keys) rowHeight(i int) float64 {
	deepest := 1
	for _, lines := range k.lines[i:min(i+k.columns, len(k.lines))] {
		deepest = max(deepest, len(lines))
	}
	return legendRow + float64(deepest-1)*lineStep
}

// lineStep is from one line of an entry to the next, mm.
const lineStep = 1.35 * textSize

// height of all rows, mm.
func (k *keys) height() (mm float64) {
	for i := 0; i < len(k.lines); i += k.columns {
		mm += k.rowHeight(i)
	}
	return mm
}

// write writes the entries from y on, their words so far to the right, each with its mark, and gives where they end.
func (k *keys) write(d *Drawing, y, words float64, mark func(i int, x, y float64)) float64 {
	for i, lines := range k.lines {
		x := margin + float64(i%k.columns)*legendColumn
		mark(i, x, y)
		for n, line := range lines {
			d.Write(Label{X: x + words, Y: y + 3.6 + float64(n)*lineStep, Text: line, Size: textSize, Ink: ink})
		}
		if (i+1)%k.columns == 0 || i+1 == len(k.lines) {
			y += k.rowHeight(i - i%k.columns)
		}
	}
	return y
}

// ExtraText says what an extra is, of which colour (with its sign) and size, and where it goes; on a pattern it
// stands beside the extra's number.
func ExtraText(f *figure.Figure, e *figure.Extra) words.Text {
	i, painted := f.ColourIndex(e.Colour)
	paper := words.Text{}
	if painted {
		paper = words.T("draw.legend.marked", "Sign", f.Signs()[i], "Name", f.Colours[i].Name)
	}
	if e.Kind == figure.Tucked {
		return words.T("draw.legend.tucked", "Name", e.Name, "Count", e.Units, "Colour", paper, "Ring", f.RowName(e.RingIndex()))
	}
	size := report.PieceOf(e).Size()
	if !painted {
		return words.T("draw.legend.glued.plain", "Name", e.Name, "Size", size, "Ring", f.RowName(e.RingIndex()))
	}
	return words.T("draw.legend.glued", "Name", e.Name, "Size", size, "Colour", paper, "Ring", f.RowName(e.RingIndex()))
}

// legendColour is a colour as legends list it.
type legendColour struct {
	sign, name string
	paper      colour
	units      int
}

// legendOf lists the colours that the figure uses, in its order.
func legendOf(f *figure.Figure) []legendColour {
	counts, signs := colourCounts(f), f.Signs()
	var out []legendColour
	for i, used := range f.Used() {
		if used {
			paper, _ := FromHex(f.Colours[i].Hex)
			out = append(out, legendColour{signs[i], f.Colours[i].Name, paper, counts[i]})
		}
	}
	return out
}

// text is the colour's name and its units in letters so high and together at most so wide, mm; a longer name is
// cut.
func (c *legendColour) text(say *words.Speaker, size, width float64) string {
	short := *c
	short.name = ""
	short.name = fitting(c.name, size, false, width-TextWidth(short.words(say), size, false))
	return short.words(say)
}

// words is the colour's whole name and its units.
func (c *legendColour) words(say *words.Speaker) string {
	if c.units == 0 {
		return say.T("draw.legend.only_glued", "Name", c.name)
	}
	return say.T("draw.legend.colour", "Name", c.name, "Count", c.units)
}

// swatch draws one unit's face as a sample of a paper, about 4 × 5 mm with its middle at x.
func swatch(d *Drawing, x, y float64, paper colour) {
	const w, h = 2.1, 3.4
	left, right, both := &Path{}, &Path{}, &Path{}
	foot, top := Point{x, y + 1.5*h}, Point{x, y + 0.5*h}
	l1, l2 := Point{x - w, y + h}, Point{x - w, y}
	r1, r2 := Point{x + w, y + h}, Point{x + w, y}
	both.Polygon(foot, l1, l2, top, r2, r1)
	left.Polygon(foot, l1, l2, top)
	right.Polygon(foot, top, r2, r1)
	d.Add(both, Paint{Fill: paper})
	d.Add(left, Paint{Fill: leftVeil, Stroke: edge, Line: 0.15})
	d.Add(right, Paint{Fill: rightVeil, Stroke: edge, Line: 0.15})
}

// colourCounts counts the units of every colour, those of tucked extras with them.
func colourCounts(f *figure.Figure) []int {
	counts := make([]int, len(f.Colours))
	for i, n := range f.CountByColour() {
		counts[i] = n.InRings + n.InExtras
	}
	return counts
}
