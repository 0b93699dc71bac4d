package draw

import (
	"math"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// Cards sets the cards of a folding table on pages to print and cut apart: one with the figure and
// its papers, then one for each step of folding a unit, to lie where the step is folded. It fails
// when the unit cannot be folded.
func Cards(f *figure.Figure, size PageSize, say *words.Speaker) (Pages, error) {
	p, err := fold.NewPattern(f.Unit)
	if err != nil {
		return nil, err
	}
	const columns, rows = 2, 4
	c := &cards{typesetter: newTypesetter(size, f.Title, say), f: f, columns: columns, rows: rows,
		wide: (size.Width - 2*cardBorder) / columns, high: (size.Height - 2*cardBorder) / rows}
	c.figureCard()
	for i := range p.Steps {
		c.stepCard(p, i)
	}
	return c.pages, nil
}

// cardBorder is left free around the cards of a page, mm.
const cardBorder = 10.0

type cards struct {
	*typesetter
	f             *figure.Figure
	columns, rows int
	wide, high    float64 // of one card
	n             int
}

// next gives the upper left corner of the next card and draws its cutting lines.
func (c *cards) next() (x, y float64) {
	k := c.n % (c.columns * c.rows)
	if k == 0 {
		c.turn()
	}
	c.n++
	x, y = cardBorder+float64(k%c.columns)*c.wide, cardBorder+float64(k/c.columns)*c.high
	c.d.Add((&Path{}).Rect(x, y, c.wide, c.high), Paint{Stroke: muted, Line: 0.2, Dashes: []float64{1.5, 1.5}})
	return x, y
}

func (c *cards) figureCard() {
	x, y := c.next()
	const pad = 4.0
	picture := c.wide * 0.42
	c.d.Place(fitted(Stand(c.f, Front, c.say), picture-pad, c.high-2*pad), x+pad, y+pad, 1)
	x += picture + 2
	width := c.wide - picture - 2 - pad
	at := y + pad + 4
	for _, line := range c.broken(short(c.f.Title, 60), 5, width, 0) {
		c.d.Write(Label{X: x, Y: at, Text: line, Size: 4.6, Bold: true, Ink: ink})
		at += 6
	}
	colours := legendOf(c.f)
	step := math.Min(5.4, (y+c.high-pad-at)/float64(len(colours)+1))
	for _, colour := range colours {
		c.d.Add((&Path{}).Rect(x, at-step*0.55, 3.4, step*0.7), Paint{Fill: colour.paper, Stroke: edge, Line: 0.2})
		size := math.Min(3, step*0.7)
		text := colour.sign + "  " + colour.text(c.say, size, width-10)
		c.d.Write(Label{X: x + 5, Y: at, Text: text, Size: size, Ink: ink})
		at += step
	}
}

// stepCard sets one step; that of the last has the finished unit beside it.
func (c *cards) stepCard(p *fold.Pattern, i int) {
	x, y := c.next()
	st, of := &p.Steps[i], len(p.Steps)
	const pad, text = 5.0, 3.4
	lines := c.broken(c.say.Say(st.Text), text, c.wide-2*pad-12, 0)
	words := float64(len(lines))*text*1.4 + 2
	width, height := c.wide-2*pad, c.high-2*pad-words-2
	if st.Number == of {
		width *= 0.42
		c.d.Place(FoldedUnit(p, c.wide-2*pad-width, height, c.say), x+pad+width, y+pad, 1)
	}
	c.d.Place(FoldStep(*st, width, height, c.say), x+pad, y+pad, 1)
	at := y + c.high - pad - words + text + 1
	c.d.Write(Label{X: x + pad, Y: at + 2, Text: strconv.Itoa(st.Number), Size: 9, Bold: true, Ink: accent})
	for _, line := range lines {
		c.d.Write(Label{X: x + pad + 12, Y: at, Text: line, Size: text, Ink: ink})
		at += text * 1.4
	}
	c.d.Write(Label{X: x + c.wide - pad, Y: y + pad + 1, Text: c.say.T("draw.card.step", "Step", st.Number, "Steps", of), Size: 2.6, Anchor: End, Ink: muted})
}
