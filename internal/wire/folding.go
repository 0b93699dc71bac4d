package wire

import (
	"math"

	"tuckring/internal/fold"
	"tuckring/internal/words"
)

// Folding is a unit's sheet on all its ways: what the page moves under the reader's hand. Lengths are mm.
type Folding struct {
	Steps  []FoldingStep  `json:"steps"`
	Facets []FoldingFacet `json:"facets"`
}

// FoldingStep is one step; after it the paper is seen turned over or not.
type FoldingStep struct {
	Text   string `json:"text"`
	Turned bool   `json:"turned,omitempty"`
}

// FoldingFacet is a piece of the sheet between folds; every list has one entry more than there are steps, the first for the flat
// sheet.
type FoldingFacet struct {
	At     [][]float64 `json:"at"`     // x and y of its corners, not turned over
	Layers []int       `json:"layers"` // higher lies above lower, where they overlap
	Plain  []bool      `json:"plain"`  // the plain side looks up
	Edges  []int       `json:"edges"`  // of each side, from its corner to the next: the step that folds it, 0 for an edge of the sheet
}

// FoldingOf puts a pattern into the form in which it travels.
func FoldingOf(p *fold.Pattern, say *words.Speaker) Folding {
	var out Folding
	for _, st := range p.Steps {
		out.Steps = append(out.Steps, FoldingStep{Text: say.Say(st.Text), Turned: st.Turned})
	}
	for _, f := range p.Facets {
		var facet FoldingFacet
		for k, stage := range f.Stages {
			var at []float64
			for _, q := range f.At(k) {
				at = append(at, math.Round(q.X*1000)/1000, math.Round(q.Y*1000)/1000)
			}
			facet.At = append(facet.At, at)
			facet.Layers = append(facet.Layers, stage.Layer)
			facet.Plain = append(facet.Plain, !stage.Motion.Reflects())
		}
		for i, a := range f.Sheet {
			facet.Edges = append(facet.Edges, folds(p, a, f.Sheet[(i+1)%len(f.Sheet)]))
		}
		out.Facets = append(out.Facets, facet)
	}
	return out
}

// folds is the step that folds a side of a facet, 0 when none does.
func folds(p *fold.Pattern, a, b fold.Pt) int {
	for _, c := range p.Creases {
		if between(c, fold.Pt{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}) && between(c, a) && between(c, b) {
			return c.Step
		}
	}
	return 0
}

// between tells whether a place lies on a crease.
func between(c fold.Crease, q fold.Pt) bool {
	way := math.Hypot(q.X-c.A.X, q.Y-c.A.Y) + math.Hypot(q.X-c.B.X, q.Y-c.B.Y)
	return way-math.Hypot(c.A.X-c.B.X, c.A.Y-c.B.Y) < 1e-6
}
