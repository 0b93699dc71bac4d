package draw

import (
	"slices"
	"strconv"

	"tuckring/internal/figure"
	"tuckring/internal/fold"
	"tuckring/internal/guide"
	"tuckring/internal/report"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

const (
	bodySize    = 3.6 // mm, about 10 point
	headingSize = 5.2
)

var warningRed = mustHex("#a3271c")

// Handout sets everything a maker needs to build a figure on pages to print: what it will look like,
// its papers and extras, how a unit is folded, the pattern with its signs, and the building text ring
// by ring. It reads in black and white.
func Handout(f *figure.Figure, size PageSize, say *words.Speaker) Pages {
	h := &handout{typesetter: newTypesetter(size, f.Title, say), f: f, guide: guide.Make(f), signs: f.Signs()}
	h.cover()
	h.papers()
	h.folding()
	h.tucking()
	h.patternPages()
	h.building()
	return h.finish()
}

type handout struct {
	*typesetter
	f     *figure.Figure
	guide *guide.Guide
	signs []string // by the colour's place in the palette
}

func (h *handout) cover() {
	h.turn()
	h.heading(h.f.Title, 8, 0)
	size := shape.Estimate(h.f, shape.FromMemory(h.f.Unit))
	h.paragraph(h.say.T("draw.handout.facts", "Counts", report.Count(h.f).Text(len(h.f.Rings)), "Height", report.ShowLength(size.Height, false)), style{size: bodySize})
	h.y += 2
	const high = 92.0
	half := (h.inner() - 6) / 2
	for i, v := range []View{Front, ThreeQuarter} {
		h.d.Place(standPrinted(h.f, v, h.say, half, high), pageBorder+float64(i)*(half+6), h.y, 1)
	}
	h.y += high + 5
}

// papers lists the colours with their signs and counts, then the extras.
func (h *handout) papers() {
	h.heading(h.say.T("draw.handout.papers"), headingSize, 12)
	column := h.inner() / 2
	const step = 1.35 * bodySize
	for row := range slices.Chunk(legendOf(h.f), 2) {
		texts, deepest := make([][]string, len(row)), 0
		for i := range row {
			texts[i] = h.broken(row[i].words(h.say), bodySize, column-13, 0)
			deepest = max(deepest, len(texts[i]))
		}
		high := 7 + float64(deepest-1)*step
		h.room(high)
		for i, c := range row {
			x := pageBorder + float64(i)*column
			swatch(h.d, x+2.2, h.y+1.4, c.paper)
			h.d.Write(Label{X: x + 7.5, Y: h.y + 5.4, Text: c.sign, Size: bodySize, Bold: true, Anchor: Middle, Ink: ink})
			for n, line := range texts[i] {
				h.d.Write(Label{X: x + 11, Y: h.y + 5.4 + float64(n)*step, Text: line, Size: bodySize, Ink: ink})
			}
		}
		h.y += high
	}
	h.y += 2
	for i := range h.f.Extras {
		h.paragraph(h.say.Say(ExtraText(h.f, &h.f.Extras[i])), style{size: bodySize, indent: 5, lead: strconv.Itoa(i + 1)})
	}
	h.y += 2
}

// folding shows the steps of one unit, three in a row. Before it stand the cautions of the guide.
func (h *handout) folding() {
	u := h.f.Unit
	h.heading(h.say.T("draw.handout.folding"), headingSize, 100)
	h.paragraph(h.say.T("draw.handout.unit."+string(u.Fold), "Long", number(u.LongMM), "Short", number(u.ShortMM), "Count", h.guide.Units), style{size: bodySize})
	h.lines(h.cautions(), 0)
	p, err := fold.NewPattern(u)
	if err != nil {
		h.paragraph(err.Error(), style{size: bodySize, indent: 4, bar: warningRed})
		return
	}
	signs := FoldSigns(h.inner(), h.say)
	h.room(signs.Height + 4)
	h.d.Place(signs, pageBorder, h.y, 1)
	h.y += signs.Height + 4
	h.diagrams(foldDiagrams(p, h.say), 3, 30)
}

// tucking shows how units are tucked together, in the ways that the figure needs, and how the first rings are made.
func (h *handout) tucking() {
	if len(h.f.Rings) < 2 {
		return
	}
	h.heading(h.say.T("draw.handout.tucking"), headingSize, 60)
	var all []diagram
	for _, how := range TucksOf(h.f) {
		all = append(all, diagram{h.say.T("draw.tuck." + string(how)), func(width, height float64) *Drawing { return Tucking(h.f.Unit, how, width, height, h.say) }})
	}
	h.diagrams(all, 4, 38)
	all = nil
	for _, step := range Joinings {
		all = append(all, diagram{h.say.T("draw.join." + string(step)), func(width, height float64) *Drawing { return FirstRings(h.f.Unit, step, width, height, h.say) }})
	}
	h.heading(h.say.T("draw.handout.first"), headingSize, 60)
	h.diagrams(all, 4, 38)
}

// diagrams sets pictures in rows, each with its words below.
func (h *handout) diagrams(all []diagram, columns int, high float64) {
	const gap = 6.0
	width := (h.inner() - gap*float64(columns-1)) / float64(columns)
	for row := range slices.Chunk(all, columns) {
		texts, deepest := make([][]string, len(row)), 0
		for k, one := range row {
			texts[k] = h.broken(one.caption, 3.1, width, 0)
			deepest = max(deepest, len(texts[k]))
		}
		need := high + 2 + float64(deepest)*4.3 + 4
		h.room(need)
		for k, one := range row {
			x := pageBorder + float64(k)*(width+gap)
			h.d.Place(one.draw(width, high), x, h.y, 1)
			for n, line := range texts[k] {
				h.d.Write(Label{X: x, Y: h.y + high + 4 + float64(n)*4.3, Text: line, Size: 3.1, Ink: ink})
			}
		}
		h.y += need
	}
}

func (h *handout) cautions() []guide.Line {
	var out []guide.Line
	for _, l := range h.guide.Before {
		if l.Kind == guide.Caution {
			out = append(out, l)
		}
	}
	return out
}

// building sets the building text.
func (h *handout) building() {
	h.turn()
	h.heading(h.say.T("draw.handout.building"), headingSize, 10)
	for _, l := range h.guide.Before {
		if l.Kind != guide.Caution {
			h.lines([]guide.Line{l}, 0)
		}
	}
	h.y += 2
	for i := range h.guide.Steps {
		st := h.signed(h.guide.Steps[i])
		h.lines(st.Before, 0)
		h.paragraph(st.Say(h.say)+" "+h.say.T("guide.sofar", "Units", st.SoFar, "Total", h.guide.Units), style{size: bodySize})
		h.lines(st.After, 6)
	}
	h.y += 2
	h.lines(h.guide.After, 0)
}

// signed is a step whose colours have their signs before their names, as on the pattern.
func (h *handout) signed(st guide.Ring) guide.Ring {
	st.Stretches = slices.Clone(st.Stretches)
	for i := range st.Stretches {
		if p := &st.Stretches[i]; p.Units > 0 {
			p.Name = h.say.T("draw.legend.marked", "Sign", h.signs[p.Colour], "Name", p.Name)
		}
	}
	return st
}

func (h *handout) lines(lines []guide.Line, indent float64) {
	for _, l := range lines {
		st := style{size: bodySize, indent: indent}
		if l.Kind == guide.Caution {
			st.indent, st.bar = indent+4, warningRed
		}
		h.paragraph(l.Say(h.say), st)
	}
}
