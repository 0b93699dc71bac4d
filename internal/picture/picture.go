// Package picture turns a picture into a pattern: every unit gets the paper that comes closest to what its visible face shows of the
// picture that lies on it.
//
// Where a picture lies a Lay says: around a part or on its front, flat on the unrolled wall or seen straight on as on a round
// body, moved, scaled, turned, mirrored, repeated (lay.go). The faces are those of package wall, where they are in this
// figure (ground.go). What a face shows is the exact average over its area as light, in linear sRGB (IEC 61966-2-1), so that fine patterns keep
// their brightness (see.go). Papers are compared by CIEDE2000. How many of them, and how much there is of each, are limits under which the
// total difference is the least there can be, and where that cannot be proven in counted work a bound says how far off it may be (plan.go,
// best.go, flow.go). The rest is taste, by choice: differences made up for by neighbours (spread.go), edges, lone units, mirror images,
// one paper around the motif (tidy.go). The same picture and the same choice give the same pattern.
package picture

import (
	"math"
	"slices"

	"tuckring/internal/figure"
	"tuckring/internal/shape"
	"tuckring/internal/words"
)

// Options say what tube to lay a picture around, and how.
type Options struct {
	Title        string
	Unit         figure.Unit
	Units, Rings int // units in a ring, rings
	Way          Way // Around where none is said
	Choice       Choice
	Gauge        *shape.Gauge // of the wall, from memory where none is given
}

func (o Options) check() error {
	switch {
	case o.Units < figure.MinUnits || o.Units > figure.MaxUnits:
		return words.T("picture.units", "Found", o.Units, "Least", figure.MinUnits, "Most", figure.MaxUnits)
	case o.Rings < 1 || o.Rings > figure.MaxRings:
		return words.T("picture.rings", "Found", o.Rings, "Most", figure.MaxRings)
	case o.Units*o.Rings > figure.MaxAllUnits:
		return words.T("picture.many", "Found", o.Units*o.Rings, "Most", figure.MaxAllUnits)
	case len(o.Choice.Papers) == 0 || len(o.Choice.Papers) > figure.MaxColours:
		return words.T("picture.colours", "Found", len(o.Choice.Papers), "Most", figure.MaxColours)
	}
	return nil
}

// Pattern lays a picture around a plain tube of the given units and rings, its middle on the front line, its lower edge at the foot of
// ring 1, its upper edge at the tips of the last; what is clear counts as white. On the front only it keeps its proportions, and what
// it does not cover stays in the first paper. Of fewer papers than all, the figure has only those. It fails when the options break a limit of the figure document, and as Choose does.
func Pattern(p *Picture, o Options) (*figure.Figure, *Result, error) {
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	f := figure.Tube(o.Title, o.Unit, o.Choice.Papers, o.Units, o.Rings)
	if faults := f.Validate(); len(faults) > 0 {
		return nil, nil, faults
	}
	gauge := shape.FromMemory(o.Unit)
	if o.Gauge != nil {
		gauge = *o.Gauge
	}
	g, err := NewGround(f, gauge, 0, 0, 0)
	if err != nil {
		return nil, nil, err
	}
	r, err := lay(f, g, p, o)
	if err != nil {
		return nil, nil, err
	}
	return f, r, nil
}

// lay lays a picture on a ground as it fits best, and paints the figure.
func lay(f *figure.Figure, g *Ground, p *Picture, o Options) (*Result, error) {
	way := o.Way
	if way == "" {
		way = Around
	}
	return paint(f, g, p, g.Fit(p, way, 1), o)
}

// paint paints the figure with a picture that lies on it. What is beside a picture on the front gets the paper that is nearest to it in
// its ring, so that the back goes on as the sides end.
func paint(f *figure.Figure, g *Ground, p *Picture, l Lay, o Options) (*Result, error) {
	c := o.Choice
	c.White = l.Way == Around
	r, err := Choose(g, p, l, c, FullWork)
	if err != nil {
		return nil, err
	}
	r.Paint = append(r.Paint, g.beside(r.Paint)...)
	if _, _, err := figure.Apply(f, r.Edit()); err != nil {
		return nil, err
	}
	if c.Best > 0 {
		keepUsed(f)
	}
	return r, nil
}

// beside is the paint of the units that are not painted in rings of which others are.
func (g *Ground) beside(paint []figure.PaintRun) (out []figure.PaintRun) {
	colours := map[figure.RingID]map[int]string{}
	for _, run := range paint {
		if colours[run.Ring] == nil {
			colours[run.Ring] = map[int]string{}
		}
		for u := run.At; u < run.At+run.N; u++ {
			colours[run.Ring][u] = run.Colour
		}
	}
	rows := map[int][]cell{}
	for _, u := range g.units {
		rows[u.ring] = append(rows[u.ring], u)
	}
	for _, u := range g.units {
		id := g.Figure.Rings[u.ring].ID
		painted := colours[id]
		if _, there := painted[u.unit]; there || len(painted) == 0 {
			continue
		}
		nearest, colour := math.Inf(1), ""
		for _, other := range rows[u.ring] {
			if paper, there := painted[other.unit]; there {
				d := math.Abs(u.turn - other.turn)
				if d = math.Min(d, 1-d); d < nearest {
					nearest, colour = d, paper
				}
			}
		}
		out = append(out, figure.PaintRun{Ring: id, At: u.unit, N: 1, Colour: colour})
	}
	return out
}

// keepUsed leaves out the papers that no unit has.
func keepUsed(f *figure.Figure) {
	for i := len(f.Colours) - 1; i >= 0; i-- {
		used := slices.ContainsFunc(f.Rings, func(r figure.Ring) bool {
			return slices.ContainsFunc(r.Cells, func(c figure.Cell) bool { return int(c.Colour) == i })
		})
		if used || len(f.Colours) == 1 {
			continue
		}
		f.Colours = slices.Delete(slices.Clone(f.Colours), i, i+1)
		for r := range f.Rings {
			for u := range f.Rings[r].Cells {
				if c := &f.Rings[r].Cells[u]; int(c.Colour) > i {
					c.Colour--
				}
			}
		}
	}
}
