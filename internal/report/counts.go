package report

import "tuckring/internal/figure"

// Units are the exact counts of a figure, spares not included.
type Units struct {
	Total    int          `json:"total"`
	InRings  int          `json:"in_rings"`
	InExtras int          `json:"in_extras"`
	ByColour []ColourUnit `json:"by_colour"` // every colour of the figure in its order, unused ones with 0
	ByPart   []PartUnits  `json:"by_part,omitempty"`
}

// PartUnits counts the units of one part, those of extras tucked into it among them. Twins are each counted on their own; a
// figure of one part has none.
type PartUnits struct {
	Part  string `json:"part"` // its id in the document
	Name  string `json:"name"`
	Units int    `json:"units"`
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
	Part  string `json:"part,omitempty"` // the id of its part, in a figure of several
	Ring  int    `json:"ring"`           // from 1, in its part
	Units int    `json:"units"`
	Runs  []Run  `json:"runs"`
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
	u.ByPart = countParts(f)
	return u
}

func countParts(f *figure.Figure) []PartUnits {
	var out []PartUnits
	for i := range f.Parts {
		part := &f.Parts[i]
		out = append(out, PartUnits{Part: part.Code, Name: part.Name})
		for _, r := range f.Rings[part.First : part.First+part.Rows] {
			out[i].Units += len(r.Cells)
		}
	}
	for i := range f.Extras {
		if e := &f.Extras[i]; len(out) > 0 {
			out[f.PartOf(e.RingIndex())].Units += e.Units
		}
	}
	return out
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
		out[i] = Ring{Ring: f.RowNumber(i), Units: len(cells), Runs: runs[first:len(runs):len(runs)]}
		if len(f.Parts) > 0 {
			out[i].Part = f.Parts[f.PartOf(i)].Code
		}
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
