package picture

import (
	"math"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/wall"
	"tuckring/internal/words"
)

// Ground is what a picture is laid on: the visible faces of the units of some rows of a part, each where it is in this
// figure.
type Ground struct {
	Figure   *figure.Figure
	part     figure.PartID // 0 in a figure of one part
	index    int           // of the part
	from, to int           // numbers of the rows in the part, from 1
	open     bool

	around float64   // pitches in a whole turn
	wide   float64   // pitches around the part, or along it when it is open
	rise   float64   // pitches that a row adds
	radii  []float64 // of the part's rows, in pitches

	units []cell
	spots []wall.Spot // outlines of the faces one after another: Turn from the front line, Up from the foot of the part's first row
	ends  []int       // where each outline ends
}

// cell is a unit of the ground.
type cell struct {
	ring, unit int
	turn       float64 // its middle from the front line, −½ … ½
}

// NewGround gathers rows (numbers in their part, from 1; 0 for the first and the last) of a part (0: the one on the table) of a
// figure that keeps the rules of the document. It fails when there is no such part or row, or the part is a twin, which is
// painted through the part that it mirrors.
func NewGround(f *figure.Figure, gauge shape.Gauge, part figure.PartID, from, to int) (*Ground, error) {
	g := &Ground{Figure: f, part: part, from: from, to: to}
	first, rows, err := g.rows()
	if err != nil {
		return nil, err
	}
	if g.from == 0 {
		g.from = 1
	}
	if g.to == 0 {
		g.to = rows
	}
	if g.from < 1 || g.to > rows || g.from > g.to {
		return nil, words.T("picture.rows", "From", g.from, "To", g.to, "Most", rows)
	}
	u := figure.Unroll(f)
	front := u.FrontTurn()
	if len(f.Parts) > 0 {
		front = u.PartFront(g.index)
	}
	g.open = f.Open(first)
	g.rise = gauge.Rise.Best / gauge.Pitch.Best
	g.radii = shape.Radii(f, u, gauge)[first : first+rows]
	g.measure(u, first, rows)
	wall.Each(f, u, first+g.from-1, first+g.to, func(fc *wall.Face) {
		at := len(g.spots)
		g.spots = fc.Outline(g.spots)
		lap := front + math.Round(fc.Middle()-front)
		g.units = append(g.units, cell{fc.Ring, fc.Unit, fc.Middle() - lap})
		for i := range g.spots[at:] {
			s := &g.spots[at+i]
			s.Turn, s.Up = s.Turn-lap, s.Up-float64(first)
		}
		g.ends = append(g.ends, len(g.spots))
	})
	if g.wide = g.around; g.open {
		g.wide = 2 * g.along() * g.around
	}
	return g, nil
}

// rows finds the part's rows in the figure.
func (g *Ground) rows() (first, rows int, err error) {
	f := g.Figure
	if len(f.Parts) == 0 {
		if g.part != 0 && g.part != figure.StandingPart {
			return 0, 0, words.T("picture.part")
		}
		g.part = 0
		return 0, len(f.Rings), nil
	}
	if g.part == 0 {
		g.part = f.Parts[0].ID
	}
	k, ok := f.PartIndex(g.part)
	if !ok {
		return 0, 0, words.T("picture.part")
	}
	part := &f.Parts[k]
	if part.Twin != 0 {
		of, _ := f.PartIndex(part.Twin)
		return 0, 0, words.T("picture.twin", "Part", part.Name, "Of", f.Parts[of].Name)
	}
	g.index = k
	return part.First, part.Rows, nil
}

// measure finds how far it is around, in pitches: as many as would stand in a whole turn of the fullest row.
func (g *Ground) measure(u *figure.Unrolled, first, rows int) {
	f := g.Figure
	for row := first; row < first+rows; row++ {
		n := float64(len(f.Rings[row].Cells))
		if from, to := u.Span(row); g.open {
			n /= to - from
		}
		g.around = math.Max(g.around, n)
	}
}

// Units is how many units the ground has.
func (g *Ground) Units() int { return len(g.units) }

// face is the outline of a unit's face.
func (g *Ground) face(i int) []wall.Spot {
	if i == 0 {
		return g.spots[:g.ends[0]]
	}
	return g.spots[g.ends[i-1]:g.ends[i]]
}

// reach is from where to where the faces reach upwards, in pitches.
func (g *Ground) reach() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, s := range g.spots {
		low, high = math.Min(low, s.Up*g.rise), math.Max(high, s.Up*g.rise)
	}
	return low, high
}

// along is how far an open part reaches to either side of its front line, in turns.
func (g *Ground) along() float64 {
	out := 0.0
	for _, s := range g.spots {
		out = math.Max(out, math.Abs(s.Turn))
	}
	return out
}

// widest is the largest radius of the rows chosen, in pitches.
func (g *Ground) widest() float64 {
	out := 0.0
	for _, r := range g.radii[g.from-1 : g.to] {
		out = math.Max(out, r)
	}
	return out
}

// radius is that of the wall at a height in rows: a row's own where its points are, under the row upon it.
func (g *Ground) radius(up float64) float64 {
	at := up - wall.TipRise
	i := int(math.Floor(at))
	switch last := len(g.radii) - 1; {
	case at <= 0:
		return g.radii[0]
	case i >= last:
		return g.radii[last]
	}
	return g.radii[i] + (at-float64(i))*(g.radii[i+1]-g.radii[i])
}

// Wall tells how long a whole turn of the wall is and how much a row adds, in pitches, and whether the part is open.
func (g *Ground) Wall() (around, rise float64, open bool) { return g.around, g.rise, g.open }
