// Package guide turns a figure into building instructions, ring by ring: in which order to work, what
// goes where in each ring, when the work is opened out, which extras join at which ring, how many units
// are on so far, and the cautions at the step where they matter.
//
// The order of work is the craft's: rings 1 and 2 are made together, three units at a time, and then
// closed (published: origami-resource-center.com, swan); after the first few rings the work is
// opened out (common practice). Numbers of rings and units count from 1, as people count, to the
// right as seen from outside, from the seam.
//
// A Guide is data for the build sheet and the handout; Write says it as text.
package guide

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/words"
)

// Guide is the building instructions of one figure.
type Guide struct {
	Title  string
	Units  int    // units in rings and extras
	Before []Line // before the first ring
	Steps  []Ring // one for each ring, from the bottom
	After  []Line // when the last ring is on
}

// Kind says what a line is, so that a page can set it apart.
type Kind string

// Kinds of lines.
const (
	Do      Kind = "do"      // something to do
	Know    Kind = "know"    // how to read what follows
	Caution Kind = "caution" // something that can hurt
	Remark  Kind = "remark"  // the maker's own words
)

// Line is one sentence or short paragraph of the instructions.
type Line struct {
	Kind Kind
	Text words.Text
}

// Ring is the instructions for one ring.
type Ring struct {
	Row       int    // in the list of the figure's rows, from 0
	Ring      int    // in its part, from 1
	Part      string // the part's name; none in a figure of one part
	Open      bool   // an open row, read from its left end
	Units     int    // units in this ring
	Change    int    // units more (or fewer, negative) than in the ring below; 0 in ring 1
	Begin     *Point
	Plain     bool // the ring begins where a plain ring of its number does
	Stretches []Stretch
	Before    []Line // read before the ring is begun
	After     []Line // shaping, extras, notes, cautions
	SoFar     int    // units on when this ring and its tucked extras are done
}

// Point is a point of the ring below: the left or right one of a unit, from 1.
type Point struct {
	Unit  int
	Right bool
}

// Stretch is a run of equal units in a ring, read to the right from the seam, or of points of the
// ring below that are left free (then Units is 0).
type Stretch struct {
	Free   int // points left free
	Units  int
	Colour int // index of the figure's colours
	Name   string
	Takes  int // points each unit takes; 0 in ring 1
	Side   figure.Side
}

// "After the first few rings" the work is opened out (common practice): after openOutBy, unless the
// maker's own first shaping note stands at another of the first openOutLast rings.
const (
	openOutBy   = 3
	openOutLast = 8
)

// Make writes the instructions for a figure that Validate accepts.
func Make(f *figure.Figure) *Guide {
	g := &Guide{Title: f.Title, Before: before(f), After: after()}
	open := openOutAfter(f)
	for i := range f.Rings {
		s := ring(f, i)
		if part := partOf(f, i); part != nil && part.First == i && i > 0 {
			s.Before = append(s.Before, starts(f, part)...)
		}
		if _, more := f.Upon(i); more && f.Footing(i).OnTable() {
			s.Before = append(s.Before, Line{Do, words.T("guide.together")})
		}
		r := &f.Rings[i]
		if r.After != "" {
			s.After = append(s.After, Line{Remark, words.T("guide.after", "Note", r.After)})
		}
		if i == open {
			s.After = append(s.After, Line{Do, words.T("guide.open")})
		}
		if r.Note != "" {
			s.After = append(s.After, Line{Remark, words.T("guide.note", "Note", r.Note)})
		}
		g.Units += s.Units + s.extras(f)
		s.SoFar = g.Units
		g.Steps = append(g.Steps, s)
	}
	return g
}

// openOutAfter is the ring, from 0, after which the work is opened out; −1 when the figure is too
// low for it. Rings 1 and 2 are made together, so it is never ring 1.
func openOutAfter(f *figure.Figure) int {
	body := len(f.Rings)
	if len(f.Parts) > 0 {
		body = f.Parts[0].Rows
	}
	for i := 1; i < min(body, openOutLast); i++ {
		if f.Rings[i].After != "" {
			return i
		}
	}
	if body < openOutBy {
		return -1
	}
	return openOutBy - 1
}

