package draw

import (
	"math"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/pace"
	"tuckring/internal/words"
)

// The charts of the report. Width is the drawing's width in mm; say speaks the reader's language.
// Everything that a colour tells, a word or letter tells too, so that a print in black and white can
// be read.

const chartText = 3.2 // mm

// number writes a length without trailing zeros, to a tenth.
func number(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// Measures of the bar of colours, mm.
const (
	barSide   = 1.0
	barHigh   = 9.0
	signRoom  = 3.4 // of a sign that stands on its part
	overSize  = 2.8 // of the letters over the bar
	overRoom  = 2.9 // of one of them
	overRow   = 3.4 // from one row of them to the next
	overLead  = 3.0 // between the lowest row and the bar: room for the lines to the parts
	overAbove = 0.6
)

// ColourBar draws the papers of a figure as one bar, each as long as its share of the units, extras
// with them. Signs stand on their part, or over the bar with a line down to it, so that it reads without colour.
func ColourBar(f *figure.Figure, width float64, say *words.Speaker) *Drawing {
	counts, signs, all := colourCounts(f), f.Signs(), 0
	for _, n := range counts {
		all += n
	}
	wide := func(i int) float64 { return (width - 2*barSide) * float64(counts[i]) / float64(all) }
	var over []leader
	x := barSide
	for i, n := range counts {
		if w := wide(i); n > 0 && w < signRoom {
			over = append(over, leader{sign: signs[i], at: x + w/2, of: x + w/2})
		}
		x += wide(i)
	}
	rows := spreadOut(over, width)
	top := 1.5
	if rows > 0 {
		top = overAbove + float64(rows)*overRow + overLead
	}
	d := NewDrawing(width, top+barHigh+1.5, say.T("draw.colourbar.title", "Title", f.Title))
	x = barSide
	for i, n := range counts {
		if n == 0 {
			continue
		}
		w := wide(i)
		paper, _ := FromHex(f.Colours[i].Hex)
		d.Add((&Path{}).Rect(x, top, w, barHigh), Paint{Fill: paper, Stroke: edge, Line: math.Min(0.25, w/8)})
		if w >= signRoom {
			d.Write(Label{X: x + w/2, Y: top + barHigh/2 + 1.3, Text: signs[i], Size: 3.6, Bold: true, Anchor: Middle, Ink: inkOn(paper)})
		}
		x += w
	}
	for i, l := range over {
		foot := top - overLead - float64(i%rows)*overRow // of the letter
		d.Add((&Path{}).Move(l.at, foot+0.5).Line(l.at, top-overLead+0.9).Line(l.of, top-0.2), Paint{Stroke: ink, Line: 0.15})
		d.Write(Label{X: l.at, Y: foot, Text: l.sign, Size: overSize, Bold: true, Anchor: Middle, Ink: ink})
	}
	return d
}

// leader is a sign over the bar: at is where it stands, of the middle of its part.
type leader struct {
	sign   string
	at, of float64 // mm
}

// spreadOut moves signs, given from left to right, so far apart that none covers another and all stand within
// the width, each as near to its part as the others let it. Where one row has no room for all it spreads them
// over more, by turns, and says how many.
func spreadOut(signs []leader, width float64) (rows int) {
	if len(signs) == 0 {
		return 0
	}
	room := width - overRoom
	rows = max(1, int(math.Ceil(float64(len(signs))*overRoom/room)))
	apart := overRoom / float64(rows)
	// Signs that push each other make a block, which stands where the middles of its parts are on average.
	type block struct {
		from, n int
		sum     float64 // of the places that its first sign would have by each of them
	}
	var blocks []block
	place := func(b block) float64 {
		return math.Max(overRoom/2, math.Min(b.sum/float64(b.n), width-overRoom/2-apart*float64(b.n-1)))
	}
	for i := range signs {
		blocks = append(blocks, block{i, 1, signs[i].of})
		for len(blocks) > 1 {
			a, b := blocks[len(blocks)-2], blocks[len(blocks)-1]
			if place(a)+apart*float64(a.n) <= place(b) {
				break
			}
			blocks = append(blocks[:len(blocks)-2], block{a.from, a.n + b.n, a.sum + b.sum - apart*float64(a.n*b.n)})
		}
	}
	for _, b := range blocks {
		for k := range b.n {
			signs[b.from+k].at = place(b) + apart*float64(k)
		}
	}
	return rows
}

// taskInks are the fills of the timeline; each bar also names its task or carries its number.
var taskInks = map[pace.Task]colour{
	pace.Cutting: mustHex("#c9d3dc"), pace.Folding: accentTint, pace.Assembling: mustHex("#f3dfae"),
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
