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
