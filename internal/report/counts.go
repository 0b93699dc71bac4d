package report

import "tuckring/internal/figure"

// Units are the exact counts of a figure, spares not included.
type Units struct {
	Total    int          `json:"total"`
	InRings  int          `json:"in_rings"`
	InExtras int          `json:"in_extras"`
	ByColour []ColourUnit `json:"by_colour"` // every colour of the figure in its order, unused ones with 0
}

// ColourUnit counts the units of one colour.
type ColourUnit struct {
	Colour   string `json:"colour"`
	Name     string `json:"name"`
	Units    int    `json:"units"`
	InRings  int    `json:"in_rings"`
	InExtras int    `json:"in_extras"`
}

// Ring is a ring with its runs: neighbouring units of one colour are one run, and a run that crosses
// the seam stands once at each end.
type Ring struct {
	Ring  int   `json:"ring"`
	Units int   `json:"units"`
	Runs  []Run `json:"runs"`
}

// Run is a stretch of units of one colour.
type Run struct {
	Colour string `json:"colour"`
	Units  int    `json:"units"`
}

// Count counts the units of a figure by colour, those of tucked extras among them. Glued pieces are
// not units.
func Count(f *figure.Figure) Units {
	u := Units{ByColour: make([]ColourUnit, len(f.Colours))}
	for i, n := range f.CountByColour() {
		u.ByColour[i] = ColourUnit{Colour: f.Colours[i].ID, Name: f.Colours[i].Name, Units: n.InRings + n.InExtras, InRings: n.InRings, InExtras: n.InExtras}
		u.InRings += n.InRings
		u.InExtras += n.InExtras
	}
	u.Total = u.InRings + u.InExtras
	return u
}

// rings gathers the runs of every ring. All runs of a figure share one array.
func rings(f *figure.Figure) []Ring {
	runs := make([]Run, 0, countRuns(f))
	out := make([]Ring, len(f.Rings))
	for i := range f.Rings {
		cells, first := f.Rings[i].Cells, len(runs)
		for k, c := range cells {
			if k > 0 && cells[k-1].Colour == c.Colour {
				runs[len(runs)-1].Units++
				continue
			}
			runs = append(runs, Run{Colour: f.Colours[c.Colour].ID, Units: 1})
		}
		out[i] = Ring{Ring: i + 1, Units: len(cells), Runs: runs[first:len(runs):len(runs)]}
	}
	return out
}

func countRuns(f *figure.Figure) int {
	n := 0
	for i := range f.Rings {
		cells := f.Rings[i].Cells
		for k, c := range cells {
			if k == 0 || cells[k-1].Colour != c.Colour {
				n++
			}
		}
	}
	return n
}