func before(f *figure.Figure) []Line {
	lines := []Line{
		{Caution, words.T("guide.caution.blade")},
		{Caution, words.T("guide.caution.small")},
		{Know, words.T("guide.read")},
		{Know, words.T("guide.plain")},
	}
	if len(f.Rings) > 1 {
		lines = append(lines, Line{Know, words.T("guide.alternate")})
	}
	return append(lines, Line{Know, words.T("guide.front", "Place", place(f.Front, len(f.Rings[0].Cells)))})
}

func after() []Line {
	return []Line{{Do, words.T("guide.done")}, {Caution, words.T("guide.caution.flame")}}
}

// ring describes ring i (from 0) without what comes after it.
func ring(f *figure.Figure, i int) Ring {
	r := &f.Rings[i]
	s := Ring{Row: i, Ring: f.RowNumber(i), Units: len(r.Cells), Plain: true, Open: f.Open(i), Stretches: stretches(f, i)}
	if part := partOf(f, i); part != nil {
		s.Part = part.Name
	}
	foot := f.Footing(i)
	if foot.OnTable() || foot.Grows() {
		return s
	}
	s.Change = s.Units - foot.Units()
	if foot.Line() {
		return s
	}
	unit, side, _ := foot.Owner(r.Start)
	s.Begin = &Point{Unit: unit + 1, Right: side == 1}
	s.Plain = r.Start == foot.Usual()
	return s
}

// stretches are the runs of ring i with the names of their colours.
func stretches(f *figure.Figure, i int) []Stretch {
	runs := f.Runs(i)
	out := make([]Stretch, len(runs))
	for k, run := range runs {
		out[k] = Stretch{Free: run.Skip, Units: run.N, Takes: run.Takes}
		if run.N > 0 {
			c, _ := f.ColourIndex(run.Colour)
			out[k].Colour, out[k].Name = c, f.Colours[c].Name
		}
		if run.Side == figure.Short.String() {
			out[k].Side = figure.Short
		}
	}
	return out
}

// extras adds the extras that join at this ring, with their cautions, and counts their units.
func (s *Ring) extras(f *figure.Figure) (units int) {
	glue := false
	for i := range f.Extras {
		e := &f.Extras[i]
		if e.RingIndex() != s.Row {
			continue
		}
		at := place(e.At, s.Units)
		if e.Kind == figure.Glued {
			glue = true
			s.After = append(s.After, Line{Do, glued(f, e, at)})
		} else {
			units += e.Units
			s.After = append(s.After, Line{Do, tucked(f, e, at)})
		}
		if e.Shaping != "" {
			s.After = append(s.After, Line{Remark, words.T("guide.shaping", "Name", e.Name, "Note", e.Shaping)})
		}
	}
	if glue {
		s.After = append(s.After, Line{Caution, words.T("guide.caution.glue")}, Line{Caution, words.T("guide.caution.eyes")})
	}
	return units
}

func tucked(f *figure.Figure, e *figure.Extra, at words.Text) words.Text {
	return words.T("guide.tuck", "Name", e.Name, "Count", e.Units, "Colour", colourName(f, e.Colour), "Place", at)
}

func glued(f *figure.Figure, e *figure.Extra, at words.Text) words.Text {
	outline, width := e.Outline, e.Width
	if outline == "" || outline == figure.Disc {
		outline, width = figure.Disc, e.Diameter
	}
	size := words.T("guide.size."+string(outline), "Width", width, "Height", e.Height)
	if e.Colour == "" {
		return words.T("guide.glue", "Name", e.Name, "Size", size, "Place", at)
	}
	return words.T("guide.glue.colour", "Name", e.Name, "Size", size, "Place", at, "Colour", colourName(f, e.Colour))
}

func colourName(f *figure.Figure, id string) string {
	if i, ok := f.ColourIndex(id); ok {
		return f.Colours[i].Name
	}
	return id
}

// place says a place around a ring of n units, given in units from the seam (0 = middle of the first
// unit), to the nearest half unit.
func place(at float64, n int) words.Text {
	halves := int(math.Round(2*at)) % (2 * n)
	if halves < 0 {
		halves += 2 * n
	}
	unit := halves/2 + 1
	if halves%2 == 0 {
		return words.T("guide.place.on", "Unit", unit)
	}
	return words.T("guide.place.between", "Unit", unit, "Next", unit%n+1)
}
