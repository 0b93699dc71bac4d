package draw

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/guide"
	"tuckring/internal/wall"
	"tuckring/internal/words"
)

// The pattern on pages to print.
const (
	largestCell = 6.5  // mm, of a unit: larger ones only take paper
	leastCell   = 3.0  // mm: letters of 0.42 of it can just be read (own measure)
	mostSheets  = 120  // pages of pattern of one figure; beyond, units get smaller
	manyColours = 24   // more are listed once, not below every piece
	headRoom    = 14.0 // mm, between a heading and the units of a part
)

// PatternPages sets the pattern on pages to print, with its title, ring numbers, signs and legend: on one page
// where its signs can be read so, else the colours and extras first, then the pattern in as many parts as
// it takes, ring 1 at the bottom of the first.
func PatternPages(f *figure.Figure, size PageSize, say *words.Speaker) Pages {
	h := &handout{typesetter: newTypesetter(size, f.Title, say), f: f, guide: guide.Make(f)}
	if !h.onePage() {
		h.turn()
		h.heading(f.Title, 8, 0)
		h.papers()
		h.patternPages()
	}
	return h.finish()
}

// widest is the number of units that would stand around the fullest row of a part, counted from 1; 0 is a figure of one part.
func (h *handout) widest(piece int) float64 {
	arcs := figure.Unroll(h.f)
	if piece > 0 && h.f.Parts[piece-1].Open {
		p := newPattern(h.f, PatternOptions{Width: 1, Bare: true, piece: piece})
		return p.around * (p.o.right - p.o.left)
	}
	return unitsAround(h.f, arcs, piece)
}

// onePage draws the whole pattern on one page, if its signs can be read there.
func (h *handout) onePage() bool {
	high := h.bottom() - pageBorder
	if len(h.f.Parts) == 0 && h.widest(0)*leastCell > h.inner() || float64(len(h.f.Rings))*leastCell*riseShare > high {
		return false
	}
	h.turn()
	h.heading(h.f.Title, 8, 0)
	for cell := largestCell; cell >= leastCell; cell *= 0.95 {
		d := Pattern(h.f, PatternOptions{Signs: true, Legend: true, Width: cell, Say: h.say, untitled: true, across: h.inner()})
		if d.Width <= h.inner() && d.Height <= h.bottom()-h.y {
			h.d.Place(d, pageBorder+(h.inner()-d.Width)/2, h.y, 1)
			return true
		}
	}
	h.pages, h.d = nil, nil
	return false
}

// tiling is how a pattern is shared out among pages.
type tiling struct {
	cell    float64 // mm, of a unit of the fullest ring
	columns int     // parts side by side
	rings   int     // to a page
	legend  bool    // the colours stand below it: parts of a figure share the page that begins with them
}

// tile finds a tiling whose units are at least so wide, mm.
func (h *handout) tile(piece int, least float64) tiling {
	widest := h.widest(piece)
	side, over, under := newPattern(h.f, PatternOptions{Width: 1, piece: piece}).reach() // in units' widths
	room := h.inner() - 2*(margin+numberRoom)
	t := tiling{columns: 1, legend: piece == 0 && len(legendOf(h.f)) <= manyColours}
	beside := 2 * math.Max(1, side)
	if room/(widest+beside) < least {
		beside = 2 // what is cut ends at its edges
		t.columns = int(math.Ceil(widest / (room/least - beside)))
	}
	t.cell = math.Min(largestCell, room/(widest/float64(t.columns)+beside))
	free := h.bottom() - pageBorder - 3*headingSize - headRoom
	if t.legend {
		across := widest/float64(t.columns)*t.cell + 2*(numberRoom+margin)
		keys := legendKeys(legendOf(h.f), h.say, across, true)
		free -= keys.height()
	}
	free -= (over + under) * t.cell
	t.rings = max(1, int(free/(t.cell*riseShare)-wall.TipRise))
	return t
}

// pages is how many pages a tiling takes for so many rings.
func (t *tiling) pages(rings int) int { return (rings + t.rings - 1) / t.rings * t.columns }

// patternPages draws the pattern with its signs in parts, ring 1 at the bottom of the first page: as many
// rings, and as much of the way around, to a page as can be read. Of a figure of several parts each has pages of its own, or
// shares one with others where they fit.
func (h *handout) patternPages() {
	if len(h.f.Parts) == 0 {
		h.piecePages(0, 0, len(h.f.Rings))
		return
	}
	for k := range h.f.Parts {
		part := &h.f.Parts[k]
		h.piecePages(k+1, part.First, part.Rows)
	}
}

func (h *handout) piecePages(piece, first, rings int) {
	t := h.tile(piece, leastCell)
	for least := leastCell; t.pages(rings) > mostSheets; {
		least *= 0.9
		t = h.tile(piece, least)
	}
	levels := (rings + t.rings - 1) / t.rings
	perPage := (rings + levels - 1) / levels
	for from := 0; from < rings; from += perPage {
		to := min(from+perPage, rings)
		for c := range t.columns {
			h.patternPage(t, piece, first+from, first+to, c)
		}
	}
}

func (h *handout) patternPage(t tiling, piece, from, to, column int) {
	o := PatternOptions{Signs: true, Legend: t.legend, Width: t.cell, Say: h.say, part: true, piece: piece, from: from, to: to}
	if t.columns > 1 {
		o.cut, o.left, o.right = true, float64(column)/float64(t.columns), float64(column+1)/float64(t.columns)
	}
	var where string
	low, high := h.f.RowNumber(from), h.f.RowNumber(to-1)
	title := h.say.T("draw.handout.pattern", "From", low, "To", high)
	switch {
	case piece > 0 && t.columns > 1:
		title = h.say.T("draw.handout.pattern.of.part", "Part", h.f.Parts[piece-1].Name, "From", low, "To", high, "Piece", column+1, "Pieces", t.columns)
	case piece > 0:
		title = h.say.T("draw.handout.pattern.of", "Part", h.f.Parts[piece-1].Name, "From", low, "To", high)
	case t.columns > 1:
		title = h.say.T("draw.handout.pattern.part", "From", low, "To", high, "Part", column+1, "Parts", t.columns)
	}
	d := newPattern(h.f, o).draw()
	if piece > 1 && low == 1 {
		_, where = partHeading(h.f, piece-1, h.say)
	}
	need := headRoom + d.Height + float64(len(h.broken(where, bodySize, h.inner(), 0)))*1.4*bodySize
	if piece == 0 || h.y+need > h.bottom() {
		h.turn()
	}
	h.heading(title, headingSize, 0)
	if where != "" {
		h.paragraph(where, style{size: bodySize})
	}
	scale := math.Min(1, math.Min(h.inner()/d.Width, (h.bottom()-h.y-2)/d.Height))
	h.d.Place(d, pageBorder+(h.inner()-d.Width*scale)/2, h.y+2, scale)
	if h.y += d.Height*scale + 6; piece == 0 {
		h.y = h.bottom()
	}
}
