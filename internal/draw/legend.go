package draw

import (
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

const (
	legendRow    = 6.0
	legendColumn = 62.0
	badgeRadius  = 1.7
)

// place gives the middle of an extra's place on the pattern, mm.
func (p *pattern) place(e *figure.Extra) (x, y float64) {
	turn := placeTurn(p.arcs, p.f, e.Ring-1, e.At)
	return p.at(spot{turn, float64(e.Ring) - 0.25}, p.lap(turn))
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

// extras marks every extra at its place: glued pieces in their size, and a number for the legend.
func (p *pattern) extras() {
	scale := p.o.Width / pitchMM(p.f.Unit)
	for i := range p.f.Extras {
		e := &p.f.Extras[i]
		if e.Kind != figure.Glued || !p.shows(e) {
			continue
		}
		x, y := p.place(e)
		piece := &Path{}
		outlineOf(piece, e, Point{x, y}, Point{scale, 0}, Point{0, scale})
		p.d.Add(piece, Paint{Fill: extraColour(p.f, e), Stroke: edge, Line: 0.25})
	}
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

// legend lists the colours with sign and count, then the extras, below the pattern.
func (p *pattern) legend() {
	if !p.o.Legend {
		return
	}
	columns := max(1, int((p.d.Width-2*margin)/legendColumn))
	y := p.d.Height + 1
	row := func(i int) (x, yy float64) {
		return margin + float64(i%columns)*legendColumn, y + float64(i/columns)*legendRow
	}
	colours := legendOf(p.f)
	for i, c := range colours {
		x, yy := row(i)
		swatch(p.d, x+2, yy, c.paper)
		p.d.Write(Label{X: x + 7, Y: yy + 3.6, Text: c.sign, Size: textSize * 1.1, Bold: true, Anchor: Middle, Ink: ink})
		p.d.Write(Label{X: x + 10, Y: yy + 3.6, Text: c.text(p.o.Say, textSize, legendColumn-12), Size: textSize, Ink: ink})
	}
	y += float64((len(colours)+columns-1)/columns) * legendRow
	if p.o.part { // the extras are listed elsewhere
		p.d.Height = y
		return
	}
	for i := range p.f.Extras {
		x, yy := row(i)
		p.badge(x+2, yy+2.6, i+1)
		p.d.Write(Label{X: x + 6.5, Y: yy + 3.6, Text: short(p.o.Say.Say(ExtraText(&p.f.Extras[i])), 44), Size: textSize, Ink: ink})
	}
	y += float64((len(p.f.Extras)+columns-1)/columns) * legendRow
	p.d.Height = y + margin
}

// ExtraText says what an extra is and where it goes; on a pattern it stands beside the extra's number.
func ExtraText(e *figure.Extra) words.Text {
	if e.Kind == figure.Tucked {
		return words.T("draw.legend.tucked", "Name", e.Name, "Count", e.Units, "Ring", e.Ring)
	}
	return words.T("draw.legend.glued", "Name", e.Name, "Ring", e.Ring)
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
	said := func(name string) string {
		if c.units == 0 {
			return say.T("draw.legend.only_glued", "Name", name)
		}
		return say.T("draw.legend.colour", "Name", name, "Count", c.units)
	}
	return said(fitting(c.name, size, false, width-TextWidth(said(""), size, false)))
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
	for i := range f.Rings {
		for _, c := range f.Rings[i].Cells {
			counts[c.Colour]++
		}
	}
	for _, e := range f.Extras {
		if i, ok := f.ColourIndex(e.Colour); ok && e.Kind == figure.Tucked {
			counts[i] += e.Units
		}
	}
	return counts
}
