package shape

import (
	"math"

	"tuckring/internal/figure"
)

// How tucked units are shown (from memory: how a wing, an ear or a beak is shaped is the maker's
// own): as chains, each unit on both points of the one before, in columns side by side.
const (
	chainMost = 8                   // units in a column
	earLean   = 8 * math.Pi / 180   // a chain on the top ring stands nearly upright
	hangLean  = 158 * math.Pi / 180 // a hanging chain leans no further
	standOff  = 0.6                 // mm between the wall's outermost corners and a glued piece
	cardMM    = 0.4                 // mm between two pieces glued upon each other: a pupil lies on its eye
	discSides = 32                  // corners of a disc or oval
)

// ExtraSpot tells which spots belong to a tucked extra: Count from First in Placement.Spots.
type ExtraSpot struct {
	ID           figure.ExtraID
	First, Count int
}

// Piece is a glued piece standing off the wall: a flat outline, counterclockwise as seen from
// outside, in mm around its middle, placed and turned like a Spot (its face looks along z, so that it leans with the wall). Colour is
// −1 when the piece has none of the figure's colours.
type Piece struct {
	ID              figure.ExtraID
	X, Y, Z         float64
	Azimuth, Tilt   float64
	In              int32 // index in Placement.Frames
	WidthMM, HighMM float64
	OffMM           float64 // how far it stands off for the pieces that it lies on
	Colour          int
	Outline         [][2]float64
}

func (p *Placement) extras(f *figure.Figure, u *figure.Unrolled) {
	for i := range f.Extras {
		e := &f.Extras[i]
		if e.Ring < 1 || e.Ring > len(f.Rings) {
			continue
		}
		azimuth := p.Rings[e.RingIndex()].azimuth(turnAt(f, u, e.RingIndex(), e.At))
		if e.Kind == figure.Glued {
			p.glue(f, e, azimuth)
		} else {
			p.tuck(f, e, azimuth)
		}
	}
}

// turnAt is where a place in units from the seam of a ring (counted from 0) stands, in turns: 3 is the
// middle of unit 3, 3.5 the middle of the gap after it.
func turnAt(f *figure.Figure, u *figure.Unrolled, ring int, at float64) float64 {
	if f.Open(ring) {
		return openTurnAt(f, u, ring, at)
	}
	n := len(f.Rings[ring].Cells)
	i := int(math.Floor(at))
	lap := math.Floor(float64(i) / float64(n))
	i -= int(lap) * n
	if at == math.Floor(at) {
		return u.Middle(ring, i) + lap
	}
	_, to := u.Arc(ring, i)
	from, _ := u.Arc(ring, (i+1)%n)
	if i+1 == n {
		from++
	}
	return (to+from)/2 + lap
}

// openTurnAt is the same on an open row: half a unit beyond its ends is as far as half a unit within.
func openTurnAt(f *figure.Figure, u *figure.Unrolled, row int, at float64) float64 {
	last := float64(len(f.Rings[row].Cells) - 1)
	low := math.Max(0, math.Min(last, math.Floor(at)))
	unit := int(low)
	if at == low {
		return u.Middle(row, unit)
	}
	from, to := u.Arc(row, unit)
	if at < low {
		return from
	}
	if next := unit + 1; low < last {
		from, _ = u.Arc(row, next)
		to = (to + from) / 2
	}
	return to
}

func (p *Placement) tuck(f *figure.Figure, e *figure.Extra, azimuth float64) {
	r := p.Rings[e.RingIndex()]
	_, covered := f.Upon(e.RingIndex())
	lean, bend := chainOf(e, !covered, r.Lean)
	colour, _ := f.ColourIndex(e.Colour)
	columns := (e.Units + chainMost - 1) / chainMost
	spot := ExtraSpot{ID: e.ID, First: len(p.Spots), Count: e.Units}
	apart := p.Gauge.Pitch.Best / math.Max(r.RadiusMM, p.Measures.LegMM)
	at := r
	for k := range e.Units {
		column := k % columns
		if column == 0 {
			sin, cos := math.Sincos(lean)
			at.RadiusMM += p.Gauge.Rise.Best * sin
			at.Y += p.Gauge.Rise.Best * cos
			if k > 0 {
				lean = math.Min(lean+bend, hangLean)
			}
		}
		s := spotAt(&at, azimuth+(float64(column)-float64(columns-1)/2)*apart)
		s.Tilt, s.Colour = longTilt+lean, uint8(colour)
		p.Spots = append(p.Spots, s)
	}
	p.Extras = append(p.Extras, spot)
}

// chainOf gives how a chain of tucked units leaves its ring, in radians from upright outwards, and how
// much further each unit leans than the one before: ears stand on the top ring, feet and arms lie at
// the bottom ring and curl up, one or two units in a wall stick out (a beak), more of them hang (a
// wing).
func chainOf(e *figure.Extra, top bool, wall float64) (lean, bend float64) {
	const degree = math.Pi / 180
	switch {
	case top:
		return wall + earLean, 0
	case e.Ring == 1:
		return 84 * degree, -9 * degree
	case e.Units <= 2:
		return 78 * degree, 16 * degree
	}
	return 80 * degree, 24 * degree
}

func (p *Placement) glue(f *figure.Figure, e *figure.Extra, azimuth float64) {
	r := p.Rings[e.RingIndex()]
	out, down := p.face(r.Tilt[figure.Long])
	at := r
	at.RadiusMM += out + standOff
	at.Y -= down - p.Gauge.Rise.Best/2
	s := spotAt(&at, azimuth)
	if r.line {
		s = p.onOpenWall(&r, azimuth, standOff)
	}
	off := cardMM * float64(p.under(s, e))
	at.RadiusMM += off
	s = spotAt(&at, azimuth)
	if r.line {
		s = p.onOpenWall(&r, azimuth, standOff+off)
	}
	piece := Piece{ID: e.ID, X: s.X, Y: s.Y, Z: s.Z, Azimuth: s.Azimuth, Tilt: r.Lean, In: r.In, OffMM: off, Colour: -1}
	if i, ok := f.ColourIndex(e.Colour); ok {
		piece.Colour = i
	}
	piece.WidthMM, piece.HighMM = e.Width, e.Height
	if e.Outline == figure.Disc || e.Outline == "" {
		piece.WidthMM, piece.HighMM = e.Diameter, e.Diameter
	}
	piece.Outline = outline(e.Outline, piece.WidthMM, piece.HighMM)
	p.Pieces = append(p.Pieces, piece)
}

// onOpenWall is a place before the face of a unit of an open row, so far off it, however the row leans.
func (p *Placement) onOpenWall(r *RingSpot, azimuth, off float64) Spot {
	out, down := p.face(longTilt)
	up := p.Gauge.Rise.Best/2 - down
	sin, cos := math.Sincos(r.Lean)
	at := *r
	at.RadiusMM += (out+off)*cos + up*sin
	at.Y += up*cos - (out+off)*sin
	return spotAt(&at, azimuth)
}

// under counts the pieces glued before that a piece at the given spot lies on.
func (p *Placement) under(s Spot, e *figure.Extra) int {
	n, reach := 0, math.Max(e.Diameter, math.Max(e.Width, e.Height))/2
	for _, q := range p.Pieces {
		if q.In != s.In {
			continue
		}
		away := math.Sqrt((s.X-q.X)*(s.X-q.X) + (s.Y-q.Y)*(s.Y-q.Y) + (s.Z-q.Z)*(s.Z-q.Z))
		if away < reach+math.Max(q.WidthMM, q.HighMM)/2 {
			n++
		}
	}
	return n
}

// face is how far the outermost corner of a unit that tilts so, its long side out, stands off the circle of
// the points and how far below them, in mm.
func (p *Placement) face(tilt float64) (out, down float64) {
	sin, cos := math.Sincos(tilt)
	for _, c := range bodyOf(p.Solid) {
		if z := c[1]*sin + c[2]*cos; z > out {
			out, down = z, c[2]*sin-c[1]*cos
		}
	}
	return out, down
}

// outline is the edge of a glued piece, counterclockwise, in mm.
func outline(o figure.Outline, width, height float64) [][2]float64 {
	w, h := width/2, height/2
	switch o {
	case figure.Triangle: // pointing down, like a beak
		return [][2]float64{{0, -h}, {w, h}, {-w, h}}
	case figure.Bar:
		return [][2]float64{{-w, -h}, {w, -h}, {w, h}, {-w, h}}
	}
	out := make([][2]float64, discSides)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / discSides)
		out[i] = [2]float64{w * cos, h * sin}
	}
	return out
}
